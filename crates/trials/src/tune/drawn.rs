//! Doors that are drawn to see how surely settings keep every limit.

use std::ops::ControlFlow;

use tautleaf_physics::Door;

use super::candidate::{Candidates, Kept};
use super::expected;
use super::tuning::{TuneError, Tuning};
use crate::in_order::in_order;
use crate::spread::{Probability, Sampling, Spread, Study, Undrawable, inputs_of};
use crate::watch::Stages;

/// Doors that were drawn, one row a door.
pub(super) struct Drawn {
    /// Each limit, last the slack strand.
    rows: Vec<Vec<Kept>>,
}

impl Drawn {
    /// Doors with these settings, drawn from what is never known on site.
    ///
    /// # Errors
    /// What spreads cannot be drawn.
    pub fn of(
        door: &Door,
        candidates: &Candidates<'_>,
        spreads: &[Spread],
        tuning: &Tuning,
        sampling: Sampling,
        stages: &Stages<'_>,
    ) -> Result<Self, TuneError> {
        let inputs = inputs_of(door, spreads).map_err(Undrawable)?;
        let study = Study::new(door, inputs, candidates.bench.clone(), tuning.seed, sampling);
        let mut rows = Vec::new();
        candidates.count(tuning.runs);
        stages.begin(expected::draws(tuning));
        let at_a_time = 1.0 / tuning.threads.max(1) as f64;
        let run = |index| {
            stages.step(at_a_time);
            study.row(index).trial
        };
        in_order(0..tuning.runs, tuning.threads, stages.stop(), run, |_, trial| {
            rows.push(candidates.row(&trial));
            ControlFlow::Continue(())
        });
        Ok(Self { rows })
    }

    /// The share of doors that keep everything, of all that were to be drawn: a draw that was stopped does not count for more.
    pub fn share_of(&self, runs: u64) -> f64 {
        self.all().times as f64 / runs.max(1) as f64
    }

    /// Whether some door judged this; what none judges is not counted, what others judge and one does not, it breaks.
    fn is_judged(&self, n: usize) -> bool {
        self.rows.iter().any(|row| row[n].0.is_some())
    }

    fn columns(&self) -> usize {
        self.rows.first().map_or(0, Vec::len)
    }

    /// All limits, and no strand slack.
    pub fn all(&self) -> Probability {
        let judged: Vec<usize> = (0..self.columns()).filter(|&n| self.is_judged(n)).collect();
        let whole = |row: &&Vec<Kept>| judged.iter().all(|&n| row[n].0 == Some(true));
        Probability::counted(self.rows.iter().filter(whole).count() as u64, self.rows.len() as u64)
    }

    /// Each limit.
    pub fn each(&self) -> Vec<Probability> {
        let kept = |n: usize| self.rows.iter().filter(|row| row[n].0 == Some(true)).count() as u64;
        let of = |n: usize| if self.is_judged(n) { self.rows.len() as u64 } else { 0 };
        (0..self.columns().saturating_sub(1)).map(|n| Probability::counted(kept(n), of(n))).collect()
    }

    /// Doors that have to be brought back for this share to keep everything: of the easiest that would do, the hardest and
    /// the one in the middle.
    pub fn hard(&self, share: f64) -> Vec<u64> {
        let judged: Vec<usize> = (0..self.columns()).filter(|&n| self.is_judged(n)).collect();
        let broken = |row: &[Kept]| {
            let by = |&n: &usize| match row[n] {
                (Some(true), _) => 0.0,
                (_, margin) => margin.map_or(1.0, |margin| (-margin).max(1e-9)),
            };
            judged.iter().map(by).sum::<f64>()
        };
        let doors = self.rows.iter().enumerate().map(|(index, row)| (broken(row), index as u64));
        let mut over: Vec<(f64, u64)> = doors.filter(|(broken, _)| *broken > 0.0).collect();
        over.sort_by(|a, b| a.0.total_cmp(&b.0));
        let allowed = ((1.0 - share) * self.rows.len() as f64) as usize;
        over.truncate(over.len().saturating_sub(allowed));
        let mut hard: Vec<u64> =
            over.last().into_iter().chain(over.get(over.len() / 2)).map(|o| o.1).collect();
        hard.dedup();
        hard
    }

    /// What the door's own margins have to be, so that drawn ones are broken in no more than this share of doors (eq. 51).
    pub fn need(&self, own: &[Kept], share: f64) -> Vec<f64> {
        let short = |n: usize| {
            let mut margins: Vec<f64> = self.rows.iter().filter_map(|row| row[n].1).collect();
            margins.sort_by(f64::total_cmp);
            let place = (share * margins.len() as f64).floor() as usize;
            let low = margins.get(place.min(margins.len().saturating_sub(1)))?;
            Some((own[n].1? - low).max(0.0))
        };
        (0..own.len()).map(|n| short(n).unwrap_or(0.0)).collect()
    }
}
