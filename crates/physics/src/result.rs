//! One whole run, with what was read off it.

use crate::energy::EnergyBalance;
use crate::figures::Figures;
use crate::moment::Moment;
use crate::run::{Event, EventKind, FastestPlace, GapForce, RearForce, Sample};

/// One whole run.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// One sample a tick while the door moves, and the ends of the times at which it stands.
    pub samples: Vec<Sample>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// The numbers to read.
    pub figures: Figures,
    /// The force test at each gap, the narrowest first.
    pub force: Vec<GapForce>,
    /// The force test behind each leaf at each gap that it passes on its way open.
    pub rear: Vec<RearForce>,
    /// Where the clear opening closes fastest within each range of gaps that was asked for and that it passed.
    pub fastest: Vec<FastestPlace>,
    /// Where the energy went, from the first command to the end of the run.
    pub energy: EnergyBalance,
    /// Sub-steps that each tick was divided into.
    pub substeps: u32,
    /// Whether the door opened and closed.
    pub finished: bool,
}

impl Run {
    /// Whether its balance of energy closes well enough for its numbers to be relied on.
    pub fn is_relied_on(&self) -> bool {
        self.energy.relative_residual() <= EnergyBalance::RELIED_ON
    }

    /// Where power was lost, if it was: such a run has no end to come to.
    pub fn lost_power(&self) -> Option<Moment> {
        self.events.iter().find(|event| event.kind == EventKind::PowerLost).map(|event| event.at)
    }
}
