//! Currents, energy and warmth over the whole period of the duty.

use crate::door::Door;
use crate::energy::EnergyBalance;
use crate::parameters::SupplyKind;
use crate::reading::gathered::Totals;
use crate::run::{Event, EventKind, Sample};
use crate::thermal::{self, Steady};

/// What the door does over one period of its duty: the run, then standing.
pub(crate) struct Duty {
    pub rms_current_a: f64,
    pub energy_j: f64,
    pub drawn_j: f64,
    /// `None`: no battery of a known capacity, or nothing is drawn from it.
    pub battery_cycles: Option<f64>,
    pub steady: Steady,
}

impl Duty {
    /// `None`: the door does not come to be closed, or the duty asks for more cycles than the door can do.
    pub fn of(
        door: &Door,
        samples: &[Sample],
        events: &[Event],
        energy: &EnergyBalance,
        totals: &Totals,
    ) -> Option<Self> {
        let closed = events.iter().rev().find(|event| event.kind == EventKind::ArrivedClosed)?;
        let p = door.parameters();
        let period_s = 3600.0 / p.duty.cycles_per_hour;
        if period_s < closed.at.t_s {
            return None;
        }
        // What follows the arrival is standing: the rest may be less than what was run of it.
        let rest_s = period_s - samples.last().map_or(0.0, |sample| sample.t_s);
        let standing = totals.standing_current_a.powi(2) * rest_s;
        let square = energy.copper_j / door.derived().resistance_ohm + standing;
        let of_run = square - standing;
        let losses =
            thermal::period(samples, p.controller.tick_s, of_run, totals.standing_current_a, period_s);
        let battery_cycles = match (p.supply.kind, p.supply.capacity_a_s) {
            (SupplyKind::Battery, Some(capacity)) => {
                let charge = (energy.supply_j + totals.standing_supply_w * rest_s) / p.supply.voltage_v;
                (charge > 0.0).then(|| (capacity / charge).floor())
            }
            _ => None,
        };
        Some(Self {
            rms_current_a: (square.max(0.0) / period_s).sqrt(),
            energy_j: energy.bus_j + totals.standing_power_w * rest_s,
            drawn_j: totals.drawn_j + totals.standing_power_w.max(0.0) * rest_s,
            battery_cycles,
            steady: thermal::steady(p, &losses),
        })
    }
}
