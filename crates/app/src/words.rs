//! Names and numbers as they stand on the screen.

use tautleaf_physics::{Figure, Limit, Outcome, Quantity, field};
use tautleaf_scenario::UnitSystem;
use tautleaf_scenario::units;

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
    ("obstruction.detect", "Detection time"),
    ("obstruction.react", "Reaction time"),
];

/// Name of the number with this key: `closing.creep_speed` is "Closing creep speed".
pub fn name_of(key: &str) -> String {
    if let Some((_, name)) = NAMES.iter().find(|(known, _)| *known == key) {
        return (*name).to_owned();
    }
    let mut words = key.replace(['.', '_'], " ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}

/// The same under the head of its part: `closing.creep_speed` is "Creep speed".
pub fn name_within(key: &str) -> String {
    let part = ["opening.", "closing."].iter().find_map(|part| key.strip_prefix(part));
    part.map_or_else(|| name_of(key), name_of)
}

/// Quantity of the number with this key.
pub fn quantity_of(key: &str) -> Quantity {
    field(key).map_or(Quantity::Number, |field| field.quantity)
}

/// Name of what a limit judges.
pub fn limit_name(limit: &Limit) -> String {
    limit.figure.map_or_else(|| name_of(&limit.key), |figure| figure.label().to_owned())
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

/// Symbol of the unit in which a quantity is shown.
pub fn unit(quantity: Quantity, system: UnitSystem) -> String {
    units::unit(quantity, system).replace("/s2", "/s²").replace("/s3", "/s³").replace(" m2", " m²")
}

/// A value in SI as a number and its unit.
pub fn value(quantity: Quantity, si: f64, system: UnitSystem) -> String {
    let unit = unit(quantity, system);
    let digits = number(units::to_shown(quantity, si, system));
    if unit.is_empty() { digits } else { format!("{digits} {unit}") }
}

/// A gap of the force test: `50 mm`.
pub fn place(opening_m: f64, system: UnitSystem) -> String {
    let shown = units::to_shown(Quantity::ShortLength, opening_m, system);
    let digits = format!("{shown:.1}");
    format!("{} {}", digits.trim_end_matches(".0"), unit(Quantity::ShortLength, system))
}

/// Quantity of a figure as it is shown: slack time is spoken of in milliseconds.
pub fn quantity_shown(figure: Figure) -> Quantity {
    match figure {
        Figure::SlackTime => Quantity::ShortTime,
        _ => figure.quantity(),
    }
}

/// The word for an outcome.
pub fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "within",
        Outcome::Close => "close",
        Outcome::Over => "over",
        Outcome::NotJudged => "not judged",
    }
}

/// How far a value is from its limit, in words: `by 22 %`.
pub fn margin(margin: f64) -> String {
    let percent = 100.0 * margin.abs();
    if percent >= 1000.0 {
        return format!("{:.0} times", margin.abs());
    }
    if percent < 0.95 { format!("by {percent:.1} %") } else { format!("by {percent:.0} %") }
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

    #[test]
    fn a_key_without_an_entry_still_gets_a_readable_name() {
        assert_eq!(name_of("closing.creep_speed"), "Closing creep speed");
    }
}
