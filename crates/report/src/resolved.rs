//! Every number that the model uses, so that anyone can recompute a run.

use serde::Serialize;
use tautleaf_physics::parameters::Parameters;
use tautleaf_physics::{
    Constants, CycleOptions, Derived, Door, FIELDS, Plan, RATING_FIELDS, Ratings, Sample, cycle,
};
use tautleaf_scenario::{FileProblem, ReadError, SCHEMA, Scenario, units};

use crate::columns::{Side, aligned, folded};
use crate::json::{MODEL_NOTES, WarningObject, warnings};
use crate::palette::{Palette, paint};
use crate::{PROGRAM, RESULT_SCHEMA, VERSION};

/// The result of `tautleaf resolve --json`: parameters in SI with all that is worked out filled in, what follows
/// from them, the constants, and the state from which a run starts.
///
/// # Errors
/// Why the door cannot be built.
pub fn json(scenario: &Scenario) -> Result<String, ResolveError> {
    let door = scenario.door()?;
    let found = scenario.warnings(&door);
    Ok(serde_json::to_string_pretty(&ResolvedObject::of(scenario, &door, &found))?)
}

/// Why there is no listing.
#[derive(Debug, thiserror::Error)]
pub enum ResolveError {
    /// The door cannot be built.
    #[error(transparent)]
    Door(#[from] ReadError),
    /// It could not be written as JSON.
    #[error("the result could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

#[derive(Serialize)]
struct ResolvedObject<'a> {
    schema: u32,
    program: &'static str,
    version: &'static str,
    file_schema: i64,
    file: &'a str,
    title: &'a str,
    parameters: &'a Parameters,
    derived: &'a Derived,
    ratings: &'a Ratings,
    constants: Constants,
    initial: Option<Sample>,
    gaps_m: Option<&'a [f64]>,
    model: &'static [&'static str],
    warnings: Vec<WarningObject<'a>>,
}

impl<'a> ResolvedObject<'a> {
    fn of(scenario: &'a Scenario, door: &'a Door, found: &'a [FileProblem]) -> Self {
        Self {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            file_schema: SCHEMA,
            file: &scenario.origin.file,
            title: &scenario.title,
            parameters: door.parameters(),
            derived: door.derived(),
            ratings: &scenario.ratings,
            constants: Constants::MODEL,
            initial: initial(door),
            gaps_m: scenario.limits.gaps_m.as_deref(),
            model: MODEL_NOTES,
            warnings: warnings(found),
        }
    }
}

/// The door before its first command: the first sample of any run from closed.
fn initial(door: &Door) -> Option<Sample> {
    let options = CycleOptions { plan: Plan::Open, ..CycleOptions::default() };
    cycle(door, &options).samples.first().copied()
}

/// The result of `tautleaf resolve`: every number with its unit, and where it is from.
///
/// # Errors
/// Why the door cannot be built.
pub fn text(scenario: &Scenario, palette: &Palette) -> Result<String, ReadError> {
    let door = scenario.door()?;
    let rows: Vec<(Vec<String>, Option<usize>, String)> = FIELDS
        .iter()
        .map(|field| {
            let value = (field.get)(door.parameters());
            let shown =
                value.map_or("none".to_owned(), |value| units::format(field.quantity, value, scenario.units));
            let is_worked_out = (field.get)(&scenario.parameters).is_none() && value.is_some();
            let from =
                if is_worked_out { "worked out".to_owned() } else { format!("default: {}", field.source) };
            (vec![field.key.to_owned(), shown], scenario.line_of(field.key), from)
        })
        .collect();
    let rows: Vec<_> = rows.into_iter().chain(rating_rows(scenario)).collect();
    let cells: Vec<Vec<String>> = rows.iter().map(|(cells, _, _)| cells.clone()).collect();
    let mut out = String::new();
    for (line, (_, set_in, from)) in aligned(&cells, &[Side::Left, Side::Right]).iter().zip(&rows) {
        let below = " ".repeat(line.len() + 2);
        match set_in {
            Some(number) => out += &format!("{}  set in line {number}\n", paint(palette.heading, line)),
            None => {
                for line in folded(from, &format!("{line}  "), &below) {
                    out += &line;
                    out.push('\n');
                }
            }
        }
    }
    Ok(out)
}

/// The ratings of drive and belt that the file states: key and value, line, and where they are from.
fn rating_rows(scenario: &Scenario) -> Vec<(Vec<String>, Option<usize>, String)> {
    let ratings = &scenario.ratings;
    let named = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
    let words = [
        ("ratings.drive", named(&ratings.drive)),
        ("ratings.belt", named(&ratings.belt)),
        ("ratings.insulation", ratings.insulation.map(|class| format!("{class:?}"))),
    ];
    let numbers = RATING_FIELDS.iter().map(|field| {
        let value = (field.get)(ratings);
        (field.key, value.map(|value| units::format(field.quantity, value, scenario.units)))
    });
    let row = |(key, shown): (&str, Option<String>)| {
        Some((vec![key.to_owned(), shown?], scenario.line_of(key), "rating of drive or belt".to_owned()))
    };
    words.into_iter().chain(numbers).filter_map(row).collect()
}
