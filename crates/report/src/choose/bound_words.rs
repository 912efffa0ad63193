//! What a drive and a belt have to keep, in words.

use tautleaf_physics::{Limit, Quantity, Ratings};
use tautleaf_scenario::{ProblemWords, UnitSystem, problem_words, units};
use tautleaf_trials::Reserve;
use tautleaf_trials::choose::{Bound, Check, Tried};

use crate::trials::reserve_words::lacking_in_words;
use crate::words::{self, decimals};

/// Name of a bound: `peak torque`, `Impact force`.
pub fn bound_label(bound: &Bound, limits: &[Limit]) -> String {
    let plain = match bound {
        Bound::Supply => "supply voltage",
        Bound::SelfLocking => "self-locking gear",
        Bound::Fits => "cannot be built",
        Bound::Speed(_) => "speed for the wanted time",
        Bound::InertiaRatio => "inertia ratio",
        Bound::RotorSpeed => "maximum speed",
        Bound::PeakTorque => "peak torque",
        Bound::SpeedAtTorque => "voltage reserve",
        Bound::SupplyPower => "supply current",
        Bound::ForceLimit => "available closing force",
        Bound::BeltTension => "allowable tension",
        Bound::ShaftLoad => "radial load on the shaft",
        Bound::RmsTorque => "RMS torque",
        Bound::Winding => "winding temperature",
        Bound::Arrives => "opens and closes",
        Bound::Time { opening: true } => "opening time",
        Bound::Time { opening: false } => "closing time",
        Bound::Limit(key) => {
            let mine = limits.iter().find(|limit| limit.key == *key);
            let rating = || Ratings::of_key(key).map(|(figure, _)| words::rating_label(figure));
            let label = mine.map(words::limit_label).or_else(rating);
            return label.map_or_else(|| key.clone(), |label| begun_small(&label));
        }
    };
    plain.to_owned()
}

/// `Impact force` within a sentence; `RMS current` stays.
fn begun_small(label: &str) -> String {
    let mut letters = label.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => label.to_owned(),
    }
}

/// What was found beside what is allowed: `needs 16.5 A to speed up, motor and gear give 14.4 A`.
pub fn in_words(check: &Check, limits: &[Limit], system: UnitSystem) -> String {
    let unit = |value: f64| units::show(check.quantity, value, system);
    let (value, allowed) = (unit(check.value), unit(check.allowed));
    match &check.bound {
        Bound::Supply => format!("the door's battery has {value}, the drive is for {allowed}"),
        Bound::SelfLocking => {
            format!("efficiency {value} locks itself, and the door has to be opened by hand")
        }
        Bound::Fits => check.problem.as_ref().map_or_else(String::new, |problem| {
            let ProblemWords { found, would_do } = problem_words(&problem.kind, system);
            format!("{}: {found}; {would_do}", problem.place)
        }),
        Bound::Speed(key) => {
            let mine = limits.iter().find(|limit| limit.key == *key);
            let name = mine.map_or_else(
                || key.to_string(),
                |limit| format!("the limit on {}", begun_small(&words::limit_label(limit))),
            );
            format!("the wanted time needs {value}, {name} allows {allowed}")
        }
        Bound::InertiaRatio => {
            format!("moves {} times its own inertia, meant for {allowed}", decimals(check.value, 0))
        }
        Bound::RotorSpeed => {
            format!("{} of {} 1/min", decimals(check.value, 0), decimals(check.allowed, 0))
        }
        Bound::PeakTorque => format!("needs {value} to speed up, motor and gear give {allowed}"),
        Bound::SpeedAtTorque => format!("needs {value} at speed and torque, the bus has {allowed}"),
        Bound::SupplyPower => format!("needs {value} of the {allowed} that its supply gives"),
        Bound::ForceLimit => format!("closing needs {value}, the limit on closing force leaves {allowed}"),
        Bound::BeltTension => format!("{value} in the tightest strand, the belt bears {allowed}"),
        Bound::ShaftLoad => format!("{value} on its shaft, the bearing bears {allowed}"),
        Bound::RmsTorque => format!("{value} RMS over the duty of {allowed} rated"),
        Bound::Winding => format!("{value} once the duty has gone on, the insulation bears {allowed}"),
        Bound::Arrives if check.quantity == Quantity::Time => {
            "the duty asks for more cycles an hour than the door can do".to_owned()
        }
        Bound::Arrives => "it does not open and close".to_owned(),
        Bound::Time { .. } if check.value == check.allowed => {
            format!("no speed and acceleration of the usual ranges does it in {allowed}")
        }
        Bound::Time { .. } => format!("{value} of {allowed}"),
        Bound::Limit(key) => {
            let mine = limits.iter().find(|limit| limit.key == *key).map(|limit| limit.unit.as_str());
            let written = mine.or_else(|| Ratings::of_key(key).map(|(_, unit)| unit));
            let show = |value: f64| {
                written.map_or_else(|| unit(value), |symbol| units::show_in(check.quantity, value, symbol))
            };
            let least = if check.at_least { "at least " } else { "" };
            format!("{} of {least}{}", show(check.value), show(check.allowed))
        }
    }
}

/// What was found beside what is allowed, as short as it goes: `9 A of 9.8 A`.
pub(super) fn briefly(check: &Check, limits: &[Limit], system: UnitSystem) -> String {
    let unit = |value: f64| units::show(check.quantity, value, system);
    match &check.bound {
        Bound::Limit(_) | Bound::Fits | Bound::Arrives => in_words(check, limits, system),
        Bound::RotorSpeed => {
            format!("{0} 1/min of {1} 1/min", decimals(check.value, 0), decimals(check.allowed, 0))
        }
        Bound::InertiaRatio => format!("{} of {}", decimals(check.value, 1), unit(check.allowed)),
        _ => format!("{} of {}", unit(check.value), unit(check.allowed)),
    }
}

/// How much is left or missing: `31 %`, `short by 17 %`, `3 times as much`; empty where it is yes or no.
pub(super) fn margin_in_words(check: &Check) -> String {
    let yes_or_no = matches!(check.bound, Bound::Supply | Bound::SelfLocking | Bound::Fits | Bound::Arrives);
    if yes_or_no || !check.margin.is_finite() || check.value == check.allowed {
        return String::new();
    }
    if matches!(check.bound, Bound::Time { .. }) && check.is_kept() {
        return "in time".to_owned();
    }
    let percent = 100.0 * check.margin.abs();
    let percent = format!("{} %", decimals(percent, usize::from(percent < 0.95)));
    match check.margin {
        margin if margin >= 0.0 => format!("{percent} left"),
        margin if margin < -2.0 && !check.at_least => format!("{} times as much", decimals(1.0 - margin, 0)),
        _ => format!("short by {percent}"),
    }
}

/// What a pair keeps with less left than the reserve: `with less left than the 10 % asked for: speed at torque (0 % left)`.
/// `None`: nothing.
pub fn lacking_of(tried: &Tried, limits: &[Limit], reserve: Reserve) -> Option<String> {
    let name = |check: &&Check| (bound_label(&check.bound, limits), Some(check.margin.max(0.0)));
    lacking_in_words(&tried.lacking().iter().map(name).collect::<Vec<_>>(), reserve)
}

/// A reason as a sentence: `peak torque: needs 16.5 A to speed up, motor and gear give 14.4 A, short by 15 %`.
pub fn reason(check: &Check, limits: &[Limit], system: UnitSystem) -> String {
    let margin = margin_in_words(check);
    let margin = if margin.is_empty() { margin } else { format!(", {margin}") };
    format!("{}: {}{margin}", bound_label(&check.bound, limits), in_words(check, limits, system))
}
