//! A sweep as text, JSON and a picture.

mod json;
mod text;

use tautleaf_physics::{Limit, Quantity};
use tautleaf_scenario::{FileProblem, Scenario, units};
use tautleaf_trials::{Axis, Ended, Judged, Row, Sweep};

use crate::words;

/// What a sweep of a door found.
#[derive(Clone, Debug)]
pub struct SweepReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// What was varied and judged.
    pub sweep: &'a Sweep,
    /// Every combination that was run, in order; fewer than there are where it was stopped.
    pub rows: Vec<Row>,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

/// A limit that some combination could judge, with the letter that it has in tables and pictures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lettered<'a> {
    pub letter: char,
    /// Its place among the limits.
    pub place: usize,
    pub limit: &'a Limit,
}

/// How the worst limit stands in one combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Worst {
    pub letter: char,
    /// Share of what is allowed that is used; 1 is all of it.
    pub used: f64,
    pub over: bool,
}

impl<'a> SweepReport<'a> {
    /// Of a sweep that has been run.
    pub fn new(scenario: &'a Scenario, sweep: &'a Sweep, rows: Vec<Row>) -> Self {
        let warnings = scenario.door().map_or_else(|error| error.problems, |door| scenario.warnings(&door));
        Self { scenario, sweep, rows, warnings }
    }

    /// The limits that some combination could judge, lettered from A; more than 26 share the last letter's mark.
    pub(crate) fn lettered(&self) -> Vec<Lettered<'a>> {
        let sweep = self.sweep;
        let judged = |place: usize| self.rows.iter().any(|row| row.trial.judged[place].kept.is_some());
        let limits = sweep.bench.criteria.limits.iter().enumerate().filter(|(place, _)| judged(*place));
        let letters = ('A'..='Z').chain(std::iter::repeat('*'));
        limits.zip(letters).map(|((place, limit), letter)| Lettered { letter, place, limit }).collect()
    }

    /// How the worst limit stands; `None` where the door did not open and close, or nothing was judged.
    pub(crate) fn worst(&self, row: &Row, lettered: &[Lettered<'_>]) -> Option<Worst> {
        if row.trial.ended != Ended::Done {
            return None;
        }
        let each = lettered.iter().filter_map(|one| {
            let judged = row.trial.judged[one.place];
            let over = !judged.kept?;
            Some(Worst { letter: one.letter, used: used(one.limit, &judged)?, over })
        });
        each.reduce(|a, b| if (b.over, b.used) > (a.over, a.used) { b } else { a })
    }

    /// Width of the margin below which a limit that is kept counts as close.
    pub(crate) fn is_close(&self, judged: &Judged) -> bool {
        judged.kept == Some(true)
            && judged.margin.is_some_and(|margin| margin < self.sweep.bench.criteria.close_margin - 1e-9)
    }
}

/// What is to be known about the runs of a sweep, a sentence each.
pub fn notes_on_runs(limits: &[Limit], rows: &[Row]) -> Vec<String> {
    let count = |ended: Ended| rows.iter().filter(|row| row.trial.ended == ended).count();
    let mut notes = Vec::new();
    if count(Ended::Unfinished) > 0 {
        notes.push(format!("In {} runs the door did not open and close.", count(Ended::Unfinished)));
    }
    if count(Ended::NotBuilt) > 0 {
        notes.push(format!("{} combinations make no door that can be built.", count(Ended::NotBuilt)));
    }
    let in_none = |n: &usize| rows.iter().all(|row| row.trial.judged[*n].kept.is_none());
    for n in (0..limits.len()).filter(|n| limits[*n].figure.is_some() && in_none(n)) {
        notes.push(format!("{} was judged in no run.", words::limit_label(&limits[n])));
    }
    notes
}

/// Share of what a limit allows that is used: 1 is all of it, more is over. `None`: not judged.
///
/// Of a limit that asks for at least so much, it is what is asked over what there is.
pub(crate) fn used(limit: &Limit, judged: &Judged) -> Option<f64> {
    let kept = judged.kept?;
    let Some(margin) = judged.margin else { return Some(if kept { 0.0 } else { f64::INFINITY }) };
    let used = match kept {
        kept if words::is_least(&limit.rule) => {
            let share = 1.0 / (1.0 + margin);
            if kept {
                share.clamp(0.0, 1.0)
            } else if share > 1.0 {
                share
            } else {
                f64::INFINITY
            }
        }
        kept => {
            if kept {
                (1.0 - margin).clamp(0.0, 1.0)
            } else {
                1.0 - margin
            }
        }
    };
    Some(used)
}

/// A value of an axis, in the units of the file.
fn shown(axis: &Axis, value: f64, scenario: &Scenario) -> String {
    units::show(axis.settable.quantity(), value, scenario.units)
}

/// Unit of an axis, in brackets, where it has one.
pub(crate) fn axis_title(axis: &Axis, scenario: &Scenario) -> String {
    let quantity: Quantity = axis.settable.quantity();
    let unit = units::unit(quantity, scenario.units);
    if unit.is_empty() { axis.settable.key() } else { format!("{}, {unit}", axis.settable.key()) }
}
