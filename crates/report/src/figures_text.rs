//! The figures in groups, for a terminal.

use tautleaf_physics::Figure::{self, *};

use crate::columns::{Side, aligned};
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::words;

/// Figures that are read together. Those of the force test have a table of their own.
const GROUPS: &[(&str, &[Figure])] = &[
    ("Times", &[OpeningTime, OpeningTime80, HoldOpen, ClosingTime, ClosingLeastTime90, SettlingOpen]),
    (
        "Speed and energy",
        &[
            TopSpeedOpening,
            TopSpeedClosing,
            TopSpeedBeforeCheck,
            LatchCheck,
            PeakEnergyLeaf,
            PeakEnergyLeaves,
            PeakEnergyCoupled,
            PeakEnergyCoupledClosing,
            AverageEnergyClosing,
            PeakAcceleration,
            PeakJerk,
            OvershootOpen,
        ],
    ),
    ("Belt", &[LeastTension, GreatestTension, ShaftLoad, SlackTime, SeatMargin]),
    ("Hangers", &[LeastHangerLoad, GreatestHangerLoad, LiftTime]),
    (
        "Drive",
        &[
            GearKnock,
            PeakCurrent,
            RmsCurrent,
            EnergyPerCycle,
            EnergyDrawn,
            LeastBusVoltage,
            GreatestBusVoltage,
            BatteryCycles,
        ],
    ),
    ("Motor", &[WindingTemperature, WindingRise, InsulationMargin, HousingTemperature]),
    ("Person and beam", &[OpeningAtPerson, PersonWaits, StoppingDistance, LearnedStroke]),
    ("Power off", &[OpenedWithoutPower, CoastDistance, ManualForce, ManualForceShorted, DriftForce]),
];

/// Every group with a heading; a figure that the run does not give is left out.
pub(crate) fn groups(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let system = judged.scenario.units;
    let mut rows = Vec::new();
    for (_, figures) in GROUPS {
        for &figure in *figures {
            let Some(reading) = judged.run.figures.reading(figure).filter(|_| is_told(judged, figure)) else {
                continue;
            };
            let shown = words::figure_value(figure, reading.value, system);
            let (number, unit) = shown.split_once(' ').unwrap_or((&shown, ""));
            let place = reading.at.map_or(String::new(), |at| words::moment(at, system));
            rows.push((figure, vec![figure.label().to_owned(), number.to_owned(), unit.to_owned(), place]));
        }
    }
    let cells: Vec<Vec<String>> = rows.iter().map(|(_, row)| row.clone()).collect();
    let lines = aligned(&cells, &[Side::Left, Side::Right, Side::Left, Side::Left]);
    let mut out = Vec::new();
    for (title, figures) in GROUPS {
        let of_group = rows.iter().zip(&lines).filter(|((figure, _), _)| figures.contains(figure));
        let mut of_group = of_group.map(|(_, line)| format!("  {line}")).peekable();
        if of_group.peek().is_some() {
            out.push(paint(palette.heading, title));
            out.extend(of_group);
        }
    }
    out
}

/// With one leaf, all leaves are that one.
fn is_told(judged: &Judged<'_>, figure: Figure) -> bool {
    figure != PeakEnergyLeaves || judged.door.leaves() > 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_is_told_once_or_belongs_to_the_force_test() {
        let of_force_test =
            [StallForce, StallForceLast50, ImpactForce, ForceAfter750, ResidualForce, TimeAbove150];
        for figure in Figure::ALL {
            let told = GROUPS.iter().flat_map(|(_, figures)| *figures).filter(|told| *told == figure).count();
            assert_eq!(told, usize::from(!of_force_test.contains(figure)), "{}", figure.name());
        }
    }
}
