//! What a drive and a belt have to keep, each with its margin.

use tautleaf_physics::workbench::at_full_pull;
use tautleaf_physics::{
    Door, Figure, Judge, Limit, Outcome, Problem, Problems, Quantity, Rule, Run, Verdict,
};

use super::catalogue::{BeltKind, Drive};
use super::textbook::Estimate;
use crate::assess::{Assessment, Criteria, Effort, is_untested};
use crate::reserve::Reserve;

/// Something that has to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Bound {
    /// The door's battery has the voltage of the drive.
    Supply,
    /// The gear can be driven backwards where the door has to be opened by hand.
    SelfLocking,
    /// Door, drive and belt can be put together.
    Fits,
    /// Speed that the wanted time needs, against the limit of this key.
    Speed(String),
    /// Moving mass over the drive's own.
    InertiaRatio,
    /// Turns of the rotor.
    RotorSpeed,
    /// Current that speeding up needs, of what motor and gear give: the peak torque.
    PeakTorque,
    /// Voltage that the speed needs at its torque.
    SpeedAtTorque,
    /// Power that the supply gives.
    SupplyPower,
    /// Current that closing needs, of what the limit on closing force leaves.
    ForceLimit,
    /// Tension that keeps every strand from going slack, of what the belt bears.
    BeltTension,
    /// Load of the output bearing.
    ShaftLoad,
    /// RMS current over the duty: the RMS torque.
    RmsTorque,
    /// Winding temperature, of what the insulation bears.
    Winding,
    /// The door opens and closes at all, as often as the duty asks for.
    Arrives,
    /// The wanted time, where no limit of the door file says it.
    Time {
        /// On the way open, or closed.
        opening: bool,
    },
    /// A limit of the door file, by its key.
    Limit(String),
}

impl Bound {
    /// Whether its margin tells how much a drive and a belt have in hand: not where settings meet it as nearly as they can,
    /// nor where it is a rule of thumb.
    pub fn tells_what_is_left(&self) -> bool {
        matches!(
            self,
            Self::RotorSpeed
                | Self::PeakTorque
                | Self::SpeedAtTorque
                | Self::SupplyPower
                | Self::BeltTension
                | Self::ShaftLoad
                | Self::RmsTorque
                | Self::Winding
        )
    }

    /// The margin that a reserve asks of it, a fraction of what is allowed.
    ///
    /// None of what is or is not (supply, a gear that locks itself, what cannot be built, whether it arrives, a speed that a limit
    /// forbids), and none of a time that no limit asks for: the settings meet that wish as nearly as they can.
    fn asked(&self, reserve: Reserve, limits: &[Limit]) -> f64 {
        match self {
            Self::Supply
            | Self::SelfLocking
            | Self::Fits
            | Self::Arrives
            | Self::Speed(_)
            | Self::Time { .. } => 0.0,
            Self::Limit(key) => {
                let mine = limits.iter().find(|limit| limit.key == *key && limit.may_fail());
                mine.map_or(0.0, |limit| reserve.asked_of(limit))
            }
            Self::InertiaRatio
            | Self::RotorSpeed
            | Self::PeakTorque
            | Self::SpeedAtTorque
            | Self::SupplyPower
            | Self::ForceLimit
            | Self::BeltTension
            | Self::ShaftLoad
            | Self::RmsTorque
            | Self::Winding => reserve.share(),
        }
    }
}

/// How something is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// By the formula of a textbook.
    Formula,
    /// By a whole cycle.
    Cycle,
}

/// One bound and how far it is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What has to be kept.
    pub bound: Bound,
    /// Kind of value.
    pub quantity: Quantity,
    /// What was found, SI.
    pub value: f64,
    /// What is allowed, SI.
    pub allowed: f64,
    /// Whether it has to be at least that.
    pub at_least: bool,
    /// Fraction of what is allowed that is left; negative: short by that much.
    pub margin: f64,
    /// Fraction of what is allowed that was to be left.
    pub reserve: f64,
    /// How it is known.
    pub how: How,
    /// The first thing that keeps door, drive and belt from being put together, where they cannot be.
    pub problem: Option<Box<Problem>>,
}

impl Check {
    /// At most this much.
    pub(super) fn most(bound: Bound, quantity: Quantity, value: f64, allowed: f64, how: How) -> Self {
        let margin = if allowed > 0.0 { (allowed - value) / allowed } else { -f64::INFINITY };
        let (at_least, margin, reserve, problem) = (false, tidy(margin), 0.0, None);
        Self { bound, quantity, value, allowed, at_least, margin, reserve, how, problem }
    }

    /// Something that is or is not.
    pub(super) fn refused(bound: Bound, quantity: Quantity, value: f64, allowed: f64) -> Self {
        let (at_least, margin, reserve, how) = (false, -1.0, 0.0, How::Formula);
        Self { bound, quantity, value, allowed, at_least, margin, reserve, how, problem: None }
    }

    /// Door, drive and belt cannot be put together.
    pub(super) fn does_not_fit(problems: Problems) -> Self {
        let problem = problems.0.into_iter().next().map(Box::new);
        Self { problem, ..Self::refused(Bound::Fits, Quantity::Number, 0.0, 1.0) }
    }

    /// Whether it is kept.
    pub fn is_kept(&self) -> bool {
        self.margin >= -ROUNDING
    }

    /// Whether it is kept with its reserve left.
    pub fn has_reserve(&self) -> bool {
        self.margin >= self.reserve - ROUNDING
    }

    /// How much of its reserve it is short of, a fraction of what is allowed; 0: nothing.
    pub fn lacks(&self) -> f64 {
        if self.has_reserve() { 0.0 } else { self.reserve - self.margin }
    }

    /// The part of its reserve that is left, 0 to 1.
    pub fn part_had(&self) -> f64 {
        if self.has_reserve() { 1.0 } else { (self.margin / self.reserve).clamp(0.0, 1.0) }
    }

    /// What a design aims at: what is allowed less the reserve.
    pub fn aim(&self) -> f64 {
        let reserve = self.reserve * self.allowed.abs();
        if self.at_least { self.allowed + reserve } else { self.allowed - reserve }
    }
}

/// Asks a reserve of every check, by what it is.
pub(super) fn ask(checks: &mut [Check], reserve: Reserve, limits: &[Limit]) {
    for check in checks {
        // nothing allowed leaves no part of it
        check.reserve = if check.allowed == 0.0 { 0.0 } else { check.bound.asked(reserve, limits) };
    }
}

/// Margins closer to nothing than this are nothing.
const ROUNDING: f64 = 1e-9;

fn tidy(margin: f64) -> f64 {
    if margin.is_nan() { -f64::INFINITY } else { margin }
}

/// What the formulas say of a door with this drive and belt and all its settings.
pub(super) fn by_formula(
    door: &Door,
    drive: &Drive,
    belt: &BeltKind,
    asked: &Estimate,
    force_limit_a: Option<f64>,
) -> Vec<Check> {
    let p = door.parameters();
    let (most, formula) = (Check::most, How::Formula);
    let open = asked.opening.peak_current_a();
    let close = asked.closing.peak_current_a();
    let volts = asked.opening.peak_voltage_v().max(asked.closing.peak_voltage_v());
    let pull = at_full_pull(door);
    let tension = p.belt.tension_n;
    let mut checks = vec![
        most(Bound::InertiaRatio, Quantity::Number, asked.inertia_ratio, drive.inertia_ratio, formula),
        most(Bound::RotorSpeed, Quantity::Number, asked.turns_per_min, drive.most_turns_per_min, formula),
        most(Bound::PeakTorque, Quantity::Current, open.max(close), drive.most_current_a(), formula),
        most(Bound::SpeedAtTorque, Quantity::Voltage, volts, p.supply.voltage_v, formula),
        most(
            Bound::BeltTension,
            Quantity::Force,
            pull.tightest_n(tension),
            belt.allowable_tension_n(),
            formula,
        ),
        most(Bound::ShaftLoad, Quantity::Force, pull.shaft_load_n(tension), drive.shaft_load_n, formula),
    ];
    if let Some(limit) = p.supply.current_limit_a {
        let watts = asked.opening.peak_power_w().max(asked.closing.peak_power_w());
        let amperes = watts / p.supply.voltage_v;
        checks.push(most(Bound::SupplyPower, Quantity::Current, amperes, limit, formula));
    }
    if let Some(allowed) = force_limit_a {
        checks.push(most(Bound::ForceLimit, Quantity::Current, close, allowed, formula));
    }
    checks
}

/// RMS current and winding by the formulas, for what no run is made of.
pub(super) fn duty_by_formula(door: &Door, drive: &Drive, asked: &Estimate) -> Vec<Check> {
    let ambient = door.parameters().duty.ambient_c;
    let temperature = ambient + asked.winding_rise_k;
    vec![
        Check::most(
            Bound::RmsTorque,
            Quantity::Current,
            asked.rms_current_a,
            drive.rated_current_a,
            How::Formula,
        ),
        warmth(temperature, ambient, drive, How::Formula),
    ]
}

/// Winding temperature: the margin is that of the rise over ambient.
fn warmth(temperature_c: f64, ambient_c: f64, drive: &Drive, how: How) -> Check {
    let allowed = drive.insulation.temperature_c();
    let margin = (allowed - temperature_c) / (allowed - ambient_c).max(1.0);
    Check {
        margin: tidy(margin),
        ..Check::most(Bound::Winding, Quantity::Temperature, temperature_c, allowed, how)
    }
}

/// A run, judged.
pub(super) struct Judged {
    pub run: Run,
    pub verdicts: Vec<Verdict>,
    pub checks: Vec<Check>,
}

/// Runs the door and sets everything beside what is allowed. `wanted` are the times open and closed, s.
pub(super) fn by_cycle(
    door: &Door,
    drive: &Drive,
    criteria: &Criteria,
    effort: Effort,
    wanted: (Option<f64>, Option<f64>),
) -> Judged {
    let Assessment { run, verdicts, .. } = criteria.assess(door, effort);
    let p = door.parameters();
    let cycle = How::Cycle;
    let mut checks = Vec::new();
    if !run.finished {
        checks.push(Check::refused(Bound::Arrives, Quantity::Number, 0.0, 1.0));
    }
    let times = [(true, Figure::OpeningTime, wanted.0), (false, Figure::ClosingTime, wanted.1)];
    for (opening, figure, wanted) in times {
        if let (Some(within), Some(took)) = (wanted, run.figures.get(figure)) {
            checks.push(Check::most(Bound::Time { opening }, Quantity::Time, took, within, cycle));
        }
    }
    match (run.figures.get(Figure::RmsCurrent), run.figures.get(Figure::WindingTemperature)) {
        (Some(rms), Some(temperature)) => {
            checks.push(Check::most(Bound::RmsTorque, Quantity::Current, rms, drive.rated_current_a, cycle));
            checks.push(warmth(temperature, p.duty.ambient_c, drive, cycle));
        }
        _ if run.finished => {
            let period = 3600.0 / p.duty.cycles_per_hour;
            let took = run.events.last().map_or(period, |event| event.at.t_s);
            checks.push(Check::most(Bound::Arrives, Quantity::Time, took.max(period), period * 0.999, cycle));
        }
        _ => {}
    }
    // rated current and class of its insulation are bounds of every drive already
    let said = |limit: &Limit| {
        let duty = matches!(limit.figure, Some(Figure::RmsCurrent | Figure::WindingTemperature));
        limit.rule == Rule::WindingTemperatureByClass || (limit.is_rating() && duty)
    };
    let new = verdicts.iter().filter(|verdict| !said(&verdict.limit));
    checks.extend(new.filter_map(|verdict| of_limit(verdict, p.gear.efficiency, effort)));
    Judged { run, verdicts, checks }
}

/// A limit as a check; `None` for what is advisory, or only seen on site, or not told by this run.
fn of_limit(verdict: &Verdict, efficiency: f64, effort: Effort) -> Option<Check> {
    let figure = verdict.limit.figure?;
    if verdict.limit.judge != Judge::Limit {
        return None;
    }
    let by_hand = matches!(figure, Figure::ManualForce | Figure::ManualForceShorted);
    if by_hand && efficiency <= 0.5 {
        return Some(Check::refused(Bound::SelfLocking, Quantity::Number, efficiency, 0.5));
    }
    if effort != Effort::NoForceTest && is_untested(verdict) {
        // what nobody tested is no reason to propose a drive
        let bound = Bound::Limit(verdict.limit.key.clone());
        let (value, allowed) = (verdict.value.unwrap_or(0.0), verdict.allowed.unwrap_or(0.0));
        return Some(Check::refused(bound, figure.quantity(), value, allowed));
    }
    let (value, allowed, margin) = (verdict.value?, verdict.allowed?, verdict.margin?);
    if verdict.outcome == Outcome::NotJudged {
        return None;
    }
    let at_least = matches!(verdict.limit.rule, Rule::AtLeast(_) | Rule::LowEnergyLeastTime);
    let kept = verdict.outcome != Outcome::Over;
    Some(Check {
        bound: Bound::Limit(verdict.limit.key.clone()),
        quantity: figure.quantity(),
        value,
        allowed,
        at_least,
        // nothing allowed and nothing found is kept
        margin: if kept { tidy(margin).max(0.0) } else { tidy(margin) },
        reserve: 0.0,
        how: How::Cycle,
        problem: None,
    })
}
