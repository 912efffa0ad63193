//! What the listings of the workbench are made of: head, blocks, lengths, forces, tones.

use tautleaf_physics::{Outcome, Quantity};
use tautleaf_scenario::{Scenario, UnitSystem, units};

use crate::columns::{Side, aligned, folded};
use crate::palette::{Palette, paint};
use crate::table::headed;
use crate::words;

/// Title of the door and what is shown of it.
pub(super) fn head(scenario: &Scenario, what: &str, palette: &Palette) -> Vec<String> {
    let mut lines = headed(scenario, palette);
    lines.extend(folded(what, "", "").iter().map(|line| paint(palette.faint, line)));
    lines
}

/// A table under its heading.
pub(super) fn block(title: &str, rows: &[Vec<String>], sides: &[Side], palette: &Palette) -> Vec<String> {
    let mut lines = vec![String::new(), paint(palette.heading, title)];
    lines.extend(aligned(rows, sides).into_iter().map(|line| format!("  {line}")));
    lines
}

/// What is left out of a telescopic door.
pub(super) const SECOND_BELT: &str =
    "The second belt of the slow leaf is not listed: this is the one at the drive.";

/// A length to cut or to set by: a tenth of a millimetre or a hundredth of an inch, and no digit less.
pub(super) fn length(metres: f64, system: UnitSystem) -> String {
    let places = if system == UnitSystem::Us { 2 } else { 1 };
    let shown = words::decimals(units::to_shown(Quantity::ShortLength, metres, system), places);
    let shown = shown.trim_end_matches('0').trim_end_matches('.');
    format!("{shown} {}", units::unit(Quantity::ShortLength, system))
}

/// A movement of the adjuster: a hundredth of a millimetre or a thousandth of an inch.
pub(super) fn fine(metres: f64, system: UnitSystem) -> String {
    let places = if system == UnitSystem::Us { 3 } else { 2 };
    let shown = words::decimals(units::to_shown(Quantity::ShortLength, metres, system), places);
    format!("{shown} {}", units::unit(Quantity::ShortLength, system))
}

/// `within`, `close` or `over`, in its colour.
pub(super) fn standing(value: f64, most: f64, close_margin: f64, palette: &Palette) -> String {
    let outcome = if value > most {
        Outcome::Over
    } else if value > most * (1.0 - close_margin) {
        Outcome::Close
    } else {
        Outcome::Within
    };
    paint(palette.outcome(outcome), words::outcome(outcome))
}

/// A force with at most three digits that count.
pub(super) fn force(newtons: f64, system: UnitSystem) -> String {
    let shown = units::to_shown(Quantity::Force, newtons, system);
    let places = if shown.abs() < 10.0 { 1 } else { 0 };
    format!("{} {}", words::decimals(shown, places), units::unit(Quantity::Force, system))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_to_cut_keeps_every_tenth_of_a_millimetre() {
        assert_eq!(length(12.3456, UnitSystem::Si), "12345.6 mm");
        assert_eq!(length(4.95, UnitSystem::Si), "4950 mm");
        assert_eq!(length(4.95, UnitSystem::Us), "194.88 in");
    }
}
