//! What may be typed from a data sheet beside the numbers of a drive, and what its conventions mean in the model.
//!
//! The model has one winding that carries one direct current between two terminals (DEVELOPERS.md, eq. 48). A brushless
//! motor whose currents are sines is the same motor, in torque, copper loss and voltage at its terminals, with
//!
//! ```text
//! R = R_ll = 2 R_ph    K = E_ll/w (amplitude) = sqrt(2/3) K_t,rms    i = sqrt(3/2) I_rms = sqrt(3)/2 I_amplitude
//! loss  R i^2 = 3 R_ph I_rms^2        torque  K i = K_t,rms I_rms
//! ```
//!
//! They are the textbook relations of a balanced winding in star: V_ll = sqrt(3) V_ph, amplitude = sqrt(2) RMS, and a power of
//! 3 E_rms I_rms = (3/2) E I of the three phases (Fitzgerald, Kingsley and Umans, Electric Machinery, from memory). A winding
//! in delta is given between its terminals, and is there the same as one in star.

use std::f64::consts::TAU;

use tautleaf_physics::{Field, Quantity};

use super::catalogue::{Commutation, Drive, WorkedOut};
use super::refusal::Refusal;

/// What the currents of a data sheet are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Currents {
    /// Direct current into two terminals: brushes, or block commutation.
    Direct,
    /// RMS values of sines.
    Rms,
    /// Amplitudes of sines.
    Amplitude,
}

/// What a voltage constant counts of the sine that a turning motor gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Voltages {
    /// Its RMS value.
    Rms,
    /// Its amplitude.
    Amplitude,
}

/// Between what resistance, inductance and voltage constant are measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// Two terminals.
    LineToLine,
    /// A terminal and the star point.
    Phase,
}

/// What a data sheet may say beside the numbers of a [`Drive`]: SI, in the data sheet's own conventions.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DataSheet {
    /// What its currents are; `None`: not said.
    pub currents: Option<Currents>,
    /// What its voltage constant counts; `None`: not said.
    pub voltages: Option<Voltages>,
    /// Between what resistance, inductance and voltage constant are measured; `None`: not said.
    pub measured: Option<Measured>,
    /// Power at the rotor at the rated point, W.
    pub rated_power_w: Option<f64>,
    /// Torque there, N m.
    pub rated_torque_n_m: Option<f64>,
    /// Speed there, rad/s.
    pub rated_speed_rad_per_s: Option<f64>,
    /// Never faster, rad/s.
    pub maximum_speed_rad_per_s: Option<f64>,
    /// Speed without load at the voltage of the bus, rad/s.
    pub no_load_speed_rad_per_s: Option<f64>,
    /// Current without load, A.
    pub no_load_current_a: Option<f64>,
    /// Resistance between two terminals at 25 C, ohm.
    pub terminal_resistance_ohm: Option<f64>,
    /// Voltage for each speed, V s/rad.
    pub voltage_constant_v_s: Option<f64>,
    /// Thermal resistance between winding and ambient, K/W.
    pub thermal_resistance_k_per_w: Option<f64>,
    /// The part of it between winding and housing, K/W.
    pub winding_housing_k_per_w: Option<f64>,
    /// The part of it between housing and ambient, K/W.
    pub housing_ambient_k_per_w: Option<f64>,
}

macro_rules! said {
    ($name:ident, $key:literal, $q:ident, $possible:expr, $says:literal) => {
        Field::<DataSheet> {
            key: $key,
            quantity: Quantity::$q,
            usual: $possible,
            possible: $possible,
            says: $says,
            source: "data sheet",
            get: |sheet| sheet.$name,
            set: |sheet, value| sheet.$name = value,
        }
    };
}

/// Speeds of a rotor that are possible, rad/s: 1 to 100 000 turns a minute, as in the drive.
const SPEEDS: (f64, f64) = (TAU / 60.0, 1e5 * TAU / 60.0);

/// Every number of it.
#[rustfmt::skip]
pub static SHEET_FIELDS: &[Field<DataSheet>] = &[
    said!(rated_power_w, "drive.rated_power", Power, (0.01, 1e6), "power at the rotor at the rated point"),
    said!(rated_torque_n_m, "drive.rated_torque", Torque, (1e-5, 1e4), "torque at the rotor at the rated point"),
    said!(rated_speed_rad_per_s, "drive.rated_speed", RotationalSpeed, SPEEDS, "speed of the rotor at the rated point"),
    said!(maximum_speed_rad_per_s, "drive.maximum_speed", RotationalSpeed, SPEEDS, "speed that the rotor must not exceed"),
    said!(no_load_speed_rad_per_s, "drive.no_load_speed", RotationalSpeed, SPEEDS, "speed of the rotor without load at the voltage of the bus"),
    said!(no_load_current_a, "drive.no_load_current", Current, (1e-4, 1e3), "current without load"),
    said!(terminal_resistance_ohm, "drive.terminal_resistance", Resistance, (1e-3, 1e4), "winding resistance at 25 C between two terminals"),
    said!(voltage_constant_v_s, "drive.voltage_constant", TorqueConstant, (1e-5, 100.0), "voltage that the turning motor gives for each speed"),
    said!(thermal_resistance_k_per_w, "drive.thermal_resistance", ThermalResistance, (1e-3, 1e3), "thermal resistance between winding and ambient"),
    said!(winding_housing_k_per_w, "drive.thermal_resistance_winding_housing", ThermalResistance, (1e-3, 1e3), "thermal resistance between winding and housing"),
    said!(housing_ambient_k_per_w, "drive.thermal_resistance_housing_ambient", ThermalResistance, (1e-3, 1e3), "thermal resistance between housing and ambient"),
];

/// What a number of a drive follows from where it is not written: key, and the keys in words.
#[rustfmt::skip]
pub const FOLLOWS: &[(&str, &str)] = &[
    ("drive.resistance", "terminal_resistance; or the rated point, if it is at the voltage of the bus"),
    ("drive.torque_constant", "voltage_constant; no_load_speed with no_load_current; or rated_torque with rated_current"),
    ("drive.rotor_friction", "no_load_current"),
    ("drive.rated_current", "rated_torque, or rated_power with rated_speed"),
    ("drive.rated_turns_per_min", "rated_speed, or rated_power with rated_torque"),
    ("drive.most_turns_per_min", "maximum_speed, or no_load_speed"),
    ("drive.rated_rise", "thermal_resistance, or the two parts of it"),
    ("drive.inner_rise_share", "both parts of the thermal resistance"),
];

impl DataSheet {
    /// Whether its currents are sines.
    pub fn sines(&self) -> bool {
        matches!(self.currents, Some(Currents::Rms | Currents::Amplitude))
    }

    /// Current of the model over that of the data sheet.
    pub(super) fn current_factor(&self) -> f64 {
        match self.currents {
            Some(Currents::Rms) => 1.5_f64.sqrt(),
            Some(Currents::Amplitude) => 0.75_f64.sqrt(),
            Some(Currents::Direct) | None => 1.0,
        }
    }

    /// Torque constant of the model over the voltage constant of the data sheet.
    pub(super) fn voltage_factor(&self) -> f64 {
        let amplitude = if self.voltages == Some(Voltages::Rms) { 2.0_f64.sqrt() } else { 1.0 };
        if self.measured == Some(Measured::Phase) { amplitude * 3.0_f64.sqrt() } else { amplitude }
    }

    /// Resistance and inductance of the model over those of the data sheet.
    fn winding_factor(&self) -> f64 {
        if self.measured == Some(Measured::Phase) { 2.0 } else { 1.0 }
    }

    /// What its words leave open, or what does not suit the motor.
    pub(super) fn words(&self, commutation: Commutation) -> Vec<Refusal> {
        let mut wrong = Vec::new();
        let mut refuse = |key, found, would_do| wrong.push(Refusal::Word { key, found, would_do });
        let any_number = SHEET_FIELDS.iter().any(|field| (field.get)(self).is_some());
        if commutation == Commutation::Brushed {
            if self.sines() {
                let found = "a motor with brushes has direct current, no sines";
                refuse("drive.currents", found, "leave it out, or write motor = \"brushless\"");
            }
            if self.measured == Some(Measured::Phase) {
                let found = "a motor with brushes has two terminals, no phases";
                refuse("drive.measured", found, "leave it out, or write motor = \"brushless\"");
            }
            if self.voltages == Some(Voltages::Rms) {
                let found = "a motor with brushes gives a direct voltage, no sine";
                refuse("drive.voltages", found, "leave it out, or write motor = \"brushless\"");
            }
            return wrong;
        }
        if self.currents.is_none() && (any_number || self.measured.is_some() || self.voltages.is_some()) {
            let found = "a brushless motor does not say which currents its data sheet means";
            let would_do =
                "write currents = \"rms\" or \"amplitude\" of sines, or \"direct\" for block commutation";
            refuse("drive.currents", found, would_do);
        }
        if self.sines() && self.measured.is_none() {
            let found = "resistance and inductance do not say between what they are measured";
            refuse("drive.measured", found, "write measured = \"line-to-line\" or \"phase\"");
        }
        if self.sines() && self.voltages.is_none() && self.voltage_constant_v_s.is_some() {
            let found = "the voltage constant does not say what it counts of the sine";
            refuse("drive.voltages", found, "write voltages = \"rms\" or \"amplitude\"");
        }
        if self.currents == Some(Currents::Direct) && self.measured == Some(Measured::Phase) {
            let found = "with direct current, values of one phase are not known between two terminals";
            refuse(
                "drive.measured",
                found,
                "write values between two terminals, and measured = \"line-to-line\"",
            );
        }
        if self.currents == Some(Currents::Direct) && self.voltages == Some(Voltages::Rms) {
            let found =
                "with direct current, a voltage constant is that of the flat of the voltage, no RMS value";
            refuse(
                "drive.voltages",
                found,
                "leave it out, or write the currents as \"rms\" or \"amplitude\"",
            );
        }
        wrong
    }

    /// Currents, resistance, inductance and torque constant as the model has them (eq. 48).
    pub(super) fn convert(&self, drive: &mut Drive) {
        let (c, r) = (self.current_factor(), self.winding_factor());
        let worked_out = &mut drive.worked_out;
        let mut turned = |key, quantity, value: &mut f64, factor: f64, from| {
            if !value.is_nan() && factor != 1.0 {
                *value *= factor;
                worked_out.push(WorkedOut { key, quantity, value: *value, from });
            }
        };
        let rms = self.currents == Some(Currents::Rms);
        let current =
            if rms { "sqrt(3/2) I_rms, one direct current" } else { "sqrt(3)/2 I, one direct current" };
        turned("drive.rated_current", Quantity::Current, &mut drive.rated_current_a, c, current);
        turned("drive.peak_current", Quantity::Current, &mut drive.peak_current_a, c, current);
        let torque = if rms {
            "sqrt(2/3) K_t,rms, for one direct current"
        } else {
            "2/sqrt(3) K_t, for one direct current"
        };
        let k = &mut drive.torque_constant_n_m_per_a;
        turned("drive.torque_constant", Quantity::TorqueConstant, k, 1.0 / c, torque);
        let twice = "twice that of a phase: between two terminals";
        turned("drive.resistance", Quantity::Resistance, &mut drive.resistance_ohm, r, twice);
        turned("drive.inductance", Quantity::Inductance, &mut drive.inductance_h, r, twice);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three phases in star, sines 120 degrees apart, EMF and current in phase: copper loss, power and the greatest voltage between
    /// two terminals, averaged and searched over one turn; nothing of eq. 48 is in it.
    fn over_one_turn(resistance_ohm: f64, current_a: f64, emf_v: f64) -> (f64, f64, f64) {
        let steps = 3600;
        let (mut loss, mut power, mut between) = (0.0, 0.0, 0.0_f64);
        for step in 0..steps {
            let sine = |phase: f64| (TAU * (f64::from(step) / f64::from(steps) - phase / 3.0)).sin();
            for phase in [0.0, 1.0, 2.0] {
                let (i, e) = (current_a * sine(phase), emf_v * sine(phase));
                loss += resistance_ohm * i * i / f64::from(steps);
                power += e * i / f64::from(steps);
            }
            between = between.max(emf_v * (sine(0.0) - sine(1.0)));
        }
        (loss, power, between)
    }

    #[test]
    fn sines_in_three_phases_have_the_loss_power_and_voltage_of_the_one_current_of_the_model() {
        let (r_phase, i, e, speed) = (0.3, 5.0, 11.0, 200.0);
        let (loss, power, between) = over_one_turn(r_phase, i, e);
        let root = f64::sqrt;
        for (currents, voltages, by_rms) in
            [(Currents::Rms, Voltages::Rms, root(2.0)), (Currents::Amplitude, Voltages::Amplitude, 1.0)]
        {
            let sheet = DataSheet {
                currents: Some(currents),
                voltages: Some(voltages),
                measured: Some(Measured::Phase),
                ..DataSheet::default()
            };
            let mut drive = Drive {
                resistance_ohm: r_phase,
                rated_current_a: i / by_rms,
                torque_constant_n_m_per_a: power / speed / (i / by_rms),
                ..Drive::default()
            };
            sheet.convert(&mut drive);
            let (r, i, k) = (drive.resistance_ohm, drive.rated_current_a, drive.torque_constant_n_m_per_a);
            assert!((r * i * i / loss - 1.0).abs() < 1e-12, "{currents:?}: {} W, {loss} W", r * i * i);
            assert!((k * i * speed / power - 1.0).abs() < 1e-12, "{currents:?}");
            // the search finds the greatest voltage to the step of the turn: 1 - cos(half a step) < 1e-6
            assert!((k * speed / between - 1.0).abs() < 1e-6, "{currents:?}: {} V, {between} V", k * speed);
            let by_voltage = sheet.voltage_factor() * e / by_rms / speed;
            assert!((by_voltage / k - 1.0).abs() < 1e-12, "{currents:?}");
        }
    }
}
