//! Names and numbers as they stand on the screen. Sentences are those of every other format.
//!
//! A report gives each number the digits it needs; here its width stays the same while a slider moves.

use tautleaf_physics::{Outcome, Quantity, Verdict, number as number_of};
use tautleaf_scenario::{FileProblem, ReadError, UnitSystem, units};

pub use tautleaf_report::words::{is_least, limit_label, margin, outcome, quantity_of as quantity_shown};

/// Short names of the numbers that have a slider.
const NAMES: &[(&str, &str)] = &[
    ("leaf.mass", "Leaf mass"),
    ("leaf.second_mass", "Second leaf mass"),
    ("leaf.stroke", "Stroke"),
    ("edge.stiffness", "Edge stiffness"),
    ("rollers.resistance", "Rolling resistance"),
    ("rollers.breakaway", "Breakaway ratio"),
    ("rail.slope", "Rail slope"),
    ("seal.brush", "Brush seal drag"),
    ("belt.tension", "Belt tension"),
    ("belt.specific_stiffness", "Belt stiffness"),
    ("belt.width", "Belt width"),
    ("gear.ratio", "Gear ratio"),
    ("gear.efficiency", "Gear efficiency"),
    ("supply.voltage", "Supply voltage"),
    ("motor.winding_temperature", "Winding temperature"),
    ("controller.hold_open", "Hold-open time"),
    ("ratings.shaft_load", "Radial load on the shaft"),
    ("obstruction.detect", "Detection time"),
    ("obstruction.react", "Reaction time"),
];

/// Name of the number with this key: `closing.creep_speed` is "Closing creep speed".
pub fn name_of(key: &str) -> String {
    if let Some(name) = short_name(key) {
        return name;
    }
    let mut words = key.replace(['.', '_'], " ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}

fn short_name(key: &str) -> Option<String> {
    NAMES.iter().find(|(known, _)| *known == key).map(|(_, name)| (*name).to_owned())
}

/// What is wrong with a number or unusual about it: `Fault 2 height: 40 mm is not possible; ...`.
pub fn problem(problem: &FileProblem) -> String {
    let FileProblem { key, entry, found, would_do, .. } = problem;
    let name = match (entry, key.split_once('.')) {
        (Some(entry), Some((list, name))) => name_of(&format!("{list} {} {name}", entry + 1)),
        _ => name_of(key),
    };
    format!("{name}: {found}; {would_do}")
}

/// Everything that keeps a door from being run, a line each.
pub fn refusal(error: &ReadError) -> String {
    error.problems.iter().map(problem).collect::<Vec<_>>().join("\n")
}

/// The same under the head of its part: `closing.creep_speed` is "Creep speed".
pub fn name_within(key: &str) -> String {
    const PARTS: [&str; 8] =
        ["opening.", "closing.", "obstacle.", "telescope.", "force.", "fault.", "timeline.", "ratings."];
    if let Some(name) = short_name(key) {
        return name;
    }
    let part = PARTS.iter().find_map(|part| key.strip_prefix(part));
    // the place in a list stands in the head too
    let part = part.map(|name| name.split_once('.').map_or(name, |(_, name)| name));
    part.map_or_else(|| name_of(key), name_of)
}

/// What a number means, as a sentence of its own.
pub fn sentence(says: &str) -> String {
    let mut text = says.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text + "."
}

/// Quantity of the number with this key.
pub fn quantity_of(key: &str) -> Quantity {
    number_of(key).map_or(Quantity::Number, |number| number.quantity)
}

/// What became of a limit and by how much: `within, 22 % to spare`, `28 % over`.
pub fn judged(verdict: &Verdict) -> String {
    let (word, margin) = (outcome(verdict.outcome), margin(verdict));
    match () {
        // `28 % over` says it all
        () if margin.ends_with(word) => margin,
        () if margin.is_empty() => word.to_owned(),
        () => format!("{word}, {margin}"),
    }
}

/// The same in short, for beside a sign: `22 % to spare`, `28 % over`, but `close, 6 % to spare`.
pub fn judged_briefly(verdict: &Verdict) -> String {
    let margin = margin(verdict);
    if verdict.outcome == Outcome::Close {
        judged(verdict)
    } else if margin.is_empty() {
        outcome(verdict.outcome).to_owned()
    } else {
        margin
    }
}

/// `312 N of 400 N at 300 mm`.
pub fn of_allowed(verdict: &Verdict, system: UnitSystem) -> String {
    let quantity = verdict.limit.figure.map_or(Quantity::Number, quantity_shown);
    let say = |si| value(quantity, si, system);
    let (Some(found), Some(allowed)) = (verdict.value, verdict.allowed) else { return String::new() };
    let of = if is_least(&verdict.limit.rule) { "of at least" } else { "of" };
    let gap = verdict.gap_m.map(|gap| place(gap, system));
    let gap = gap.map(|gap| format!(" at {gap}")).unwrap_or_default();
    format!("{} {of} {}{gap}", say(found), say(allowed))
}

/// A number with about four significant digits, as many decimals as that takes.
pub fn number(value: f64) -> String {
    let size = value.abs();
    let decimals = match size {
        _ if size == 0.0 => 0,
        _ if size >= 100.0 => 0,
        _ if size >= 10.0 => 1,
        _ if size >= 0.1 => 2,
        _ if size >= 0.01 => 3,
        _ if size >= 0.0005 => 4,
        _ => return format!("{value:.2e}"),
    };
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|digit| matches!(digit, '0' | '.')) {
        return "0".to_owned();
    }
    text
}

/// A number on an axis with a mark at every `step`.
pub fn mark(value: f64, step: f64) -> String {
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|digit| matches!(digit, '0' | '.')) {
        "0".to_owned()
    } else {
        text
    }
}

/// On the screen, inches stand beside inches: what a US file may write in feet is shown in inches too.
fn beside_inches(quantity: Quantity, system: UnitSystem) -> (Quantity, f64) {
    match (system, quantity) {
        (UnitSystem::Us, Quantity::Length) => (Quantity::ShortLength, 1.0),
        (UnitSystem::Us, Quantity::Acceleration) => (Quantity::Acceleration, 12.0), // ft -> in, exact
        _ => (quantity, 1.0),
    }
}

/// Symbol of the unit in which a quantity is shown, as a file would write it.
pub fn written_unit(quantity: Quantity, system: UnitSystem) -> &'static str {
    match beside_inches(quantity, system) {
        (Quantity::Acceleration, inches) if inches > 1.0 => "in/s2",
        (quantity, _) => units::unit(quantity, system),
    }
}

/// What was typed as a file would write it: a bare number is in the unit that is shown.
pub fn with_unit(quantity: Quantity, text: &str, system: UnitSystem) -> String {
    let text = text.trim().replace('²', "2").replace('³', "3");
    match text.parse::<f64>() {
        Ok(_) if quantity != Quantity::Number => format!("{text} {}", written_unit(quantity, system)),
        _ => text,
    }
}

/// Symbol of the unit in which a quantity is shown.
pub fn unit(quantity: Quantity, system: UnitSystem) -> String {
    match quantity {
        Quantity::Temperature => format!("°{}", written_unit(quantity, system)),
        _ => raised(written_unit(quantity, system)),
    }
}

/// A text of the reports with its powers raised: `m/s²`.
pub fn raised(text: &str) -> String {
    text.replace("/s2", "/s²").replace("/s3", "/s³").replace(" m2", " m²")
}

/// A value in SI as the number that is shown.
pub fn to_shown(quantity: Quantity, si: f64, system: UnitSystem) -> f64 {
    let (quantity, factor) = beside_inches(quantity, system);
    factor * units::to_shown(quantity, si, system)
}

/// A number that is shown as a value in SI.
pub fn from_shown(quantity: Quantity, shown: f64, system: UnitSystem) -> f64 {
    let (quantity, factor) = beside_inches(quantity, system);
    units::from_shown(quantity, shown / factor, system)
}

/// A value in SI as a number and its unit.
pub fn value(quantity: Quantity, si: f64, system: UnitSystem) -> String {
    let unit = unit(quantity, system);
    let digits = number(to_shown(quantity, si, system));
    if unit.is_empty() { digits } else { format!("{digits} {unit}") }
}

/// A long time in the largest unit that it fills: `3 minutes`.
pub fn long_time(seconds: u64) -> String {
    let (count, unit) = match seconds {
        0..60 => (seconds, "second"),
        60..3600 => (seconds / 60, "minute"),
        3600..86400 => (seconds / 3600, "hour"),
        _ => (seconds / 86400, "day"),
    };
    format!("{count} {unit}{}", if count == 1 { "" } else { "s" })
}

/// A gap of the force test: `50 mm`.
pub fn place(opening_m: f64, system: UnitSystem) -> String {
    let shown = to_shown(Quantity::ShortLength, opening_m, system);
    let digits = format!("{shown:.1}");
    format!("{} {}", digits.trim_end_matches(".0"), unit(Quantity::ShortLength, system))
}

/// When and where: `at 1.20 s, 0.50 m open`.
pub fn moment(at: tautleaf_physics::Moment, system: UnitSystem) -> String {
    // A tenth of a millimetre is as good as closed.
    let opening = if at.clear_opening_m.abs() < 1e-4 { 0.0 } else { at.clear_opening_m };
    let open = value(Quantity::Length, opening, system);
    format!("at {}, {open} open", value(Quantity::Time, at.t_s, system))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_the_digits_that_matter() {
        let cases = [
            (0.0, "0"),
            (312.44, "312"),
            (31.24, "31.2"),
            (1.691, "1.69"),
            (0.3, "0.30"),
            (0.0123, "0.012"),
            (0.001, "0.0010"),
            (-0.25, "-0.25"),
            (2.0e-5, "2.00e-5"),
        ];
        for (value, text) in cases {
            assert_eq!(number(value), text);
        }
    }

    /// 1 ft = 12 in, 1 in = 0.0254 m, exact.
    #[test]
    fn in_us_units_lengths_and_accelerations_are_all_in_inches() {
        let us = UnitSystem::Us;
        assert_eq!(value(Quantity::Length, 1.0668, us), "42.0 in");
        assert_eq!(value(Quantity::ShortLength, 0.0508, us), "2.00 in");
        assert_eq!(value(Quantity::Acceleration, 0.6096, us), "24.0 in/s²");
        let back = from_shown(Quantity::Acceleration, to_shown(Quantity::Acceleration, 0.7, us), us);
        assert!((back - 0.7).abs() < 1e-15, "{back}");
    }

    #[test]
    fn long_times_are_told_in_the_largest_unit() {
        let cases =
            [(1, "1 second"), (59, "59 seconds"), (60, "1 minute"), (7300, "2 hours"), (200_000, "2 days")];
        for (seconds, text) in cases {
            assert_eq!(long_time(seconds), text);
        }
    }

    #[test]
    fn a_bare_number_is_in_the_unit_shown() {
        assert_eq!(with_unit(Quantity::Acceleration, "24", UnitSystem::Us), "24 in/s2");
        assert_eq!(with_unit(Quantity::Acceleration, " 24 m/s²", UnitSystem::Us), "24 m/s2");
        assert_eq!(with_unit(Quantity::Number, "0.02", UnitSystem::Si), "0.02");
    }

    #[test]
    fn a_key_without_an_entry_still_gets_a_readable_name() {
        assert_eq!(name_of("closing.creep_speed"), "Closing creep speed");
    }
}
