//! For every limit that is over: the setting that brings it back, found by running the door again and again.

use tautleaf_physics::{Door, Judge, Outcome, Run, Verdict};
use tautleaf_trials::{Criteria, Remedy, in_parallel, remedy};

/// Sub-steps that all searches of one report may take together, at a guess: some seconds.
const MOST_SUBSTEPS: usize = 15_000_000;
/// Runs that one search takes at worst, at a guess.
const RUNS_OF_A_SEARCH: usize = 60;

/// The way back within a limit.
#[derive(Clone, Debug, PartialEq)]
pub enum WayBack {
    /// It is not over.
    NotNeeded,
    /// This setting does it.
    Setting(Remedy),
    /// No single setting within its usual range does it.
    NoSetting,
    /// It was not looked for, because this door takes long to compute.
    NotSearched,
}

impl WayBack {
    /// The setting, if one was found.
    pub fn setting(&self) -> Option<&Remedy> {
        match self {
            Self::Setting(remedy) => Some(remedy),
            _ => None,
        }
    }
}

/// The way back for each verdict, which must not break any of the criteria, judged here or not. Limits come before advice when there is
/// not time for all.
pub(crate) fn search(door: &Door, run: &Run, criteria: &Criteria, verdicts: &[Verdict]) -> Vec<WayBack> {
    let place_of = |verdict: &Verdict| criteria.limits.iter().position(|limit| *limit == verdict.limit);
    let over = |judge: Judge| {
        let is = move |verdict: &Verdict| verdict.outcome == Outcome::Over && verdict.limit.judge == judge;
        verdicts.iter().enumerate().filter(move |(_, verdict)| is(verdict)).map(|(index, _)| index)
    };
    let wanted: Vec<usize> = over(Judge::Limit).chain(over(Judge::Advisory)).collect();
    let cost = (run.samples.len() * run.substeps as usize * RUNS_OF_A_SEARCH).max(1);
    let searched = &wanted[..wanted.len().min(MOST_SUBSTEPS / cost)];
    let found = in_parallel(searched.len(), |n| remedy(door, criteria, place_of(&verdicts[searched[n]])?));

    let mut ways = vec![WayBack::NotNeeded; verdicts.len()];
    for &index in &wanted {
        ways[index] = WayBack::NotSearched;
    }
    for (&index, remedy) in searched.iter().zip(found) {
        ways[index] = remedy.map_or(WayBack::NoSetting, WayBack::Setting);
    }
    ways
}
