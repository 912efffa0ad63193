//! The limits that a door file can set, one entry each.

use tautleaf_physics::{Figure, Judge, Known, Limit, Quantity, Rule};

/// Which way a limit bounds its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// At most.
    Most,
    /// At least.
    Least,
}

/// A limit that a door file can set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LimitKey {
    /// Key in the section `[limits]`.
    pub key: &'static str,
    /// The figure that it judges.
    pub figure: Figure,
    /// Which way.
    pub bound: Bound,
    /// Whether it may differ from gap to gap of the force test.
    pub by_gap: bool,
}

impl LimitKey {
    /// Quantity of the value.
    pub fn quantity(&self) -> Quantity {
        self.figure.quantity()
    }

    /// A limit set by the user: `value` in SI, shown in the unit `unit`.
    pub fn set_to(&self, value: f64, unit: &str, judge: Judge) -> Limit {
        let rule = match self.bound {
            Bound::Most => Rule::AtMost(value),
            Bound::Least => Rule::AtLeast(value),
        };
        self.with_rule(rule, unit, judge)
    }

    pub(crate) fn with_rule(&self, rule: Rule, unit: &str, judge: Judge) -> Limit {
        Limit {
            key: self.key.to_owned(),
            preset: None,
            figure: Some(self.figure),
            rule,
            unit: unit.to_owned(),
            source: "set in the door file".to_owned(),
            known: Known::User,
            judge,
        }
    }
}

const fn most(key: &'static str, figure: Figure) -> LimitKey {
    LimitKey { key, figure, bound: Bound::Most, by_gap: false }
}

const fn most_by_gap(key: &'static str, figure: Figure) -> LimitKey {
    LimitKey { key, figure, bound: Bound::Most, by_gap: true }
}

const fn least(key: &'static str, figure: Figure) -> LimitKey {
    LimitKey { key, figure, bound: Bound::Least, by_gap: false }
}

/// Every limit that a door file can set. Jerk has none: ISO 18738 measures it and does not judge it; the seat
/// margin has none: no published torque of tooth jump exists.
pub static LIMIT_KEYS: &[LimitKey] = &[
    most("kinetic_energy_max", Figure::PeakEnergyLeaf),
    most("kinetic_energy_leaves_max", Figure::PeakEnergyLeaves),
    most("peak_energy_coupled_max", Figure::PeakEnergyCoupled),
    most("peak_energy_coupled_closing_max", Figure::PeakEnergyCoupledClosing),
    most("average_energy_max", Figure::AverageEnergyClosing),
    most_by_gap("stall_force_max", Figure::StallForce),
    most("end_force_max", Figure::StallForceLast50),
    most_by_gap("impact_force_max", Figure::ImpactForce),
    most("force_after_time_max", Figure::ForceAfter750),
    most_by_gap("residual_force_max", Figure::ResidualForce),
    most("time_above_150n_max", Figure::TimeAbove150),
    most("opening_speed_max", Figure::TopSpeedOpening),
    most("closing_speed_max", Figure::TopSpeedClosing),
    most("closing_speed_before_check_max", Figure::TopSpeedBeforeCheck),
    least("latch_check_min", Figure::LatchCheck),
    most("opening_time_max", Figure::OpeningTime),
    most("opening_time_80pct_max", Figure::OpeningTime80),
    most("closing_time_max", Figure::ClosingTime),
    least("time_over_90pct_min", Figure::ClosingLeastTime90),
    least("hold_open_min", Figure::HoldOpen),
    least("least_tension_min", Figure::LeastTension),
    most("greatest_tension_max", Figure::GreatestTension),
    most("shaft_load_max", Figure::ShaftLoad),
    most("slack_time_max", Figure::SlackTime),
    most("gear_knock_speed_max", Figure::GearKnock),
    least("least_hanger_load_min", Figure::LeastHangerLoad),
    most("greatest_hanger_load_max", Figure::GreatestHangerLoad),
    most("wheel_lift_time_max", Figure::LiftTime),
    most("peak_acceleration_max", Figure::PeakAcceleration),
    most("overshoot_open_max", Figure::OvershootOpen),
    most("settling_open_max", Figure::SettlingOpen),
    most("peak_current_max", Figure::PeakCurrent),
    most("rms_current_max", Figure::RmsCurrent),
    most("energy_per_cycle_max", Figure::EnergyPerCycle),
    most("energy_drawn_per_cycle_max", Figure::EnergyDrawn),
    least("bus_voltage_min", Figure::LeastBusVoltage),
    most("bus_voltage_max", Figure::GreatestBusVoltage),
    least("battery_cycles_min", Figure::BatteryCycles),
    most("winding_temperature_max", Figure::WindingTemperature),
    most("winding_rise_max", Figure::WindingRise),
    least("insulation_margin_min", Figure::InsulationMargin),
    most("housing_temperature_max", Figure::HousingTemperature),
    least("opening_at_person_min", Figure::OpeningAtPerson),
    most("person_waits_max", Figure::PersonWaits),
    most("stopping_distance_max", Figure::StoppingDistance),
    most("opened_without_power_max", Figure::OpenedWithoutPower),
    most("coast_distance_max", Figure::CoastDistance),
    most("learned_stroke_max", Figure::LearnedStroke),
    most("manual_opening_max", Figure::ManualForce),
    most("manual_opening_shorted_max", Figure::ManualForceShorted),
    most("drift_force_max", Figure::DriftForce),
];

/// The entry for a key.
pub fn limit_key(key: &str) -> Option<&'static LimitKey> {
    LIMIT_KEYS.iter().find(|entry| entry.key == key)
}
