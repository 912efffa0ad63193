//! A run as the figures are read off it.

use crate::door::Door;
use crate::energy::EnergyBalance;
use crate::moment::Reading;
use crate::peaks::Peaks;
use crate::reading::comfort::Comfort;
use crate::reading::duty::Duty;
use crate::reading::gathered::{Tested, Totals};
use crate::reading::phases::{Phases, plain};
use crate::run::{Event, Sample};
use crate::thermal::Steady;

/// A run as the figures are read off it.
pub(crate) struct Record<'a> {
    pub door: &'a Door,
    pub samples: &'a [Sample],
    pub events: &'a [Event],
    pub tested: Tested<'a>,
    pub totals: &'a Totals,
    pub phases: Phases<'a>,
    pub peaks: Peaks,
    pub comfort: Comfort,
    pub duty: Option<Duty>,
}

impl<'a> Record<'a> {
    pub fn new(
        door: &'a Door,
        samples: &'a [Sample],
        events: &'a [Event],
        tested: Tested<'a>,
        energy: &'a EnergyBalance,
        totals: &'a Totals,
    ) -> Self {
        Self {
            phases: Phases::of(samples, events),
            peaks: Peaks::of(door, samples),
            comfort: Comfort::of(door, samples),
            duty: Duty::of(door, samples, events, energy, totals),
            door,
            samples,
            events,
            tested,
            totals,
        }
    }

    /// A figure of the duty, without a moment.
    pub fn duty(&self, value: impl Fn(&Duty) -> f64) -> Option<Reading> {
        plain(self.duty.as_ref().map(value))
    }

    /// A temperature of the duty, with the moment at which the winding is warmest.
    pub fn warmth(&self, value: impl Fn(&Steady) -> f64) -> Option<Reading> {
        let steady = &self.duty.as_ref()?.steady;
        Some(Reading { value: value(steady), at: steady.at })
    }

    /// What the insulation class bears, less the winding temperature, K.
    pub fn insulation_margin(&self) -> Option<Reading> {
        let bears_c = self.door.parameters().motor.insulation.temperature_c();
        self.warmth(|steady| bears_c - steady.winding_c)
    }
}
