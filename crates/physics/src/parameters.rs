//! What describes a door: plain nested structs, SI units, the unit in each name.
//!
//! Everything here is public and may be edited freely; [`crate::Door::try_from`] checks it all at once and
//! only its result can be run. Where a value is an `Option`, `None` means "worked out from the others".

use serde::{Deserialize, Serialize};

mod defaults;

/// One whole door: leaf, belt, drive, controller and what stands in the way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Parameters {
    /// How the leaves hang on the belt.
    pub arrangement: Arrangement,
    /// The leaf (each leaf of a pair, unless `second_mass_kg` differs).
    pub leaf: Leaf,
    /// A slow leaf behind each leaf, at half its speed; `None`: there is none.
    pub telescope: Option<Telescope>,
    /// The edge that meets an obstacle first.
    pub edge: ClosingEdge,
    /// Hanger rollers on the rail.
    pub rollers: Rollers,
    /// Brush and end seals.
    pub seal: Seal,
    /// The rail that the rollers run on.
    pub rail: Rail,
    /// The floor guide.
    pub guide: Guide,
    /// Wind and stack pressure.
    pub weather: Weather,
    /// The toothed belt and where it is clamped.
    pub belt: Belt,
    /// Drive and return pulley.
    pub pulleys: Pulleys,
    /// The gear between rotor and drive pulley.
    pub gear: Gear,
    /// The motor.
    pub motor: Motor,
    /// Where the current comes from.
    pub supply: Supply,
    /// Settings for the way open.
    pub opening: Motion,
    /// Settings for the way closed.
    pub closing: Motion,
    /// The controller's own constants.
    pub controller: Controller,
    /// How the controller notices that it is obstructed.
    pub obstruction: Obstruction,
    /// End stops of the rail.
    pub stoppers: Stoppers,
    /// What happens while it runs.
    pub timeline: Timeline,
    /// How often the door runs.
    pub duty: Duty,
    /// The instrument of the force test.
    pub tester: Tester,
    /// Something in the way of the closing leaf during the cycle.
    pub obstacle: Option<Obstacle>,
    /// Everything else that pulls or pushes a leaf.
    pub forces: Vec<LeafForce>,
    /// What is wrong with the rail or a roller.
    pub faults: Vec<Fault>,
    /// How the belt is cut and tightened. No run depends on it.
    pub workbench: Workbench,
}

/// How the leaves hang on the belt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Arrangement {
    /// One leaf that opens away from the drive.
    #[default]
    Away,
    /// One leaf that opens towards the drive.
    Towards,
    /// Two leaves that part in the middle.
    BiParting,
}

/// A leaf and how far it travels.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Leaf {
    /// Mass of one leaf with its hangers, without belt, kg.
    pub mass_kg: f64,
    /// Mass of the second leaf of a pair, kg; `None`: as the first.
    pub second_mass_kg: Option<f64>,
    /// Width, m.
    pub width_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Travel of one leaf from closed to fully open, m.
    pub stroke_m: f64,
    /// Travel of one leaf in partial opening, m; `None`: the whole stroke.
    pub partial_opening_m: Option<f64>,
    /// Thickness of a leaf of bare glass, all panes together, m; with it the mass is worked out: 2500 kg/m3
    /// (EN 572-1) over the whole leaf, and the frame. `None`: the mass is given.
    pub glass_thickness_m: Option<f64>,
    /// Frame profile and edge fittings for each metre of the leaf's circumference, kg/m; counts with the glass.
    pub frame_mass_kg_per_m: f64,
    /// Hangers, clamps and lock of one leaf, kg; counts with the glass.
    pub fittings_mass_kg: f64,
    /// Distance between the two hangers s_h, m; `None`: width - 0.2 m.
    pub hanger_spacing_m: Option<f64>,
    /// Height of the belt clamp above the rail z_c, m.
    pub belt_height_m: f64,
    /// Depth of the centre of gravity below the rail z_g, m; `None`: half the height.
    pub gravity_depth_m: Option<f64>,
    /// Centre of gravity off the middle of the hangers e, towards the closing edge positive, m.
    pub gravity_offset_m: f64,
    /// How much higher the trailing hanger sits than the leading one (the one at the closing edge), m.
    pub hanger_height_difference_m: f64,
}

/// A slow leaf that a second belt loop on it keeps at half the way of the leaf in front.
///
/// The loop runs round two pulleys on the slow leaf. One strand is clamped to the frame, the other to the fast leaf,
/// so that two lengths of belt join them, one round each pulley.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Telescope {
    /// Mass of the slow leaf with its hangers, kg; `None`: as the leaf in front.
    pub mass_kg: Option<f64>,
    /// Length of each of the two lengths of belt, m; `None`: as the leaf is wide.
    pub belt_length_m: Option<f64>,
    /// Width of the second belt, m.
    pub belt_width_m: f64,
    /// Its installed tension, N. Material and damping are those of the first belt.
    pub tension_n: f64,
}

/// The edge that meets an obstacle: a spring and a damper in parallel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClosingEdge {
    /// Stiffness of one edge, N/m.
    pub stiffness_n_per_m: f64,
    /// Damping of one edge, N s/m.
    pub damping_n_s_per_m: f64,
    /// Depth below the rail at which it meets things, m; `None`: half the height of the leaf.
    pub contact_depth_m: Option<f64>,
}

/// Rolling resistance of the hanger rollers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rollers {
    /// Running resistance over load, c_rr.
    pub resistance: f64,
    /// Breakaway over running resistance, beta.
    pub breakaway: f64,
    /// Speed over which breakaway fades, v_s, m/s.
    pub fade_speed_m_per_s: f64,
    /// Part that grows with speed, each leaf, N s/m.
    pub viscous_n_s_per_m: f64,
    /// Diameter of a hanger roller, m.
    pub diameter_m: f64,
}

/// Brush and end seals of each leaf.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Seal {
    /// Drag of the brush over each metre of leaf height, N/m.
    pub brush_n_per_m: f64,
    /// Stiffness of the compression seal before closed, N/m.
    pub end_stiffness_n_per_m: f64,
    /// Travel over which the compression seal acts before closed, m.
    pub end_length_m: f64,
}

/// The rail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rail {
    /// Rise over run, uphill positive while leaf 1 opens (m/m); leaf 2 of a pair feels the opposite.
    pub slope: f64,
}

/// The floor guide, which rubs as hard as the leaf leans on it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Guide {
    /// Friction coefficient mu_g.
    pub friction: f64,
    /// Depth below the rail z_f, m; `None`: height of the leaf + 0.05 m.
    pub depth_m: Option<f64>,
    /// How far the frame is out of plumb across the opening (m/m): the leaf hangs against the guide.
    pub out_of_plumb: f64,
}

/// What presses on the face of a leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Weather {
    /// Wind speed, m/s.
    pub wind_m_per_s: f64,
    /// Pressure across the door from stack effect or ventilation, either sign, Pa.
    pub stack_pressure_pa: f64,
}

/// Something wrong with the rail, or with a roller.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fault {
    /// What it is, for reports.
    pub name: String,
    /// Its shape.
    pub kind: FaultKind,
    /// Where along the rail from the closing edge of the closed leaf, in the direction in which leaf 1 opens, m
    /// (negative: on the side of leaf 2). For a flat: rolled distance at which it comes down first, 0 closed.
    pub at_m: f64,
    /// Height, m: of a step (negative: down) or bump; depth of a sag or flat.
    pub height_m: f64,
    /// Length of a sag, m.
    pub length_m: f64,
    /// On whose rail, or which leaf has the flat roller, from 1. Both leaves of a pair run on the rail of either; the
    /// slow leaves of a telescopic door are numbered after the others and have rails of their own.
    pub leaf: usize,
    /// Which of its rollers.
    pub hanger: Hanger,
}

/// Shape of a fault.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// The rail hangs through between two fixings: z = -(h/2)(1 - cos(2 pi s/length)).
    Sag,
    /// A joint: beyond it the rail is higher by h, or lower; the wheel's radius rounds it.
    #[default]
    Step,
    /// Dirt or a dent that stands up by h; the wheel's radius rounds it.
    Bump,
    /// A roller that stood and wore flat by h: the same once every turn of that roller.
    Flat,
}

/// One of the two hangers of a leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hanger {
    /// The one at the closing edge.
    #[default]
    Leading,
    /// The other one.
    Trailing,
}

/// The toothed belt.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Belt {
    /// Between pulley axes, m; `None`: stroke + 1.4 m.
    pub centre_distance_m: Option<f64>,
    /// Free belt between the clamp of the closed leaf and its nearer pulley (a or b), m.
    pub clamp_m: f64,
    /// Tooth pitch, m.
    pub pitch_m: f64,
    /// Width, m.
    pub width_m: f64,
    /// Force per unit strain and width, c_sp, N/m.
    pub specific_stiffness_n_per_m: f64,
    /// Mass per length and width, kg/m2.
    pub specific_mass_kg_per_m2: f64,
    /// Installed tension T_0, N.
    pub tension_n: f64,
    /// Damping time tau_b, s.
    pub damping_time_s: f64,
}

/// Drive and return pulley.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pulleys {
    /// Teeth of the drive pulley.
    pub teeth: f64,
    /// Inertia of the drive pulley, kg m2.
    pub drive_inertia_kg_m2: f64,
    /// Inertia of the return pulley, kg m2.
    pub return_inertia_kg_m2: f64,
    /// Pitch radius of the return pulley, m; `None`: as the drive pulley.
    pub return_radius_m: Option<f64>,
    /// Friction coefficient of each pulley bearing, mu_b.
    pub bearing_friction: f64,
    /// Bearing diameter over pitch diameter, d_b/d.
    pub bearing_diameter_ratio: f64,
    /// Drag of each pulley that does not grow with tension, at the rim, N.
    pub drag_n: f64,
}

/// The gear.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gear {
    /// Turns of the rotor for one turn of the pulley, N.
    pub ratio: f64,
    /// Efficiency when the motor drives, eta.
    pub efficiency: f64,
    /// Teeth that come into mesh in one turn of the rotor: of its pinion, or starts of its worm; `None`: no gear tone.
    pub rotor_teeth: Option<f64>,
    /// Stiffness between rotor and drive pulley, at the rim, N/m; `None`: rigid and without play.
    pub mesh_stiffness_n_per_m: Option<f64>,
    /// Play between rotor and drive pulley, at the rim, m: what the belt can be moved with the rotor held.
    pub backlash_m: f64,
    /// Damping ratio of rotor and pulley against each other.
    pub mesh_damping_ratio: f64,
}

/// A motor with brushes, or a brushless one seen through its commutation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Motor {
    /// Winding resistance at 25 C, ohm.
    pub resistance_ohm: f64,
    /// Torque constant at 25 C, N m/A, which is also V s/rad.
    pub torque_constant_n_m_per_a: f64,
    /// Winding inductance, H.
    pub inductance_h: f64,
    /// Rotor inertia, kg m2.
    pub rotor_inertia_kg_m2: f64,
    /// Friction of the rotor, N m.
    pub rotor_friction_n_m: f64,
    /// Change of the torque constant with temperature, 1/K.
    pub magnet_coefficient_per_k: f64,
    /// Temperature of winding and magnet in this run, C.
    pub winding_temperature_c: f64,
    /// Pole pairs of a brushless motor; `None`: no tone of its commutation.
    pub pole_pairs: Option<f64>,
    /// Bars of the commutator of a motor with brushes; `None`: no tone of it.
    pub commutator_bars: Option<f64>,
    /// Current that it bears without a break, A.
    pub rated_current_a: f64,
    /// How much warmer than an ambient of 40 C the winding then gets, K.
    pub rated_rise_k: f64,
    /// Share of that between winding and housing; the rest is between housing and ambient.
    pub inner_rise_share: f64,
    /// Time constant of the winding against the housing, s.
    pub winding_time_s: f64,
    /// Time constant of the housing against ambient, s.
    pub housing_time_s: f64,
    /// Insulation class of the winding.
    pub insulation: InsulationClass,
}

/// Insulation classes of IEC 60085, by the temperature that they bear.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum InsulationClass {
    /// 105 C.
    A,
    /// 120 C.
    E,
    /// 130 C.
    #[default]
    B,
    /// 155 C.
    F,
    /// 180 C.
    H,
}

impl InsulationClass {
    /// Temperature that the insulation bears, C (IEC 60085).
    pub fn temperature_c(self) -> f64 {
        match self {
            Self::A => 105.0,
            Self::E => 120.0,
            Self::B => 130.0,
            Self::F => 155.0,
            Self::H => 180.0,
        }
    }

    /// Rise by resistance over an ambient of 40 C that is allowed, K (IEC 60034-1); `None`: the number for this
    /// class is not at hand.
    pub fn rise_k(self) -> Option<f64> {
        match self {
            Self::A | Self::E => None,
            Self::B => Some(80.0),
            Self::F => Some(105.0),
            Self::H => Some(125.0),
        }
    }
}

/// Where the current comes from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Supply {
    /// Bus voltage, V; of a battery the open-circuit voltage.
    pub voltage_v: f64,
    /// Mains or battery.
    pub kind: SupplyKind,
    /// Most current that mains gives, A; `None`: no limit.
    pub current_limit_a: Option<f64>,
    /// Inner resistance of a battery, ohm.
    pub resistance_ohm: f64,
    /// What a full battery holds, A s; `None`: not known.
    pub capacity_a_s: Option<f64>,
    /// Where braking energy goes.
    pub braking: Braking,
    /// Capacitance of the bus, F.
    pub capacitance_f: f64,
    /// Voltage to which a blocked supply lets the bus rise, V; `None`: 1.25 times the bus voltage.
    pub clamp_voltage_v: Option<f64>,
}

/// Mains or battery.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SupplyKind {
    /// Constant voltage up to its current limit.
    #[default]
    Mains,
    /// Sags by its inner resistance times its current.
    Battery,
}

/// Where braking energy goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Braking {
    /// Back into the supply.
    #[default]
    Back,
    /// Into a resistor.
    Resistor,
    /// Nowhere: the bus rises to its clamp, which burns the rest.
    Blocked,
}

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

/// The instrument of the force test.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tester {
    /// Stiffness, N/m.
    pub stiffness_n_per_m: f64,
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
