//! The sampled controller: it sees the motor encoder and nothing else.
//!
//! At every tick, in this order (DEVELOPERS.md, eq. 9 to 11):
//!
//! ```text
//! 1  q = floor(counts) at the rim;  v += (dq/T_s - v) T_s/(tau_f + T_s);  w = N v/r
//! 2  state: arrival, obstruction, hold-open
//! 3  d: distance to the target; v_t = min(v_set, sqrt(v_creep^2 + 2 a_brake max(0, d - d_creep))), 0 within d_stop
//!    v_ref moves to v_t by at most a_acc T_s growing, 2 a_brake T_s shrinking
//! 4  u = K_p (v_ref - v) + I + i_ff;  i_ref = clamp(u, +-i_lim)
//! 5  V = clamp(R_25 i_ref + K_25 w, +-V_bus), held until the next tick
//! 6  i_app = (V - K_25 w)/R_25;  I += T_s (K_i (v_ref - v) + (i_app - u)/T_aw)
//! ```

use crate::door::Door;
use crate::parameters::{Hold, Motion, Obstruction, ObstructionAction};
use crate::plant::Winding;
use crate::run::{EventKind, State};

/// Speed below which the door counts as arrived, m/s.
pub const ARRIVAL_SPEED_M_PER_S: f64 = 0.005;
/// Share of the current limit from which the controller counts as pushing with all it may.
pub(crate) const AT_LIMIT: f64 = 0.98;
/// Filtered speed below which the encoder counts as still, m/s.
pub(crate) const STILL_M_PER_S: f64 = 1e-9;

/// Which end a motion goes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Target {
    Open,
    Closed,
}

/// The controller's constants, worked out once.
#[derive(Clone, Debug)]
pub(crate) struct Settings {
    tick: f64,
    counts_per_m: f64,
    speed_filter: f64,
    stroke: f64,
    /// Until when someone stands in the doorway, s.
    presence_until: f64,
    opening: Motion,
    closing: Motion,
    kp: f64,
    ki: f64,
    antiwindup: f64,
    feed_forward: f64,
    jerk: f64,
    stop_distance: f64,
    hold_open: f64,
    hold: Hold,
    press: f64,
    obstruction: Obstruction,
    r25: f64,
    /// K_25 N / r: voltage for a speed.
    k25_rim: f64,
    /// Whether an obstruction is acted on at all.
    pub reacts: bool,
}

impl Settings {
    pub fn new(door: &Door) -> Self {
        let p = door.parameters();
        let c = &p.controller;
        Self {
            tick: c.tick_s,
            counts_per_m: door.derived().counts_per_m,
            speed_filter: c.speed_filter_s,
            stroke: door.travel_m(),
            presence_until: p.timeline.presence_until_s.unwrap_or(0.0),
            opening: p.opening,
            closing: p.closing,
            kp: c.proportional_gain_a_s_per_m.unwrap_or(0.0),
            ki: c.integral_gain_a_per_m.unwrap_or(0.0),
            antiwindup: c.antiwindup_s,
            feed_forward: c.feed_forward_a,
            jerk: c.jerk_m_per_s3.unwrap_or(f64::INFINITY),
            stop_distance: c.stop_distance_m,
            hold_open: c.hold_open_s,
            hold: c.hold,
            press: c.press_current_a,
            obstruction: p.obstruction,
            r25: p.motor.resistance_ohm,
            k25_rim: p.motor.torque_constant_n_m_per_a * p.gear.ratio / door.ring().radius_m,
            reacts: true,
        }
    }

    /// What the encoder reads at a belt displacement, in m at the rim.
    fn encoder(&self, drive_m: f64) -> f64 {
        let counts = drive_m * self.counts_per_m;
        let towards_zero = counts as i64 as f64;
        (if towards_zero > counts { towards_zero - 1.0 } else { towards_zero }) / self.counts_per_m
    }

    fn motion(&self, target: Target) -> &Motion {
        match target {
            Target::Open => &self.opening,
            Target::Closed => &self.closing,
        }
    }
}

/// The controller between two ticks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Controller {
    pub state: State,
    target: Target,
    q: f64,
    v: f64,
    pub v_ref: f64,
    /// Change of v_ref in the last tick, m/s2, for the jerk limit.
    a_ref: f64,
    integral: f64,
    i_ref: f64,
    commanded_at: f64,
    arrived_at: f64,
    held_up_since: Option<f64>,
    noticed_at: Option<f64>,
    /// Whether the winding is shorted while power is off.
    shorted: bool,
    /// Bus voltage of this tick, V.
    bus: f64,
}

impl Controller {
    /// A controller that has stood at this belt displacement.
    pub fn standing(settings: &Settings, drive_m: f64, state: State) -> Self {
        Self {
            state,
            target: Target::Closed,
            q: settings.encoder(drive_m),
            v: 0.0,
            v_ref: 0.0,
            a_ref: 0.0,
            integral: 0.0,
            i_ref: 0.0,
            commanded_at: 0.0,
            arrived_at: 0.0,
            held_up_since: None,
            noticed_at: None,
            shorted: false,
            bus: 0.0,
        }
    }

    /// A command: v_ref and the integral start anew.
    pub fn command(&mut self, t: f64, target: Target, state: State) {
        self.target = target;
        self.state = state;
        self.commanded_at = t;
        self.rest();
    }

    fn rest(&mut self) {
        (self.v_ref, self.a_ref, self.integral) = (0.0, 0.0, 0.0);
        (self.held_up_since, self.noticed_at) = (None, None);
    }

    /// Time of the last command, s.
    pub fn commanded_at(&self) -> f64 {
        self.commanded_at
    }

    /// When the controller will next do something by itself while the door stands, s.
    pub fn next_change(&self, s: &Settings) -> f64 {
        if self.state == State::Open { self.closes_at(s) } else { f64::INFINITY }
    }

    /// When an open door closes, s: the hold-open time counts from arrival, or from when the doorway is clear.
    fn closes_at(&self, s: &Settings) -> f64 {
        self.arrived_at.max(s.presence_until) + s.hold_open
    }

    /// Counts the hold-open time anew.
    pub fn hold_from(&mut self, t: f64) {
        self.arrived_at = t;
    }

    /// Stands still.
    pub fn stop(&mut self) {
        self.state = State::Stopped;
        self.rest();
    }

    /// Power is lost.
    pub fn power_off(&mut self, shorted: bool) {
        self.state = State::Off;
        self.shorted = shorted;
        self.rest();
    }

    /// Whether its target is the open end.
    pub fn is_opening(&self) -> bool {
        self.target == Target::Open
    }

    /// Whether nothing but time can change what it puts out.
    pub fn is_still(&self) -> bool {
        self.v.abs() < STILL_M_PER_S
            && matches!(self.state, State::Open | State::Closed | State::Stopped | State::Off)
    }

    /// Whether it pushes with a current that will not change while the leaf stands.
    pub fn pushes_steadily(&self, s: &Settings) -> bool {
        let limit = s.motion(self.target).current_limit_a;
        self.v.abs() < STILL_M_PER_S && self.i_ref.abs() >= limit
    }

    /// One tick: reads the encoder, returns what the winding is connected to until the next.
    pub fn tick(
        &mut self,
        s: &Settings,
        t: f64,
        drive_m: f64,
        bus_v: f64,
        mut event: impl FnMut(EventKind),
    ) -> Winding {
        self.bus = bus_v;
        // 1
        let q = s.encoder(drive_m);
        self.v += ((q - self.q) / s.tick - self.v) * s.tick / (s.speed_filter + s.tick);
        self.q = q;
        if self.v.abs() < STILL_M_PER_S {
            self.v = 0.0;
        }
        // 2
        self.advance_state(s, t, &mut event);
        match self.state {
            State::Off if self.shorted => return Winding::Volts(0.0),
            State::Off => return Winding::Open,
            State::Open => match s.hold {
                Hold::Shorted => return Winding::Volts(0.0),
                Hold::Free => return Winding::Open,
                Hold::ZeroCurrent => self.i_ref = 0.0,
            },
            State::Closed => self.i_ref = -s.press,
            State::Opening | State::Closing | State::Reversing | State::Learning | State::Stopped => {
                self.follow(s);
                return self.regulate(s);
            }
        }
        Winding::Volts((s.r25 * self.i_ref + s.k25_rim * self.v).clamp(-self.bus, self.bus))
    }

    /// +1 on the way open, -1 on the way closed.
    fn direction(&self) -> f64 {
        if self.target == Target::Open { 1.0 } else { -1.0 }
    }

    /// Distance still to go, m; negative beyond the target.
    fn distance(&self, s: &Settings) -> f64 {
        match self.target {
            Target::Open => s.stroke - self.q,
            Target::Closed => self.q,
        }
    }

    fn travelling(&self) -> bool {
        matches!(self.state, State::Opening | State::Closing | State::Reversing | State::Learning)
    }

    /// Step 2.
    fn advance_state(&mut self, s: &Settings, t: f64, event: &mut impl FnMut(EventKind)) {
        let time = t + 1e-9;
        if self.state == State::Open && time >= self.closes_at(s) {
            event(EventKind::CommandClose);
            self.command(t, Target::Closed, State::Closing);
        }
        if !self.travelling() {
            return;
        }
        if self.state == State::Learning {
            self.learn(s, t, event);
            return;
        }
        if self.distance(s) <= s.stop_distance && self.v_ref == 0.0 && self.v.abs() < ARRIVAL_SPEED_M_PER_S {
            self.arrived_at = t;
            (self.state, self.held_up_since, self.noticed_at) = match self.target {
                Target::Open => (State::Open, None, None),
                Target::Closed => (State::Closed, None, None),
            };
            event(if self.target == Target::Open {
                EventKind::ArrivedOpen
            } else {
                EventKind::ArrivedClosed
            });
            return;
        }
        self.watch(s, t, event);
    }

    /// An end is where the leaf is held up as by an obstruction. The closed end comes first.
    fn learn(&mut self, s: &Settings, t: f64, event: &mut impl FnMut(EventKind)) {
        let time = t + 1e-9;
        if time < self.commanded_at + s.obstruction.blind_s {
            return;
        }
        self.held_up_since = if self.is_held_up(s) { self.held_up_since.or(Some(t)) } else { None };
        if self.held_up_since.is_none_or(|since| time < since + s.obstruction.detect_s) {
            return;
        }
        event(EventKind::EndFound { drive_position_m: self.q });
        match self.target {
            Target::Closed => self.command(t, Target::Open, State::Learning),
            Target::Open => self.stop(),
        }
    }

    /// Pushing with all it may, below a speed.
    fn is_held_up(&self, s: &Settings) -> bool {
        let limit = s.motion(self.target).current_limit_a;
        self.i_ref.abs() >= AT_LIMIT * limit && self.direction() * self.v < s.obstruction.speed_m_per_s
    }

    /// Obstruction: pushing with all it may, below a speed, without a break.
    fn watch(&mut self, s: &Settings, t: f64, event: &mut impl FnMut(EventKind)) {
        let time = t + 1e-9;
        if !s.reacts || time < self.commanded_at + s.obstruction.blind_s {
            return;
        }
        if self.noticed_at.is_none() {
            self.held_up_since = if self.is_held_up(s) { self.held_up_since.or(Some(t)) } else { None };
            if self.held_up_since.is_some_and(|since| time >= since + s.obstruction.detect_s) {
                self.noticed_at = Some(t);
                event(EventKind::ObstructionNoticed);
            }
        }
        if self.noticed_at.is_some_and(|noticed| time >= noticed + s.obstruction.react_s) {
            match s.obstruction.action {
                ObstructionAction::Stop => {
                    self.stop();
                    event(EventKind::Stopped);
                }
                ObstructionAction::Reverse => {
                    let other = if self.target == Target::Open { Target::Closed } else { Target::Open };
                    self.command(t, other, State::Reversing);
                    event(EventKind::Reversed);
                }
            }
        }
    }

    /// Step 3: v_ref.
    fn follow(&mut self, s: &Settings) {
        let motion = *s.motion(self.target);
        let learning = self.state == State::Learning;
        let arriving = !learning && self.distance(s) <= s.stop_distance;
        let stopping = self.state == State::Stopped || arriving;
        let wanted = if stopping {
            0.0
        } else if learning {
            self.direction() * motion.creep_speed_m_per_s
        } else {
            self.direction() * self.allowed_speed(s, &motion)
        };
        let change = wanted - self.v_ref;
        let growing = change * self.v_ref >= 0.0 && wanted * self.v_ref >= 0.0;
        let rate = if growing { motion.acceleration_m_per_s2 } else { 2.0 * motion.braking_m_per_s2 };
        // The last stop, from creep speed, is not rounded: it has the stop distance and no more.
        let acceleration = if s.jerk.is_finite() && !stopping {
            let rounded = rate.min((2.0 * s.jerk * change.abs()).sqrt()).copysign(change);
            let most = s.jerk * s.tick;
            rounded.clamp(self.a_ref - most, self.a_ref + most)
        } else {
            change.clamp(-rate * s.tick, rate * s.tick) / s.tick
        };
        // lands on the wanted speed rather than beyond it
        let step = acceleration * s.tick;
        let step = if step * change > 0.0 && step.abs() > change.abs() { change } else { step };
        self.a_ref = acceleration;
        self.v_ref += step;
    }

    /// Speed from which braking still ends at creep speed where the creep distance begins, m/s.
    ///
    /// ```text
    /// d = (v^2 - v_c^2)/(2 a) + (v + v_c) a/(2 j)      with a jerk limit j; without it v = sqrt(v_c^2 + 2 a d)
    /// ```
    fn allowed_speed(&self, s: &Settings, motion: &Motion) -> f64 {
        let ahead = (self.distance(s) - motion.creep_distance_m).max(0.0);
        let (a, creep) = (motion.braking_m_per_s2, motion.creep_speed_m_per_s);
        let ramp = a * a / (2.0 * s.jerk);
        let square = ramp * ramp + creep * creep - 2.0 * creep * ramp + 2.0 * a * ahead;
        motion.speed_m_per_s.min((square.max(0.0).sqrt() - ramp).max(creep.min(motion.speed_m_per_s)))
    }

    /// Steps 4 to 6: the current wanted, the voltage for it, the integral.
    fn regulate(&mut self, s: &Settings) -> Winding {
        let limit = s.motion(self.target).current_limit_a;
        let feed_forward = if self.travelling() { self.direction() * s.feed_forward } else { 0.0 };
        let error = self.v_ref - self.v;
        let u = s.kp * error + self.integral + feed_forward;
        self.i_ref = u.clamp(-limit, limit);
        let emf = s.k25_rim * self.v;
        let volts = (s.r25 * self.i_ref + emf).clamp(-self.bus, self.bus);
        let applied = (volts - emf) / s.r25;
        self.integral += s.tick * (s.ki * error + (applied - u) / s.antiwindup);
        Winding::Volts(volts)
    }
}
