//! Limits on the force test, gap by gap.

use crate::door::Door;
use crate::fields::Quantity;
use crate::figure_row::Needs;
use crate::figures::Figure;
use crate::limits::{Band, Limit, Outcome, Verdict, outcome};
use crate::moment::Moment;
use crate::rear_test::{self, REAR_GAPS_M};
use crate::result::Run;
use crate::run::{EventKind, GapForce, RearForce};
use crate::why_absent::why_absent;

/// The margin within which a force counts as close: the wanted one, or that which keeps F (1 + U) <= L if it is greater.
///
/// ```text
/// F (1 + U) <= L   <=>   (L - F)/L >= U/(1 + U)        (49)
/// ```
///
/// A time or a travel is not read off the tester's force: for it the wanted margin stands.
fn guarded(close: f64, door: &Door, figure: Option<Figure>) -> f64 {
    if !is_force(figure) {
        return close;
    }
    let uncertainty = door.parameters().tester.uncertainty;
    close.max(uncertainty / (1.0 + uncertainty))
}

fn is_force(figure: Option<Figure>) -> bool {
    figure.is_some_and(|figure| figure.quantity() == Quantity::Force)
}

/// A gap tests a band where it is this near to the band's upper end or to its fastest place, as a part of either.
const NEAR: f64 = 0.05;

/// Each gap against its band; the gap with the least margin is reported.
///
/// A limit that no tested gap exceeds is judged only if every band that the door passes was tested at its upper end or where the
/// leaf closes fastest in it: the impact depends on the speed.
pub(crate) fn by_gap(door: &Door, run: &Run, mut verdict: Verdict, close: f64) -> Verdict {
    let bands = verdict.limit.bands();
    let Some(at_gap) = verdict.limit.figure.and_then(|figure| figure.needs().at_gap()) else {
        return verdict;
    };
    let reads = reads(door, verdict.limit.figure);
    let judged_at = |gap| {
        let gap: &GapForce = gap;
        let (band, value) = (*bands.iter().find(|band| band.holds(gap.gap_m))?, reads * at_gap(gap)?);
        Some((margin_of(value, band), value, band, gap))
    };
    // where nothing is allowed no margin tells one from another
    let is_worse = |b: &(f64, f64, Band, &GapForce), a: &(f64, f64, Band, &GapForce)| {
        b.0 < a.0 && a.0.is_finite() || b.2.at_most == 0.0 && a.2.at_most == 0.0 && b.1 > a.1
    };
    let worst = run.force.iter().filter_map(judged_at).reduce(|a, b| if is_worse(&b, &a) { b } else { a });
    let Some((margin, value, band, gap)) = worst else {
        let untested = untested(door, run, &verdict.limit).filter(|_| !run.force.is_empty());
        verdict.why = Some(untested.unwrap_or_else(|| why_absent(door, run, verdict.limit.figure)));
        return verdict;
    };
    verdict.value = Some(value);
    verdict.allowed = Some(band.at_most);
    verdict.margin = Some(margin);
    verdict.gap_m = Some(gap.gap_m);
    let touched = gap.touched_at_s.filter(|_| !verdict.limit.figure.is_some_and(Figure::is_stall));
    verdict.at = touched.map(|t_s| Moment { t_s, clear_opening_m: gap.gap_m });
    let close = guarded(close, door, verdict.limit.figure);
    // nothing allowed and nothing found leaves no margin and needs none
    let nothing = band.at_most == 0.0 && value == 0.0;
    verdict.outcome = if nothing { Outcome::Within } else { outcome(margin, close) };
    if verdict.outcome != Outcome::Over
        && let Some(why) = untested(door, run, &verdict.limit)
    {
        verdict.outcome = Outcome::NotJudged;
        verdict.why = Some(why);
    }
    verdict
}

/// Why a limit on the force test is not judged although no tested gap exceeds it; `None`: it is.
fn untested(door: &Door, run: &Run, limit: &Limit) -> Option<String> {
    let figure = limit.figure?;
    let at_gap = figure.needs().at_gap()?;
    let width_m = door.clear_width_m();
    let depends_on_speed = matches!(figure.needs(), Needs::Impact(_) | Needs::Whole(_));
    let missed = |gap: &&GapForce| depends_on_speed && gap.gap_m < width_m && at_gap(gap).is_none();
    if let Some(gap) = run.force.iter().find(missed) {
        return Some(format!("the leaf never reached the gap of {:.0} mm", 1000.0 * gap.gap_m));
    }
    let ranges = limit.ruled_ranges().into_iter();
    ranges.filter(|range| range.above_m < width_m).find_map(|range| {
        let tested = || run.force.iter().filter(|gap| range.holds(gap.gap_m) && at_gap(gap).is_some());
        let between = if range.to_m.is_finite() {
            format!("up to {:.0} mm", 1000.0 * range.to_m)
        } else {
            format!("above {:.0} mm", 1000.0 * range.above_m)
        };
        if !depends_on_speed {
            return tested().next().is_none().then(|| format!("no gap {between} was tested"));
        }
        let fastest = run.fastest.iter().find(|place| place.range == range);
        let Some(fastest) = fastest else {
            return Some(format!("the fastest place {between} is not known: the leaf never closed there"));
        };
        // no gap is near to the end of a range that has none
        let near = |gap: &GapForce, place_m: f64| {
            place_m.is_finite() && (gap.gap_m - place_m).abs() <= NEAR * place_m
        };
        let covered = tested().any(|gap| near(gap, range.to_m) || near(gap, fastest.gap_m));
        (!covered).then(|| {
            format!(
                "nothing was tested where the leaf is fastest {between}: test a gap of {:.0} mm too",
                1000.0 * fastest.gap_m
            )
        })
    })
}

/// Why the force test behind an open leaf is not judged where the way to what stands there is not known.
const NOT_MEASURED_BEHIND: &str = "measure the distance behind the open leaf (rear.clearance): within 500 mm the opening movement is tested too";

/// Each gap behind each leaf against its band; the one with the least margin is reported.
///
/// Where the door opened and no leaf came as near to the next fixed part as a gap of the test, there is no force at that gap.
pub(crate) fn behind(door: &Door, run: &Run, mut verdict: Verdict, close: f64) -> Verdict {
    let Some((figure, at_gap)) =
        verdict.limit.figure.and_then(|figure| Some((figure, figure.needs().behind()?)))
    else {
        return verdict;
    };
    let not_judged = |why: &str| Verdict { why: Some(why.to_owned()), ..verdict.clone() };
    let Some(clearance_m) = door.parameters().rear.clearance_m else {
        return not_judged(NOT_MEASURED_BEHIND);
    };
    if run.figures.get(figure).is_none() {
        return not_judged(&why_absent(door, run, Some(figure)));
    }
    let opened = run.events.iter().any(|event| event.kind == EventKind::ArrivedOpen);
    let bands = verdict.limit.bands();
    let reads = reads(door, Some(figure));
    let judged_at = |rear: &RearForce| {
        let (leaf, test) = (rear.leaf, &rear.test);
        let band = *bands.iter().find(|band| band.holds(test.gap_m))?;
        let none_met = opened && rear_test::is_at_the_end(door, test.gap_m);
        let value = reads * at_gap(test).or(none_met.then_some(0.0))?;
        Some((margin_of(value, band), value, band, leaf, test.gap_m, test.touched_at_s))
    };
    let judged = run.rear.iter().filter_map(judged_at);
    let Some((margin, value, band, leaf, gap_m, touched)) =
        judged.reduce(|a, b| if b.0 < a.0 { b } else { a })
    else {
        let widest_m = REAR_GAPS_M[REAR_GAPS_M.len() - 1];
        if !run.rear.is_empty() || !opened {
            return not_judged("none of its ranges of gaps is one that the open leaf passes");
        }
        verdict.value = Some(0.0);
        verdict.allowed = bands.first().map(|band| band.at_most);
        verdict.margin = Some(1.0);
        verdict.outcome = Outcome::Within;
        verdict.why = Some(format!(
            "nothing stands behind the open leaf where it is tested: {:.0} mm are free, {:.0} mm count",
            1000.0 * (clearance_m + door.parameters().leaf.stroke_m - door.travel_m()),
            1000.0 * widest_m
        ));
        return verdict;
    };
    verdict.value = Some(value);
    verdict.allowed = Some(band.at_most);
    verdict.margin = Some(margin);
    verdict.why = Some(format!("behind leaf {leaf}, {:.0} mm before the next fixed part", 1000.0 * gap_m));
    verdict.at =
        run.figures.reading(figure).and_then(|reading| reading.at).filter(|at| Some(at.t_s) == touched);
    let close = guarded(close, door, verdict.limit.figure);
    let nothing = band.at_most == 0.0 && value == 0.0;
    verdict.outcome = if nothing { Outcome::Within } else { outcome(margin, close) };
    let missed = run
        .rear
        .iter()
        .any(|rear| at_gap(&rear.test).is_none() && !rear_test::is_at_the_end(door, rear.test.gap_m));
    if missed && verdict.outcome != Outcome::Over {
        verdict.outcome = Outcome::NotJudged;
        verdict.why = Some("a leaf never passed a gap of the force test behind it".to_owned());
    }
    verdict
}

/// What the tester reads over what is there, where it is a force.
fn reads(door: &Door, figure: Option<Figure>) -> f64 {
    if is_force(figure) { door.parameters().tester.reads } else { 1.0 }
}

/// What is left of what a band allows, a fraction of it; nothing allowed and nothing found leaves none.
fn margin_of(value: f64, band: Band) -> f64 {
    if band.at_most == 0.0 && value == 0.0 {
        0.0
    } else {
        (band.at_most - value) / band.at_most.max(f64::MIN_POSITIVE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 380.9 N x 1.05 = 399.9 N and 390 N x 1.05 = 409.5 N, of 400 N (arithmetic); no other margin is wanted.
    #[test]
    fn a_force_is_within_only_with_the_uncertainty_of_its_tester() {
        let door = Door::try_from(crate::Parameters::default()).unwrap();
        let guard = |figure| guarded(0.0, &door, Some(figure));
        let stands = |force: f64| outcome((400.0 - force) / 400.0, guard(Figure::ImpactForce));
        assert_eq!(stands(380.9), Outcome::Within);
        assert_eq!(stands(390.0), Outcome::Close);
        assert_eq!(stands(401.0), Outcome::Over);
        assert_eq!(guard(Figure::TimeAbove150), 0.0);
    }
}
