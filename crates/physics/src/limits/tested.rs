//! Which force test limits need: said once.

use crate::door::Door;
use crate::figure_row::Needs;
use crate::figures::Figure;
use crate::limits::Limit;
use crate::options::{DEFAULT_GAPS_M, ForceTest};
use crate::run::GapRange;

impl ForceTest {
    /// What these limits need on this door, and no more: the one place that says so.
    ///
    /// `gaps_m`: the gaps of the user, as far as the door is wide enough; `None`: those of the usual test, the upper end of each band
    /// and where the leaf closes fastest within each.
    pub fn for_limits(door: &Door, limits: &[Limit], gaps_m: Option<&[f64]>) -> Self {
        let needs = || limits.iter().filter_map(|limit| limit.figure).map(Figure::needs);
        let stall = needs().any(|needs| matches!(needs, Needs::Stall(_)));
        let whole = needs().any(|needs| matches!(needs, Needs::Whole(_)));
        let impact = whole || needs().any(|needs| matches!(needs, Needs::Impact(_)));
        let rear = needs().any(|needs| matches!(needs, Needs::Rear(_)));
        if !stall && !impact {
            return Self { rear, ..Self::none() };
        }
        let everything = Self { rear, ..Self::everything(door, limits, gaps_m) };
        if !impact {
            // a stall begins at rest: where the leaf is fastest does not matter
            return Self { ranges: Vec::new(), fastest: false, impact, whole, ..everything };
        }
        Self { stall, impact, whole, ..everything }
    }

    /// Stall, impact and residual force at the gaps of [`for_limits`](Self::for_limits), whether or not a limit needs them.
    pub fn everything(door: &Door, limits: &[Limit], gaps_m: Option<&[f64]>) -> Self {
        let ruled = |of_speed: bool| {
            let wanted = move |limit: &&Limit| {
                limit
                    .figure
                    .is_some_and(|figure| figure.is_closing_force() && !(of_speed && figure.is_stall()))
            };
            limits.iter().filter(wanted).flat_map(Limit::ruled_ranges)
        };
        let mut ranges: Vec<GapRange> = Vec::new();
        for range in ruled(true) {
            if !ranges.contains(&range) {
                ranges.push(range);
            }
        }
        if ranges.is_empty() {
            ranges.push(GapRange::WHOLE);
        }
        let ends = ruled(false).map(|range| range.to_m).filter(|to_m| to_m.is_finite());
        let mut gaps: Vec<f64> = match gaps_m {
            Some(gaps) => gaps.to_vec(),
            None => DEFAULT_GAPS_M.into_iter().chain(ends).collect(),
        };
        gaps.retain(|gap| *gap < door.clear_width_m());
        gaps.sort_by(f64::total_cmp);
        gaps.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        Self {
            gaps_m: gaps,
            ranges,
            fastest: gaps_m.is_none(),
            stall: true,
            impact: true,
            whole: true,
            rear: true,
        }
    }
}
