//! One drive with one belt: discarded by a formula, or run until its settings keep everything or nothing more helps.

use tautleaf_physics::parameters::{Parameters, SupplyKind};
use tautleaf_physics::workbench::at_full_pull;
use tautleaf_physics::{Door, Figure, Limit, Outcome, Quantity, Verdict, belt as formula, manual};

use super::bounds::{self, Bound, Check, How};
use super::catalogue::{BeltKind, Drive};
use super::fit::{fitted, rounded, rounded_down};
use super::rated::ratings_of;
use super::textbook::{Estimate, estimate};
use super::turning::{Turned, turn};
use super::wanted::{KAPPAS, Wanted, least};
use crate::assess::{Criteria, Effort};
use crate::reserve::Reserve;

/// Cycles that are spent on one pair at the most for the whole reserve.
pub const MOST_CYCLES: usize = 10;
/// The same for half of the reserve, and for none: they begin near what was found for the whole.
pub const MORE_CYCLES: usize = 6;
/// A pair that is short by so many times the whole reserve is not tried for half of it: judgement.
const FAR_BEYOND: f64 = 2.0;
/// A formula that is short by less than this is not believed: a whole cycle decides.
pub const NOT_BELIEVED: f64 = 0.08;
/// Current limit over the current that speeding up needs: for breakaway, seals and what the controller swings.
const CURRENT_IN_HAND: f64 = 1.3;
/// The same for the tension that keeps every strand from going slack.
const TENSION_IN_HAND: f64 = 1.1;
/// Voltage of a battery that differs by less than this from that of a drive feeds it.
const SAME_VOLTAGE: f64 = 0.1;

/// The door that a drive is looked for.
pub(super) struct Task<'a> {
    pub door: &'a Door,
    pub criteria: &'a Criteria,
    /// The limits of the criteria with the reserve taken off: what the settings aim at.
    pub aims: Vec<Limit>,
    pub wanted: Wanted,
    pub effort: Effort,
    /// What is to be left of every limit and of drive and belt.
    pub reserve: Reserve,
}

impl<'a> Task<'a> {
    /// A door to be judged by these criteria and set so that the reserve is left.
    pub fn new(door: &'a Door, criteria: &'a Criteria, effort: Effort, reserve: Reserve) -> Self {
        let aims = reserve.aims(door, &criteria.limits);
        let wanted = Wanted::of(door, &aims);
        Self { door, criteria, aims, wanted, effort, reserve }
    }
}

/// What came of one drive with one belt.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Index of the drive.
    pub drive: usize,
    /// Index of the belt.
    pub belt: usize,
    /// Everything that was looked at.
    pub checks: Vec<Check>,
    /// The door with drive, belt and settings; `None`: they could not be put together.
    pub parameters: Option<Box<Parameters>>,
    /// What a cycle took from the bus, J; `None`: no cycle was run to its end.
    pub energy_j: Option<f64>,
    /// Keys of limits that are only advisory and are over.
    pub advisory: Vec<String>,
    /// Cycles that were run for it.
    pub cycles: usize,
}

impl Tried {
    /// Whether everything is kept, by a whole cycle.
    pub fn does(&self) -> bool {
        self.cycles > 0 && self.checks.iter().all(Check::is_kept)
    }

    /// Whether everything is kept with its reserve left, by a whole cycle.
    pub fn has_reserve(&self) -> bool {
        self.does() && self.checks.iter().all(Check::has_reserve)
    }

    /// What is kept with less left than its reserve, the least of it first.
    pub fn lacking(&self) -> Vec<&Check> {
        let mut lacking: Vec<&Check> =
            self.checks.iter().filter(|check| check.is_kept() && !check.has_reserve()).collect();
        lacking.sort_by(|a, b| a.margin.total_cmp(&b.margin));
        lacking
    }

    /// How much reserve it is short of, all together.
    fn lacks(&self) -> f64 {
        self.checks.iter().map(Check::lacks).sum()
    }

    /// The part of its reserve that what has least of it has, 0 to 1.
    pub fn part_had(&self) -> f64 {
        self.checks.iter().map(Check::part_had).fold(1.0, f64::min)
    }

    /// What keeps it from doing: the bound that is short by most. `None`: nothing.
    pub fn reason(&self) -> Option<&Check> {
        let short = self.checks.iter().filter(|check| !check.is_kept());
        // what cannot be changed comes first, then what the cause is before what it leads to
        short.min_by_key(|check| order(&check.bound))
    }

    /// How much it is short of by most, a negative fraction; 0: nothing.
    pub fn short_by(&self) -> f64 {
        self.checks.iter().map(|check| check.margin).fold(0.0, f64::min)
    }

    /// The bound with the least left, of those that settings do not meet on purpose.
    pub fn tightest(&self) -> Option<&Check> {
        let own = self.checks.iter().filter(|check| check.bound.tells_what_is_left());
        own.min_by(|a, b| a.margin.total_cmp(&b.margin))
    }
}

/// Causes before what follows from them.
fn order(bound: &Bound) -> u8 {
    match bound {
        Bound::Fits => 0,
        Bound::Supply => 1,
        Bound::SelfLocking => 2,
        Bound::Speed(_) => 3,
        Bound::InertiaRatio => 4,
        Bound::RotorSpeed => 5,
        Bound::PeakTorque => 6,
        Bound::SpeedAtTorque => 7,
        Bound::SupplyPower => 8,
        Bound::ForceLimit => 9,
        Bound::BeltTension => 10,
        Bound::ShaftLoad => 11,
        Bound::RmsTorque => 12,
        Bound::Winding => 13,
        Bound::Arrives => 14,
        Bound::Limit(_) => 15,
        Bound::Time { .. } => 16,
    }
}

/// A door with every setting made.
pub(super) struct Set {
    pub door: Door,
    pub asked: Estimate,
    pub checks: Vec<Check>,
}

/// Speeds, currents and tension for what was turned; `Err`: why they cannot be made.
pub(super) fn set(
    task: &Task<'_>,
    base: &Parameters,
    drive: &Drive,
    belt: &BeltKind,
    turned: Turned,
) -> Result<Set, Check> {
    let mut p = base.clone();
    for (opening, kappa, pace) in
        [(true, turned.kappa.0, turned.pace.0), (false, turned.kappa.1, turned.pace.1)]
    {
        let motion = if opening { &mut p.opening } else { &mut p.closing };
        let more_creep_m = if opening { turned.creep_m.0 } else { turned.creep_m.1 };
        let Some(gait) = task.wanted.gait_with(opening, KAPPAS[kappa], pace, more_creep_m) else {
            let within = if opening { task.wanted.opening.within_s } else { task.wanted.closing.within_s };
            return Err(Check::refused(Bound::Time { opening }, Quantity::Time, within, within));
        };
        motion.speed_m_per_s = rounded(gait.speed_m_per_s + 0.0005, 3);
        motion.acceleration_m_per_s2 = rounded(gait.acceleration_m_per_s2, 2);
        motion.braking_m_per_s2 = rounded(gait.braking_m_per_s2, 2);
        motion.current_limit_a = drive.most_current_a();
        if gait.creep_distance_m > motion.creep_distance_m {
            motion.creep_distance_m = rounded(gait.creep_distance_m + 0.0005, 3);
        }
    }
    p.controller.hold_open_s = task.wanted.held_open_s;
    if let Some(telescope) = &mut p.telescope {
        // the second loop is slack or not by its own tension
        telescope.tension_n = (turned.tension_share * telescope.tension_n / 10.0).ceil() * 10.0;
    }
    let build = |p: &Parameters| Door::try_from(p.clone()).map_err(Check::does_not_fit);
    let mut force_limit_a = None;
    // tension costs friction, friction costs current, current costs tension: twice round is near enough
    for _ in 0..2 {
        let door = build(&p)?;
        let asked = estimate(&door);
        let most = drive.most_current_a();
        let needs = |peak: f64| rounded_down((CURRENT_IN_HAND * peak).min(most), 3).max(0.01);
        let by_formula = current_by_force(task, &door);
        p.opening.current_limit_a = needs(asked.opening.peak_current_a());
        let closing = needs(asked.closing.peak_current_a()).min(by_formula.unwrap_or(f64::INFINITY));
        p.closing.current_limit_a = rounded_down(turned.force_share * closing, 3).max(0.01);
        // once a run has shown what the limit leaves, that counts and not the formula; the settings aim at less than the limit
        // by the reserve, and what it leaves is more than that by as much
        let whole = 1.0 - task.reserve.share();
        force_limit_a = by_formula.map(|by_formula| {
            let aimed = if turned.force_share < 1.0 { p.closing.current_limit_a } else { by_formula };
            aimed / whole
        });
        p.belt.tension_n = tension(task, &build(&p)?) * turned.tension_share;
        p.belt.tension_n = (p.belt.tension_n / 10.0).ceil() * 10.0;
    }
    let door = build(&p)?;
    let asked = estimate(&door);
    let checks = bounds::by_formula(&door, drive, belt, &asked, force_limit_a);
    Ok(Set { door, asked, checks })
}

/// Closing current at which the stalled door pushes as hard as its limits allow, i = (n F + F_r) r/(eta N K), n the closing
/// edges that share the pull (eq. 46); `None`: no limit on it.
fn current_by_force(task: &Task<'_>, door: &Door) -> Option<f64> {
    let figures = [Figure::StallForceGreatest, Figure::StallForceLast50, Figure::ResidualForce];
    let force = figures.into_iter().filter_map(|figure| least(&task.aims, figure)).reduce(f64::min)?;
    let resists = manual::running_resistance(door, false, 0.0);
    let p = door.parameters();
    let pull = door.edges() as f64 * force + resists.pulled_n.max(0.0);
    Some((pull / p.gear.efficiency + resists.turned_n) / door.derived().pull_per_ampere_n)
}

/// Tension at which no strand goes slack at the current limit, and none sags or falls below its limit, N.
fn tension(task: &Task<'_>, door: &Door) -> f64 {
    let p = door.parameters();
    let longest = p.belt.centre_distance_m.unwrap_or(0.0);
    let sags = formula::sag_tension_n(p.belt.specific_mass_kg_per_m2 * p.belt.width_m, longest, 0.02);
    let at_least = |limit: &&Limit| limit.figure == Some(Figure::LeastTension);
    let floor = task.aims.iter().filter(at_least).filter_map(|limit| match limit.rule {
        tautleaf_physics::Rule::AtLeast(least) => Some(least),
        _ => None,
    });
    let floor = floor.fold(0.0, f64::max);
    (TENSION_IN_HAND * at_full_pull(door).slack_below_n + floor).max(sags)
}

/// What needs no settings: supply, locking gear, limits that no drive can keep in the wanted times.
fn at_once(task: &Task<'_>, drive: &Drive) -> Vec<Check> {
    let mut checks = Vec::new();
    let supply = &task.door.parameters().supply;
    let differs = (supply.voltage_v / drive.voltage_v - 1.0).abs() > SAME_VOLTAGE;
    if supply.kind == SupplyKind::Battery && differs {
        let (has, needs) = (supply.voltage_v, drive.voltage_v);
        checks.push(Check::refused(Bound::Supply, Quantity::Voltage, has, needs));
    }
    let by_hand = [Figure::ManualForce, Figure::ManualForceShorted, Figure::OpenedWithoutPower];
    let asked = |limit: &Limit| {
        limit.judge == tautleaf_physics::Judge::Limit
            && limit.figure.is_some_and(|figure| by_hand.contains(&figure))
    };
    if drive.locks_itself() && task.criteria.limits.iter().any(asked) {
        checks.push(Check::refused(Bound::SelfLocking, Quantity::Number, drive.efficiency, 0.5));
    }
    for opening in [true, false] {
        let way = if opening { &task.wanted.opening } else { &task.wanted.closing };
        match (task.wanted.first_kappa(opening), &way.most_speed) {
            (Err(speed), Some((allowed, key))) if speed.is_finite() => {
                let bound = Bound::Speed(key.clone());
                checks.push(Check::most(bound, Quantity::Speed, speed, *allowed, How::Formula));
            }
            (Err(_), _) => {
                let within = way.within_s;
                checks.push(Check::refused(Bound::Time { opening }, Quantity::Time, within, within));
            }
            _ => {}
        }
    }
    checks
}

/// Tries one drive with one belt: for each task, the one with the whole reserve first, until one does. `starts`: what was turned
/// for the belt before, a task each.
pub(super) fn pair(
    tasks: &[Task<'_>],
    drive: (&Drive, usize),
    belt: (&BeltKind, usize),
    starts: &mut [Option<Turned>],
) -> Tried {
    let rated = |task: &Task<'_>| task.criteria.rated(&ratings_of(drive.0, belt.0));
    let mut cycles = 0;
    let mut last = None;
    let mut is_far = false;
    for (n, (task, start)) in tasks.iter().zip(starts).enumerate() {
        // what is over by far is told against the limits themselves
        if is_far && n + 1 < tasks.len() {
            continue;
        }
        let tried = attempt(task, drive, belt, start, if n == 0 { MOST_CYCLES } else { MORE_CYCLES });
        cycles += tried.cycles;
        is_far = tried.short_by() < -FAR_BEYOND * task.reserve.share();
        let does = tried.does();
        last = Some((tried, task));
        if does {
            break;
        }
    }
    let Some((mut tried, task)) = last else { return untried(drive.1, belt.1) };
    if let (true, Some(door)) =
        (tried.does(), tried.parameters.as_deref().and_then(|p| Door::try_from(p.clone()).ok()))
    {
        // what is only advised is measured on what is proposed
        tried.advisory = advisory(&rated(task).assess(&door, Effort::AsJudged).verdicts);
    }
    tried.cycles = cycles;
    // what was asked for counts, not what was aimed at in the end
    let asked = tasks.first().map_or(Reserve::NONE, |task| task.reserve);
    bounds::ask(&mut tried.checks, asked, &rated(task).limits);
    tried
}

fn untried(drive: usize, belt: usize) -> Tried {
    let (checks, advisory) = (Vec::new(), Vec::new());
    Tried { drive, belt, checks, parameters: None, energy_j: None, advisory, cycles: 0 }
}

/// One drive with one belt for one task, beginning with what was turned for the belt before: the settings that leave the
/// reserve, or else those that keep everything and lack the least of it, or else the last ones.
pub(super) fn attempt(
    task: &Task<'_>,
    (drive, drive_index): (&Drive, usize),
    (belt, belt_index): (&BeltKind, usize),
    start: &mut Option<Turned>,
    most_cycles: usize,
) -> Tried {
    let mut tried = Tried { checks: at_once(task, drive), ..untried(drive_index, belt_index) };
    if !tried.checks.is_empty() {
        return tried;
    }
    let criteria = &task.criteria.rated(&ratings_of(drive, belt));
    let base = fitted(task.door, drive, belt);
    let kappa = |opening| task.wanted.first_kappa(opening).unwrap_or(0);
    let mut turned = start.unwrap_or(Turned::at((kappa(true), kappa(false))));
    let mut best: Option<Tried> = None;
    // the best of those that keep everything, by all the cycles that were run
    let ended = |best: Option<Tried>, last: Tried| match best {
        Some(best) => Tried { cycles: last.cycles, ..best },
        None => last,
    };
    loop {
        let made = match set(task, &base, drive, belt, turned) {
            Ok(made) => made,
            Err(why) => {
                tried.checks.push(why);
                return ended(best, tried);
            }
        };
        tried.parameters = Some(Box::new(made.door.given().clone()));
        let duty = bounds::duty_by_formula(&made.door, drive, &made.asked);
        let hopeless = |check: &Check| check.margin < -believed_from(&check.bound);
        let short: Vec<&Check> = made.checks.iter().chain(&duty).filter(|check| hopeless(check)).collect();
        if let Some(slower) =
            slower(&made, turned).filter(|_| !short.is_empty() && short.iter().all(too_fast))
        {
            turned = slower;
            continue;
        }
        if !short.is_empty() {
            tried.checks = made.checks;
            tried.checks.extend(duty);
            return ended(best, tried);
        }
        let wanted = times(&task.wanted);
        let mut judged = bounds::by_cycle(&made.door, drive, criteria, task.effort, wanted);
        tried.cycles += 1;
        tried.energy_j = judged.run.figures.get(Figure::EnergyPerCycle).filter(|_| judged.run.finished);
        let mut checks = made.checks;
        bounds::ask(&mut checks, task.reserve, &criteria.limits);
        bounds::ask(&mut judged.checks, task.reserve, &criteria.limits);
        let next = turn(&checks, &judged, turned).filter(|_| tried.cycles < most_cycles);
        checks.extend(judged.checks);
        tried.checks = checks;
        cycle_decides(&mut tried.checks);
        if tried.has_reserve() {
            *start = Some(turned);
            return tried;
        }
        if tried.does() && best.as_ref().is_none_or(|best| tried.lacks() < best.lacks()) {
            *start = Some(turned);
            best = Some(tried.clone());
        }
        match next {
            Some(next) => turned = next,
            None => return ended(best, tried),
        }
    }
}

/// Whether a drive is short of speed, which less of it and steeper ramps would mend.
fn too_fast(check: &&Check) -> bool {
    matches!(check.bound, Bound::RotorSpeed | Bound::SpeedAtTorque)
}

/// The next steeper gait on the way on which more voltage is asked for; `None`: there is none.
fn slower(made: &Set, now: Turned) -> Option<Turned> {
    let mut next = now;
    let opening = made.asked.opening.peak_voltage_v() >= made.asked.closing.peak_voltage_v();
    let kappa = if opening { &mut next.kappa.0 } else { &mut next.kappa.1 };
    *kappa += 1;
    (*kappa < KAPPAS.len()).then_some(next)
}

/// From where on a formula alone decides: those that are exact at once, the others beyond doubt.
fn believed_from(bound: &Bound) -> f64 {
    match bound {
        Bound::InertiaRatio | Bound::RotorSpeed | Bound::BeltTension | Bound::ShaftLoad => 1e-9,
        // the winding's node follows a cycle, and copper that warms resists more
        Bound::Winding => 0.3,
        Bound::RmsTorque => 0.2,
        _ => NOT_BELIEVED,
    }
}

/// Where a whole cycle was in time, a formula that is a little short was too strict: the drive does it at its bound.
fn cycle_decides(checks: &mut [Check]) {
    let late = checks.iter().any(|check| {
        let time = match &check.bound {
            Bound::Time { .. } | Bound::Arrives => true,
            Bound::Limit(key) => key.ends_with("time_max") || key.ends_with("80pct_max"),
            _ => false,
        };
        time && !check.is_kept()
    });
    if late {
        return;
    }
    for check in checks.iter_mut() {
        let told_by_time = matches!(
            check.bound,
            Bound::PeakTorque | Bound::SpeedAtTorque | Bound::SupplyPower | Bound::ForceLimit
        );
        if told_by_time && check.how == How::Formula && !check.is_kept() {
            (check.value, check.margin, check.how) = (check.allowed, 0.0, How::Cycle);
        }
    }
}

/// Times that no limit of the door file says.
pub(super) fn times(wanted: &Wanted) -> (Option<f64>, Option<f64>) {
    let own = |by_limit: bool, within: f64| (!by_limit).then_some(within);
    (
        own(wanted.opening.by_limit, wanted.opening.within_s),
        own(wanted.closing.by_limit, wanted.closing.within_s),
    )
}

fn advisory(verdicts: &[Verdict]) -> Vec<String> {
    let over = verdicts.iter().filter(|verdict| {
        verdict.outcome == Outcome::Over && verdict.limit.judge == tautleaf_physics::Judge::Advisory
    });
    over.map(|verdict| verdict.limit.key.clone()).collect()
}
