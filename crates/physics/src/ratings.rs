//! Ratings of drive and belt: what their data sheets allow. A door is judged by them as by any other limit.

use serde::Serialize;

use crate::parameters::{InsulationClass, Parameters};

/// What the data sheets of a drive and a belt allow, SI. What is left out is not judged.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Ratings {
    /// The drive, by its name in a catalogue or in free text; empty: not named.
    pub drive: String,
    /// The belt, likewise.
    pub belt: String,
    /// Radial load that the shaft of the drive bears, both strands together, N.
    pub shaft_load_n: Option<f64>,
    /// Allowable tension of the belt, N.
    pub allowable_tension_n: Option<f64>,
    /// Most current of the winding, for a few seconds, A.
    pub peak_current_a: Option<f64>,
    /// RMS current of the winding over the duty, A.
    pub rated_current_a: Option<f64>,
    /// Maximum speed of the motor, rad/s.
    pub maximum_speed_rad_per_s: Option<f64>,
    /// Insulation class of the winding.
    pub insulation: Option<InsulationClass>,
    /// Most current that the supply of the drive gives, A.
    pub supply_current_a: Option<f64>,
}

impl Ratings {
    /// Whether nothing is named and nothing is rated.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Takes rated current and insulation class for the motor whose warmth is worked out from them.
    pub fn apply_to_motor(&self, p: &mut Parameters, current: bool, class: bool) {
        if let Some(rated) = self.rated_current_a.filter(|_| current) {
            p.motor.rated_current_a = rated;
        }
        if let Some(insulation) = self.insulation.filter(|_| class) {
            p.motor.insulation = insulation;
        }
    }
}
