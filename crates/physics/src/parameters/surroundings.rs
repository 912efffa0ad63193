//! What stands around: stops, obstacles, other forces, duty, what happens on the way, and the workbench.

use serde::{Deserialize, Serialize};

/// End stops, one-sided springs with dampers at rail height.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stoppers {
    /// Distance of the closed stop behind the closed position, m.
    pub behind_closed_m: f64,
    /// Distance of the open stop behind the open position, m.
    pub behind_open_m: f64,
    /// Stiffness, N/m.
    pub stiffness_n_per_m: f64,
    /// Damping, N s/m.
    pub damping_n_s_per_m: f64,
}

impl Default for Stoppers {
    fn default() -> Self {
        Self {
            behind_closed_m: 0.0,
            behind_open_m: 0.005,
            stiffness_n_per_m: 500e3,
            damping_n_s_per_m: 2000.0,
        }
    }
}

/// What happens while the door runs. Times run from the first command.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Timeline {
    /// What the run is: a cycle, or a learning run.
    pub run: RunKind,
    /// How far before the leaf the activation field begins, m; `None`: no one walks up.
    pub activation_depth_m: Option<f64>,
    /// How fast that person walks, m/s.
    pub person_speed_m_per_s: f64,
    /// Clear opening that the person needs, m.
    pub shoulder_width_m: f64,
    /// From what a sensor sees to the controller's command, s.
    pub sensor_delay_s: f64,
    /// Someone stands in the doorway until then, s; `None`: no one.
    pub presence_until_s: Option<f64>,
    /// When a beam across the doorway is broken, s; `None`: never.
    pub beam_broken_s: Option<f64>,
    /// What the controller does about it while closing.
    pub beam_action: BeamAction,
    /// When the door is told to open again, s; `None`: never.
    pub open_again_s: Option<f64>,
    /// When power is lost, s; `None`: never.
    pub power_lost_s: Option<f64>,
    /// What the winding is connected to from then on.
    pub power_lost_winding: PowerLost,
}

impl Default for Timeline {
    fn default() -> Self {
        Self {
            run: RunKind::default(),
            activation_depth_m: None,
            person_speed_m_per_s: 1.2,
            shoulder_width_m: 0.6,
            sensor_delay_s: 0.1,
            presence_until_s: None,
            beam_broken_s: None,
            beam_action: BeamAction::default(),
            open_again_s: None,
            power_lost_s: None,
            power_lost_winding: PowerLost::default(),
        }
    }
}

/// What a run of the door is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RunKind {
    /// Open, stay open, close.
    #[default]
    Cycle,
    /// Both ends found at creep speed.
    Learning,
}

/// What a controller does when a beam is broken while the door closes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BeamAction {
    /// Open again.
    #[default]
    Reopen,
    /// Stand still.
    Stop,
}

/// What the winding is connected to when power is lost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PowerLost {
    /// Nothing: the leaf coasts.
    #[default]
    Open,
    /// Itself: the motor brakes.
    Shorted,
}

/// How often the door runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Duty {
    /// Whole cycles in an hour.
    pub cycles_per_hour: f64,
    /// Temperature around the motor, C.
    pub ambient_c: f64,
}

impl Default for Duty {
    fn default() -> Self {
        Self { cycles_per_hour: 60.0, ambient_c: 20.0 }
    }
}

/// The instrument of the force test.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tester {
    /// Stiffness, N/m.
    pub stiffness_n_per_m: f64,
    /// Uncertainty of a force that it reads, a fraction of it: what is within its limit by less is close.
    pub uncertainty: f64,
    /// How many readings are taken, of which the mean is judged.
    pub readings: f64,
    /// Standard deviation of one reading, a fraction of it.
    pub repeatability: f64,
    /// What that mean reads over the force that is there; a study draws it.
    pub reads: f64,
}

impl Default for Tester {
    fn default() -> Self {
        Self { stiffness_n_per_m: 500e3, uncertainty: 0.05, readings: 3.0, repeatability: 0.03, reads: 1.0 }
    }
}

/// Something that stands in the clear opening while the door closes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Obstacle {
    /// Clear opening at which it is touched, m.
    pub gap_m: f64,
    /// Stiffness, N/m.
    pub stiffness_n_per_m: f64,
    /// Mass that one leaf pushes along, kg; `None`: fixed (one leaf) or floating without mass (two leaves).
    pub mass_kg: Option<f64>,
    /// Its depth along the travel, m: pushed along it comes to stand against the jamb.
    pub depth_m: f64,
    /// How long it stays after it was first touched, s.
    pub stays_s: f64,
}

impl Default for Obstacle {
    fn default() -> Self {
        Self { gap_m: 0.3, stiffness_n_per_m: 500e3, mass_kg: None, depth_m: 0.2, stays_s: 2.0 }
    }
}

/// One more force on a leaf: a cord, a weight, a damper, a lock's drag, a hand.
///
/// ```text
/// F = constant + k (rest - x) - c v        while from <= x <= to  and  start <= t <= end
/// ```
///
/// and `drag` as set-valued friction on top. Positive opens. `t` runs from the first command; in the stall test from
/// the command of that test.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LeafForce {
    /// What it is, for reports.
    pub name: String,
    /// Which leaf, from 1, slow leaves last; `None`: every leaf.
    pub leaf: Option<usize>,
    /// Constant part, N.
    pub constant_n: f64,
    /// Spring rate k, N/m.
    pub stiffness_n_per_m: f64,
    /// Opening at which the spring is at rest, m.
    pub rest_m: f64,
    /// Damping c, N s/m.
    pub damping_n_s_per_m: f64,
    /// Set-valued friction, N.
    pub drag_n: f64,
    /// Depth below the rail at which it acts, m; `None`: half the height of the leaf.
    pub depth_m: Option<f64>,
    /// Acts from this opening of the leaf, m.
    pub from_m: f64,
    /// Up to this opening, m.
    pub to_m: f64,
    /// Acts from this time, s.
    pub start_s: f64,
    /// Up to this time, s.
    pub end_s: f64,
}

impl LeafForce {
    /// An end from this time on, s, is no end.
    pub const FOR_GOOD_S: f64 = 1e6;
}

impl Default for LeafForce {
    fn default() -> Self {
        Self {
            name: String::new(),
            leaf: None,
            constant_n: 0.0,
            stiffness_n_per_m: 0.0,
            rest_m: 0.0,
            damping_n_s_per_m: 0.0,
            drag_n: 0.0,
            depth_m: None,
            from_m: -1.0,
            to_m: 100.0,
            start_s: 0.0,
            end_s: Self::FOR_GOOD_S,
        }
    }
}

/// How the belt is cut and tightened.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Workbench {
    /// Tension to work to, N; `None`: the installed one.
    pub wanted_tension_n: Option<f64>,
    /// Pitches by which an open-ended belt is cut shorter than the run that just touches both pulleys.
    pub cut_short: f64,
    /// Teeth of the belt that lie in each side of its clamp.
    pub clamp_teeth: f64,
    /// Gap between the two ends of the belt in its clamp, m.
    pub clamp_gap_m: f64,
    /// How far one turn of the adjuster moves the return pulley, m.
    pub thread_pitch_m: f64,
    /// Which way its nut is turned to tighten the belt.
    pub tightens: Turn,
    /// Least distance of a hanger from its end of the leaf, m.
    pub hanger_end_least_m: f64,
    /// Greatest one, m.
    pub hanger_end_most_m: f64,
    /// How far the frame may be out of level on the length of the rail, and out of plumb on its height, m.
    pub frame_tolerance_m: f64,
}

impl Default for Workbench {
    fn default() -> Self {
        Self {
            wanted_tension_n: None,
            cut_short: 1.0,
            clamp_teeth: 3.0,
            clamp_gap_m: 0.0,
            thread_pitch_m: 0.001,
            tightens: Turn::default(),
            hanger_end_least_m: 0.06,
            hanger_end_most_m: 0.1,
            frame_tolerance_m: 0.002,
        }
    }
}

/// Which way a nut is turned, as seen from its own side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    /// To the right.
    #[default]
    Clockwise,
    /// To the left.
    CounterClockwise,
}
