//! Changes of what drive and belt are called and rated for.

use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Field, RATING_FIELDS, Ratings};
use tautleaf_scenario::check_name;

use crate::document::Document;
use crate::words;

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub enum RatingEdit {
    /// Names the drive; empty: not named.
    Drive(String),
    /// Names the belt; empty: not named.
    Belt(String),
    /// Sets the rating with this key, SI: `ratings.shaft_load`; `None`: not rated.
    Number(&'static str, Option<f64>),
    /// Sets the insulation class of the winding; `None`: not rated.
    Insulation(Option<InsulationClass>),
}

/// Carries one out, as one step to undo. What no file could hold changes nothing.
pub fn edit(document: &mut Document, edit: RatingEdit) {
    match edit {
        RatingEdit::Drive(name) if can_name(&name) => rate(document, "Name of the drive", |r| r.drive = name),
        RatingEdit::Belt(name) if can_name(&name) => rate(document, "Name of the belt", |r| r.belt = name),
        RatingEdit::Drive(_) | RatingEdit::Belt(_) => {}
        RatingEdit::Number(key, value) => {
            let Some(field) = RATING_FIELDS.iter().find(|field| field.key == key) else { return };
            let (low, high) = field.possible;
            if value.is_none_or(|value| (low..=high).contains(&value)) {
                rate(document, &spoken(field), |ratings| (field.set)(ratings, value));
            }
        }
        RatingEdit::Insulation(class) => {
            rate(document, "Rating: insulation class", |ratings| ratings.insulation = class);
        }
    }
}

/// What the rating of a field is called where nothing around it says that it is one.
pub fn spoken(field: &Field<Ratings>) -> String {
    format!("Rating: {}", words::name_within(field.key).to_lowercase())
}

fn can_name(name: &str) -> bool {
    name.is_empty() || check_name(name).is_ok()
}

fn rate(document: &mut Document, what: &str, change: impl FnOnce(&mut Ratings)) {
    document.edit(what, None, |scenario| {
        let mut ratings = scenario.ratings.clone();
        change(&mut ratings);
        scenario.rate(ratings);
    });
}

#[cfg(test)]
mod tests {
    use tautleaf_scenario::Scenario;

    use super::*;

    fn document() -> Document {
        Document::new(Scenario::default(), None)
    }

    #[test]
    fn what_no_file_could_hold_changes_nothing() {
        let mut document = document();
        for field in RATING_FIELDS {
            let (low, high) = field.possible;
            for value in [0.5 * low, 2.0 * high, -1.0, f64::NAN, f64::INFINITY] {
                edit(&mut document, RatingEdit::Number(field.key, Some(value)));
            }
        }
        edit(&mut document, RatingEdit::Drive("x".repeat(61)));
        edit(&mut document, RatingEdit::Belt("two\nlines".to_owned()));
        assert_eq!((document.undoable(), document.is_dirty()), (None, false));
    }

    #[test]
    fn the_least_and_the_greatest_of_every_rating_are_read_back_from_a_file() {
        for end in [|range: (f64, f64)| range.0, |range: (f64, f64)| range.1] {
            let mut document = document();
            for field in RATING_FIELDS {
                edit(&mut document, RatingEdit::Number(field.key, Some(end(field.possible))));
            }
            edit(&mut document, RatingEdit::Drive("24 V, 60 W \"mine\"".to_owned()));
            edit(&mut document, RatingEdit::Belt("x".repeat(60)));
            edit(&mut document, RatingEdit::Insulation(Some(InsulationClass::H)));
            let text = tautleaf_scenario::to_text(document.scenario());
            let back = tautleaf_scenario::parse(&text, "door.toml").expect("a door file");
            assert_eq!(&back, document.scenario());
        }
    }

    /// The motor takes its rated current and class from the ratings where it says none itself, as in a file.
    #[test]
    fn one_step_takes_a_rating_back_and_what_the_motor_took_from_it() {
        let mut document = document();
        let before = document.scenario().clone();
        edit(&mut document, RatingEdit::Number("ratings.rated_current", Some(2.5)));
        assert_eq!(document.scenario().parameters.motor.rated_current_a, 2.5);
        document.undo();
        assert_eq!((document.scenario(), document.undoable()), (&before, None));
    }
}
