//! A door that nothing happens to on its way.

use tautleaf_physics::parameters::{Parameters, RunKind};

/// A door that opens, stays open and closes, and is met by nothing on the way. Whoever walks up is no disturbance.
pub fn undisturbed(p: &Parameters) -> Parameters {
    let mut p = p.clone();
    p.obstacle = None;
    p.timeline.run = RunKind::Cycle;
    p.timeline.power_lost_s = None;
    p.timeline.beam_broken_s = None;
    p.timeline.open_again_s = None;
    p.timeline.presence_until_s = None;
    p
}
