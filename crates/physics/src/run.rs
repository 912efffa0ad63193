//! What a cycle leaves behind: samples, events, forces.

use serde::Serialize;

use crate::moment::Moment;
use crate::parameters::Hanger;

/// Most leaves of one door.
pub const MAX_LEAVES: usize = 4;
/// Most spans of all belts.
pub const MAX_SPANS: usize = 8;

/// What the controller is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Standing closed, pressed.
    Closed,
    /// On the way open.
    Opening,
    /// Standing open.
    Open,
    /// On the way closed.
    Closing,
    /// Stopped by an obstruction.
    Stopped,
    /// Going back after an obstruction.
    Reversing,
    /// Finding the ends of its travel at creep speed.
    Learning,
    /// Power off: the winding is open, or shorted where power was lost so.
    Off,
}

/// The door at the end of one tick; the force at the closing edge is the greatest within it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sample {
    /// Time since the first command, s.
    pub t_s: f64,
    /// Sum of the leaf positions, m.
    pub clear_opening_m: f64,
    /// Position of each leaf, 0 closed, m (absent leaves 0).
    pub leaf_position_m: [f64; MAX_LEAVES],
    /// Speed of each leaf, opening positive, m/s.
    pub leaf_speed_m_per_s: [f64; MAX_LEAVES],
    /// Speed that the controller wants, m/s.
    pub wanted_speed_m_per_s: f64,
    /// Kinetic energy of the leaf that has most, J.
    pub energy_leaf_j: f64,
    /// Kinetic energy of all leaves, J.
    pub energy_leaves_j: f64,
    /// Kinetic energy of leaves, belt, drive and return pulley, J.
    pub energy_coupled_j: f64,
    /// Tension of each span in the order of the ring, N (absent spans 0).
    pub tension_n: [f64; MAX_SPANS],
    /// Belt displacement and speed at the drive pulley, m and m/s.
    pub drive_position_m: f64,
    /// Belt speed at the drive pulley, m/s.
    pub drive_speed_m_per_s: f64,
    /// Winding current, A.
    pub current_a: f64,
    /// Voltage on the winding during the tick, V.
    pub voltage_v: f64,
    /// Greatest force between closing edge and obstacle within the tick that ends here, N: a peak between two ticks counts.
    pub contact_force_n: f64,
    /// What the leading and the trailing hanger of each leaf carry, N; negative: the wheel has lifted and the
    /// anti-lift roller carries it (absent leaves 0).
    pub hanger_load_n: [[f64; 2]; MAX_LEAVES],
    /// What the controller is doing.
    pub state: State,
}

/// Something that happened.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Event {
    /// When and where.
    #[serde(flatten)]
    pub at: Moment,
    /// What.
    #[serde(flatten)]
    pub kind: EventKind,
}

/// What can happen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "event")]
pub enum EventKind {
    /// The controller was told to open.
    CommandOpen,
    /// The controller was told to close.
    CommandClose,
    /// The controller counts the door as open.
    ArrivedOpen,
    /// The controller counts the door as closed.
    ArrivedClosed,
    /// A strand has gone slack.
    SlackBegins {
        /// Index of the span in the order of the ring.
        span: usize,
    },
    /// It pulls again.
    SlackEnds {
        /// Index of the span in the order of the ring.
        span: usize,
        /// For how long it was slack, s.
        lasted_s: f64,
    },
    /// The closing edge met the obstacle.
    Touched {
        /// Closing speed of the clear opening then, m/s.
        closing_speed_m_per_s: f64,
    },
    /// The closing edge left the obstacle.
    Cleared,
    /// A leaf met an end stop.
    StopHit {
        /// Which leaf, 1 or 2.
        leaf: usize,
        /// Its speed then, m/s.
        speed_m_per_s: f64,
    },
    /// A wheel has left the rail: its anti-lift roller carries.
    WheelLifts {
        /// Which leaf, from 1.
        leaf: usize,
        /// Which of its hangers.
        hanger: Hanger,
    },
    /// It sits on the rail again.
    WheelSits {
        /// Which leaf, from 1.
        leaf: usize,
        /// Which of its hangers.
        hanger: Hanger,
        /// For how long it was off the rail, s.
        lasted_s: f64,
    },
    /// A wheel rolled over a step or a bump of its rail.
    FaultPassed {
        /// Which leaf, from 1.
        leaf: usize,
        /// Which of its hangers.
        hanger: Hanger,
        /// Which fault, by its place in the list, from 0.
        fault: usize,
        /// Greatest acceleration of the leaf around it, m/s2.
        acceleration_m_per_s2: f64,
    },
    /// Rotor and drive pulley meet again after crossing their play.
    GearKnocks {
        /// Their relative speed at the rim then, m/s.
        speed_m_per_s: f64,
    },
    /// The controller noticed that it is obstructed.
    ObstructionNoticed,
    /// It reverses.
    Reversed,
    /// It stops.
    Stopped,
    /// Power was lost.
    PowerLost,
    /// The beam across the doorway was broken.
    BeamBroken,
    /// A learning run has found an end.
    EndFound {
        /// Where the encoder sees the drive then, m.
        drive_position_m: f64,
    },
    /// The door did not finish in the time allowed.
    TimedOut,
}

impl EventKind {
    /// Where a learning run has found an end, m at the drive.
    pub(crate) fn end_found(self) -> Option<f64> {
        if let Self::EndFound { drive_position_m } = self { Some(drive_position_m) } else { None }
    }
}

/// A range of gaps, upper bound included, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GapRange {
    /// Gaps above this (0 includes contact at closed).
    pub above_m: f64,
    /// Up to and including this; infinite: no end.
    pub to_m: f64,
}

impl GapRange {
    /// Every gap.
    pub const WHOLE: Self = Self { above_m: 0.0, to_m: f64::INFINITY };

    /// Whether a gap lies in it, m; a rounding beyond its ends counts.
    pub fn holds(&self, gap_m: f64) -> bool {
        const ROUNDING_M: f64 = 1e-9;
        gap_m > self.above_m - ROUNDING_M && gap_m <= self.to_m + ROUNDING_M
    }
}

/// Where the clear opening closes fastest within a range of gaps.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FastestPlace {
    /// The range.
    #[serde(flatten)]
    pub range: GapRange,
    /// Clear opening there, m; the smaller one if it is as fast at several.
    #[serde(rename = "fastest_gap_m")]
    pub gap_m: f64,
    /// How fast it closes there, m/s.
    pub closing_m_per_s: f64,
}

/// The force test at one gap.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct GapForce {
    /// Clear opening at which the tester is touched, m.
    pub gap_m: f64,
    /// Whether it was asked for; else it was found as the fastest place of a range, or lies near one.
    pub asked: bool,
    /// When the closing leaf touches it, s after the first command; `None`: it never does.
    pub touched_at_s: Option<f64>,
    /// Closing speed of the clear opening then, m/s.
    pub touch_speed_m_per_s: Option<f64>,
    /// Whether it is met so soon after the command that the controller does not look yet.
    pub within_blind_time: bool,
    /// Greatest 50 ms mean within 2 s, closing from rest against the tester, N.
    pub stall_force_n: Option<f64>,
    /// Mean from 4.95 s to 5.00 s after that command, N.
    pub stall_force_settled_n: Option<f64>,
    /// What a gauge reads that is leaned on slowly: push of the stalled drive beyond what friction takes, N.
    pub stall_force_slow_n: Option<f64>,
    /// Greatest force within 0.75 s of touching, N.
    pub impact_force_n: Option<f64>,
    /// When that was, s after touching.
    pub impact_at_s: Option<f64>,
    /// Greatest force from 0.75 s to 5 s after touching, N.
    pub force_after_750ms_n: Option<f64>,
    /// Mean from 4.95 s to 5.00 s after touching, N.
    pub residual_force_n: Option<f64>,
    /// Total time above 150 N within 5 s of touching, s.
    pub time_above_150n_s: Option<f64>,
    /// When the controller acts on it, s after touching.
    pub acts_after_s: Option<f64>,
    /// How far the edge is pressed within 0.75 s of touching, over its travel; beyond 1 it is flat. Absent for a rear edge.
    pub edge_travel_used: Option<f64>,
    /// Force over time since touching, (s, N), one point a tick until it is clear.
    pub force_over_time: Vec<(f64, f64)>,
}

/// A figure's value at one gap of the force test; `None`: it was not measured there.
pub type AtGap = fn(&GapForce) -> Option<f64>;

impl GapForce {
    /// The greatest of the three stall forces, N; `None`: not measured at this gap.
    pub fn stall_force_greatest_n(&self) -> Option<f64> {
        [self.stall_force_n, self.stall_force_settled_n, self.stall_force_slow_n]
            .into_iter()
            .flatten()
            .reduce(f64::max)
    }
}

/// The force test behind one leaf, while the door opens.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RearForce {
    /// Which leaf, 1 or 2.
    pub leaf: usize,
    /// The test; its gap is the space that is left between the rear edge and the next fixed part, m.
    #[serde(flatten)]
    pub test: GapForce,
}
