//! What a door asks of its drive, by the formulas of a textbook and without a run.
//!
//! ```text
//! F = M a + F_pulled        through the gear F/eta, driven backwards F (2 - 1/eta)
//! F_m = that + m_d a + F_turned        i = F_m r/(N K)        U = R i + N K v/r                     (DEVELOPERS.md, eq. 43)
//! i_rms = sqrt(sum(i^2 t)/period)        rise = (i_rms/i_N)^2 D_N        load/rotor = M/m_d         (eq. 44)
//! ```

use tautleaf_physics::{Door, manual};

use super::gait::{Gait, Stage};

/// What moves, and what resists it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mass that the belt pulls, return pulley and belt included, kg.
    pub pulled_kg: f64,
    /// Mass of the drive at the rim, kg.
    pub drive_kg: f64,
    /// Resistance that the belt pulls against, N.
    pub pulled_n: f64,
    /// Resistance at the drive itself, at the rim, N.
    pub turned_n: f64,
}

impl Load {
    /// Load of a door on one of its ways at a speed in m/s.
    pub fn of(door: &Door, opening: bool, speed_m_per_s: f64) -> Self {
        let ring = door.ring();
        let resistance = manual::running_resistance(door, opening, speed_m_per_s);
        let drive_kg = ring.masses_kg[0] + ring.rotor_kg.unwrap_or(0.0);
        Self {
            pulled_kg: ring.moving_kg() - drive_kg,
            drive_kg,
            pulled_n: resistance.pulled_n,
            turned_n: resistance.turned_n,
        }
    }

    /// Pull on the belt at an acceleration in the direction of travel, N.
    pub fn pull_n(&self, acceleration_m_per_s2: f64) -> f64 {
        self.pulled_kg * acceleration_m_per_s2 + self.pulled_n
    }

    /// What the motor has to give at the rim, N.
    pub fn motor_n(&self, acceleration_m_per_s2: f64, efficiency: f64) -> f64 {
        let pull = self.pull_n(acceleration_m_per_s2);
        let through_the_gear =
            if pull >= 0.0 { pull / efficiency } else { pull * (2.0 - 1.0 / efficiency).max(0.0) };
        through_the_gear + self.drive_kg * acceleration_m_per_s2 + self.turned_n
    }
}

/// One stage of a way with what it asks of the motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The stage.
    pub stage: Stage,
    /// Current, in the direction of travel positive, A.
    pub current_a: f64,
    /// Voltage at its faster end, V.
    pub voltage_v: f64,
}

/// What one way asks of the motor.
#[derive(Clone, Debug, PartialEq)]
pub struct WayAsked {
    /// Stage by stage: speed up, travel, brake, creep.
    pub stages: Vec<Asked>,
}

impl WayAsked {
    /// Works out a way of a door.
    pub fn of(door: &Door, opening: bool, gait: &Gait) -> Self {
        let (derived, efficiency) = (door.derived(), door.parameters().gear.efficiency);
        let travel = door.travel_m();
        let load = Load::of(door, opening, gait.top_speed_m_per_s(travel));
        let asked = |stage: Stage| {
            let current_a = load.motor_n(stage.acceleration_m_per_s2, efficiency) / derived.pull_per_ampere_n;
            let speed = stage.from_m_per_s.max(stage.to_m_per_s());
            let voltage_v = derived.resistance_ohm * current_a + derived.pull_per_ampere_n * speed;
            Asked { stage, current_a, voltage_v }
        };
        Self { stages: gait.stages(travel).into_iter().map(asked).collect() }
    }

    /// Greatest current in the direction of travel, A.
    pub fn peak_current_a(&self) -> f64 {
        self.stages.iter().map(|asked| asked.current_a).fold(0.0, f64::max)
    }

    /// Greatest voltage, V.
    pub fn peak_voltage_v(&self) -> f64 {
        self.stages.iter().map(|asked| asked.voltage_v).fold(0.0, f64::max)
    }

    /// Most power from the bus, W.
    pub fn peak_power_w(&self) -> f64 {
        self.stages.iter().map(|asked| asked.current_a * asked.voltage_v).fold(0.0, f64::max)
    }

    /// Sum of i^2 t, A2 s.
    pub fn square_a2_s(&self) -> f64 {
        self.stages.iter().map(|asked| asked.current_a.powi(2) * asked.stage.for_s).sum()
    }

    /// Time from the command to the end, s.
    pub fn for_s(&self) -> f64 {
        self.stages.iter().map(|asked| asked.stage.for_s).sum()
    }
}

/// What a whole cycle asks of the motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The way open.
    pub opening: WayAsked,
    /// The way closed.
    pub closing: WayAsked,
    /// RMS current over the period of the duty, standing included, A.
    pub rms_current_a: f64,
    /// How much warmer than 40 C the winding gets with it, K.
    pub winding_rise_k: f64,
    /// Moving mass over the drive's own, both seen from the rotor.
    pub inertia_ratio: f64,
    /// Greatest turns of the rotor in a minute.
    pub turns_per_min: f64,
    /// Period of the duty less the cycle, s; negative: the door cannot be as busy as that.
    pub standing_s: f64,
}

/// Works out what a door asks of its drive with the settings that it has.
pub fn estimate(door: &Door) -> Estimate {
    let p = door.parameters();
    let jerk = p.controller.jerk_m_per_s3;
    let (open, close) = (Gait::of(&p.opening, jerk), Gait::of(&p.closing, jerk));
    let (opening, closing) = (WayAsked::of(door, true, &open), WayAsked::of(door, false, &close));
    let period_s = 3600.0 / p.duty.cycles_per_hour;
    let standing_s = period_s - opening.for_s() - closing.for_s() - p.controller.hold_open_s;
    let pressing = p.controller.press_current_a.powi(2) * standing_s.max(0.0);
    let square = opening.square_a2_s() + closing.square_a2_s() + pressing;
    let rms_current_a = (square / period_s).sqrt();
    let load = Load::of(door, true, 0.0);
    let travel = door.travel_m();
    let top = open.top_speed_m_per_s(travel).max(close.top_speed_m_per_s(travel));
    Estimate {
        rms_current_a,
        winding_rise_k: (rms_current_a / p.motor.rated_current_a).powi(2) * p.motor.rated_rise_k,
        inertia_ratio: load.pulled_kg / load.drive_kg,
        turns_per_min: p.gear.ratio * top / door.ring().radius_m * 60.0 / std::f64::consts::TAU,
        standing_s,
        opening,
        closing,
    }
}
