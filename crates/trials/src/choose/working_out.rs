//! From a data sheet as it stands to a drive: what follows from what, and what contradicts what (DEVELOPERS.md, eq. 49).
//!
//! ```text
//! K = (U - R i_0)/w_0 = (T + T_0)/i_N       T_0 = K i_0       R = (U - K w_N)/i_N       w_N = P_N/T_N
//! i_N = (T_N + T_0)/K       rise = P R_th,  P = i_N^2 R (1 + 0.00385 (40 + rise - 25)), or R_th = rise/P
//! ```
//!
//! with U the voltage, i_0 and w_0 the point without load, i_N, w_N, T_N and P_N the rated point. What the drag of the rotor takes at
//! the speed without load is taken as its friction at every speed: too much at a low one. The resistance of a rated point that is not
//! at the full voltage comes out too large, never too small: warmer and with no voltage left.

use std::f64::consts::TAU;

use tautleaf_physics::Quantity;
use tautleaf_physics::motor::COPPER_PER_K;

use super::catalogue::{DRIVE_FIELDS, Drive, WorkedOut};
use super::data_sheet::DataSheet;
use super::refusal::Refusal;

/// Two ways to write one number may differ by this share: rounding (judgement).
const ROUNDING: f64 = 0.01;
/// Two numbers that are not one, but make the same: rounding and the tolerance of a motor (judgement).
const TOLERANCE: f64 = 0.1;
/// As that, where one is often given for the warm motor, whose magnets are weaker and whose copper resists more (judgement).
const WARM: f64 = 0.2;
/// Ambient that a rated rise refers to, C (IEC 60034-1).
const RATED_AMBIENT_C: f64 = 40.0;
/// Temperature of the resistance of a drive, C.
const COLD_C: f64 = 25.0;

impl DataSheet {
    /// Fills in what the drive does not say yet, from what it says and what this says; `written` tells which of its keys are.
    ///
    /// # Errors
    /// Everything that contradicts, is left open or cannot be.
    pub fn fill(&self, drive: &mut Drive, written: &dyn Fn(&str) -> bool) -> Result<(), Vec<Refusal>> {
        let wrong = self.words(drive.commutation);
        if !wrong.is_empty() {
            return Err(wrong);
        }
        self.convert(drive);
        let mut work = Work { drive, sheet: self, written, wrong };
        work.speeds();
        work.resistance();
        work.torque_constant();
        work.friction_and_rated_current();
        work.rated_point();
        work.warmth();
        work.possible();
        if work.wrong.is_empty() { Ok(()) } else { Err(work.wrong) }
    }
}

/// A drive being worked out, and what contradicts.
struct Work<'a> {
    drive: &'a mut Drive,
    sheet: &'a DataSheet,
    written: &'a dyn Fn(&str) -> bool,
    wrong: Vec<Refusal>,
}

/// One way to a number.
struct Way {
    /// The key that leads to it.
    key: &'static str,
    /// How.
    by: &'static str,
    value: f64,
    /// By which share it may differ from the others.
    share: f64,
}

impl Work<'_> {
    fn note(&mut self, key: &'static str, quantity: Quantity, value: f64, from: &'static str) {
        self.drive.worked_out.push(WorkedOut { key, quantity, value, from });
    }

    /// What the number of this key was worked out from, or its key where it is written.
    fn origin(&self, key: &'static str) -> &'static str {
        let written = key.trim_start_matches("drive.");
        let found = self.drive.worked_out.iter().find(|worked| worked.key == key && !(self.written)(written));
        found.map_or(written, |worked| worked.from)
    }

    /// Refuses a way to a number that differs too much from what it is by another key.
    fn agree(&mut self, way: Way, of: &'static str, quantity: Quantity, is: f64, other: &'static str) {
        let Way { key, by, value: makes, share } = way;
        let differs = (makes - is).abs() > share * makes.abs().max(is.abs());
        if differs && makes.is_finite() && is.is_finite() {
            self.wrong.push(Refusal::Contradicts { key, of, quantity, makes, by, is, other, share });
        }
    }

    fn below(&mut self, key: &'static str, quantity: Quantity, value: f64, most: f64, other: &'static str) {
        if value >= most {
            self.wrong.push(Refusal::NotBelow { key, quantity, value, most, other });
        }
    }

    fn rated_torque(&self) -> Option<f64> {
        let by_power = || self.sheet.rated_power_w.map(|watts| watts / self.drive.rated_speed_rad_per_s());
        self.sheet.rated_torque_n_m.or_else(by_power).filter(|torque| torque.is_finite())
    }

    /// Current without load, in the model.
    fn idle_a(&self) -> Option<f64> {
        self.sheet.no_load_current_a.map(|current| self.sheet.current_factor() * current)
    }

    fn speeds(&mut self) {
        let sheet = self.sheet;
        let per_min = |speed: f64| speed * 60.0 / TAU;
        let said = |key, speed: f64| Way { key, by: "", value: speed, share: ROUNDING };
        let speed = Quantity::RotationalSpeed;
        if let Some(rated) = sheet.rated_speed_rad_per_s {
            if self.drive.rated_turns_per_min.is_nan() {
                self.drive.rated_turns_per_min = per_min(rated);
            }
            let is = self.drive.rated_speed_rad_per_s();
            self.agree(said("drive.rated_speed", rated), "a rated speed", speed, is, "rated_turns_per_min");
        }
        if let (Some(watts), Some(torque), true) =
            (sheet.rated_power_w, sheet.rated_torque_n_m, self.drive.rated_turns_per_min.is_nan())
        {
            self.drive.rated_turns_per_min = per_min(watts / torque);
            let value = self.drive.rated_turns_per_min;
            self.note(
                "drive.rated_turns_per_min",
                Quantity::Number,
                value,
                "P_N/T_N, from rated_power and rated_torque",
            );
        }
        if let Some(most) = sheet.maximum_speed_rad_per_s {
            if self.drive.most_turns_per_min.is_nan() {
                self.drive.most_turns_per_min = per_min(most);
            }
            let is = self.drive.most_turns_per_min * TAU / 60.0;
            self.agree(said("drive.maximum_speed", most), "a maximum speed", speed, is, "most_turns_per_min");
        }
        if let Some(free) = sheet.no_load_speed_rad_per_s {
            if self.drive.most_turns_per_min.is_nan() {
                self.drive.most_turns_per_min = per_min(free);
                let from = "no_load_speed: no speed above it is known to be allowed";
                self.note("drive.most_turns_per_min", Quantity::Number, per_min(free), from);
            }
            self.below("drive.rated_speed", speed, self.drive.rated_speed_rad_per_s(), free, "no_load_speed");
        }
    }

    fn resistance(&mut self) {
        if let Some(said) = self.sheet.terminal_resistance_ohm {
            if self.drive.resistance_ohm.is_nan() {
                self.drive.resistance_ohm = said;
            }
            let way = Way { key: "drive.terminal_resistance", by: "", value: said, share: ROUNDING };
            let is = self.drive.resistance_ohm;
            self.agree(way, "a resistance between two terminals", Quantity::Resistance, is, "resistance");
        }
    }

    /// Resistance from the rated point, with K where that is known, else with the point without load.
    fn resistance_from_the_rated_point(&mut self) {
        let (u, i, w) =
            (self.drive.voltage_v, self.drive.rated_current_a, self.drive.rated_speed_rad_per_s());
        let k = self.drive.torque_constant_n_m_per_a;
        let (value, from) = match (self.sheet.no_load_speed_rad_per_s, self.idle_a()) {
            (Some(w_0), Some(i_0)) if k.is_nan() => {
                let value = u * (w_0 - w) / (i * w_0 - i_0 * w);
                (value, "U (w_0 - w_N)/(i_N w_0 - i_0 w_N), as if the rated point were at the full voltage")
            }
            _ => ((u - k * w) / i, "(U - K w_N)/i_N, as if the rated point were at the full voltage"),
        };
        if value.is_finite() {
            self.drive.resistance_ohm = value;
            self.note("drive.resistance", Quantity::Resistance, value, from);
        }
    }

    /// K as it is written, or from the first of the voltage constant, the point without load and the rated torque; none of
    /// them may contradict.
    fn torque_constant(&mut self) {
        let sheet = self.sheet;
        let by_voltage = sheet.voltage_constant_v_s.map(|k| k * sheet.voltage_factor());
        let from = if sheet.sines() {
            "amplitude between two terminals, from voltage_constant"
        } else {
            "E/w, from voltage_constant"
        };
        self.torque_constant_by(Way {
            key: "drive.voltage_constant",
            by: from,
            value: by_voltage.unwrap_or(f64::NAN),
            share: TOLERANCE,
        });
        if self.drive.resistance_ohm.is_nan() {
            self.resistance_from_the_rated_point();
        }
        let (u, r) = (self.drive.voltage_v, self.drive.resistance_ohm);
        let free = sheet.no_load_speed_rad_per_s.unwrap_or(f64::NAN);
        let (value, by) = match self.idle_a() {
            Some(idle) => ((u - r * idle) / free, "(U - R i_0)/w_0, from no_load_speed and no_load_current"),
            None => (u / free, "U/w_0, from no_load_speed, as if no current flowed without load"),
        };
        self.torque_constant_by(Way { key: "drive.no_load_speed", by, value, share: TOLERANCE });
        let (idle, rated) = (self.idle_a(), self.drive.rated_current_a);
        if let Some(idle) = idle {
            let c = sheet.current_factor();
            self.below("drive.no_load_current", Quantity::Current, idle / c, rated / c, "rated_current");
        }
        let torque = self.rated_torque().unwrap_or(f64::NAN);
        let (value, by) = match idle.filter(|idle| *idle < rated) {
            _ if (self.written)("rotor_friction") => (
                (torque + self.drive.rotor_friction_n_m) / rated,
                "(T_N + rotor_friction)/i_N, from the rated point",
            ),
            Some(idle) => {
                (torque / (rated - idle), "T_N/(i_N - i_0), from the rated point and no_load_current")
            }
            None => (torque / rated, "T_N/i_N, from the rated point"),
        };
        let key = if sheet.rated_torque_n_m.is_some() { "drive.rated_torque" } else { "drive.rated_power" };
        self.torque_constant_by(Way { key, by, value, share: WARM });
    }

    fn torque_constant_by(&mut self, way: Way) {
        if !way.value.is_finite() {
            return;
        }
        let is = self.drive.torque_constant_n_m_per_a;
        if is.is_nan() {
            self.drive.torque_constant_n_m_per_a = way.value;
            return self.note("drive.torque_constant", Quantity::TorqueConstant, way.value, way.by);
        }
        // in the ampere of the data sheet
        let (c, other) = (self.sheet.current_factor(), self.origin("drive.torque_constant"));
        let way = Way { value: c * way.value, ..way };
        self.agree(way, "a torque constant", Quantity::TorqueConstant, c * is, other);
    }

    fn friction_and_rated_current(&mut self) {
        let k = self.drive.torque_constant_n_m_per_a;
        if let Some(drag) = self.idle_a().map(|idle| k * idle) {
            if (self.written)("rotor_friction") {
                // the drag without load is this friction and more
                let friction = self.drive.rotor_friction_n_m;
                if friction > drag * (1.0 + TOLERANCE) {
                    let other = "the torque without load, K i_0";
                    self.below("drive.rotor_friction", Quantity::Torque, friction, drag, other);
                }
            } else if drag.is_finite() {
                self.drive.rotor_friction_n_m = drag;
                self.note(
                    "drive.rotor_friction",
                    Quantity::Torque,
                    drag,
                    "K i_0, from no_load_current, at every speed",
                );
            }
        }
        if let (Some(torque), true) = (self.rated_torque(), self.drive.rated_current_a.is_nan()) {
            let current = (torque + self.drive.rotor_friction_n_m) / k;
            if current.is_finite() {
                self.drive.rated_current_a = current;
                let from = "(T_N + rotor friction)/K, from the rated point";
                self.note("drive.rated_current", Quantity::Current, current, from);
            }
        }
    }

    fn rated_point(&mut self) {
        let Some(watts) = self.sheet.rated_power_w else { return };
        let speed = self.drive.rated_speed_rad_per_s();
        // without a rated torque, the torque of this power was held against the current already
        if let Some(torque) = self.sheet.rated_torque_n_m {
            let way = Way { key: "drive.rated_power", by: "", value: watts, share: TOLERANCE };
            self.agree(
                way,
                "a rated power",
                Quantity::Power,
                torque * speed,
                "rated_torque times rated_speed",
            );
        }
    }

    /// rise = P R_th, solved for the rise: P_25 R_th (1 + 15 a)/(1 - P_25 R_th a), a = 0.00385/K.
    fn warmth(&mut self) {
        let sheet = self.sheet;
        let parts = sheet.winding_housing_k_per_w.zip(sheet.housing_ambient_k_per_w);
        let whole = parts.map(|(inner, outer)| inner + outer);
        let resistance = Quantity::ThermalResistance;
        if let Some(((inner, outer), said)) = parts.zip(sheet.thermal_resistance_k_per_w) {
            let way = Way { key: "drive.thermal_resistance", by: "", value: said, share: TOLERANCE };
            self.agree(way, "a thermal resistance", resistance, inner + outer, "the sum of its two parts");
        }
        let lone = [
            (sheet.winding_housing_k_per_w, "drive.thermal_resistance_winding_housing"),
            (sheet.housing_ambient_k_per_w, "drive.thermal_resistance_housing_ambient"),
        ];
        if let (None, Some((_, key))) = (parts, lone.iter().find(|(value, _)| value.is_some())) {
            let found = "this is one part of a thermal resistance without the other";
            let would_do = "write the other part too, or thermal_resistance for both together, or rated_rise";
            self.wrong.push(Refusal::Word { key, found, would_do });
            return;
        }
        if let Some(whole) = whole.or(sheet.thermal_resistance_k_per_w) {
            self.rise(whole, if parts.is_some() { lone[0].1 } else { "drive.thermal_resistance" });
        } else {
            let warm = 1.0 + COPPER_PER_K * (RATED_AMBIENT_C + self.drive.rated_rise_k - COLD_C);
            let loss_w = self.drive.rated_current_a.powi(2) * self.drive.resistance_ohm * warm;
            let k_per_w = self.drive.rated_rise_k / loss_w;
            if k_per_w.is_finite() {
                let from = "rated_rise over i_N^2 R, with R as warm as that";
                self.note("drive.thermal_resistance", resistance, k_per_w, from);
            }
        }
        if let Some((inner, outer)) = parts {
            let share = inner / (inner + outer);
            if (self.written)("inner_rise_share") {
                let way = Way { key: lone[0].1, by: "", value: share, share: TOLERANCE };
                let is = self.drive.inner_rise_share;
                self.agree(way, "an inner share of the rise", Quantity::Number, is, "inner_rise_share");
            } else {
                self.drive.inner_rise_share = share;
                self.note(
                    "drive.inner_rise_share",
                    Quantity::Number,
                    share,
                    "the winding's part of the thermal resistance",
                );
            }
        }
        let (rise_k, bears_c) = (self.drive.rated_rise_k, self.drive.insulation.temperature_c());
        if (self.written)("insulation") && RATED_AMBIENT_C + rise_k > bears_c {
            self.wrong.push(Refusal::Insulation { rise_k, bears_c });
        }
    }

    fn rise(&mut self, k_per_w: f64, key: &'static str) {
        let loss_w = self.drive.rated_current_a.powi(2) * self.drive.resistance_ohm;
        if loss_w.is_nan() {
            return;
        }
        let cold_k = loss_w * k_per_w;
        if cold_k * COPPER_PER_K >= 1.0 {
            let most_k_per_w = 1.0 / (loss_w * COPPER_PER_K);
            return self.wrong.push(Refusal::Burns { key, loss_w, k_per_w, most_k_per_w });
        }
        let rise = cold_k * (1.0 + (RATED_AMBIENT_C - COLD_C) * COPPER_PER_K) / (1.0 - cold_k * COPPER_PER_K);
        if self.drive.rated_rise_k.is_nan() {
            self.drive.rated_rise_k = rise;
            self.note(
                "drive.rated_rise",
                Quantity::TemperatureRise,
                rise,
                "i_N^2 R, with R as warm as that, times the thermal resistance",
            );
        } else {
            let way = Way { key, by: "i_N^2 R, with R as warm as that", value: rise, share: WARM };
            let is = self.drive.rated_rise_k;
            self.agree(way, "a rated rise", Quantity::TemperatureRise, is, "rated_rise");
        }
    }

    /// What was worked out has to be possible too; where something contradicts already, that says why it is not.
    fn possible(&mut self) {
        if !self.wrong.is_empty() {
            return;
        }
        for worked in &self.drive.worked_out {
            let field = DRIVE_FIELDS.iter().find(|field| field.key == worked.key);
            if field.is_some_and(|field| !(field.possible.0..=field.possible.1).contains(&worked.value)) {
                self.wrong.push(Refusal::Impossible { worked: *worked });
            }
        }
    }
}
