//! Which drives were tried at all, in words.

use tautleaf_physics::Quantity;
use tautleaf_scenario::{UnitSystem, units};
use tautleaf_trials::choose::{Catalogue, GearKind, Restriction};

use crate::words::decimals;

/// `24 V, worm gear, at most 120 W rated, not self-locking`; empty: every drive.
pub fn restriction_in_words(only: &Restriction, system: UnitSystem) -> String {
    let volts = |volts: &f64| units::show(Quantity::Voltage, *volts, system);
    let watts = |watts: f64| format!("{} W", decimals(watts, 0));
    let mut parts = Vec::new();
    if !only.voltages_v.is_empty() {
        parts.push(only.voltages_v.iter().map(volts).collect::<Vec<_>>().join(" or "));
    }
    if !only.gears.is_empty() {
        let gears: Vec<&str> = only.gears.iter().map(|gear| gear_in_words(*gear)).collect();
        parts.push(gears.join(" or "));
    }
    parts.extend(only.least_power_w.map(|least| format!("at least {} rated", watts(least))));
    parts.extend(only.most_power_w.map(|most| format!("at most {} rated", watts(most))));
    parts.extend(
        only.self_locking.map(|locks| if locks { "self-locking" } else { "not self-locking" }.to_owned()),
    );
    parts.join(", ")
}

fn gear_in_words(gear: GearKind) -> &'static str {
    match gear {
        GearKind::Worm => "worm gear",
        GearKind::Planetary => "planetary gear",
        GearKind::Direct => "direct drive",
    }
}

/// Why no drive of a catalogue is left by a restriction, and what would leave some; `None`: some are left.
pub fn nothing_left(only: &Restriction, catalogue: &Catalogue, system: UnitSystem) -> Option<String> {
    if only.leaves(catalogue) > 0 {
        return None;
    }
    let part = |part: &Restriction| {
        format!("{} of them are {}", part.leaves(catalogue), restriction_in_words(part, system))
    };
    let parts = only.parts();
    let alone: Vec<String> = parts.iter().filter(|_| parts.len() > 1).map(part).collect();
    let alone = if alone.is_empty() { String::new() } else { format!(": {}", alone.join(", ")) };
    let volts = catalogue.voltages_v();
    let volts: Vec<String> =
        volts.iter().map(|volts| units::show(Quantity::Voltage, *volts, system)).collect();
    let watts = || catalogue.drives.iter().map(|drive| drive.rated_power_w());
    let (least, most) = (watts().fold(f64::INFINITY, f64::min), watts().fold(0.0, f64::max));
    Some(format!(
        "none of the {} drives of the catalogue is {}{alone}. There are drives of {}, with a worm or planetary gear or direct, rated from {} to {}; \
         ask for less, or add drives with --catalogue",
        catalogue.drives.len(),
        restriction_in_words(only, system),
        volts.join(", "),
        format_args!("{} W", decimals(least, 0)),
        format_args!("{} W", decimals(most, 0)),
    ))
}
