//! What a door file says, and where it says it.

use std::collections::BTreeMap;

use tautleaf_physics::{
    Door, FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, Limit, OBSTACLE_FIELDS, Parameters, Problem,
    TELESCOPE_FIELDS,
};
use tautleaf_trials::spread::Spread;

use crate::presets;
use crate::problem::FileProblem;
use crate::units::{self, UnitSystem};

/// Margin below which a figure counts as close to its limit, unless the file says otherwise.
pub const DEFAULT_CLOSE_MARGIN: f64 = tautleaf_trials::Reserve::USUAL.share();

/// One door with its limits, as a door file holds it.
#[derive(Clone, Debug, Default)]
pub struct Scenario {
    /// Name of the door.
    pub title: String,
    /// What it shows, in a sentence or two.
    pub shows: String,
    /// The door.
    pub parameters: Parameters,
    /// What it is judged by.
    pub limits: LimitSettings,
    /// How its numbers spread from door to door; what it does not list may spread by default.
    pub spreads: Vec<Spread>,
    /// Units in which it is shown and saved.
    pub units: UnitSystem,
    /// The file that it came from.
    pub origin: Origin,
}

/// Two scenarios are equal if they say the same; where they came from does not count.
impl PartialEq for Scenario {
    fn eq(&self, other: &Self) -> bool {
        let parts = |s: &Self| (s.title.clone(), s.shows.clone(), s.units);
        let same_door = self.parameters == other.parameters && self.spreads == other.spreads;
        parts(self) == parts(other) && same_door && self.limits == other.limits
    }
}

/// What a door is judged by.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitSettings {
    /// Names of the presets that are filled in, see [`presets()`](crate::presets()).
    pub presets: Vec<String>,
    /// Fraction of the allowed value within which a figure counts as close, 0 to 1.
    pub close_margin: f64,
    /// Clear openings at which the force test is made, m; `None`: those that the limits need.
    pub gaps_m: Option<Vec<f64>>,
    /// Limits that the user set. Each takes the place of those of the presets with the same key.
    pub own: Vec<Limit>,
}

impl Default for LimitSettings {
    fn default() -> Self {
        Self { presets: Vec::new(), close_margin: DEFAULT_CLOSE_MARGIN, gaps_m: None, own: Vec::new() }
    }
}

/// Where a scenario was read from.
#[derive(Clone, Debug, Default)]
pub struct Origin {
    /// The file, as the user named it; empty if there is none.
    pub file: String,
    /// The text that was read.
    pub(crate) text: String,
    /// Line of each key and section that is written there.
    pub(crate) lines: BTreeMap<String, usize>,
}

/// Every limit of a scenario: those of its presets, then those that the user set.
///
/// A limit that the user set takes the place of those of the presets with the same key.
pub fn limits_of(scenario: &Scenario) -> Vec<Limit> {
    let own = &scenario.limits.own;
    let named = scenario.limits.presets.iter().filter_map(|name| presets::preset(name));
    let filled_in = named.flat_map(|preset| &preset.limits);
    filled_in.filter(|limit| own.iter().all(|own| own.key != limit.key)).chain(own).cloned().collect()
}

impl Scenario {
    /// What is unusual about this door, with the lines of its file.
    ///
    /// `door` is the checked door of this scenario.
    pub fn warnings(&self, door: &Door) -> Vec<FileProblem> {
        let mut warnings = Vec::new();
        self.unusual("", &self.parameters, FIELDS, &mut warnings);
        if let Some(obstacle) = &self.parameters.obstacle {
            self.unusual("", obstacle, OBSTACLE_FIELDS, &mut warnings);
        }
        if let Some(telescope) = &self.parameters.telescope {
            self.unusual("", telescope, TELESCOPE_FIELDS, &mut warnings);
        }
        for (index, force) in self.parameters.forces.iter().enumerate() {
            self.unusual(&format!(".{index}"), force, FORCE_FIELDS, &mut warnings);
        }
        for (index, fault) in self.parameters.faults.iter().enumerate() {
            self.unusual(&format!(".{index}"), fault, FAULT_FIELDS, &mut warnings);
        }
        // Physics speaks of ranges too, in SI and without lines: those are said above.
        let remarks = door.warnings().iter().filter(|remark| !remark.found.ends_with(" is unusual"));
        warnings.extend(remarks.map(|remark| self.locate(remark)));
        warnings
    }

    fn unusual<T>(&self, index: &str, what: &T, fields: &[Field<T>], warnings: &mut Vec<FileProblem>) {
        for field in fields {
            let Some(value) = (field.get)(what) else { continue };
            let (low, high) = field.usual;
            if (low..=high).contains(&value) {
                continue;
            }
            let show = |value| units::show(field.quantity, value, self.units);
            warnings.push(FileProblem {
                file: self.origin.file.clone(),
                line: self.origin.lines.get(&indexed(field.key, index)).copied(),
                key: field.key.to_owned(),
                found: format!("{} is unusual", show(value)),
                would_do: format!("{}: usual is {} to {}", field.says, show(low), show(high)),
            });
        }
    }

    /// A problem of the checked door, with its line. A key that the file leaves out is said to be a default.
    pub fn locate(&self, problem: &Problem) -> FileProblem {
        let Problem { key, found, would_do } = problem.clone();
        let lines = &self.origin.lines;
        let by_name = |name: &str| found.starts_with(&format!("\"{name}\" "));
        let listed = if key.starts_with("fault.") {
            self.parameters.faults.iter().position(|fault| by_name(&fault.name))
        } else {
            self.parameters.forces.iter().position(|force| by_name(&force.name))
        };
        let index = listed.map_or(String::new(), |index| format!(".{index}"));
        let written = lines.get(&indexed(&key, &index)).copied();
        let section = key.split('.').next().unwrap_or_default();
        let line = written.or_else(|| lines.get(&format!("{section}{index}")).copied());
        let found = if written.is_none() && index.is_empty() { format!("by default {found}") } else { found };
        FileProblem { file: self.origin.file.clone(), line, key, found, would_do }
    }

    /// Line of a key in the file, if it is written there.
    pub fn line_of(&self, key: &str) -> Option<usize> {
        self.origin.lines.get(key).copied()
    }
}

/// `force.drag` of the second force -> `force.1.drag`.
fn indexed(key: &str, index: &str) -> String {
    match key.split_once('.') {
        Some((section, name)) if !index.is_empty() => format!("{section}{index}.{name}"),
        _ => key.to_owned(),
    }
}
