//! Judges a run by limits.

use crate::by_gap;
use crate::door::Door;
use crate::figure_row::Group;
use crate::figures::Figure;
use crate::limits::{
    Limit, Outcome, Rule, Verdict, closing_speed_by_weight_m_per_s, low_energy_least_time_s, outcome,
};
use crate::result::Run;
use crate::why_absent::{UNFINISHED, why_absent};

/// Judges a run against every limit. `close` is the margin, a fraction of the allowed value, within which a
/// figure counts as close.
pub fn judge(door: &Door, run: &Run, limits: &[Limit], close: f64) -> Vec<Verdict> {
    limits.iter().map(|limit| verdict(door, run, limit, close)).collect()
}

fn verdict(door: &Door, run: &Run, limit: &Limit, close: f64) -> Verdict {
    let mut verdict = judged(door, run, limit, close);
    let kept = matches!(verdict.outcome, Outcome::Within | Outcome::Close);
    let tells = run.finished || limit.figure.is_some_and(|figure| is_told_without_power(run, figure));
    if !kept {
        return verdict;
    }
    if !tells {
        // what a door that stands still is within says nothing about it
        verdict.outcome = Outcome::NotJudged;
        verdict.why = Some(UNFINISHED.to_owned());
    } else if !run.is_relied_on() {
        verdict.outcome = Outcome::NotJudged;
        verdict.why = Some(format!(
            "the balance of energy of this run is open by {:.1} %: its numbers are not relied on",
            100.0 * run.energy.relative_residual()
        ));
    }
    verdict
}

/// How far a leaf goes without power, and how it is moved then, needs no whole cycle.
fn is_told_without_power(run: &Run, figure: Figure) -> bool {
    figure.group() == Group::PowerOff && run.lost_power().is_some()
}

fn judged(door: &Door, run: &Run, limit: &Limit, close: f64) -> Verdict {
    let mut verdict = Verdict {
        limit: limit.clone(),
        outcome: Outcome::NotJudged,
        value: None,
        allowed: None,
        margin: None,
        at: None,
        gap_m: None,
        why: None,
    };
    if let Rule::OnSite(what) = &limit.rule {
        verdict.why = Some(what.clone());
        return verdict;
    }
    if limit.figure.is_some_and(Figure::is_closing_force) {
        return by_gap::by_gap(door, run, verdict, close);
    }
    if limit.figure.is_some_and(Figure::is_rear_force) {
        return by_gap::behind(door, run, verdict, close);
    }
    let reading = limit.figure.and_then(|figure| run.figures.reading(figure));
    let (allowed, at_most) = match &limit.rule {
        Rule::AtMost(most) => (*most, true),
        Rule::AtLeast(least) => (*least, false),
        Rule::ClosingSpeedByWeight => (closing_speed_by_weight_m_per_s(door.heaviest_leaf_kg()), true),
        Rule::LowEnergyLeastTime => {
            (low_energy_least_time_s(door.heaviest_leaf_kg(), 0.9 * door.travel_m()), false)
        }
        Rule::WindingRiseByClass => match door.parameters().motor.insulation.rise_k() {
            Some(rise) => (rise, true),
            None => {
                verdict.why = Some("no rise is at hand for this insulation class".to_owned());
                return verdict;
            }
        },
        Rule::WindingTemperatureByClass => (door.parameters().motor.insulation.temperature_c(), true),
        Rule::AllowableTension => (door.derived().allowable_tension_n, true),
        Rule::AtMostByGap(_) | Rule::OnSite(_) => return verdict,
    };
    verdict.allowed = Some(allowed);
    let Some(reading) = reading else {
        if limit.figure == Some(Figure::OpenedWithoutPower)
            && let Some(stays_m) = shut_without_power(door, run)
        {
            verdict.outcome = Outcome::Over;
            verdict.why =
                Some(format!("without power the door stays {:.0} mm open", 1000.0 * stays_m.max(0.0)));
            return verdict;
        }
        verdict.why = Some(why_absent(door, run, limit.figure));
        return verdict;
    };
    let scale = allowed.abs().max(f64::MIN_POSITIVE);
    let left = if at_most { allowed - reading.value } else { reading.value - allowed };
    let margin = left / scale;
    verdict.value = Some(reading.value);
    verdict.margin = Some(margin);
    verdict.at = reading.at;
    // nothing allowed and nothing found leaves no margin and needs none
    verdict.outcome = if allowed == 0.0 && left >= 0.0 { Outcome::Within } else { outcome(margin, close) };
    verdict
}

/// Where a door stays that loses power before it is 80 % open and does not open as far, m.
fn shut_without_power(door: &Door, run: &Run) -> Option<f64> {
    let lost = run.lost_power()?;
    let stays = run.samples.last().map_or(lost.clear_opening_m, |sample| sample.clear_opening_m);
    (lost.clear_opening_m < 0.8 * door.clear_width_m()).then_some(stays)
}
