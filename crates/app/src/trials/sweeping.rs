//! One number of the door at many values, in the background.

use std::ops::ControlFlow;

use tautleaf_physics::{Figure, Judge, Parameters, number};
use tautleaf_scenario::{UnitSystem, axis_between};
use tautleaf_trials::{
    Effort, Ended, MOST_VALUES, Row, Settable, Sweep, USUAL_VALUES, cores, figures_of, in_order,
};

use super::Made;
use crate::document::Document;
use crate::progress::Progress;
use crate::words;

/// Settings that are offered before anything was typed.
const FIRST: [&str; 6] = [
    "closing.speed",
    "opening.speed",
    "leaf.mass",
    "belt.tension",
    "closing.braking",
    "closing.current_limit",
];
/// Most that are offered.
const MOST_OFFERED: usize = 6;
/// How far from its present value a number is swept at first, either way.
const FACTOR: f64 = 2.0;

/// What is asked for, as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The number, by its key or name.
    pub what: String,
    /// First and last value.
    pub from: String,
    /// Last value.
    pub to: String,
    /// How many values.
    pub values: String,
    /// A second number, against which it is swept; empty: none.
    pub against: String,
    /// First and last value of that.
    pub against_from: String,
    /// Last value of that.
    pub against_to: String,
}

impl Default for Asked {
    fn default() -> Self {
        let values = USUAL_VALUES[0].to_string();
        let none = String::new;
        Self {
            what: none(),
            from: none(),
            to: none(),
            values,
            against: none(),
            against_from: none(),
            against_to: none(),
        }
    }
}

impl Asked {
    /// The key of the number that is meant: this door has it.
    pub fn key(&self, p: &Parameters) -> Option<String> {
        let typed = self.what.trim();
        let is_meant = |key: &String| key == typed || words::name_of(key).eq_ignore_ascii_case(typed);
        Settable::keys(p).into_iter().find(is_meant)
    }

    /// Keys that may be meant, those whose name begins as was typed first; none where it is clear which one is.
    pub fn offered(&self, p: &Parameters) -> Vec<String> {
        let typed = self.what.trim().to_lowercase();
        if self.key(p).is_some() {
            return Vec::new();
        }
        let mut keys = Settable::keys(p);
        if typed.is_empty() {
            keys = FIRST.into_iter().map(str::to_owned).filter(|key| keys.contains(key)).collect();
        }
        let says = |key: &String| words::name_of(key).to_lowercase();
        keys.retain(|key| key.contains(&typed) || says(key).contains(&typed));
        keys.sort_by_key(|key| !typed.is_empty() && !says(key).starts_with(&typed));
        keys.truncate(MOST_OFFERED);
        keys
    }

    /// What is asked for once this was typed: another number brings its own ends.
    pub fn turned_to(&self, next: Self, p: &Parameters, system: UnitSystem) -> Self {
        let new_ends = |now: &Self, then: &Self| {
            let key = then.key(p).filter(|key| now.key(p).as_ref() != Some(key))?;
            ends(&key, p, system)
        };
        let next = match new_ends(self, &next) {
            Some((from, to)) => Self { from, to, ..next },
            None => next,
        };
        match new_ends(&self.second(), &next.second()) {
            Some((against_from, against_to)) => Self { against_from, against_to, ..next },
            None => next,
        }
    }

    /// The second number as if it were the first.
    pub fn second(&self) -> Self {
        let (what, from, to) = (self.against.clone(), self.against_from.clone(), self.against_to.clone());
        Self { what, from, to, values: self.values.clone(), ..Self::default() }
    }
}

/// Between which values a number is swept at first: about the one that it has, within what is usual.
fn ends(key: &str, p: &Parameters, system: UnitSystem) -> Option<(String, String)> {
    let number = number(key)?;
    let (low, high) = number.usual;
    let now = number.get(p).filter(|now| *now > 0.0 && low >= 0.0);
    let about = |now: f64| (low.max(now / FACTOR), high.min(now * FACTOR));
    let (from, to) = now.map(about).filter(|(from, to)| from < to).unwrap_or((low, high));
    let unit = words::written_unit(number.quantity, system);
    let say = |value: f64| {
        let shown = two_digits(words::to_shown(number.quantity, value, system));
        format!("{shown} {unit}").trim_end().to_owned()
    };
    Some((say(from), say(to)))
}

/// Rounded to two significant digits.
fn two_digits(value: f64) -> f64 {
    format!("{value:.1e}").parse().unwrap_or(value)
}

/// What a sweep of a door found.
pub struct Swept {
    /// The door that it belongs to.
    pub made: Made,
    /// What was varied and judged.
    pub sweep: Sweep,
    /// Every value that was run, in order; fewer than there are where it was stopped.
    pub rows: Vec<Row>,
}

impl Swept {
    /// The number that was varied.
    pub fn settable(&self) -> Settable {
        self.sweep.axes[0].settable
    }

    /// Both numbers, where two were varied, with their values; the same twice where there is one.
    pub fn two(&self) -> [(Settable, &Vec<f64>); 2] {
        let axes = &self.sweep.axes;
        [&axes[0], axes.last().unwrap_or(&axes[0])].map(|axis| (axis.settable, &axis.values))
    }

    /// Whether two numbers were varied.
    pub fn is_map(&self) -> bool {
        self.sweep.axes.len() > 1
    }

    /// Runs in which every limit that may fail the door was kept.
    pub fn kept_in(&self) -> usize {
        let kept = |row: &&Row| match self.tightest(row) {
            Tightest::Margin(_, margin) => margin >= 0.0,
            Tightest::None => true,
            Tightest::Fails => false,
        };
        self.rows.iter().filter(kept).count()
    }

    /// The limit that may fail the door of which least is left in a run.
    pub fn tightest(&self, row: &Row) -> Tightest {
        if row.trial.ended != Ended::Done {
            return Tightest::Fails;
        }
        let limits = self.sweep.bench.criteria.limits.iter().zip(&row.trial.judged).enumerate();
        let margin =
            |(place, (limit, judged)): (usize, (&tautleaf_physics::Limit, &tautleaf_trials::Judged))| {
                // where nothing at all is allowed there is no margin, only kept or not
                let margin = judged.margin.or(judged.kept.map(|kept| if kept { 1.0 } else { -1.0 }))?;
                (limit.judge == Judge::Limit).then_some((place, margin))
            };
        let least = limits.filter_map(margin).min_by(|a, b| a.1.total_cmp(&b.1));
        least.map_or(Tightest::None, |(place, margin)| Tightest::Margin(place, margin))
    }

    /// Where a value of a figure lies between the least and the greatest of all runs, 0 to 1.
    pub fn part_of_range(&self, figure: Figure, value: f64) -> f64 {
        let values = || self.rows.iter().filter_map(|row| row.trial.get(figure));
        let (low, high) =
            (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        if high > low { (value - low) / (high - low) } else { 0.5 }
    }

    /// Figures that some run gave.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = figures_of(&self.sweep.bench);
        figures.retain(|figure| self.rows.iter().any(|row| row.trial.get(*figure).is_some()));
        figures
    }

    /// Places of the limits that some run could judge.
    pub fn judged(&self) -> Vec<usize> {
        let judged = |place: &usize| self.rows.iter().any(|row| row.trial.judged[*place].kept.is_some());
        (0..self.sweep.bench.criteria.limits.len()).filter(judged).collect()
    }

    /// Between which values a limit is kept, of those that were run, SI.
    pub fn kept(&self, place: usize) -> Vec<(f64, f64)> {
        self.stretches(|row| row.trial.ended == Ended::Done && row.trial.judged[place].kept == Some(true))
    }

    /// Between which values no limit that may fail the door is over or untested, and it does what it is told.
    pub fn all_kept(&self) -> Vec<(f64, f64)> {
        let limits = &self.sweep.bench.criteria.limits;
        let may_fail = |place: &usize| limits[*place].judge == Judge::Limit;
        let judged: Vec<usize> = self.judged().into_iter().filter(may_fail).collect();
        self.stretches(|row| {
            let tested = row.trial.judged.iter().all(|judged| !judged.untested);
            row.trial.ended == Ended::Done
                && tested
                && judged.iter().all(|&place| row.trial.judged[place].kept == Some(true))
        })
    }

    /// First and last value of each stretch of runs of which something is so.
    fn stretches(&self, is_so: impl Fn(&Row) -> bool) -> Vec<(f64, f64)> {
        let runs = self.rows.chunk_by(|a, b| is_so(a) == is_so(b)).filter(|run| is_so(&run[0]));
        runs.map(|run| (run[0].values[0], run[run.len() - 1].values[0])).collect()
    }
}

/// What is left of the tightest limit of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tightest {
    /// It does not do what it is told.
    Fails,
    /// No limit judges it.
    None,
    /// Which limit, by its place, and the fraction of what it allows that is left.
    Margin(usize, f64),
}

/// Most values of each of two numbers in the window, whose map has a cell for every pair.
const MOST_OF_TWO: usize = 40;

/// How many values are asked for of the door as it is now, and the work that runs them, until told to stop.
///
/// # Errors
/// Why the door cannot be, or what was typed cannot be read.
pub fn work(
    document: &Document,
    asked: &Asked,
) -> Result<(u64, impl FnOnce(&Progress) -> Swept + Send + use<>), String> {
    let made = Made::of(document);
    let scenario = made.scenario();
    let door = scenario.door().map_err(|error| words::refusal(&error))?;
    let (p, system) = (door.parameters(), scenario.units);
    let what = asked.what.trim();
    if what.is_empty() {
        return Err("Name a setting: one of those offered, or any other by its name or key.".to_owned());
    }
    let both = !asked.against.trim().is_empty();
    let most = if both { MOST_OF_TWO } else { MOST_VALUES };
    let values = asked.values.trim();
    let none = || format!("\"{values}\" is no number of values; write one from 2 to {most}");
    let count: usize = values.parse().map_err(|_| none())?;
    if both && count > most {
        return Err(none());
    }
    let axis = |asked: &Asked| {
        let what = asked.what.trim();
        let key = asked.key(p).unwrap_or_else(|| what.to_owned());
        let quantity = words::quantity_of(&key);
        let [from, to] = [&asked.from, &asked.to].map(|text| words::with_unit(quantity, text, system));
        axis_between(&key, (&from, &to), count, &door, system)
            .map_err(|problem| format!("\"{what}\": {problem}"))
    };
    let mut axes = vec![axis(asked)?];
    if both {
        axes.push(axis(&asked.second())?);
    }
    let bench = scenario.bench(Effort::WithImpact);
    let sweep = Sweep::new(&door, axes, bench).map_err(|error| format!("\"{what}\": {error}"))?;
    let trials = sweep.trials();
    let work = move |progress: &Progress| {
        let mut rows = Vec::new();
        let run = |index| {
            let row = sweep.row(index);
            progress.step();
            row
        };
        in_order(0..trials, cores(), progress.stops(), run, |_, row| {
            rows.push(row);
            ControlFlow::Continue(())
        });
        Swept { made, sweep, rows }
    };
    Ok((trials, work))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example;

    fn asked(what: &str) -> Asked {
        Asked { what: what.to_owned(), ..Asked::default() }
    }

    fn door() -> Parameters {
        example::scenario().parameters
    }

    #[test]
    fn a_number_is_meant_by_its_key_or_its_name() {
        let p = door();
        assert_eq!(asked("closing.speed").key(&p).as_deref(), Some("closing.speed"));
        assert_eq!(asked(" leaf Mass").key(&p).as_deref(), Some("leaf.mass"));
        assert_eq!(asked("mass").key(&p), None);
        assert_eq!(asked("obstacle.gap").key(&p), None, "this door has no obstacle");
    }

    #[test]
    fn what_may_be_meant_is_offered() {
        let p = door();
        assert_eq!(asked("").offered(&p).len(), FIRST.len());
        assert!(asked("leaf.mass").offered(&p).is_empty(), "it is clear");
        let offered = asked("clos").offered(&p);
        assert!(
            offered.len() == MOST_OFFERED && offered.iter().all(|key| key.contains("clos")),
            "{offered:?}"
        );
        assert!(asked("nothing of the kind").offered(&p).is_empty());
    }

    /// Half and double of 0.3 m/s; 1 in = 0.0254 m, exact.
    #[test]
    fn another_number_brings_its_own_ends_and_the_same_one_keeps_them() {
        let p = door();
        let speed = asked("closing sp").turned_to(asked("closing speed"), &p, UnitSystem::Si);
        assert_eq!((speed.from.as_str(), speed.to.as_str()), ("0.15 m/s", "0.6 m/s"));
        let own = Asked { from: "0.2 m/s".to_owned(), ..speed.clone() };
        assert_eq!(speed.turned_to(own.clone(), &p, UnitSystem::Si), own);
        let us = asked("").turned_to(asked("closing speed"), &p, UnitSystem::Us);
        assert_eq!((us.from.as_str(), us.to.as_str()), ("5.9 in/s", "24 in/s"));
    }

    #[test]
    fn what_cannot_be_swept_says_why() {
        let document = Document::new(example::scenario(), None);
        let speed = |from: &str, to: &str, values: &str| Asked {
            what: "closing.speed".to_owned(),
            from: from.to_owned(),
            to: to.to_owned(),
            values: values.to_owned(),
            ..Asked::default()
        };
        let refused =
            |asked: &Asked| work(&document, asked).map(|(count, _)| count).expect_err("it cannot be");
        for (asked, part) in [
            (asked("closing.sped"), "did you mean \"closing.speed\"?"),
            (asked(" "), "Name a setting"),
            (speed("0.2", "0.4", "100000"), "write from 2 to 10000"),
            (speed("0.2", "0.4", "ten"), "no number of values"),
            (speed("0.2 kg", "0.4", "5"), "is a mass"),
            (speed("0.3", "0.3", "5"), "begins and ends at the same value"),
            (speed("0.3", "-2", "5"), "not possible"),
        ] {
            let why = refused(&asked);
            assert!(why.contains(part), "{why}");
        }
        assert_eq!(work(&document, &speed("0.2", "400 mm/s", "5")).map(|(count, _)| count), Ok(5));
    }
}
