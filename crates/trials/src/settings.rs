//! Which settings act on which figure.

use tautleaf_physics::Figure;

/// Which way a setting has to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// To smaller values.
    Down,
    /// To larger values.
    Up,
}

/// What can be turned to bring a figure back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// One setting.
    One(&'static str, Turn),
    /// Settings of which none may be above a common value: both speeds, where a limit holds both ways.
    Cap(&'static [&'static str]),
}

const SPEEDS: &[&str] = &["opening.speed", "closing.speed"];
const RAMPS: &[&str] =
    &["opening.acceleration", "opening.braking", "closing.acceleration", "closing.braking"];
const CURRENTS: &[&str] = &["opening.current_limit", "closing.current_limit"];

/// Settings that act on a figure, the usual one first, and which way each has to go when the limit is over.
///
/// `opening` says whether the figure was worst on the way open. Where a limit holds both ways, turning both
/// comes after turning one.
pub fn settings_for(figure: Figure, opening: bool) -> &'static [Setting] {
    use Setting::{Cap, One};
    use Turn::{Down, Up};
    match figure {
        Figure::OpeningTime | Figure::OpeningTime80 => &[
            One("opening.speed", Up),
            One("opening.acceleration", Up),
            One("opening.current_limit", Up),
            One("opening.braking", Up),
            One("opening.creep_distance", Down),
            One("opening.creep_speed", Up),
        ],
        Figure::ClosingTime => &[
            One("closing.speed", Up),
            One("closing.acceleration", Up),
            One("closing.current_limit", Up),
            One("closing.creep_distance", Down),
            One("closing.creep_speed", Up),
        ],

        Figure::ClosingLeastTime90 | Figure::AverageEnergyClosing => &[One("closing.speed", Down)],
        Figure::HoldOpen => &[One("controller.hold_open", Up)],
        Figure::TopSpeedOpening => &[One("opening.speed", Down)],
        Figure::TopSpeedClosing | Figure::TopSpeedBeforeCheck | Figure::PeakEnergyCoupledClosing => {
            &[One("closing.speed", Down)]
        }
        Figure::LatchCheck => &[One("closing.creep_distance", Up), One("closing.braking", Down)],
        Figure::PeakEnergyLeaf | Figure::PeakEnergyLeaves | Figure::PeakEnergyCoupled => {
            if opening {
                &[One("opening.speed", Down), Cap(SPEEDS)]
            } else {
                &[One("closing.speed", Down), Cap(SPEEDS)]
            }
        }
        Figure::StallForce | Figure::StallForceLast50 => &[One("closing.current_limit", Down)],
        Figure::ImpactForce => &[
            One("closing.speed", Down),
            One("edge.stiffness", Down),
            One("closing.current_limit", Down),
            One("closing.creep_distance", Up),
        ],
        Figure::ForceAfter750 | Figure::ResidualForce => {
            &[One("closing.current_limit", Down), One("obstruction.detect", Down)]
        }
        Figure::TimeAbove150 => {
            &[One("obstruction.detect", Down), One("closing.current_limit", Down), One("closing.speed", Down)]
        }
        Figure::LeastTension | Figure::SlackTime | Figure::SeatMargin => {
            if opening {
                &[
                    One("belt.tension", Up),
                    One("telescope.tension", Up),
                    One("opening.braking", Down),
                    One("opening.acceleration", Down),
                ]
            } else {
                &[
                    One("belt.tension", Up),
                    One("telescope.tension", Up),
                    One("closing.braking", Down),
                    One("closing.acceleration", Down),
                ]
            }
        }
        Figure::GreatestTension | Figure::ShaftLoad => {
            &[One("belt.tension", Down), One("telescope.tension", Down)]
        }
        Figure::PeakAcceleration | Figure::PeakJerk => {
            if opening {
                &[One("opening.acceleration", Down), One("opening.braking", Down), Cap(RAMPS)]
            } else {
                &[One("closing.acceleration", Down), One("closing.braking", Down), Cap(RAMPS)]
            }
        }
        Figure::GearKnock => &[One("gear.backlash", Down), One("closing.braking", Down)],
        Figure::LeastHangerLoad | Figure::GreatestHangerLoad | Figure::LiftTime => {
            if opening {
                &[
                    One("opening.acceleration", Down),
                    One("opening.braking", Down),
                    Cap(RAMPS),
                    One("leaf.hanger_spacing", Up),
                ]
            } else {
                &[
                    One("closing.acceleration", Down),
                    One("closing.braking", Down),
                    Cap(RAMPS),
                    One("leaf.hanger_spacing", Up),
                ]
            }
        }
        Figure::OvershootOpen | Figure::SettlingOpen => {
            &[One("opening.braking", Down), One("opening.creep_speed", Down)]
        }
        Figure::PeakCurrent => {
            if opening {
                &[One("opening.acceleration", Down), One("opening.current_limit", Down), Cap(CURRENTS)]
            } else {
                &[One("closing.acceleration", Down), One("closing.current_limit", Down), Cap(CURRENTS)]
            }
        }
        Figure::RmsCurrent | Figure::EnergyPerCycle | Figure::EnergyDrawn => &[
            One("controller.press_current", Down),
            One("opening.acceleration", Down),
            One("opening.speed", Down),
        ],
        Figure::LeastBusVoltage => &[
            One("supply.resistance", Down),
            One("opening.acceleration", Down),
            One("opening.current_limit", Down),
            One("opening.speed", Down),
        ],
        Figure::GreatestBusVoltage => {
            &[One("supply.capacitance", Up), One("opening.braking", Down), One("opening.speed", Down)]
        }
        Figure::BatteryCycles => &[
            One("controller.press_current", Down),
            One("opening.acceleration", Down),
            One("opening.speed", Down),
        ],
        Figure::OpeningAtPerson | Figure::PersonWaits => &[
            One("timeline.activation_depth", Up),
            One("opening.speed", Up),
            One("opening.acceleration", Up),
            One("timeline.sensor_delay", Down),
        ],
        Figure::StoppingDistance => &[
            One("closing.speed", Down),
            One("timeline.sensor_delay", Down),
            One("closing.current_limit", Up),
        ],
        Figure::OpenedWithoutPower => &[One("gear.ratio", Down), One("belt.tension", Down)],
        Figure::CoastDistance => &[One("closing.speed", Down), One("opening.speed", Down)],
        Figure::LearnedStroke => &[],
        Figure::WindingTemperature
        | Figure::WindingRise
        | Figure::InsulationMargin
        | Figure::HousingTemperature => &[
            One("duty.cycles_per_hour", Down),
            One("controller.press_current", Down),
            One("opening.acceleration", Down),
            One("opening.speed", Down),
        ],
        Figure::ManualForce => &[One("belt.tension", Down), One("seal.brush", Down)],
        Figure::ManualForceShorted => &[One("gear.ratio", Down)],
        Figure::DriftForce => &[One("rail.slope", Down)],
    }
}
