//! A value that is dragged, or typed with any unit of its quantity.

use std::cell::RefCell;

use eframe::egui::{DragValue, Response, Ui, vec2};
use tautleaf_physics::Quantity;
use tautleaf_scenario::{UnitSystem, units};

use crate::words;

/// Width of the field.
const WIDTH: f32 = 92.0;

/// What stands in the field.
#[derive(Clone, Copy, Debug)]
pub struct QuantityField<'a> {
    /// What it is called.
    pub name: &'a str,
    /// Its quantity.
    pub quantity: Quantity,
    /// Value, SI.
    pub value: f64,
    /// Least and greatest value that can be typed, SI.
    pub possible: (f64, f64),
    /// How far a drag by one point goes, in the unit shown.
    pub per_point: f64,
}

/// What became of it.
pub struct Typed {
    /// The field.
    pub response: Response,
    /// The new value, SI, if there is one.
    pub value: Option<f64>,
    /// Why what was typed does not count.
    pub refused: Option<String>,
}

/// Draws the field. What is typed counts as typed, not as it would look after a round trip through the screen's unit.
pub fn quantity_field(ui: &mut Ui, field: &QuantityField<'_>, system: UnitSystem) -> Typed {
    let quantity = field.quantity;
    let before = words::to_shown(quantity, field.value, system);
    let mut shown = before;
    let refused = RefCell::new(None);
    let typed = RefCell::new(None);
    let response = ui.scope(|ui| {
        ui.spacing_mut().interact_size.x = WIDTH;
        let unit = words::unit(quantity, system);
        let drag = DragValue::new(&mut shown)
            .speed(field.per_point)
            .update_while_editing(false)
            .custom_formatter(|shown, _| format!("{} {unit}", words::number(shown)).trim_end().to_owned())
            .custom_parser(|text| match read(field, text, system) {
                Ok(value) => {
                    *typed.borrow_mut() = value;
                    Some(value.map_or(before, |value| words::to_shown(quantity, value, system)))
                }
                Err(problem) => {
                    *refused.borrow_mut() = Some(problem);
                    None
                }
            });
        ui.add_sized(vec2(WIDTH, ui.spacing().interact_size.y), drag)
    });
    let response = response.inner.accessible_name(field.name);
    let response = response.on_hover_text("Drag, or click and type, with any unit");
    let (refused, typed) = (refused.take(), typed.take());
    let dragged = || {
        let (low, high) = field.possible;
        response.changed().then(|| words::from_shown(quantity, shown, system).clamp(low, high))
    };
    let value = if refused.is_some() { None } else { typed.or_else(dragged) };
    Typed { response, value, refused }
}

/// Reads what was typed: `Ok(None)` if it is the text that stood there before.
fn read(field: &QuantityField<'_>, text: &str, system: UnitSystem) -> Result<Option<f64>, String> {
    let quantity = field.quantity;
    let text = text.trim().replace('²', "2").replace('³', "3").replace('°', "");
    let unit = words::written_unit(quantity, system);
    let bare = text.strip_suffix(unit).unwrap_or(&text).trim();
    if bare == words::number(words::to_shown(quantity, field.value, system)) {
        return Ok(None);
    }
    let number_alone = if bare.parse::<f64>().is_ok() { bare } else { text.as_str() };
    read_within(quantity, number_alone, field.possible, system).map(Some)
}

/// Reads a value, SI, that lies between the least and the greatest that is possible; a bare number is in the unit shown.
pub fn read_within(
    quantity: Quantity,
    text: &str,
    (low, high): (f64, f64),
    system: UnitSystem,
) -> Result<f64, String> {
    let value = read_quantity(quantity, text, system)?;
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    let say = |value| words::value(quantity, value, system);
    Err(match high.is_finite() {
        true => {
            format!("{} is not possible; write something between {} and {}", say(value), say(low), say(high))
        }
        false => format!("{} is not possible; write {} or more", say(value), say(low)),
    })
}

/// Reads a value, SI; a bare number is in the unit shown.
pub fn read_quantity(quantity: Quantity, text: &str, system: UnitSystem) -> Result<f64, String> {
    let full = words::with_unit(quantity, text, system);
    units::parse_quantity(quantity, &full).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::number;

    use super::*;

    fn field(key: &str, value: f64) -> QuantityField<'static> {
        let number = number(key).expect("in the table");
        QuantityField {
            name: "",
            quantity: number.quantity,
            value,
            possible: number.possible,
            per_point: 1.0,
        }
    }

    fn mass(text: &str, kg: f64) -> Result<Option<f64>, String> {
        read(&field("leaf.mass", kg), text, UnitSystem::Si)
    }

    /// 1 lb = 0.45359237 kg, exact.
    #[test]
    fn pounds_typed_into_a_field_of_kilograms_are_converted() {
        assert_eq!(mass("190 lb", 80.0), Ok(Some(190.0 * 0.453_592_37)));
    }

    #[test]
    fn a_bare_number_is_in_the_unit_shown() {
        assert_eq!(mass("95", 80.0), Ok(Some(95.0)));
        assert_eq!(read(&field("leaf.mass", 80.0), "190", UnitSystem::Us), Ok(Some(190.0 * 0.453_592_37)));
    }

    #[test]
    fn a_unit_that_ends_like_the_one_shown_is_not_taken_for_it() {
        assert_eq!(read(&field("leaf.stroke", 1.0), "950 mm", UnitSystem::Si), Ok(Some(0.95)));
    }

    #[test]
    fn leaving_the_field_untouched_changes_nothing() {
        assert_eq!(mass("95.2 kg", 95.234), Ok(None));
    }

    #[test]
    fn a_wrong_unit_and_an_impossible_value_are_refused_with_a_reason() {
        let wrong = mass("190 s", 80.0).expect_err("a time is no mass");
        assert!(wrong.contains("time") && wrong.contains("kg"), "{wrong}");
        let negative = mass("-5 kg", 80.0).expect_err("less than nothing");
        assert!(negative.contains("not possible"), "{negative}");
    }
}
