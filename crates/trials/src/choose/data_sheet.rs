//! A data sheet as it stands -> a drive: what follows from what, and what contradicts what.
//!
//! The model has one winding that carries one current (DEVELOPERS.md, eq. 52). A brushless motor whose currents are sines has
//! the same torque, the same copper loss and the same voltage at its terminals with
//!
//! ```text
//! R = R_ll = 2 R_ph    K = K_e,ll (amplitude) = sqrt(2/3) K_t,rms    i = sqrt(3/2) I_rms = sqrt(3)/2 I_amplitude
//! loss  R i^2 = 3 R_ph I_rms^2        torque  K i = K_t,rms I_rms
//! ```
//!
//! textbook relations of a winding in star; a delta is given between its terminals.

use std::f64::consts::TAU;

use tautleaf_physics::{Field, Quantity};

use super::catalogue::{Commutation, Drive, WorkedOut};

/// Resistance of copper grows by this for each K over 25 C.
const COPPER_PER_K: f64 = 0.003_85;
/// Two numbers of a data sheet that say the same may differ by this share: its roundings and its tolerances (judgement).
const MAY_DIFFER: f64 = 0.1;
/// A rated torque or power is often that of the warm motor, whose magnets are weaker (judgement).
const WARM_MAY_DIFFER: f64 = 0.2;

/// What the currents of a data sheet are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Currents {
    /// Direct current into two terminals: brushes, or block commutation.
    #[default]
    Direct,
    /// RMS values of sines.
    Rms,
    /// Amplitudes of sines.
    Amplitude,
}

/// Between what resistance, inductance and voltage constant are measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Between {
    /// Two terminals.
    #[default]
    LineToLine,
    /// Terminal and star point.
    Phase,
}

/// What a data sheet may say beside the numbers of a [`Drive`], SI; as it stands there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DataSheet {
    /// What its currents, and the voltages of its voltage constant, are.
    pub currents: Currents,
    /// Between what its resistance, inductance and voltage constant are.
    pub between: Between,
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
    /// Resistance at 25 C, ohm.
    pub terminal_resistance_ohm: Option<f64>,
    /// Voltage for each speed, V s/rad.
    pub voltage_constant_v_s: Option<f64>,
    /// Thermal resistance between winding and housing, K/W.
    pub inside_k_per_w: Option<f64>,
    /// Thermal resistance between housing and ambient, K/W.
    pub outside_k_per_w: Option<f64>,
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

/// Every number of it.
#[rustfmt::skip]
pub static SHEET_FIELDS: &[Field<DataSheet>] = &[
    said!(rated_power_w, "drive.rated_power", Power, (0.01, 1e6), "power at the rotor at the rated point"),
    said!(rated_torque_n_m, "drive.rated_torque", Torque, (1e-5, 1e4), "torque at the rotor at the rated point"),
    said!(rated_speed_rad_per_s, "drive.rated_speed", RotationalSpeed, (0.01, 1e5), "speed of the rotor at the rated point"),
    said!(maximum_speed_rad_per_s, "drive.maximum_speed", RotationalSpeed, (0.01, 1e5), "speed that the rotor never exceeds"),
    said!(no_load_speed_rad_per_s, "drive.no_load_speed", RotationalSpeed, (0.01, 1e5), "speed of the rotor without load at the voltage"),
    said!(no_load_current_a, "drive.no_load_current", Current, (1e-4, 1e3), "current without load"),
    said!(terminal_resistance_ohm, "drive.terminal_resistance", Resistance, (1e-4, 1e4), "winding resistance at 25 C"),
    said!(voltage_constant_v_s, "drive.voltage_constant", TorqueConstant, (1e-5, 100.0), "voltage of the turning motor for each speed"),
    said!(inside_k_per_w, "drive.thermal_resistance_inside", ThermalResistance, (1e-3, 1e3), "thermal resistance between winding and housing"),
    said!(outside_k_per_w, "drive.thermal_resistance_outside", ThermalResistance, (1e-3, 1e3), "thermal resistance between housing and ambient"),
];

/// Something that cannot be: key, what was found, what would do.
pub type Wrong = (&'static str, String, String);

impl DataSheet {
    /// Current of the model over that of the data sheet.
    fn current_factor(&self) -> f64 {
        match self.currents {
            Currents::Direct => 1.0,
            Currents::Rms => 1.5_f64.sqrt(),
            Currents::Amplitude => 0.75_f64.sqrt(),
        }
    }

    /// Voltage constant of the model over that of the data sheet.
    fn voltage_factor(&self) -> f64 {
        let peak = if self.currents == Currents::Rms { 2.0_f64.sqrt() } else { 1.0 };
        if self.between == Between::Phase { peak * 3.0_f64.sqrt() } else { peak }
    }

    /// Resistance between two terminals over that of the data sheet.
    fn resistance_factor(&self) -> f64 {
        if self.between == Between::Phase { 2.0 } else { 1.0 }
    }

    /// Fills in what the drive does not say yet, from what it says and what this says; `written` tells which keys are.
    ///
    /// # Errors
    /// Every contradiction.
    pub fn fill(&self, drive: &mut Drive, written: &dyn Fn(&str) -> bool) -> Result<(), Vec<Wrong>> {
        let mut wrong = Vec::new();
        self.to_the_model(drive, &mut wrong);
        let mut work = Work { drive, wrong };
        work.speeds(self);
        work.resistance(self, written);
        work.torque_constant(self);
        work.friction_and_rated_current(self, written);
        work.rated_point(self);
        work.warmth(self);
        if work.wrong.is_empty() { Ok(()) } else { Err(work.wrong) }
    }

    /// Currents, resistance, inductance and torque constant as the model has them.
    fn to_the_model(&self, drive: &mut Drive, wrong: &mut Vec<Wrong>) {
        if self.currents == Currents::Direct && self.between == Between::LineToLine {
            return;
        }
        if drive.commutation == Commutation::Brushed {
            let found = "a motor with brushes has direct current and two terminals".to_owned();
            let would_do = "leave currents and measured out, or change motor".to_owned();
            return wrong.push(("drive.currents", found, would_do));
        }
        if self.between == Between::Phase && self.currents == Currents::Direct {
            let found = "values of one phase say nothing of direct current".to_owned();
            let would_do = "write currents = \"rms\" or \"amplitude\", or values between two terminals".to_owned();
            return wrong.push(("drive.measured", found, would_do));
        }
        let (c, r) = (self.current_factor(), self.resistance_factor());
        let from = "the same torque, loss and voltage with one current (eq. 52)";
        let mut turned = |key, quantity, value: &mut f64, factor: f64| {
            if !value.is_nan() && factor != 1.0 {
                *value *= factor;
                drive.worked_out.push(WorkedOut { key, quantity, value: *value, from });
            }
        };
        turned("drive.rated_current", Quantity::Current, &mut drive.rated_current_a, c);
        turned("drive.peak_current", Quantity::Current, &mut drive.peak_current_a, c);
        let k = &mut drive.torque_constant_n_m_per_a;
        turned("drive.torque_constant", Quantity::TorqueConstant, k, 1.0 / c);
        turned("drive.resistance", Quantity::Resistance, &mut drive.resistance_ohm, r);
        turned("drive.inductance", Quantity::Inductance, &mut drive.inductance_h, r);
    }
}

/// A drive being worked out, and what contradicts.
struct Work<'a> {
    drive: &'a mut Drive,
    wrong: Vec<Wrong>,
}

impl Work<'_> {
    fn note(&mut self, key: &'static str, quantity: Quantity, value: f64, from: &'static str) {
        self.drive.worked_out.push(WorkedOut { key, quantity, value, from });
    }

    /// Refuses two numbers that say the same and differ by more than a share.
    fn same(&mut self, key: &'static str, found: f64, other: f64, share: f64, from: &str) {
        let differs = (found - other).abs() > share * found.abs().max(other.abs());
        if differs && found.is_finite() && other.is_finite() {
            let digits = |value: f64| format!("{:.4e}", value).parse::<f64>().unwrap_or(value);
            let said = format!("{} contradicts {from}, which makes {}", digits(found), digits(other));
            self.wrong.push((key, said, format!("leave one of them out, or write numbers within {:.0} %", 100.0 * share)));
        }
    }

    fn speeds(&mut self, sheet: &DataSheet) {
        let per_min = |speed: f64| speed * 60.0 / TAU;
        if let Some(rated) = sheet.rated_speed_rad_per_s {
            let turns = per_min(rated);
            if self.drive.rated_turns_per_min.is_nan() {
                self.drive.rated_turns_per_min = turns;
            }
            let written = self.drive.rated_turns_per_min;
            self.same("drive.rated_speed", turns, written, 1e-6, "rated_turns_per_min");
        }
        if let (Some(watts), Some(torque), true) =
            (sheet.rated_power_w, sheet.rated_torque_n_m, self.drive.rated_turns_per_min.is_nan())
        {
            self.drive.rated_turns_per_min = per_min(watts / torque);
            self.note("drive.rated_speed", Quantity::RotationalSpeed, watts / torque, "rated power over rated torque");
        }
        let most = sheet.maximum_speed_rad_per_s;
        if let Some(most) = most.map(per_min) {
            if self.drive.most_turns_per_min.is_nan() {
                self.drive.most_turns_per_min = most;
            }
            let written = self.drive.most_turns_per_min;
            self.same("drive.maximum_speed", most, written, 1e-6, "most_turns_per_min");
        }
        if let (Some(free), true) = (sheet.no_load_speed_rad_per_s, self.drive.most_turns_per_min.is_nan()) {
            self.drive.most_turns_per_min = per_min(free);
            self.note("drive.maximum_speed", Quantity::RotationalSpeed, free, "the speed without load");
        }
    }

    fn resistance(&mut self, sheet: &DataSheet, written: &dyn Fn(&str) -> bool) {
        let Some(said) = sheet.terminal_resistance_ohm else { return };
        let between = said * sheet.resistance_factor();
        if written("resistance") {
            let other = self.drive.resistance_ohm;
            return self.same("drive.terminal_resistance", between, other, 1e-6, "resistance");
        }
        self.drive.resistance_ohm = between;
        if between != said {
            self.note("drive.resistance", Quantity::Resistance, between, "twice the resistance of a phase");
        }
    }

    /// From the torque constant, the voltage constant, the point without load or the rated torque, the first that there is;
    /// the others may not contradict.
    fn torque_constant(&mut self, sheet: &DataSheet) {
        let c = sheet.current_factor();
        let free = sheet.no_load_speed_rad_per_s.zip(sheet.no_load_current_a).map(|(speed, current)| {
            (self.drive.voltage_v - self.drive.resistance_ohm * c * current) / speed
        });
        let rated = sheet.rated_torque_n_m.or_else(|| torque_of_power(sheet, self.drive));
        let idle = sheet.no_load_current_a.map_or(0.0, |current| c * current);
        let loaded = rated.map(|torque| torque / (self.drive.rated_current_a - idle));
        let candidates = [
            (sheet.voltage_constant_v_s.map(|k| k * sheet.voltage_factor()), "the voltage constant", MAY_DIFFER),
            (free, "the point without load, (V - R i_0)/w_0", MAY_DIFFER),
            (loaded, "rated torque over rated current", WARM_MAY_DIFFER),
        ];
        for (k, from, share) in candidates {
            let Some(k) = k.filter(|k| k.is_finite()) else { continue };
            if self.drive.torque_constant_n_m_per_a.is_nan() {
                self.drive.torque_constant_n_m_per_a = k;
                self.note("drive.torque_constant", Quantity::TorqueConstant, k, from);
            } else {
                let written = self.drive.torque_constant_n_m_per_a;
                self.same("drive.torque_constant", written, k, share, from);
            }
        }
    }

    fn friction_and_rated_current(&mut self, sheet: &DataSheet, written: &dyn Fn(&str) -> bool) {
        let k = self.drive.torque_constant_n_m_per_a;
        if let (Some(current), false) = (sheet.no_load_current_a, written("rotor_friction")) {
            let friction = k * sheet.current_factor() * current;
            self.drive.rotor_friction_n_m = friction;
            self.note("drive.rotor_friction", Quantity::Torque, friction, "K times the current without load");
        }
        let rated = sheet.rated_torque_n_m.or_else(|| torque_of_power(sheet, self.drive));
        if let (Some(torque), true) = (rated, self.drive.rated_current_a.is_nan()) {
            let current = (torque + self.drive.rotor_friction_n_m) / k;
            self.drive.rated_current_a = current;
            self.note("drive.rated_current", Quantity::Current, current, "rated torque and friction over K");
        }
    }

    fn rated_point(&mut self, sheet: &DataSheet) {
        let speed = self.drive.rated_speed_rad_per_s();
        if let (Some(watts), Some(torque)) = (sheet.rated_power_w, sheet.rated_torque_n_m) {
            self.same("drive.rated_power", watts, torque * speed, MAY_DIFFER, "rated torque times rated speed");
        }
        if let Some(watts) = sheet.rated_power_w {
            let found = self.drive.rated_power_w();
            self.same("drive.rated_power", watts, found, WARM_MAY_DIFFER, "(K i - friction) w at the rated point");
        }
    }

    /// rise = P R_th,  P = i^2 R (1 + 0.00385 (40 + rise - 25)): solved for the rise.
    fn warmth(&mut self, sheet: &DataSheet) {
        let (Some(inside), Some(outside)) = (sheet.inside_k_per_w, sheet.outside_k_per_w) else {
            if sheet.inside_k_per_w.is_some() != sheet.outside_k_per_w.is_some() {
                let found = "one thermal resistance without the other".to_owned();
                let would_do = "write both, or rated_rise and inner_rise_share".to_owned();
                self.wrong.push(("drive.thermal_resistance_inside", found, would_do));
            }
            return;
        };
        let cold = self.drive.rated_current_a.powi(2) * self.drive.resistance_ohm * (inside + outside);
        let rise = cold * (1.0 + 15.0 * COPPER_PER_K) / (1.0 - cold * COPPER_PER_K);
        if !cold.is_nan() && !(rise.is_finite() && rise > 0.0) {
            let found = "with these the rated current burns the winding".to_owned();
            let would_do = "less rated current, or smaller thermal resistances".to_owned();
            self.wrong.push(("drive.rated_current", found, would_do));
            return;
        }
        if self.drive.rated_rise_k.is_nan() {
            self.drive.rated_rise_k = rise;
            self.note("drive.rated_rise", Quantity::TemperatureRise, rise, "loss at rated current times both thermal resistances");
        } else {
            let written = self.drive.rated_rise_k;
            self.same("drive.rated_rise", written, rise, WARM_MAY_DIFFER, "loss times thermal resistances");
        }
        let share = inside / (inside + outside);
        self.drive.inner_rise_share = share;
        self.note("drive.inner_rise_share", Quantity::Number, share, "the inner thermal resistance over both");
    }
}

/// Rated torque by rated power and speed; `None`: one of them is not said.
fn torque_of_power(sheet: &DataSheet, drive: &Drive) -> Option<f64> {
    let speed = drive.rated_speed_rad_per_s();
    sheet.rated_power_w.map(|watts| watts / speed).filter(|torque| torque.is_finite())
}
