//! Where along the travel and in time a force begins, ends or jumps.

use super::{Continuous, Listed, Plant};
use crate::parameters::LeafForce;

impl<const B: usize, const S: usize, const R: usize> Plant<B, S, R> {
    /// Whether anything is listed beside the usual forces.
    pub fn has_listed_forces(&self) -> bool {
        !self.forces.is_empty()
    }

    /// Kinks of the rail that the wheels have passed, and ends of the stretches and times in which listed forces act; it
    /// changes where and when one is.
    pub fn kinks_passed(&self, t: f64, state: &Continuous<B>) -> i64 {
        let ends = if self.forces.is_empty() { 0 } else { self.ends_passed(t, state) };
        if self.even {
            return ends;
        }
        let of = |b: usize| self.leaves[b].as_ref().map_or(0, |leaf| leaf.hanging.kinks_passed(state.q[b]));
        ends + (0..B).map(of).sum::<i64>()
    }

    #[cold]
    fn ends_passed(&self, t: f64, state: &Continuous<B>) -> i64 {
        let of = |b: usize, listed: &Listed| {
            let Some(leaf) = &self.leaves[b] else { return 0 };
            let acts = listed.force.leaf.is_none_or(|number| number == leaf.number);
            let behind = |end: f64| i64::from(acts && state.q[b] >= end);
            behind(listed.force.from_m) + behind(listed.force.to_m)
        };
        let over = |listed: &Listed| i64::from(t >= listed.force.start_s) + i64::from(t > listed.force.end_s);
        let places = (0..B).flat_map(|b| self.forces.iter().map(move |listed| of(b, listed)));
        places.sum::<i64>() + self.forces.iter().map(over).sum::<i64>()
    }

    /// Next time after t at which a listed force starts or ends, s.
    pub fn next_force_change(&self, t: f64) -> f64 {
        let edges = self.forces.iter().flat_map(|listed| [listed.force.start_s, listed.force.end_s]);
        edges.filter(|&edge| edge > t && edge < LeafForce::FOR_GOOD_S).fold(f64::INFINITY, f64::min)
    }
}
