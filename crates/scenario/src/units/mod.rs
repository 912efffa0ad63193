//! Text with a unit <-> numbers in SI.
//!
//! A number in a power-of-ten unit is read as its decimal digits say: `"0.3 mH"` is the double nearest to 0.0003.
//! Any other unit is multiplied by its exact factor (1 lbf = 4.4482216152605 N, 1 lb = 0.45359237 kg,
//! 1 in = 0.0254 m, 1 ft lbf = 1.3558179483314004 J: all exact by definition).

mod error;
mod exact;
mod number;
mod spoken;
mod table;

use serde::{Deserialize, Serialize};
use tautleaf_physics::Quantity;

pub use error::UnitError;
pub(crate) use error::quoted;
use spoken::spoken;
pub use spoken::{advice, name};
use table::{KINDS, Unit, units_of};

/// Units in which numbers are shown and saved. Any unit may be written in any file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum UnitSystem {
    /// Metres, kilograms, newtons.
    #[default]
    Si,
    /// Feet and inches, pounds, pound-force.
    Us,
}

/// Symbol of the unit in which a quantity is shown; empty for a plain number.
pub fn unit(quantity: Quantity, system: UnitSystem) -> &'static str {
    let (_, si, us, _, _) = spoken(quantity);
    if system == UnitSystem::Us { us } else { si }
}

/// Symbol of the SI unit in which a quantity is computed.
pub fn base_unit(quantity: Quantity) -> &'static str {
    spoken(quantity).3
}

/// Reads a number with its unit; the result is in SI.
///
/// A plain number has no unit. A temperature is in C, a rate in 1/h, as in [`tautleaf_physics::Parameters`].
///
/// # Errors
/// What is wrong with the text and what would do.
pub fn parse_quantity(quantity: Quantity, text: &str) -> Result<f64, UnitError> {
    parse_with_unit(quantity, text).map(|(value, _)| value)
}

/// Reads a number with its unit; gives the value in SI and the symbol of the unit that was written.
///
/// # Errors
/// What is wrong with the text and what would do.
pub fn parse_with_unit(quantity: Quantity, text: &str) -> Result<(f64, &'static str), UnitError> {
    let refuse = |kind| UnitError::new(quantity, text, kind);
    let text = &text.replace('\u{2212}', "-"); // the typographic minus
    let (digits, written) = number::split(text).map_err(refuse)?;
    let value: f64 = digits.parse().map_err(|_| refuse(error::Kind::NotANumber))?;
    if !value.is_finite() {
        return Err(refuse(error::Kind::NotFinite));
    }
    let written = number::spelling(written);
    if quantity == Quantity::Number {
        return if written.is_empty() {
            Ok((value, ""))
        } else {
            Err(refuse(error::Kind::UnitOnPlainNumber))
        };
    }
    if written.is_empty() {
        return Err(refuse(error::Kind::NoUnit));
    }
    let Some(unit) = find(quantity, &written) else {
        let kind = KINDS.iter().find(|&&other| find(other, &written).is_some());
        return Err(refuse(match kind {
            Some(&other) => error::Kind::WrongUnit { is: name(other) },
            None => error::Kind::UnknownUnit { meant: same_letters(quantity, &written), unit: written },
        }));
    };
    let value = unit.read(digits, value);
    if value.is_finite() { Ok((value, unit.name)) } else { Err(refuse(error::Kind::NotFinite)) }
}

/// A value in SI as the shortest text that reads back as exactly the same number.
///
/// Where no number of the shown unit gives it, the text is in the SI unit. `value` must be finite.
pub fn format(quantity: Quantity, value: f64, system: UnitSystem) -> String {
    format_in(quantity, value, unit(quantity, system))
        .unwrap_or_else(|| with_unit(&number::shortest(value), base_unit(quantity)))
}

/// As [`format()`], in a given unit; `None` if the unit is not one of the quantity or cannot give the value exactly.
pub fn format_in(quantity: Quantity, value: f64, symbol: &str) -> Option<String> {
    if quantity == Quantity::Number {
        return Some(number::shortest(value));
    }
    let unit = find(quantity, symbol)?;
    let same = |digits: &str| digits.parse().is_ok_and(|v| unit.read(digits, v).to_bits() == value.to_bits());
    if let Some(shift) = unit.power_of_ten() {
        return Some(number::shifted(value, -shift))
            .filter(|digits| same(digits))
            .map(|digits| with_unit(&digits, unit.name));
    }
    number::shortest_such_that(unit.shown(value), same).map(|digits| with_unit(&digits, unit.name))
}

/// A value in SI for the screen: four significant digits and the unit.
pub fn show(quantity: Quantity, value: f64, system: UnitSystem) -> String {
    show_in(quantity, value, unit(quantity, system))
}

/// As [`show`], in a given unit; in the SI unit if the given one is not one of the quantity.
pub fn show_in(quantity: Quantity, value: f64, symbol: &str) -> String {
    match find(quantity, symbol) {
        Some(unit) => with_unit(&number::rounded(unit.shown(value)), unit.name),
        None => with_unit(&number::rounded(value), base_unit(quantity)),
    }
}

/// A value in SI as the number to show in the unit of [`unit()`].
pub fn to_shown(quantity: Quantity, value: f64, system: UnitSystem) -> f64 {
    find(quantity, unit(quantity, system)).map_or(value, |unit| unit.shown(value))
}

/// A number shown in the unit of [`unit()`] as a value in SI: what the same text in a file would give.
pub fn from_shown(quantity: Quantity, shown: f64, system: UnitSystem) -> f64 {
    find(quantity, unit(quantity, system)).map_or(shown, |unit| unit.read(&shown.to_string(), shown))
}

/// Every unit in which a quantity may be written.
pub fn symbols(quantity: Quantity) -> impl Iterator<Item = &'static str> {
    units_of(quantity).iter().map(|unit| unit.name)
}

fn with_unit(digits: &str, symbol: &str) -> String {
    format!("{digits} {symbol}").trim_end().to_owned()
}

fn find(quantity: Quantity, spelling: &str) -> Option<&'static Unit> {
    units_of(quantity).iter().find(|unit| unit.name == spelling || unit.aliases.contains(&spelling))
}

/// The unit that differs only by capitals or spaces.
fn same_letters(quantity: Quantity, written: &str) -> Option<&'static str> {
    let plain = |text: &str| text.replace([' ', '.', '(', ')'], "").to_lowercase();
    let wanted = plain(written);
    let matches = |name: &str| plain(name) == wanted;
    let unit =
        units_of(quantity).iter().find(|unit| matches(unit.name) || unit.aliases.iter().any(|a| matches(a)));
    unit.map(|unit| unit.name)
}

impl Unit {
    /// The exponent, if one of this unit is a power of ten of the SI unit.
    fn power_of_ten(&self) -> Option<i32> {
        let factor = (self.to_si)(1.0);
        let exponent = factor.log10().round();
        let exact: f64 = format!("1e{exponent}").parse().ok()?;
        // Products of powers of ten are off by a rounding or two; no other factor is that near to one.
        ((self.to_si)(0.0) == 0.0 && (factor / exact - 1.0).abs() < 1e-14).then_some(exponent as i32)
    }

    /// `digits` and the number they stand for, in this unit -> SI.
    fn read(&self, digits: &str, value: f64) -> f64 {
        let Some(shift) = self.power_of_ten() else { return (self.to_si)(value) };
        let (mantissa, exponent) = digits.split_once(['e', 'E']).unwrap_or((digits, "0"));
        let shifted = exponent.parse::<i32>().ok().and_then(|exponent| exponent.checked_add(shift));
        let exact = shifted.and_then(|exponent| format!("{mantissa}e{exponent}").parse().ok());
        exact.unwrap_or_else(|| (self.to_si)(value))
    }

    /// SI -> this unit.
    fn shown(&self, value: f64) -> f64 {
        if let Some(shift) = self.power_of_ten() {
            let (mantissa, exponent) = number::scientific(value);
            return format!("{mantissa}e{}", exponent - shift).parse().unwrap_or(value);
        }
        let at_zero = (self.to_si)(0.0);
        (value - at_zero) / ((self.to_si)(1.0) - at_zero)
    }
}
