//! What is worked out at the workbench and on the ladder: closed forms over a checked door, no run needed.

mod belt;
mod statics;

pub use belt::{
    Adjusted, BeltWork, Clamp, EndlessBelt, FULL_STRENGTH_TEETH, HEARD_FROM_HZ, Heard, OpenBelt, Pluck,
    SHORTEST_PLUCKED_M, Strand, belt_work,
};
pub use statics::{AtFullPull, at_full_pull};
