//! One door, run once for its figures and verdicts: what many trials are made of.

use tautleaf_physics::{Door, Figure, Outcome, Parameters, Problems};

use crate::assess::{Criteria, Effort, is_untested};

/// What a trial measures and by what it is judged.
#[derive(Clone, Debug)]
pub struct Bench {
    /// What it is judged by.
    pub criteria: Criteria,
    /// How much of the force test goes with it.
    pub effort: Effort,
}

/// How a trial ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The door opened and closed, or lost power as its timeline has it.
    Done,
    /// It did not open and close.
    Unfinished,
    /// These numbers make no door that can be built.
    NotBuilt,
}

/// What came out of a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// How it ended.
    pub ended: Ended,
    /// Every figure in the order of [`Figure::ALL`], SI; `None`: this run does not give it.
    pub figures: Vec<Option<f64>>,
    /// What became of each limit.
    pub judged: Vec<Judged>,
}

/// What became of one limit in a trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// Whether it was kept; `None`: not judged.
    pub kept: Option<bool>,
    /// Fraction of the allowed value that is left; negative: over by that much. `None`: not judged, or nothing at
    /// all is allowed.
    pub margin: Option<f64>,
    /// Whether it was left unjudged for want of a force test that could have been made.
    pub untested: bool,
}

impl Bench {
    /// Runs a door with these parameters.
    pub fn trial(&self, parameters: Parameters) -> Trial {
        match Door::try_from(parameters) {
            Ok(door) => self.run(&door),
            Err(Problems(_)) => Trial {
                ended: Ended::NotBuilt,
                figures: vec![None; Figure::ALL.len()],
                judged: vec![
                    Judged { kept: None, margin: None, untested: false };
                    self.criteria.limits.len()
                ],
            },
        }
    }

    /// Runs a door that has been built.
    pub fn run(&self, door: &Door) -> Trial {
        let assessment = self.criteria.assess(door, self.effort);
        let run = &assessment.run;
        let judged = assessment.verdicts.iter().map(|verdict| Judged {
            kept: match verdict.outcome {
                Outcome::Within | Outcome::Close => Some(true),
                Outcome::Over => Some(false),
                Outcome::NotJudged => None,
            },
            untested: is_untested(verdict),
            margin: verdict.share_left(),
        });
        Trial {
            ended: if assessment.is_unfinished() { Ended::Unfinished } else { Ended::Done },
            figures: Figure::ALL.iter().map(|&figure| run.figures.get(figure)).collect(),
            judged: judged.collect(),
        }
    }

    /// The limits that may fail a door and that a trial did not judge, by their place; `None`: it breaks one that it
    /// did, or does not do what it is told.
    ///
    /// What no trial of a study judges is not counted; what others judge and this one does not, it breaks.
    pub fn unjudged(&self, trial: &Trial) -> Option<Vec<usize>> {
        let limits = || (0..self.criteria.limits.len()).filter(|&n| self.criteria.limits[n].may_fail());
        let broken = limits().any(|n| trial.judged[n].kept == Some(false));
        (trial.ended == Ended::Done && !broken)
            .then(|| limits().filter(|&n| trial.judged[n].kept.is_none()).collect())
    }
}

impl Trial {
    /// A figure, SI, if the run gave it.
    pub fn get(&self, figure: Figure) -> Option<f64> {
        self.figures.get(figure as usize).copied().flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_door_that_loses_power_does_what_it_was_told() {
        let mut p = Parameters::default();
        p.timeline.power_lost_s = Some(1.0);
        let bench = Bench { criteria: Criteria::default(), effort: Effort::WithImpact };
        assert!(bench.unjudged(&bench.trial(p)).is_some());
    }

    #[test]
    fn numbers_that_make_no_door_are_a_trial_that_was_not_built() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let criteria = Criteria { gaps_m: Some(vec![0.3, 5.0]), ..Criteria::default() };
        let bench = Bench { criteria, effort: Effort::WithImpact };
        assert_eq!(bench.criteria.options(&door, bench.effort).force.gaps_m, [0.3]);
        let mut p = Parameters::default();
        p.leaf.mass_kg = f64::NAN;
        let trial = bench.trial(p);
        assert_eq!(trial.ended, Ended::NotBuilt);
        assert!(bench.unjudged(&trial).is_none() && trial.figures.iter().all(Option::is_none));
        assert!(bench.trial(Parameters::default()).get(Figure::ImpactForce).is_some());
    }
}
