//! The one judge: limits -> what has to be run -> run -> verdicts -> whether the door fails. Every command and the window ask it.

use crate::sound::{broken, is_balance_open, sound_beside};
use tautleaf_physics::{
    CycleOptions, Door, Figure, ForceTest, Limit, Needs, Outcome, Run, Verdict, cycle, judge,
};

/// What a door is judged by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Criteria {
    /// The limits.
    pub limits: Vec<Limit>,
    /// Fraction of the allowed value within which a figure counts as close, 0 to 1.
    pub close_margin: f64,
    /// Gaps at which the user wants the force test, m; `None`: those that the limits need.
    pub gaps_m: Option<Vec<f64>>,
}

/// How much is measured beside the cycle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Effort {
    /// No force test: limits on it are not judged.
    NoForceTest,
    /// What the limits need that may fail a door: advisory ones on the force test are not judged.
    MayFail,
    /// What the limits need, and no more.
    #[default]
    AsJudged,
    /// The same, and the impact force in any case.
    WithImpact,
    /// The whole force test and the stopping distance, whether or not a limit needs them.
    Everything,
}

/// A door, run and judged.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// How it was run.
    pub options: CycleOptions,
    /// What it did.
    pub run: Run,
    /// What became of each limit.
    pub verdicts: Vec<Verdict>,
}

impl Criteria {
    /// How a door has to be run to be judged by these limits.
    pub fn options(&self, door: &Door, effort: Effort) -> CycleOptions {
        let gaps = self.gaps_m.as_deref();
        let needed = |limits: &[Limit]| ForceTest::for_limits(door, limits, gaps);
        let needs = self.limits.iter().filter_map(|limit| limit.figure).map(Figure::needs);
        let stops = needs.into_iter().any(|needs| matches!(needs, Needs::Beam));
        CycleOptions {
            force: match effort {
                Effort::NoForceTest => ForceTest::none(),
                Effort::MayFail => {
                    let may_fail = self.limits.iter().filter(|limit| limit.may_fail()).cloned();
                    needed(&may_fail.collect::<Vec<_>>())
                }
                Effort::AsJudged => needed(&self.limits),
                Effort::WithImpact => {
                    let needed = needed(&self.limits);
                    let ForceTest { stall, whole, rear, .. } = needed;
                    ForceTest { stall, whole, rear, ..ForceTest::everything(door, &self.limits, gaps) }
                }
                Effort::Everything => ForceTest::everything(door, &self.limits, gaps),
            },
            stopping: stops || effort == Effort::Everything,
            keep_samples: effort == Effort::Everything,
            ..CycleOptions::default()
        }
    }

    /// Runs a door and judges it.
    pub fn assess(&self, door: &Door, effort: Effort) -> Assessment {
        self.assess_with(door, &self.options(door, effort))
    }

    /// Runs a door as it is told and judges it.
    pub fn assess_with(&self, door: &Door, options: &CycleOptions) -> Assessment {
        let run = cycle(door, options);
        let verdicts = self.judge(door, &run);
        Assessment { options: options.clone(), run, verdicts }
    }

    /// Judges a run.
    pub fn judge(&self, door: &Door, run: &Run) -> Vec<Verdict> {
        judge(door, run, &self.limits, self.close_margin)
    }

    /// The same, with what a sound door keeps as limits among the others.
    ///
    /// One that the user has a limit of their own on the same figure for is the user's to set.
    pub fn with_soundness(&self) -> Self {
        let more = sound_beside(&self.limits.iter().collect::<Vec<_>>());
        Self { limits: self.limits.iter().cloned().chain(more).collect(), ..self.clone() }
    }

    /// The same limits with another margin.
    pub fn with_margin(&self, close_margin: f64) -> Self {
        Self { close_margin, ..self.clone() }
    }

    /// One of the limits alone.
    pub fn only(&self, limit: &Limit) -> Self {
        Self { limits: vec![limit.clone()], ..self.clone() }
    }
}

/// Whether a limit that may fail a door is over.
pub fn fails(verdict: &Verdict) -> bool {
    verdict.limit.may_fail() && verdict.outcome == Outcome::Over
}

/// Whether the door did not do what it was told: open and close, or lose power. What it is kept within then says nothing.
pub fn is_unfinished(run: &Run) -> bool {
    !run.finished && run.lost_power().is_none()
}

/// Whether a limit that may fail a door was left unjudged for want of a force test that could have been made.
pub fn is_untested(verdict: &Verdict) -> bool {
    let of_force_test = verdict.limit.figure.is_some_and(Figure::is_of_force_test);
    verdict.limit.may_fail() && of_force_test && verdict.outcome == Outcome::NotJudged
}

/// How a door stands to all its limits, in the order of what matters more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It did not do what it was told; with so many limits over.
    Unfinished(usize),
    /// So many limits that may fail it are over.
    Over(usize),
    /// Nothing is over, but so many limits that may fail it were not tested where it matters, or none was judged at all.
    NotJudged(usize),
    /// No limits are set.
    NoLimits,
    /// So many advisory values are exceeded, and no limit.
    OverAdvisory(usize),
    /// So many things that a sound door does not have, and no limit is over.
    Unsound(usize),
    /// So many figures are close to what is allowed.
    Close(usize),
    /// Everything that was judged is within.
    Within,
}

impl Standing {
    /// Of a run of a door and its verdicts.
    pub fn of(door: &Door, run: &Run, verdicts: &[Verdict]) -> Self {
        let count = |of: &dyn Fn(&Verdict) -> bool| verdicts.iter().filter(|verdict| of(verdict)).count();
        let with = |outcome: Outcome| count(&|verdict: &Verdict| verdict.outcome == outcome);
        let open = |verdict: &Verdict| {
            !run.is_relied_on() && verdict.limit.may_fail() && verdict.outcome == Outcome::NotJudged
        };
        let (over, untested) = (count(&fails), count(&|verdict| is_untested(verdict) || open(verdict)));
        let unsound = broken(door, run, verdicts).len() + usize::from(is_balance_open(run));
        let (close, within) = (with(Outcome::Close), with(Outcome::Within));
        match with(Outcome::Over) - over {
            _ if is_unfinished(run) => Self::Unfinished(over),
            _ if over > 0 => Self::Over(over),
            _ if untested > 0 => Self::NotJudged(untested),
            _ if verdicts.is_empty() => Self::NoLimits,
            _ if unsound > 0 => Self::Unsound(unsound),
            advisory if advisory > 0 => Self::OverAdvisory(advisory),
            _ if close > 0 => Self::Close(close),
            _ if within > 0 => Self::Within,
            _ => Self::NotJudged(0),
        }
    }

    /// Whether the door fails: a limit is over or was not tested, or the door did not do what it was told.
    pub fn fails(self) -> bool {
        matches!(self, Self::Unfinished(_) | Self::Over(_) | Self::NotJudged(_))
    }

    /// Its name in data.
    pub fn name(self) -> &'static str {
        match self {
            Self::Unfinished(_) => "unfinished",
            Self::Over(_) => "over",
            Self::NotJudged(_) => "not-judged",
            Self::NoLimits => "no-limits",
            Self::OverAdvisory(_) => "over-advisory",
            Self::Unsound(_) => "unsound",
            Self::Close(_) => "close",
            Self::Within => "within",
        }
    }

    /// The outcome that it is shown as.
    pub fn outcome(self) -> Outcome {
        match self {
            Self::Unfinished(_) | Self::Over(_) => Outcome::Over,
            Self::NotJudged(_) | Self::NoLimits => Outcome::NotJudged,
            Self::OverAdvisory(_) | Self::Unsound(_) | Self::Close(_) => Outcome::Close,
            Self::Within => Outcome::Within,
        }
    }
}

impl Assessment {
    /// How the door that was assessed stands.
    pub fn standing(&self, door: &Door) -> Standing {
        Standing::of(door, &self.run, &self.verdicts)
    }

    /// Whether a limit that may fail a door is over.
    pub fn is_over(&self) -> bool {
        self.verdicts.iter().any(fails)
    }

    /// Whether the door did not do what it was told.
    pub fn is_unfinished(&self) -> bool {
        is_unfinished(&self.run)
    }
}
