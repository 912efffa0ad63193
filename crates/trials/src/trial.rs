//! One door, run once for its figures and verdicts: what many trials are made of.

use tautleaf_physics::{
    CycleOptions, Door, Figure, ForceTest, Judge, Limit, Outcome, Parameters, Problems, cycle, judge,
};

/// What a trial measures and by what it is judged.
#[derive(Clone, Debug)]
pub struct Bench {
    /// How the door is run.
    pub options: CycleOptions,
    /// What it is judged by.
    pub limits: Vec<Limit>,
    /// Fraction of the allowed value within which a figure counts as close.
    pub close_margin: f64,
}

/// How much of the force test goes with a trial.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ForceEffort {
    /// None: limits on closing force are not judged.
    None,
    /// What the limits ask for, and the impact in any case.
    #[default]
    AsJudged,
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
}

impl Bench {
    /// A bench for a door: the gaps of the force test that are narrower than the door, and of that test and the
    /// stopping distance no more than the limits need.
    pub fn new(
        door: &Door,
        limits: Vec<Limit>,
        gaps_m: &[f64],
        close_margin: f64,
        effort: ForceEffort,
    ) -> Self {
        let figures: Vec<Figure> = limits.iter().filter_map(|limit| limit.figure).collect();
        let gaps: Vec<f64> = gaps_m.iter().copied().filter(|&gap| gap < door.clear_width_m()).collect();
        let force = match effort {
            ForceEffort::None => ForceTest::none(),
            ForceEffort::AsJudged => {
                ForceTest { gaps_m: gaps.clone(), impact: true, ..force_test_for(&figures, &gaps) }
            }
        };
        let options = CycleOptions {
            force,
            stopping: figures.contains(&Figure::StoppingDistance),
            keep_samples: false,
            ..CycleOptions::default()
        };
        Self { options, limits, close_margin }
    }

    /// Runs a door with these parameters.
    pub fn trial(&self, parameters: Parameters) -> Trial {
        match Door::try_from(parameters) {
            Ok(door) => self.run(&door),
            Err(Problems(_)) => Trial {
                ended: Ended::NotBuilt,
                figures: vec![None; Figure::ALL.len()],
                judged: vec![Judged { kept: None, margin: None }; self.limits.len()],
            },
        }
    }

    /// Runs a door that has been built.
    pub fn run(&self, door: &Door) -> Trial {
        let run = cycle(door, &self.options);
        let verdicts = judge(door, &run, &self.limits, self.close_margin);
        let judged = verdicts.iter().map(|verdict| Judged {
            kept: match verdict.outcome {
                Outcome::Within | Outcome::Close => Some(true),
                Outcome::Over => Some(false),
                Outcome::NotJudged => None,
            },
            // where nothing at all is allowed there is no fraction of it
            margin: verdict.margin.filter(|margin| margin.is_finite() && verdict.allowed != Some(0.0)),
        });
        Trial {
            ended: if run.finished || run.lost_power().is_some() { Ended::Done } else { Ended::Unfinished },
            figures: Figure::ALL.iter().map(|&figure| run.figures.get(figure)).collect(),
            judged: judged.collect(),
        }
    }

    /// The limits that may fail a door and that a trial did not judge, by their place; `None`: it breaks one that it
    /// did, or does not do what it is told.
    ///
    /// What no trial of a study judges is not counted; what others judge and this one does not, it breaks.
    pub fn unjudged(&self, trial: &Trial) -> Option<Vec<usize>> {
        let may_fail = |&n: &usize| self.limits[n].judge == Judge::Limit;
        let limits = || (0..self.limits.len()).filter(may_fail);
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

/// The parts of the force test that these figures come from.
pub fn force_test_for(figures: &[Figure], gaps_m: &[f64]) -> ForceTest {
    let any = |wanted: &[Figure]| figures.iter().any(|figure| wanted.contains(figure));
    let stall = any(&[Figure::StallForce, Figure::StallForceLast50]);
    let whole = any(&[Figure::ForceAfter750, Figure::ResidualForce, Figure::TimeAbove150]);
    let impact = whole || any(&[Figure::ImpactForce]);
    if stall || impact {
        ForceTest { gaps_m: gaps_m.to_vec(), stall, impact, whole }
    } else {
        ForceTest::none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_more_of_the_force_test_is_run_than_the_figures_need() {
        let gaps = [0.3];
        assert_eq!(force_test_for(&[Figure::PeakEnergyLeaf], &gaps), ForceTest::none());
        let impact = force_test_for(&[Figure::ImpactForce], &gaps);
        assert!(impact.impact && !impact.stall && !impact.whole);
        let residual = force_test_for(&[Figure::ResidualForce], &gaps);
        assert!(residual.impact && residual.whole && !residual.stall);
        assert!(force_test_for(&[Figure::StallForceLast50], &gaps).stall);
    }

    #[test]
    fn a_door_that_loses_power_does_what_it_was_told() {
        let mut p = Parameters::default();
        p.timeline.power_lost_s = Some(1.0);
        let door = Door::try_from(p.clone()).unwrap();
        let bench = Bench::new(&door, Vec::new(), &[], 0.1, ForceEffort::AsJudged);
        assert!(bench.unjudged(&bench.trial(p)).is_some());
    }

    #[test]
    fn numbers_that_make_no_door_are_a_trial_that_was_not_built() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let bench = Bench::new(&door, Vec::new(), &[0.3, 5.0], 0.1, ForceEffort::AsJudged);
        assert_eq!(bench.options.force.gaps_m, [0.3]);
        let mut p = Parameters::default();
        p.leaf.mass_kg = f64::NAN;
        let trial = bench.trial(p);
        assert_eq!(trial.ended, Ended::NotBuilt);
        assert!(bench.unjudged(&trial).is_none() && trial.figures.iter().all(Option::is_none));
        assert!(bench.trial(Parameters::default()).get(Figure::ImpactForce).is_some());
    }
}
