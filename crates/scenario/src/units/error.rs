//! What can be wrong with a number and its unit.

use tautleaf_physics::Quantity;

use super::spoken::advice;

/// A text that is no value of the quantity wanted. Its message says what was found and what would do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{found}; {would_do}")]
pub struct UnitError {
    /// What was found.
    pub found: String,
    /// What would do.
    pub would_do: String,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Empty,
    NotANumber,
    NotFinite,
    Comma,
    TwoNumbers,
    NoUnit,
    UnitOnPlainNumber,
    WrongUnit { is: &'static str },
    UnknownUnit { unit: String, meant: Option<&'static str> },
}

impl UnitError {
    pub(super) fn new(quantity: Quantity, text: &str, kind: Kind) -> Self {
        let quoted = quoted(text);
        let found = match &kind {
            Kind::Empty => "nothing is written here".to_owned(),
            Kind::NotANumber => format!("{quoted} does not begin with a number"),
            Kind::NotFinite => format!("{quoted} is no finite number"),
            Kind::Comma => format!("{quoted} has a comma or a separator in its number"),
            Kind::TwoNumbers => format!("{quoted} is more than one number"),
            Kind::NoUnit => format!("{quoted} has no unit"),
            Kind::UnitOnPlainNumber => format!("{quoted} has a unit, but this is a plain number"),
            Kind::WrongUnit { is } => format!("{quoted} is {is}"),
            Kind::UnknownUnit { unit, .. } => format!("{quoted} has the unknown unit {}", self::quoted(unit)),
        };
        let advice = advice(quantity);
        let would_do = match kind {
            Kind::Comma => format!("write a decimal point and no thousands separator; {advice}"),
            Kind::UnknownUnit { meant: Some(meant), .. } => format!("did you mean \"{meant}\"? {advice}"),
            _ => advice,
        };
        Self { found, would_do }
    }
}

/// Text in quotes, shortened so that a message stays one line.
pub(crate) fn quoted(text: &str) -> String {
    const MOST: usize = 40;
    let mut shown: String = text.chars().take(MOST).flat_map(char::escape_debug).collect();
    if text.chars().nth(MOST).is_some() {
        shown.push_str("...");
    }
    format!("\"{shown}\"")
}
