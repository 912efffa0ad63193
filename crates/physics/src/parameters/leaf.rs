//! What moves: the leaf, its edge, its rollers, rail, guide and seals, and what is wrong with them.

use serde::{Deserialize, Serialize};

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

impl Default for Leaf {
    fn default() -> Self {
        Self {
            mass_kg: 80.0,
            second_mass_kg: None,
            width_m: 1.1,
            height_m: 2.2,
            stroke_m: 1.0,
            partial_opening_m: None,
            glass_thickness_m: None,
            frame_mass_kg_per_m: 0.0,
            fittings_mass_kg: 6.0,
            hanger_spacing_m: None,
            belt_height_m: 0.05,
            gravity_depth_m: None,
            gravity_offset_m: 0.0,
            hanger_height_difference_m: 0.0,
        }
    }
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

impl Default for Telescope {
    fn default() -> Self {
        Self { mass_kg: None, belt_length_m: None, belt_width_m: 0.01, tension_n: 150.0 }
    }
}

/// The edge that meets an obstacle: a spring that is pressed flat after its travel, and a damper beside it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClosingEdge {
    /// Stiffness of one edge, N/m.
    pub stiffness_n_per_m: f64,
    /// Damping of one edge, N s/m.
    pub damping_n_s_per_m: f64,
    /// Depth below the rail at which it meets things, m; `None`: half the height of the leaf.
    pub contact_depth_m: Option<f64>,
    /// How far one edge gives until it is pressed flat, m; `None`: as rubber usually does, [`ClosingEdge::USUAL_TRAVEL_M`].
    pub travel_m: Option<f64>,
    /// Stiffness of one edge that is pressed flat, with leaf and hangers, N/m.
    pub hard_stiffness_n_per_m: f64,
    /// How much stiffer it is for each kelvin below 20 C, 1/K.
    pub cold_factor_per_k: f64,
}

impl Default for ClosingEdge {
    fn default() -> Self {
        Self {
            stiffness_n_per_m: 40e3,
            damping_n_s_per_m: 100.0,
            contact_depth_m: None,
            travel_m: None,
            hard_stiffness_n_per_m: 300e3,
            cold_factor_per_k: 0.01,
        }
    }
}

impl ClosingEdge {
    /// Travel of a rubber nosing that was not measured, m.
    pub const USUAL_TRAVEL_M: f64 = 0.01;
}

/// The rear edge of a leaf, before the next fixed part behind the open leaf.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RearEdge {
    /// From the rear edge of the open leaf to the next fixed part behind it, m; `None`: not measured.
    pub clearance_m: Option<f64>,
    /// Stiffness of the rear edge with leaf and hangers, N/m.
    pub stiffness_n_per_m: f64,
    /// Its damping, N s/m.
    pub damping_n_s_per_m: f64,
    /// Depth below the rail at which it meets things, m; `None`: half the height of the leaf.
    pub depth_m: Option<f64>,
}

impl Default for RearEdge {
    fn default() -> Self {
        Self { clearance_m: None, stiffness_n_per_m: 200e3, damping_n_s_per_m: 0.0, depth_m: None }
    }
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

impl Default for Rollers {
    fn default() -> Self {
        Self {
            resistance: 0.010,
            breakaway: 1.3,
            fade_speed_m_per_s: 0.005,
            viscous_n_s_per_m: 5.0,
            diameter_m: 0.03,
        }
    }
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

impl Default for Seal {
    fn default() -> Self {
        Self { brush_n_per_m: 3.0, end_stiffness_n_per_m: 2e3, end_length_m: 0.005 }
    }
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

impl Default for Guide {
    fn default() -> Self {
        Self { friction: 0.2, depth_m: None, out_of_plumb: 0.0 }
    }
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

impl Default for Fault {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: FaultKind::default(),
            at_m: 0.5,
            height_m: 0.0003,
            length_m: 0.6,
            leaf: 1,
            hanger: Hanger::default(),
        }
    }
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
