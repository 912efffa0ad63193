//! A run under way.

use crate::run::{Event, FastestPlace, GapForce, RearForce, Sample};
use crate::sim::Sim;

/// A run under way: what it has left behind so far.
pub(crate) struct Progress<const B: usize> {
    pub sim: Sim<B>,
    pub samples: Vec<Sample>,
    pub events: Vec<Event>,
    pub force: Vec<GapForce>,
    pub rear: Vec<RearForce>,
    pub fastest: Vec<FastestPlace>,
    pub finished: bool,
}
