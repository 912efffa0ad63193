//! What a door is to do, whatever moves it: its times, and how fast its limits let it go.

use tautleaf_physics::{DONE_M, Door, Figure, Judge, Limit, Rule, limits};

use super::gait::{Due, Gait, Range, gait_for};

/// Accelerations at each of which a gait is looked for, as T over the time to speed up: thirds first, then less speed and
/// more acceleration.
pub const KAPPAS: [f64; 5] = [3.0, 4.0, 5.5, 8.0, 12.0];
/// What the controller loses on the ideal gait at the least, s: a tick or two, its filter, the lag of its loop.
const LAG_S: f64 = 0.05;
/// Share of a speed at which a limit would be reached that is used: the controller overshoots a little.
const OF_THE_LIMIT: f64 = 0.97;

/// Share of that speed that a time is asked for with which only the settings of the file wish for: it makes no drive late.
const IN_A_WISH: f64 = 0.94;

/// What one way is to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Within this time, s.
    pub within_s: f64,
    /// Whether a limit of the door file says so; else it is what the settings of the file would take.
    pub by_limit: bool,
    /// Whether the settings of the file would go faster than another limit allows, and it takes as long as that one leaves.
    pub slowed: bool,
    /// Ways in m and the times due, s, the whole way first.
    dues: Vec<Due>,
    /// Greatest speed that limits allow, and the key of that limit, m/s.
    pub most_speed: Option<(f64, String)>,
    like: Gait,
}

/// What a door is to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// On the way open.
    pub opening: Way,
    /// On the way closed.
    pub closing: Way,
    /// Held open at least this long, s.
    pub held_open_s: f64,
    pub(super) travel_m: f64,
    pub(super) most_ramp: f64,
    pub(super) stop_distance_m: f64,
}

impl Wanted {
    /// Reads it from the limits of a door; without limits on time its own settings say how fast it is to be, as far as the other
    /// limits let them.
    pub fn of(door: &Door, limits: &[Limit]) -> Self {
        let p = door.parameters();
        let travel = door.travel_m();
        let done = travel - DONE_M / door.edges() as f64;
        let jerk = p.controller.jerk_m_per_s3;
        let at_most = |figure: Figure| least(limits, figure);
        let way = |opening: bool| {
            let own = Gait::of(if opening { &p.opening } else { &p.closing }, jerk);
            let latch_check = if opening { 0.0 } else { greatest(limits, Figure::LatchCheck) };
            let like = Gait { creep_distance_m: own.creep_distance_m.max(latch_check), ..own };
            let time = at_most(if opening { Figure::OpeningTime } else { Figure::ClosingTime });
            let mut dues: Vec<Due> = time.map(|within| (done, within)).into_iter().collect();
            if opening && let Some(within) = at_most(Figure::OpeningTime80) {
                dues.push((0.8 * travel, within));
            }
            let by_limit = !dues.is_empty();
            let most_speed = most_speed(door, limits, opening);
            let allowed = most_speed.as_ref().map_or(f64::INFINITY, |(speed, _)| *speed);
            let slowed = !by_limit && own.top_speed_m_per_s(travel) > allowed;
            if !by_limit {
                let slow = Gait { speed_m_per_s: own.speed_m_per_s.min(allowed), ..own };
                let within =
                    if slowed { slow.time_in_kappas_s(done, travel) } else { own.time_to_s(done, travel) };
                dues.push((done, within + 2.0 * LAG_S));
            }
            Way { within_s: dues[0].1, by_limit, slowed, dues, most_speed, like }
        };
        let ramp = at_most(Figure::PeakAcceleration).map_or(MOST_RAMP, |most| 0.85 * most);
        Self {
            opening: way(true),
            closing: way(false),
            held_open_s: p.controller.hold_open_s.max(greatest(limits, Figure::HoldOpen)),
            travel_m: travel,
            most_ramp: ramp.min(MOST_RAMP),
            stop_distance_m: p.controller.stop_distance_m,
        }
    }

    /// The gait of one way at a kappa, `pace` times as much time as is due less the lag of the controller; `None`: there
    /// is none.
    pub fn gait(&self, opening: bool, kappa: f64, pace: f64) -> Option<Gait> {
        self.gait_with(opening, kappa, pace, 0.0)
    }

    /// The same, with creep over so much more, m.
    pub fn gait_with(&self, opening: bool, kappa: f64, pace: f64, more_creep_m: f64) -> Option<Gait> {
        let way = if opening { &self.opening } else { &self.closing };
        let creep_distance_m = way.like.creep_distance_m + more_creep_m;
        let like = Gait { creep_distance_m, ..way.like };
        let dues: Vec<Due> = way.dues.iter().map(|&(m, s)| (m, (pace * (s - LAG_S)).max(0.5 * s))).collect();
        let range = Range {
            most_speed: MOST_SPEED,
            ramp: (LEAST_RAMP.min(self.most_ramp), self.most_ramp),
            least_braking: like.creep_speed_m_per_s.powi(2) / (4.0 * self.stop_distance_m),
        };
        gait_for(&like, self.travel_m, &dues, kappa, &range)
    }

    /// The gentlest kappa at which the speed keeps to the limits of the door; the speed that the last one would need, where
    /// none does.
    pub fn first_kappa(&self, opening: bool) -> Result<usize, f64> {
        let way = if opening { &self.opening } else { &self.closing };
        let allowed = way.most_speed.as_ref().map_or(f64::INFINITY, |(speed, _)| *speed);
        let mut least = f64::INFINITY;
        for (n, &kappa) in KAPPAS.iter().enumerate() {
            let Some(gait) = self.gait(opening, kappa, 1.0) else { continue };
            let speed = gait.top_speed_m_per_s(self.travel_m);
            if speed <= allowed {
                return Ok(n);
            }
            least = least.min(speed);
        }
        Err(least)
    }

    /// The same door with another time to close in, s, that no limit of it says.
    pub fn closing_within(&self, within_s: f64) -> Self {
        let mut other = self.clone();
        let done = self.closing.dues[0].0;
        other.closing.dues = vec![(done, within_s)];
        (other.closing.within_s, other.closing.by_limit, other.closing.slowed) = (within_s, false, false);
        other
    }
}

impl Gait {
    /// Time for this much of the travel, s, with ramps no steeper than the last kappa has in that time, and 6 % slower: so that
    /// some gait that is looked for does it, overshoot included.
    fn time_in_kappas_s(&self, way_m: f64, travel_m: f64) -> f64 {
        let speed_m_per_s = IN_A_WISH * self.speed_m_per_s;
        let mut time_s = Self { speed_m_per_s, ..*self }.time_to_s(way_m, travel_m);
        for _ in 0..4 {
            let ramp = KAPPAS[KAPPAS.len() - 1] * speed_m_per_s / time_s;
            let gentle = Self {
                speed_m_per_s,
                acceleration_m_per_s2: self.acceleration_m_per_s2.min(ramp),
                braking_m_per_s2: self.braking_m_per_s2.min(0.5 * ramp),
                ..*self
            };
            time_s = time_s.max(gentle.time_to_s(way_m, travel_m));
        }
        time_s
    }
}

/// Fastest travel, gentlest and steepest ramp that are looked at: the ends of the usual ranges.
const MOST_SPEED: f64 = 1.4;
const LEAST_RAMP: f64 = 0.2;
const MOST_RAMP: f64 = 3.0;

/// The least that a figure may be at most, by limits that fail a door.
pub(super) fn least(limits: &[Limit], figure: Figure) -> Option<f64> {
    let mine = limits.iter().filter(|limit| limit.figure == Some(figure) && limit.judge == Judge::Limit);
    mine.filter_map(|limit| match &limit.rule {
        Rule::AtMost(most) => Some(*most),
        Rule::AtMostByGap(bands) => bands.iter().map(|band| band.at_most).reduce(f64::min),
        _ => None,
    })
    .reduce(f64::min)
}

/// The most that a figure has to be at least, by limits that fail a door; 0: nothing asks for any.
pub(super) fn greatest(limits: &[Limit], figure: Figure) -> f64 {
    let mine = limits.iter().filter(|limit| limit.figure == Some(figure) && limit.judge == Judge::Limit);
    let at_least = mine.filter_map(|limit| match &limit.rule {
        Rule::AtLeast(least) => Some(*least),
        _ => None,
    });
    at_least.fold(0.0, f64::max)
}

/// Greatest speed of the leaves at which every limit on speed and energy is kept, where there is a closed form (eq. 45).
fn most_speed(door: &Door, all: &[Limit], opening: bool) -> Option<(f64, String)> {
    let one = door.heaviest_leaf_kg();
    let together: f64 = door.ring().leaves.iter().map(|leaf| leaf.mass_kg * leaf.ratio.powi(2)).sum();
    let speed = |limit: &Limit| -> Option<f64> {
        let most = match &limit.rule {
            Rule::AtMost(most) => *most,
            Rule::ClosingSpeedByWeight if !opening => {
                return Some(limits::closing_speed_by_weight_m_per_s(one));
            }
            _ => return None,
        };
        match limit.figure? {
            Figure::PeakEnergyLeaf => Some((2.0 * most / one).sqrt()),
            Figure::PeakEnergyLeaves => Some((2.0 * most / together).sqrt()),
            Figure::PeakEnergyLeafClosing if !opening => Some((2.0 * most / one).sqrt()),
            Figure::TopSpeedOpening if opening => Some(most),
            Figure::TopSpeedClosing | Figure::TopSpeedBeforeCheck if !opening => Some(most),
            _ => None,
        }
    };
    let found = all
        .iter()
        .filter(|limit| limit.judge == Judge::Limit)
        .filter_map(|limit| Some((OF_THE_LIMIT * speed(limit)?, limit.key.clone())));
    found.reduce(|a, b| if b.0 < a.0 { b } else { a })
}
