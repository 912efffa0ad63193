//! A door that was run and judged.

use tautleaf_physics::{
    CycleOptions, Door, Figure, Limit, Outcome, Quantity, Run, Verdict, WarmRun, warm_run,
};
use tautleaf_scenario::{FileProblem, ReadError, Scenario, units};
use tautleaf_trials::{Assessment, Criteria, Effort, Remark, Standing, is_unfinished, remarks};

use crate::way_back::{self, WayBack};

/// A door file, run and judged: all that a report is written from.
#[derive(Clone, Debug)]
pub struct Judged<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// How it was run.
    pub options: CycleOptions,
    /// What it did.
    pub run: Run,
    /// What became of each limit.
    pub verdicts: Vec<Verdict>,
    /// For each verdict the way back within its limit.
    pub ways_back: Vec<WayBack>,
    /// What a motor as warm as the duty makes it would do.
    pub warm: Option<WarmRun>,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

/// Gaps at which this door cannot be tested.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("a gap of {gap} cannot be tested on a door that opens {width}; name gaps that are narrower")]
pub struct GapTooWide {
    gap: String,
    width: String,
}

impl<'a> Judged<'a> {
    /// Runs a door once, with the force test at the gaps of its file, and judges it.
    ///
    /// Gaps that are as wide as the door are left out, with a warning if the file asks for them.
    ///
    /// # Errors
    /// Why the door cannot be built. A scenario that was read from a file can be.
    pub fn of(scenario: &'a Scenario) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let width = door.clear_width_m();
        let asked = scenario.limits.gaps_m.iter().flatten().copied();
        let too_wide: Vec<f64> = asked.filter(|gap| *gap >= width).collect();
        let criteria = scenario.criteria();
        let mut judged = Self::by(scenario, door, &criteria, &criteria);
        if let Some(line) = scenario.line_of("limits.gaps").filter(|_| !too_wide.is_empty()) {
            let show = |gap: f64| units::show(Quantity::ShortLength, gap, scenario.units);
            let listed: Vec<String> = too_wide.into_iter().map(show).collect();
            judged.warnings.push(FileProblem {
                file: scenario.origin.file.clone(),
                line: Some(line),
                key: "limits.gaps".to_owned(),
                entry: None,
                found: format!("the force test at {} is left out", listed.join(", ")),
                would_do: format!("this door opens {}", show(width)),
            });
        }
        Ok(judged)
    }

    /// The force test alone: at `gaps_m`, or else at those of the file, judged by the limits on closing force and by the
    /// ratings of drive and belt.
    ///
    /// # Errors
    /// A gap that is as wide as the door, if it was asked for.
    pub fn force_test(scenario: &'a Scenario, gaps_m: Option<&[f64]>) -> Result<Self, ForceTestError> {
        let door = scenario.door()?;
        let width = door.clear_width_m();
        if let Some(&gap) = gaps_m.into_iter().flatten().find(|gap| **gap >= width) {
            let show = |length| units::show(Quantity::ShortLength, length, scenario.units);
            return Err(GapTooWide { gap: show(gap), width: show(width) }.into());
        }
        let mut criteria = scenario.criteria();
        if let Some(gaps) = gaps_m {
            criteria.gaps_m = Some(gaps.to_vec());
        }
        let judged = |limit: &Limit| limit.is_rating() || limit.figure.is_none_or(Figure::is_of_force_test);
        let whole = criteria.clone();
        criteria.limits.retain(judged);
        Ok(Self::by(scenario, door, &criteria, &whole))
    }

    /// Judged by some of the whole criteria; a way back keeps all of them.
    fn by(scenario: &'a Scenario, door: Door, criteria: &Criteria, whole: &Criteria) -> Self {
        let Assessment { options, run, verdicts } = criteria.assess(&door, Effort::Everything);
        let ways_back = way_back::search(&door, &run, whole, &verdicts);
        let warnings = scenario.warnings(&door);
        let warm = warm_run(&door, &run, &options);
        Self { scenario, door, options, run, verdicts, ways_back, warm, warnings }
    }

    /// Each verdict with the way back.
    pub fn judgements(&self) -> impl Iterator<Item = (&Verdict, &WayBack)> {
        self.verdicts.iter().zip(&self.ways_back)
    }

    /// How many verdicts have this outcome.
    pub fn count(&self, outcome: Outcome) -> usize {
        self.verdicts.iter().filter(|verdict| verdict.outcome == outcome).count()
    }

    /// Whether the door did not open and close: what it was kept within then says nothing.
    pub fn is_unfinished(&self) -> bool {
        is_unfinished(&self.run)
    }

    /// How the door stands to all its limits.
    pub fn standing(&self) -> Standing {
        Standing::of(&self.door, &self.run, &self.verdicts)
    }

    /// What the run shows beside its figures.
    pub fn remarks(&self) -> Vec<Remark> {
        remarks(&self.door, &self.run, &self.verdicts, &[])
    }

    /// Whether the door fails, see [`Standing::fails`].
    pub fn fails(&self) -> bool {
        self.standing().fails()
    }

    /// Number of belt spans.
    pub fn spans(&self) -> usize {
        self.door.ring().spans.len()
    }
}

/// Why a force test could not be run.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ForceTestError {
    /// A gap that is as wide as the door.
    #[error(transparent)]
    Gap(#[from] GapTooWide),
    /// The door cannot be built.
    #[error(transparent)]
    Door(#[from] ReadError),
}
