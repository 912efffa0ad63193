//! What decides: speeds, ramps and limits either way, and how an obstruction is noticed.

use serde::{Deserialize, Serialize};

/// What is set for one direction of travel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Motion {
    /// Travel speed, m/s.
    pub speed_m_per_s: f64,
    /// Acceleration, m/s2.
    pub acceleration_m_per_s2: f64,
    /// Braking on the way to the creep distance, m/s2.
    pub braking_m_per_s2: f64,
    /// Speed over the last stretch, m/s.
    pub creep_speed_m_per_s: f64,
    /// Length of that last stretch, m.
    pub creep_distance_m: f64,
    /// Most current that the controller asks for, A.
    pub current_limit_a: f64,
}

impl Motion {
    /// Default settings for the way open.
    pub const OPENING: Self = Self {
        speed_m_per_s: 0.6,
        acceleration_m_per_s2: 1.0,
        braking_m_per_s2: 0.8,
        creep_speed_m_per_s: 0.06,
        creep_distance_m: 0.05,
        current_limit_a: 8.0,
    };
    /// Default settings for the way closed: slower and weaker.
    pub const CLOSING: Self = Self { speed_m_per_s: 0.3, current_limit_a: 5.0, ..Self::OPENING };
}

impl Default for Motion {
    fn default() -> Self {
        Self::OPENING
    }
}

/// The controller's own constants.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Controller {
    /// Sampling time T_s, s.
    pub tick_s: f64,
    /// Counts that the encoder gives for one turn of the motor.
    pub counts_per_turn: f64,
    /// Time constant of the speed filter tau_f, s.
    pub speed_filter_s: f64,
    /// Gain on the speed error K_p, A s/m; `None`: 30 rad/s (m/eta + m_d) r/(N K), but at
    /// most 250 rad/s m_d r/(N K).
    pub proportional_gain_a_s_per_m: Option<f64>,
    /// Gain on the integrated speed error K_i, A/m; `None`: 3.3/s K_p.
    pub integral_gain_a_per_m: Option<f64>,
    /// Anti-windup time T_aw, s.
    pub antiwindup_s: f64,
    /// Constant current added while travelling i_ff, A.
    pub feed_forward_a: f64,
    /// Most change of the wanted acceleration, m/s3; `None`: no limit.
    pub jerk_m_per_s3: Option<f64>,
    /// Distance to the end within which the wanted speed is zero d_stop, m.
    pub stop_distance_m: f64,
    /// How long the door stays open, s.
    pub hold_open_s: f64,
    /// What the motor does meanwhile.
    pub hold: Hold,
    /// Current towards closed while the door stands closed, A.
    pub press_current_a: f64,
}

impl Default for Controller {
    fn default() -> Self {
        Self {
            tick_s: 0.001,
            counts_per_turn: 2000.0,
            speed_filter_s: 0.003,
            proportional_gain_a_s_per_m: None,
            integral_gain_a_per_m: None,
            antiwindup_s: 0.1,
            feed_forward_a: 0.0,
            jerk_m_per_s3: None,
            stop_distance_m: 0.002,
            hold_open_s: 3.0,
            hold: Hold::ZeroCurrent,
            press_current_a: 1.2,
        }
    }
}

/// What the motor does while the door stands open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hold {
    /// The controller keeps the current at zero.
    #[default]
    ZeroCurrent,
    /// The winding is shorted.
    Shorted,
    /// The winding is open.
    Free,
}

/// How the controller notices that it is obstructed, and what it does then.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Obstruction {
    /// Speed in the commanded direction below which the leaf counts as held up, m/s.
    pub speed_m_per_s: f64,
    /// How long that must last, s.
    pub detect_s: f64,
    /// Time from noticing to acting, s.
    pub react_s: f64,
    /// After a command, how long the controller does not look, s.
    pub blind_s: f64,
    /// What it does then.
    pub action: ObstructionAction,
}

impl Default for Obstruction {
    fn default() -> Self {
        Self {
            speed_m_per_s: 0.02,
            detect_s: 0.1,
            react_s: 0.03,
            blind_s: 0.5,
            action: ObstructionAction::Reverse,
        }
    }
}

/// What an obstructed controller does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ObstructionAction {
    /// Run back the other way.
    #[default]
    Reverse,
    /// Stand still.
    Stop,
}
