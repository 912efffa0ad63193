//! Where leaf, belt and drive are, seen from the front, in metres.
//!
//! 0 is the closed closing edge; the first leaf opens to the right. A single leaf that opens away from its drive has
//! the drive on its left, one that opens towards it on its right. Brackets are drawn where the model has its clamps.

use tautleaf_physics::Door;
use tautleaf_physics::parameters::Arrangement;

/// Where on a leaf the belt is clamped, as a part of its width from the closing edge.
const CLAMP_ON_LEAF: f64 = 0.15;

/// A leaf at some opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeafPlace {
    /// Its left and right edge, m.
    pub across: (f64, f64),
    /// Its closing edge, m.
    pub closing_edge_m: f64,
    /// Where the belt is clamped to it, m.
    pub clamp_m: f64,
    /// Whether that is on the upper strand.
    pub upper: bool,
    /// Leading and trailing hanger, m.
    pub hangers_m: [f64; 2],
    /// Its way over that of the belt: 1, or 1/2 for the slow leaf of a telescopic door, which has no clamp.
    pub ratio: f64,
}

/// A free span of the belt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanPlace {
    /// Its left and right end, m.
    pub across: (f64, f64),
    /// Whether it is the upper strand, or a part of it.
    pub upper: bool,
}

/// The door from the front.
#[derive(Clone, Debug, PartialEq)]
pub struct Elevation {
    /// Axis of the drive pulley, m.
    pub drive_m: f64,
    /// Axis of the return pulley, m.
    pub return_m: f64,
    /// The leaves.
    pub leaves: Vec<LeafPlace>,
    /// The spans, in the order of the ring.
    pub spans: Vec<SpanPlace>,
}

impl Elevation {
    /// The door with its leaves at these openings, m.
    pub fn of(door: &Door, positions_m: &[f64]) -> Self {
        let mut drawn = Self::first_belt(door, positions_m);
        drawn.slow_leaves(door, positions_m);
        drawn
    }

    fn first_belt(door: &Door, positions_m: &[f64]) -> Self {
        let parameters = door.parameters();
        let (clamp, width) = (parameters.belt.clamp_m, parameters.leaf.width_m);
        let centre = parameters.belt.centre_distance_m.unwrap_or(parameters.leaf.stroke_m + 1.4);
        let x = |leaf: usize| positions_m.get(leaf).copied().unwrap_or(0.0);
        let spacing = parameters.leaf.hanger_spacing_m.unwrap_or(width - 0.2);
        // The leading one is at the closing edge, on the left of a leaf that opens to the right.
        let hangers =
            |middle: f64, right: f64| [middle - right * spacing / 2.0, middle + right * spacing / 2.0];
        let on_leaf = CLAMP_ON_LEAF * width;
        let right_leaf = |clamp_m: f64| LeafPlace {
            across: (x(0), x(0) + width),
            closing_edge_m: x(0),
            clamp_m,
            upper: false,
            hangers_m: hangers(x(0) + width / 2.0, 1.0),
            ratio: 1.0,
        };
        let span = |a: f64, b: f64, upper: bool| SpanPlace { across: (a.min(b), a.max(b)), upper };
        match parameters.arrangement {
            Arrangement::Away => {
                let drive_m = on_leaf - clamp;
                let (return_m, at) = (drive_m + centre, drive_m + clamp + x(0));
                let spans =
                    vec![span(drive_m, at, false), span(at, return_m, false), span(return_m, drive_m, true)];
                Self { drive_m, return_m, leaves: vec![right_leaf(at)], spans }
            }
            Arrangement::Towards => {
                let return_m = on_leaf - clamp;
                let (drive_m, at) = (return_m + centre, return_m + clamp + x(0));
                let spans =
                    vec![span(drive_m, return_m, true), span(return_m, at, false), span(at, drive_m, false)];
                Self { drive_m, return_m, leaves: vec![right_leaf(at)], spans }
            }
            Arrangement::BiParting => {
                let (drive_m, return_m) = (-centre / 2.0, centre / 2.0);
                let (first, second) = (drive_m + clamp + x(0), return_m - clamp - x(1));
                let left_leaf = LeafPlace {
                    across: (-x(1) - width, -x(1)),
                    closing_edge_m: -x(1),
                    clamp_m: second,
                    upper: true,
                    hangers_m: hangers(-x(1) - width / 2.0, -1.0),
                    ratio: 1.0,
                };
                let spans = vec![
                    span(drive_m, first, false),
                    span(first, return_m, false),
                    span(return_m, second, true),
                    span(second, drive_m, true),
                ];
                Self { drive_m, return_m, leaves: vec![right_leaf(first), left_leaf], spans }
            }
        }
    }

    /// The slow leaves of a telescopic door: behind the fast ones when open, beside them when closed.
    fn slow_leaves(&mut self, door: &Door, positions_m: &[f64]) {
        let beside = 0.5 * door.parameters().leaf.stroke_m;
        let edges = self.leaves.len();
        for (n, slow) in door.ring().leaves.iter().enumerate().skip(edges) {
            let fast = self.leaves[n - edges];
            let opens_right = fast.hangers_m[0] < fast.hangers_m[1];
            let ahead = positions_m.get(n - edges).copied().unwrap_or(0.0);
            // With no place of its own given it is where its ratio puts it.
            let own = positions_m.get(n).copied().unwrap_or(slow.ratio * ahead);
            let by = if opens_right { beside + own - ahead } else { ahead - own - beside };
            self.leaves.push(LeafPlace {
                across: (fast.across.0 + by, fast.across.1 + by),
                closing_edge_m: fast.closing_edge_m + by,
                hangers_m: fast.hangers_m.map(|x| x + by),
                ratio: slow.ratio,
                ..fast
            });
        }
    }

    /// From where to where anything of the door ever is, closed or open, m.
    pub fn extent(door: &Door) -> (f64, f64) {
        let stroke = door.parameters().leaf.stroke_m;
        let at = |x: f64| {
            let places: Vec<f64> = door.ring().leaves.iter().map(|leaf| leaf.ratio * x).collect();
            Self::of(door, &places)
        };
        let ends = [0.0, stroke].map(at);
        let of_one = |one: &Self| {
            let leaves = one.leaves.iter().flat_map(|leaf| [leaf.across.0, leaf.across.1]);
            leaves.chain([one.drive_m, one.return_m]).collect::<Vec<f64>>()
        };
        let all = ends.iter().flat_map(of_one);
        all.fold((0.0, 0.0), |(low, high), x| (low.min(x), high.max(x)))
    }
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::Parameters;

    use super::*;

    fn door(arrangement: Arrangement) -> Door {
        Door::try_from(Parameters { arrangement, ..Parameters::default() }).expect("a door")
    }

    /// The spans of the ring have a length of their own: what is drawn must be as long.
    #[test]
    fn every_span_is_drawn_as_long_as_the_model_has_it() {
        for arrangement in [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting] {
            let door = door(arrangement);
            for positions in [[0.0, 0.0], [0.4, 0.4], [1.0, 0.7]] {
                let drawn = Elevation::of(&door, &positions);
                for (place, span) in drawn.spans.iter().zip(&door.ring().spans) {
                    let length = place.across.1 - place.across.0;
                    assert!((length - span.length_m(&positions)).abs() < 1e-12, "{arrangement:?} {length}");
                }
            }
        }
    }

    /// Fully open the slow leaf stands behind the fast one, closed half the stroke beside it.
    #[test]
    fn the_slow_leaf_of_a_telescopic_door_goes_half_the_way_and_ends_behind_the_fast_one() {
        let telescope = Some(tautleaf_physics::parameters::Telescope::default());
        let door = Door::try_from(Parameters { telescope, ..Parameters::default() }).expect("a door");
        let at = |fast: f64| Elevation::of(&door, &[fast, fast / 2.0]).leaves[1].across.0;
        assert!((at(0.0) - 0.5).abs() < 1e-12);
        assert!((at(1.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_leaf_takes_its_clamp_along_and_never_leaves_the_picture() {
        for arrangement in [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting] {
            let door = door(arrangement);
            let (closed, open) = (Elevation::of(&door, &[0.0, 0.0]), Elevation::of(&door, &[1.0, 1.0]));
            let (low, high) = Elevation::extent(&door);
            for (closed, open) in closed.leaves.iter().zip(&open.leaves) {
                let moved = open.clamp_m - closed.clamp_m;
                assert!((moved - (open.closing_edge_m - closed.closing_edge_m)).abs() < 1e-12);
                assert!(low <= open.across.0 && open.across.1 <= high);
            }
        }
    }
}
