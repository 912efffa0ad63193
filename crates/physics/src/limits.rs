//! Limits that the user sets, and the verdicts of a run against them.

use serde::Serialize;

use crate::door::Door;
use crate::figures::{Figure, Moment};
use crate::run::{GapForce, Run};

/// 1.69 J: energy of a low-energy leaf (EN 16005:2012, 4.6.4).
pub const LOW_ENERGY_J: f64 = 1.69;
/// Exact factors: foot, pound, foot-pound force.
pub const FOOT_M: f64 = 0.3048;
/// kg in a pound (exact).
pub const POUND_KG: f64 = 0.453_592_37;

/// What a limit asks of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Rule {
    /// At most this, SI.
    AtMost(f64),
    /// At least this, SI.
    AtLeast(f64),
    /// At most the value of the band in which the gap of the force test lies.
    AtMostByGap(Vec<Band>),
    /// ANSI/BHMA A156.10: 1 ft/s up to 160 lb, above that sqrt(160 / W) ft/s, W in pounds.
    ClosingSpeedByWeight,
    /// EN 16005:2012 Annex F: at least ceil(10 D sqrt(m / 3.38)) / 10 seconds over D = 0.9 travel.
    LowEnergyLeastTime,
    /// IEC 60034-1: at most the rise of the insulation class.
    WindingRiseByClass,
    /// IEC 60085: at most the temperature of the insulation class.
    WindingTemperatureByClass,
    /// Cannot be computed: says what has to be looked at on site.
    OnSite(String),
}

/// A range of gaps, upper bound included, and the force allowed there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Band {
    /// Gaps above this, m (0 includes contact at closed).
    pub above_m: f64,
    /// Up to and including this, m.
    pub to_m: f64,
    /// Allowed there, SI.
    pub at_most: f64,
}

impl Band {
    /// Whether a gap lies in it, m; a rounding beyond its ends counts.
    pub fn holds(&self, gap_m: f64) -> bool {
        const ROUNDING_M: f64 = 1e-9;
        gap_m > self.above_m - ROUNDING_M && gap_m <= self.to_m + ROUNDING_M
    }
}

/// How well the number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Set by the user.
    User,
    /// The text of the source was read.
    Read,
    /// A public secondary reproduction was read.
    Reproduced,
    /// Seen only in trade documents that quote the standard.
    Quoted,
    /// From memory, high, medium or low confidence.
    MemoryHigh,
    /// From memory, medium confidence.
    MemoryMedium,
    /// From memory, low confidence.
    MemoryLow,
}

/// Whether going over counts as a failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Judge {
    /// Over it fails the door.
    Limit,
    /// Over it is worth knowing.
    Advisory,
}

/// One limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Key in files: `kinetic_energy_max`.
    pub key: String,
    /// The preset that it came from, or `None` where the user set it.
    pub preset: Option<String>,
    /// The figure that it judges; `None` for what is only seen on site.
    pub figure: Option<Figure>,
    /// What it asks.
    pub rule: Rule,
    /// Unit in which it was written, for showing it as it was written.
    pub unit: String,
    /// Source, clause and edition.
    pub source: String,
    /// How well it is known.
    pub known: Known,
    /// Whether it fails the door.
    pub judge: Judge,
}

/// How a figure stands to its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Within, with more than the wanted margin.
    Within,
    /// Within, with less than the wanted margin.
    Close,
    /// Over.
    Over,
    /// Not judged: see `why`.
    NotJudged,
}

/// What became of one limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The limit.
    pub limit: Limit,
    /// How the figure stands to it.
    pub outcome: Outcome,
    /// The figure's value, SI.
    pub value: Option<f64>,
    /// What is allowed, SI.
    pub allowed: Option<f64>,
    /// Fraction of the allowed value that is left; negative: over by that much.
    pub margin: Option<f64>,
    /// When it was worst.
    pub at: Option<Moment>,
    /// The gap of the force test at which it was worst, m.
    pub gap_m: Option<f64>,
    /// Why it was not judged, or what is particular about it.
    pub why: Option<String>,
}

/// Judges a run against every limit. `close` is the margin, a fraction of the allowed value, within which a
/// figure counts as close.
pub fn judge(door: &Door, run: &Run, limits: &[Limit], close: f64) -> Vec<Verdict> {
    limits.iter().map(|limit| verdict(door, run, limit, close)).collect()
}

/// Margins closer than this are equal.
const ROUNDING: f64 = 1e-9;

/// Sorts a value into within, close or over.
///
/// Equal to the limit is within it; times are whole ticks, so a rounding error decides nothing.
fn outcome(margin: f64, close: f64) -> Outcome {
    if margin < -ROUNDING {
        Outcome::Over
    } else if margin < close - ROUNDING {
        Outcome::Close
    } else {
        Outcome::Within
    }
}

fn verdict(door: &Door, run: &Run, limit: &Limit, close: f64) -> Verdict {
    let mut verdict = judged(door, run, limit, close);
    let kept = matches!(verdict.outcome, Outcome::Within | Outcome::Close);
    let tells = run.finished || limit.figure.is_some_and(|figure| is_told_without_power(run, figure));
    if !kept {
        return verdict;
    }
    if let Some(gap_m) = limit.figure.and_then(|figure| unreached(door, run, figure)) {
        verdict.outcome = Outcome::NotJudged;
        verdict.why = Some(format!("the leaf never reached the gap of {:.0} mm", 1000.0 * gap_m));
    } else if !tells {
        // what a door that stands still is within says nothing about it
        verdict.outcome = Outcome::NotJudged;
        verdict.why = Some(UNFINISHED.to_owned());
    }
    verdict
}

/// How far a leaf goes without power, and how it is moved then, needs no whole cycle.
fn is_told_without_power(run: &Run, figure: Figure) -> bool {
    let of_power_off = [
        Figure::CoastDistance,
        Figure::OpenedWithoutPower,
        Figure::ManualForce,
        Figure::ManualForceShorted,
        Figure::DriftForce,
    ];
    of_power_off.contains(&figure) && run.lost_power().is_some()
}

/// A gap that the door is wide enough for and that has no value of this figure.
fn unreached(door: &Door, run: &Run, figure: Figure) -> Option<f64> {
    let missing = |gap: &&GapForce| match figure {
        Figure::StallForce | Figure::StallForceLast50 => gap.stall_force_n.is_none(),
        Figure::ImpactForce => gap.impact_force_n.is_none(),
        Figure::ForceAfter750 | Figure::ResidualForce | Figure::TimeAbove150 => {
            gap.residual_force_n.is_none()
        }
        _ => false,
    };
    let reachable = |gap: &&GapForce| gap.gap_m < door.clear_width_m();
    run.force.iter().filter(reachable).find(missing).map(|gap| gap.gap_m)
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
    if let Rule::AtMostByGap(bands) = &limit.rule {
        return by_gap(run, bands, verdict, close);
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
        verdict.why = Some(why_absent(run, limit.figure));
        return verdict;
    };
    let scale = allowed.abs().max(f64::MIN_POSITIVE);
    let left = if at_most { allowed - reading.value } else { reading.value - allowed };
    let margin = left / scale;
    verdict.value = Some(reading.value);
    verdict.margin = Some(margin);
    let figure = limit.figure;
    verdict.at = reading.at.filter(|_| !figure.is_some_and(Figure::is_stall));
    verdict.gap_m =
        reading.at.filter(|_| figure.is_some_and(Figure::is_closing_force)).map(|at| at.clear_opening_m);
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

/// Why what is kept by a door that does not open and close is not judged.
const UNFINISHED: &str = "the door did not open and close";

fn why_absent(run: &Run, figure: Option<Figure>) -> String {
    match figure {
        Some(figure) if figure.is_closing_force() && run.force.is_empty() => {
            "no force test was run".to_owned()
        }
        Some(figure) if figure.is_closing_force() => {
            "the leaf reaches none of the gaps of the force test".to_owned()
        }
        Some(Figure::ManualForce | Figure::ManualForceShorted) => {
            "the gear locks itself: the leaf cannot be moved by hand without a release".to_owned()
        }
        Some(
            Figure::RmsCurrent
            | Figure::EnergyPerCycle
            | Figure::EnergyDrawn
            | Figure::BatteryCycles
            | Figure::WindingTemperature
            | Figure::WindingRise
            | Figure::InsulationMargin
            | Figure::HousingTemperature,
        ) => "the duty asks for more cycles an hour than this door can do".to_owned(),
        Some(Figure::LeastBusVoltage | Figure::GreatestBusVoltage) => {
            "this supply holds its voltage whatever happens".to_owned()
        }
        Some(Figure::OpeningAtPerson | Figure::PersonWaits) if run.finished => {
            "no one walks up: timeline.activation_depth is left out".to_owned()
        }
        Some(Figure::OpenedWithoutPower) if run.lost_power().is_some() => {
            "the door was more than 80 % open when power was lost".to_owned()
        }
        Some(Figure::CoastDistance | Figure::OpenedWithoutPower) => {
            "power is not lost: timeline.power_lost is left out".to_owned()
        }
        Some(Figure::LearnedStroke) => "this is no learning run".to_owned(),
        _ if !run.finished => UNFINISHED.to_owned(),
        _ => "this run does not give it".to_owned(),
    }
}

/// Each gap against its own band; the worst one is reported.
fn by_gap(run: &Run, bands: &[Band], mut verdict: Verdict, close: f64) -> Verdict {
    let band_of = |gap: f64| bands.iter().find(|band| band.holds(gap));
    let value_of = |gap: &GapForce| match verdict.limit.figure {
        Some(Figure::StallForce) => gap.stall_force_n,
        Some(Figure::ResidualForce) => gap.residual_force_n,
        _ => gap.impact_force_n,
    };
    let worst = run
        .force
        .iter()
        .filter_map(|gap| {
            let (band, value) = (band_of(gap.gap_m)?, value_of(gap)?);
            Some(((band.at_most - value) / band.at_most.max(f64::MIN_POSITIVE), value, band, gap))
        })
        .reduce(|a, b| if b.0 < a.0 { b } else { a });
    let Some((margin, value, band, gap)) = worst else {
        verdict.why = Some(why_absent(run, verdict.limit.figure));
        return verdict;
    };
    verdict.value = Some(value);
    verdict.allowed = Some(band.at_most);
    verdict.margin = Some(margin);
    verdict.gap_m = Some(gap.gap_m);
    let touched = gap.touched_at_s.filter(|_| !verdict.limit.figure.is_some_and(Figure::is_stall));
    verdict.at = touched.map(|t_s| Moment { t_s, clear_opening_m: gap.gap_m });
    verdict.outcome = outcome(margin, close);
    verdict
}

/// ANSI/BHMA A156.10 (1999 10.10, 2005 10.1.1): 1 ft/s up to 160 lb, above that sqrt(160 / W) ft/s. In m/s.
///
/// A constant energy of 2.486 ft lbf = 3.371 J above 160 lb.
pub fn closing_speed_by_weight_m_per_s(mass_kg: f64) -> f64 {
    let pounds = mass_kg / POUND_KG;
    FOOT_M * (160.0 / pounds).sqrt().min(1.0)
}

/// EN 16005:2012 Annex F: least time over the distance D, t = D sqrt(m / (2 x 1.69 J)) rounded up to 0.1 s.
pub fn low_energy_least_time_s(mass_kg: f64, distance_m: f64) -> f64 {
    let exact = distance_m * (mass_kg / (2.0 * LOW_ENERGY_J)).sqrt();
    (10.0 * exact - 1e-9).ceil() / 10.0
}
