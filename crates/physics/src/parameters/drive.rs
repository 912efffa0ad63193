//! What pulls: belt, pulleys, gear, motor and supply.

use serde::{Deserialize, Serialize};

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

impl Default for Belt {
    fn default() -> Self {
        Self {
            centre_distance_m: None,
            clamp_m: 0.3,
            pitch_m: 0.005,
            width_m: 0.015,
            specific_stiffness_n_per_m: 22e6,
            specific_mass_kg_per_m2: 4.8,
            tension_n: 250.0,
            damping_time_s: 0.001,
        }
    }
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

impl Default for Pulleys {
    fn default() -> Self {
        Self {
            teeth: 30.0,
            drive_inertia_kg_m2: 1e-4,
            return_inertia_kg_m2: 5e-5,
            return_radius_m: None,
            bearing_friction: 0.002,
            bearing_diameter_ratio: 0.3,
            drag_n: 1.0,
        }
    }
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

impl Default for Gear {
    fn default() -> Self {
        Self {
            ratio: 15.0,
            efficiency: 0.75,
            rotor_teeth: None,
            mesh_stiffness_n_per_m: None,
            backlash_m: 0.0,
            mesh_damping_ratio: 0.1,
        }
    }
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

impl Default for Motor {
    fn default() -> Self {
        Self {
            resistance_ohm: 0.5,
            torque_constant_n_m_per_a: 0.05,
            inductance_h: 0.3e-3,
            rotor_inertia_kg_m2: 5e-5,
            rotor_friction_n_m: 0.005,
            magnet_coefficient_per_k: -0.002,
            winding_temperature_c: 25.0,
            rated_current_a: 4.0,
            rated_rise_k: 80.0,
            inner_rise_share: 0.4,
            winding_time_s: 46.0,
            housing_time_s: 500.0,
            insulation: InsulationClass::default(),
            pole_pairs: None,
            commutator_bars: None,
        }
    }
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

impl Default for Supply {
    fn default() -> Self {
        Self {
            voltage_v: 24.0,
            kind: SupplyKind::default(),
            current_limit_a: None,
            resistance_ohm: 0.1,
            capacity_a_s: None,
            braking: Braking::default(),
            capacitance_f: 4.7e-3,
            clamp_voltage_v: None,
        }
    }
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
