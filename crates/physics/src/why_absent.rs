//! Why a limit is not judged whose figure a run does not give.

use crate::door::Door;
use crate::figure_row::Absent;
use crate::figures::Figure;
use crate::parameters::SupplyKind;
use crate::result::Run;
use crate::run::EventKind;

/// Why what is kept by a door that does not open and close is not judged.
pub(crate) const UNFINISHED: &str = "the door did not open and close";

/// The reason, in words.
pub(crate) fn why_absent(door: &Door, run: &Run, figure: Option<Figure>) -> String {
    let supply = &door.parameters().supply;
    let reason = match figure.map_or(Absent::Other, Figure::absent) {
        Absent::NoForceTest if run.force.is_empty() => "no force test was run",
        Absent::NoForceTest => "the leaf reaches none of the gaps of the force test",
        Absent::NoRearTest if run.rear.is_empty() => "no force test was run behind the open leaf",
        Absent::NoRearTest => "no leaf reaches a gap of the force test behind it",
        Absent::LocksItself => "the gear locks itself: the leaf cannot be moved by hand without a release",
        Absent::NoBattery if supply.kind != SupplyKind::Battery => "the supply is no battery: supply.kind",
        Absent::NoBattery if supply.capacity_a_s.is_none() => {
            "what the battery holds is not said: supply.capacity is left out"
        }
        Absent::TooOften | Absent::NoBattery => "the duty asks for more cycles an hour than this door can do",
        Absent::StiffSupply => "this supply holds its voltage whatever happens",
        Absent::NobodyWalksUp if run.finished => "no one walks up: timeline.activation_depth is left out",
        Absent::OpenAlready if run.lost_power().is_some() => {
            "the door was more than 80 % open when power was lost"
        }
        Absent::PowerStays | Absent::OpenAlready => "power is not lost: timeline.power_lost is left out",
        Absent::NoLearning => "this is no learning run",
        Absent::StillMoves if run.events.iter().any(|event| event.kind == EventKind::ArrivedOpen) => {
            "the leaf still moved at the next command"
        }
        _ if !run.finished => UNFINISHED,
        Absent::NoPlay => "rotor and drive pulley have no play: gear.backlash is left out",
        _ => "this run does not give it",
    };
    reason.to_owned()
}
