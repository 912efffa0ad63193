//! The same door once more, with its motor as warm as its duty makes it.

use crate::cycle::cycle;
use crate::door::Door;
use crate::figures::Figure;
use crate::options::{CycleOptions, ForceTest};
use crate::result::Run;
use crate::thermal::RUNAWAY_C;

/// A run with a warm motor.
#[derive(Clone, Debug, PartialEq)]
pub struct WarmRun {
    /// Temperature of winding and magnet, C.
    pub winding_temperature_c: f64,
    /// What the door then does: its figures, and the stall force at each gap. No samples.
    pub run: Run,
}

/// Runs the door again at the winding temperature that its first run leads to, with the stall test alone.
///
/// Copper resists more and the magnet pulls less, so a warm motor stalls at less force. The temperature is that of
/// the first run's currents: it is not found anew with those of the warm run. `None` where the first run gives no
/// winding temperature, or the motor burns.
pub fn warm_run(door: &Door, first: &Run, options: &CycleOptions) -> Option<WarmRun> {
    let winding_temperature_c = first.figures.get(Figure::WindingTemperature).filter(|&t| t < RUNAWAY_C)?;
    let mut p = door.given().clone();
    p.motor.winding_temperature_c = winding_temperature_c;
    let door = Door::try_from(p).ok()?;
    let stall = ForceTest { impact: false, whole: false, rear: false, ..options.force.clone() };
    let options = CycleOptions { force: stall, keep_samples: false, ..options.clone() };
    Some(WarmRun { winding_temperature_c, run: cycle(&door, &options) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Parameters;

    /// Into the stalled winding goes V = R_25 i_lim whatever its temperature, so the pull falls by
    /// K/K_25 x R_25/R (derived). The stall force falls by more, since what friction takes stays the same.
    #[test]
    fn a_warm_motor_stalls_at_less_force_by_magnet_and_copper() {
        let mut p = Parameters::default();
        p.motor.rated_current_a = 2.0;
        p.duty.cycles_per_hour = 200.0;
        let door = Door::try_from(p).unwrap();
        let options = CycleOptions { force: ForceTest::at(&[0.3]), ..CycleOptions::default() };
        let first = cycle(&door, &options);
        let warm = warm_run(&door, &first, &options).unwrap();
        let above = warm.winding_temperature_c - 25.0;
        assert!(above > 20.0, "{above}");
        let pull = (1.0 - 0.002 * above) / (1.0 + 0.00385 * above);
        let stall = |run: &Run| run.figures.get(Figure::StallForce).unwrap();
        let found = stall(&warm.run) / stall(&first);
        assert!(found < pull && found > pull - 0.1, "{found} of it, pull {pull}");
    }
}
