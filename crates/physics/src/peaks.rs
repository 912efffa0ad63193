//! Greatest and least values of a run, all in one pass over its samples.

use crate::door::Door;
use crate::moment::{Moment, Reading};
use crate::ring::RingLeaf;
use crate::run::Sample;

/// 2 in: clear opening down to which the closing speed before latch check is taken, m.
pub const LATCH_CHECK_M: f64 = 0.0508;

/// The greatest value seen, and when it was first seen.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Peak {
    value: f64,
    at: Option<Moment>,
}

impl Peak {
    const NONE: Self = Self { value: f64::NEG_INFINITY, at: None };

    #[inline(always)]
    fn see(&mut self, value: f64, sample: &Sample) {
        if value > self.value {
            self.value = value;
            self.at = Some(Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m });
        }
    }

    /// The greatest value, if any was seen.
    pub fn greatest(self) -> Option<Reading> {
        self.at.map(|at| Reading { value: self.value, at: Some(at) })
    }

    /// The least value, where its negative was watched.
    pub fn least(self) -> Option<Reading> {
        self.at.map(|at| Reading { value: -self.value, at: Some(at) })
    }
}

/// Speed of the fastest leaf towards closed, m/s; negative: all open.
pub(crate) fn fastest_closing(sample: &Sample) -> f64 {
    -sample.leaf_speed_m_per_s.iter().copied().fold(f64::INFINITY, f64::min)
}

/// What is watched over a whole run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Peaks {
    /// Speed of a leaf towards open, m/s.
    pub speed_opening: Peak,
    /// Speed of a leaf towards closed, whatever moves it, m/s.
    pub speed_closing: Peak,
    /// The same down to the latch check, m/s.
    pub speed_before_check: Peak,
    /// Kinetic energy of one leaf, J.
    pub energy_leaf: Peak,
    /// Of all leaves, J.
    pub energy_leaves: Peak,
    /// With belt and drive, J.
    pub energy_coupled: Peak,
    /// The same while a leaf moves towards closed, J.
    pub energy_coupled_closing: Peak,
    /// Kinetic energy of one leaf while it moves towards closed, J.
    pub energy_leaf_closing: Peak,
    /// The same with belt, drive and return pulley, J.
    pub energy_leaf_coupled_closing: Peak,
    /// Tension of any strand, watched from below, N.
    pub tension_least: Peak,
    /// The same from above, N.
    pub tension_greatest: Peak,
    /// Load of the shaft of drive or return pulley, both strands together, N.
    pub shaft: Peak,
    /// Ratio of slack-strand tension to the pull on one tooth in mesh, watched from below.
    pub seat: Peak,
    /// Load of any hanger roller, watched from below, N.
    pub hanger_least: Peak,
    /// The same from above, N.
    pub hanger_greatest: Peak,
    /// Winding current, either sign, A.
    pub current: Peak,
}

impl Peaks {
    const NONE: Self = Self {
        speed_opening: Peak::NONE,
        speed_closing: Peak::NONE,
        speed_before_check: Peak::NONE,
        energy_leaf: Peak::NONE,
        energy_leaves: Peak::NONE,
        energy_coupled: Peak::NONE,
        energy_coupled_closing: Peak::NONE,
        energy_leaf_closing: Peak::NONE,
        energy_leaf_coupled_closing: Peak::NONE,
        tension_least: Peak::NONE,
        tension_greatest: Peak::NONE,
        shaft: Peak::NONE,
        seat: Peak::NONE,
        hanger_least: Peak::NONE,
        hanger_greatest: Peak::NONE,
        current: Peak::NONE,
    };

    /// One pass over the samples.
    pub fn of(door: &Door, samples: &[Sample]) -> Self {
        let (leaves, spans, bodies) = (door.leaves(), door.ring().spans.len(), door.ring().bodies);
        let teeth = door.derived().teeth_in_mesh;
        let mut all = Self::NONE;
        for sample in samples {
            let speeds = &sample.leaf_speed_m_per_s[..leaves];
            all.speed_opening.see(speeds.iter().copied().fold(f64::NEG_INFINITY, f64::max), sample);
            all.energy_leaf.see(sample.energy_leaf_j, sample);
            all.energy_leaves.see(sample.energy_leaves_j, sample);
            all.energy_coupled.see(sample.energy_coupled_j, sample);
            // whatever moves a leaf towards closed counts, also while the door should stand open
            let shutting = -speeds.iter().copied().fold(f64::INFINITY, f64::min);
            if shutting > 0.0 {
                all.speed_closing.see(shutting, sample);
                all.energy_coupled_closing.see(sample.energy_coupled_j, sample);
                let energy = |(leaf, speed): (&RingLeaf, &f64)| 0.5 * leaf.mass_kg * speed.min(0.0).powi(2);
                let one = door.ring().leaves.iter().zip(speeds).map(energy).fold(0.0, f64::max);
                all.energy_leaf_closing.see(one, sample);
                let rest = sample.energy_coupled_j - sample.energy_leaves_j;
                all.energy_leaf_coupled_closing.see(one + rest, sample);
                if sample.clear_opening_m >= LATCH_CHECK_M {
                    all.speed_before_check.see(shutting, sample);
                }
            }
            for &tension in &sample.tension_n[..spans] {
                all.tension_least.see(-tension, sample);
                all.tension_greatest.see(tension, sample);
            }
            // Both strands of a pulley pull its shaft the same way: F = T_a + T_b.
            let (tension, back) = (&sample.tension_n, door.ring().return_body);
            all.shaft.see((tension[0] + tension[bodies - 1]).max(tension[back - 1] + tension[back]), sample);
            // Ratcheting reserve at the drive pulley: slack-strand tension over the pull on one tooth in mesh (judgement).
            let (ahead, behind) = (sample.tension_n[0], sample.tension_n[bodies - 1]);
            let pull = (ahead - behind).abs();
            if pull >= 1.0 {
                all.seat.see(-ahead.min(behind) * teeth / pull, sample);
            }
            for &load in sample.hanger_load_n[..leaves].iter().flatten() {
                all.hanger_least.see(-load, sample);
                all.hanger_greatest.see(load, sample);
            }
            all.current.see(sample.current_a.abs(), sample);
        }
        all
    }
}
