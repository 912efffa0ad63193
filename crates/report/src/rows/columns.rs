//! What stands in the columns of rows.

use tautleaf_physics::Figure;
use tautleaf_trials::spread::Study;
use tautleaf_trials::{Bench, Ended, Sweep, figures_of, names_of};

/// What stands in each column.
#[derive(Clone, Debug, PartialEq)]
pub struct Columns {
    /// Keys of what was set, SI.
    pub inputs: Vec<String>,
    /// Figures, SI.
    pub figures: Vec<Figure>,
    /// Names of the limits: whether each was kept, and its margin.
    pub limits: Vec<String>,
}

impl Columns {
    fn of(inputs: Vec<String>, bench: &Bench) -> Self {
        Self { inputs, figures: figures_of(bench), limits: names_of(&bench.criteria.limits) }
    }

    /// Of a tolerance study.
    pub fn of_spread(study: &Study) -> Self {
        Self::of(study.inputs.iter().map(|input| input.settable.key()).collect(), &study.bench)
    }

    /// Of a sweep.
    pub fn of_sweep(sweep: &Sweep) -> Self {
        Self::of(sweep.axes.iter().map(|axis| axis.settable.key()).collect(), &sweep.bench)
    }

    /// Their names, in order.
    pub fn names(&self) -> Vec<String> {
        let mut names = vec!["index".to_owned(), "ended".to_owned()];
        names.extend(self.inputs.iter().cloned());
        names.extend(self.figures.iter().map(|figure| figure.name().to_owned()));
        for limit in &self.limits {
            names.extend([format!("{limit}.kept"), format!("{limit}.margin")]);
        }
        names
    }
}

/// The word for how a trial ended.
pub(crate) fn ended(ended: Ended) -> &'static str {
    match ended {
        Ended::Done => "done",
        Ended::Unfinished => "unfinished",
        Ended::NotBuilt => "not-built",
    }
}
