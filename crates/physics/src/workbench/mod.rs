//! What is worked out at the workbench and on the ladder: closed forms over a checked door, no run needed.

mod belt;
mod hang;
mod statics;
mod tones;

pub use belt::{
    Adjusted, BeltWork, Clamp, EndlessBelt, FULL_STRENGTH_TEETH, HEARD_FROM_HZ, Heard, OpenBelt, Pluck,
    SHORTEST_PLUCKED_M, Strand, belt_work,
};
pub use hang::{Drift, HangCase, HangWork, Hung, hang_work};
pub use statics::{AtFullPull, at_full_braking, at_full_pull};
pub use tones::{Answer, Answering, Maker, Meeting, SWINGS_TO_SING, Source, TONE_DAMPING, Tones, tones};
