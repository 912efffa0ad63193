//! What the present door does: one run, judged. Cheap enough to be made anew at every move of a slider.

use std::cell::OnceCell;

use tautleaf_physics::{
    CycleOptions, Door, EventKind, Felt, ForceTest, GapForce, MAX_LEAVES, Moment, Outcome, Run, Sample,
    Verdict, cycle, felt, winding_temperatures,
};
use tautleaf_scenario::{FileProblem, ReadError, Scenario};
use tautleaf_trials::{Criteria, Effort};

use crate::outside::both;

/// Gaps at which the impact force over the whole travel is computed, and while a slider moves.
const PROFILE_GAPS: usize = 17;
const QUICK_PROFILE_GAPS: usize = 9;
/// Distance of the first and last of them from the ends, m.
const PROFILE_EDGE_M: f64 = 0.015;

/// One run of a door against its limits.
#[derive(Clone)]
pub struct Live {
    /// The checked door.
    pub door: Door,
    /// Its opening and closing, with the force test at the gaps of the scenario.
    pub run: Run,
    /// What it is judged by; the limits in the order of `verdicts`.
    pub criteria: Criteria,
    /// What became of each limit.
    pub verdicts: Vec<Verdict>,
    /// Whether it was run while a slider moves.
    quick: bool,
    /// Impact force over the whole travel, once it was asked for.
    profile: OnceCell<Vec<GapForce>>,
    /// What is felt on each leaf, once it was asked for.
    felt: [OnceCell<Vec<Felt>>; MAX_LEAVES],
    /// Temperature of the winding, once it was asked for.
    winding: OnceCell<Vec<f64>>,
    /// The same with stall and residual force, once work in the background has brought it.
    pub whole_profile: Option<Vec<GapForce>>,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl Live {
    /// Runs and judges a scenario as thoroughly as it goes.
    ///
    /// # Errors
    /// Everything that keeps its door from being run.
    pub fn of(scenario: &Scenario) -> Result<Self, ReadError> {
        Self::in_detail(scenario, Detail { quick: false, with_profile: false })
    }

    /// Runs and judges a scenario.
    ///
    /// # Errors
    /// Everything that keeps its door from being run.
    pub fn in_detail(scenario: &Scenario, detail: Detail) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let criteria = scenario.criteria();
        let mut options = criteria.options(&door, Effort::Everything);
        if detail.quick {
            // What no limit needs takes longer than the whole cycle: while a slider moves it is left out.
            let needed = ForceTest::for_limits(&door, &criteria.limits, criteria.gaps_m.as_deref());
            (options.force.whole, options.force.stall, options.force.rear) =
                (needed.whole, needed.stall, needed.rear);
        }
        options.stopping = criteria.options(&door, Effort::AsJudged).stopping;
        let (run, known) = if detail.with_profile {
            let (profile, run) = both(|| profile(&door, detail.quick), || cycle(&door, &options));
            (run, OnceCell::from(profile))
        } else {
            (cycle(&door, &options), OnceCell::new())
        };
        let verdicts = criteria.judge(&door, &run);
        let warnings = scenario.warnings(&door);
        Ok(Self {
            door,
            run,
            criteria,
            verdicts,
            quick: detail.quick,
            profile: known,
            felt: Default::default(),
            winding: OnceCell::new(),
            whole_profile: None,
            warnings,
        })
    }

    /// Impact force over the whole travel. Costs as much as the run itself the first time.
    pub fn profile(&self) -> &[GapForce] {
        self.profile.get_or_init(|| profile(&self.door, self.quick))
    }

    /// The same, if it was worked out.
    pub fn profile_known(&self) -> Option<&[GapForce]> {
        self.profile.get().map(Vec::as_slice)
    }

    /// Acceleration and jerk of a leaf at each sample.
    pub fn felt(&self, leaf: usize) -> &[Felt] {
        let tick_s = self.door.parameters().controller.tick_s;
        self.felt[leaf].get_or_init(|| felt(&self.run.samples, leaf, tick_s))
    }

    /// Temperature of the winding at each sample once the duty was kept up for hours, C; empty: it finds no end.
    pub fn winding(&self) -> &[f64] {
        self.winding.get_or_init(|| winding_temperatures(&self.door, &self.run).unwrap_or_default())
    }

    /// When and where the run ends.
    pub fn end(&self) -> Moment {
        self.run.samples.last().map_or(Moment { t_s: 0.0, clear_opening_m: 0.0 }, moment_of)
    }

    /// Index of the sample at a time, or of the last one before it.
    pub fn index_at(&self, t_s: f64) -> usize {
        self.run.samples.partition_point(|sample| sample.t_s <= t_s + 1e-9).saturating_sub(1)
    }

    /// The sample at a time, or the last one before it.
    pub fn sample_at(&self, t_s: f64) -> Option<&Sample> {
        self.run.samples.get(self.index_at(t_s))
    }

    /// The moment at a time.
    pub fn moment_at(&self, t_s: f64) -> Option<Moment> {
        Some(Moment { t_s, clear_opening_m: self.sample_at(t_s)?.clear_opening_m })
    }

    /// The sample of the way closed that is nearest to a clear opening.
    pub fn closing_sample_at(&self, opening_m: f64) -> Option<&Sample> {
        let closing = &self.run.samples[self.closing_from()..];
        let away = |sample: &&Sample| (sample.clear_opening_m - opening_m).abs();
        closing.iter().min_by(|a, b| away(a).total_cmp(&away(b)))
    }

    /// Index of the first sample of the last way closed.
    pub fn closing_from(&self) -> usize {
        let closes = |event: &&tautleaf_physics::Event| event.kind == EventKind::CommandClose;
        let command = self.run.events.iter().rev().find(closes).map_or(0.0, |event| event.at.t_s);
        self.run.samples.partition_point(|sample| sample.t_s < command - 1e-9)
    }

    /// Number of limits with this outcome.
    pub fn count(&self, outcome: Outcome) -> usize {
        self.verdicts.iter().filter(|verdict| verdict.outcome == outcome).count()
    }
}

/// How thoroughly a door is run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Detail {
    /// While a slider moves: what can wait is left out.
    pub quick: bool,
    /// With the impact force over the whole travel at once, on another core.
    pub with_profile: bool,
}

/// When and where a sample is.
pub fn moment_of(sample: &Sample) -> Moment {
    Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m }
}

/// Impact force over the whole travel, forked off the closing run of the same cycle.
fn profile(door: &Door, quick: bool) -> Vec<GapForce> {
    let gaps_m = profile_gaps(door, if quick { QUICK_PROFILE_GAPS } else { PROFILE_GAPS });
    let force = ForceTest { gaps_m, impact: true, ..ForceTest::none() };
    cycle(door, &CycleOptions { force, keep_samples: false, ..CycleOptions::default() }).force
}

/// Impact, stall and residual force over the whole travel. Costs much more than a run.
pub fn whole_profile(door: &Door) -> Vec<GapForce> {
    let force = ForceTest::at(&profile_gaps(door, PROFILE_GAPS));
    cycle(door, &CycleOptions { force, keep_samples: false, ..CycleOptions::default() }).force
}

/// Gaps over the whole travel, closer to each other near its ends, where the speed changes.
fn profile_gaps(door: &Door, count: usize) -> Vec<f64> {
    let width = door.clear_width_m();
    let edge = PROFILE_EDGE_M.min(width / 4.0);
    let part = |n: usize| 0.5 - 0.5 * (std::f64::consts::PI * n as f64 / (count - 1) as f64).cos();
    (0..count).map(|n| edge + (width - 2.0 * edge) * part(n)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A slider that moves shows the same peaks, curves and verdicts as one that was let go.
    #[test]
    fn a_quick_run_says_the_same_of_what_it_says() {
        let scenario = crate::example::scenario();
        let whole = Live::of(&scenario).expect("a door");
        let quick = Live::in_detail(&scenario, Detail { quick: true, with_profile: true }).expect("a door");
        assert_eq!(quick.run.samples, whole.run.samples);
        assert_eq!(quick.verdicts, whole.verdicts);
        assert_eq!(quick.profile().len(), QUICK_PROFILE_GAPS);
    }

    /// Between its gaps the curve is a straight line: how far that is off is told by gaps that it was not made from.
    #[test]
    fn the_curve_of_impact_forces_goes_through_the_tested_gaps() {
        let live = Live::of(&crate::example::scenario()).expect("a door");
        for tested in &live.run.force {
            let exact = tested.impact_force_n.expect("it is met");
            let pair = live.profile().windows(2).find(|pair| pair[1].gap_m >= tested.gap_m).expect("within");
            let part = (tested.gap_m - pair[0].gap_m) / (pair[1].gap_m - pair[0].gap_m);
            let (a, b) = (pair[0].impact_force_n.expect("met"), pair[1].impact_force_n.expect("met"));
            let read = a + part * (b - a);
            assert!((read / exact - 1.0).abs() < 0.03, "{} m: {read} on the curve, {exact} N", tested.gap_m);
        }
    }
}
