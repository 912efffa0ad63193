//! What a door file says, and where it says it.

use std::collections::BTreeMap;

use tautleaf_physics::checks::unusual_ratings;
use tautleaf_physics::{Door, Limit, Parameters, Place, Problem, Problems, Ratings, number};
use tautleaf_trials::spread::Spread;

use crate::presets;
use crate::problem::{FileProblem, ReadError};
use crate::problem_words::{ProblemWords, problem_words};
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
    /// Its drive and its belt by name, and what they are rated for. They are judged beside the limits.
    pub ratings: Ratings,
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
        let same_limits = self.limits == other.limits && self.ratings == other.ratings;
        parts(self) == parts(other) && same_door && same_limits
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

/// Every limit of a scenario: those of its presets, then those that the user set, then the ratings of drive and belt.
///
/// A limit that the user set takes the place of those of the presets with the same key. A rating takes no place and gives
/// none up: where a limit is on the same figure, both count.
pub fn limits_of(scenario: &Scenario) -> Vec<Limit> {
    let own = &scenario.limits.own;
    let named = scenario.limits.presets.iter().filter_map(|name| presets::preset(name));
    let filled_in = named.flat_map(|preset| &preset.limits);
    let kept = filled_in.filter(|limit| own.iter().all(|own| own.key != limit.key));
    kept.chain(own).cloned().chain(scenario.ratings.limits()).collect()
}

impl Scenario {
    /// Names and rates drive and belt anew.
    pub fn rate(&mut self, ratings: Ratings) {
        self.motor_follows(&ratings);
        self.ratings = ratings;
    }

    /// What the motor leaves out, its rated current or its insulation class, is as new ratings say it, or as by default where
    /// they say nothing. A motor that says it itself keeps it.
    pub(crate) fn motor_follows(&mut self, ratings: &Ratings) {
        let rated = |ratings: &Ratings| {
            let mut p = Parameters::default();
            ratings.apply_to_motor(&mut p, true, true);
            p.motor
        };
        let (before, after) = (rated(&self.ratings), rated(ratings));
        let left_out = |key: &str| !self.origin.lines.contains_key(key);
        let motor = &mut self.parameters.motor;
        if left_out("motor.rated_current") && motor.rated_current_a == before.rated_current_a {
            motor.rated_current_a = after.rated_current_a;
        }
        if left_out("motor.insulation") && motor.insulation == before.insulation {
            motor.insulation = after.insulation;
        }
    }

    /// What is unusual about this door, with the lines of its file.
    ///
    /// `door` is the checked door of this scenario.
    pub fn warnings(&self, door: &Door) -> Vec<FileProblem> {
        let ratings = unusual_ratings(&self.ratings);
        let told =
            |problems: &[Problem]| -> Vec<_> { problems.iter().map(|problem| self.told(problem)).collect() };
        [told(door.unusual()), told(&ratings), self.differing_ratings(), told(door.remarks())].concat()
    }

    /// Ratings that the motor of the file says otherwise: its warmth is worked out from the motor, and judged by the rating.
    fn differing_ratings(&self) -> Vec<FileProblem> {
        let motor = &self.parameters.motor;
        let amperes = |value| units::show(tautleaf_physics::Quantity::Current, value, self.units);
        let current = self.ratings.rated_current_a.filter(|rated| *rated != motor.rated_current_a);
        let class = self.ratings.insulation.filter(|class| *class != motor.insulation);
        let differs = |key: &str, is: String, rating: String| FileProblem {
            file: self.origin.file.clone(),
            line: self.origin.lines.get(key).copied(),
            key: key.to_owned(),
            entry: None,
            found: format!("{is} is not the rating of {rating}"),
            would_do: format!("the same in both, or leave {key} out: then the rating holds"),
        };
        let current = current
            .map(|rated| differs("motor.rated_current", amperes(motor.rated_current_a), amperes(rated)));
        let class = class.map(|class| {
            differs("motor.insulation", format!("class {:?}", motor.insulation), format!("class {class:?}"))
        });
        current.into_iter().chain(class).collect()
    }

    /// Everything that keeps the door from being built, in words and with its lines.
    pub fn refusal(&self, problems: &Problems) -> ReadError {
        ReadError { problems: problems.0.iter().map(|problem| self.told(problem)).collect() }
    }

    /// A problem of its door in words and in its units, with the line of the number, or else of the section or entry that it
    /// belongs to. A number that the file leaves out is said to be a default.
    fn told(&self, problem: &Problem) -> FileProblem {
        let Place { key, entry } = problem.place;
        let ProblemWords { found, would_do } = problem_words(&problem.kind, self.units);
        let lines = &self.origin.lines;
        let index = entry.map_or(String::new(), |entry| format!(".{entry}"));
        let written = lines.get(&indexed(key, &index)).copied();
        let section = key.split('.').next().unwrap_or_default();
        let line = written.or_else(|| lines.get(&format!("{section}{index}")).copied());
        let by_default = written.is_none() && entry.is_none() && self.is_default(key);
        let found = if by_default { format!("by default {found}") } else { found };
        FileProblem { file: self.origin.file.clone(), line, key: key.to_owned(), entry, found, would_do }
    }

    /// Whether a number is as it is when no one sets it.
    fn is_default(&self, key: &str) -> bool {
        number(key).is_some_and(|number| number.get(&self.parameters) == number.default_value())
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
