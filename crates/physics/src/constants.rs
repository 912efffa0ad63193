//! Numbers of the model that no parameter sets, listed so that anyone can recompute a run.

use serde::Serialize;

use crate::reading::phases;
use crate::{
    belt, controller, force_test, jerk, limits, manual, motor, options, peaks, supply, tester_force, thermal,
    timeline,
};

/// Every number that no door file can set, SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[allow(missing_docs)] // each is documented where it is used
pub struct Constants {
    pub gravity_m_per_s2: f64,
    pub copper_per_k: f64,
    pub quasi_static_below_s: f64,
    pub allowable_strain: f64,
    pub arrival_speed_m_per_s: f64,
    pub at_current_limit_fraction: f64,
    pub still_below_m_per_s: f64,
    pub done_m: f64,
    pub latch_check_m: f64,
    pub settled_within_m: f64,
    pub jerk_filter_hz: f64,
    pub after_closed_s: f64,
    pub shorted_hand_speed_m_per_s: f64,
    pub stall_test_s: f64,
    pub stall_mean_s: f64,
    pub impact_within_s: f64,
    pub residual_at_s: f64,
    pub residual_mean_s: f64,
    pub low_energy_j: f64,
    pub rated_ambient_c: f64,
    pub longest_stop_s: f64,
    pub least_bus_voltage: f64,
    pub runaway_c: f64,
    pub loss_block_s: f64,
}

impl Constants {
    /// The model's own.
    pub const MODEL: Self = Self {
        gravity_m_per_s2: belt::G,
        copper_per_k: motor::COPPER_PER_K,
        quasi_static_below_s: motor::QUASI_STATIC_S,
        allowable_strain: belt::ALLOWABLE_STRAIN,
        arrival_speed_m_per_s: controller::ARRIVAL_SPEED_M_PER_S,
        at_current_limit_fraction: controller::AT_LIMIT,
        still_below_m_per_s: controller::STILL_M_PER_S,
        done_m: phases::DONE_M,
        latch_check_m: peaks::LATCH_CHECK_M,
        settled_within_m: phases::SETTLED_M,
        jerk_filter_hz: jerk::CUT_OFF_HZ,
        after_closed_s: options::AFTER_CLOSED_S,
        shorted_hand_speed_m_per_s: manual::SHORTED_SPEED_M_PER_S,
        stall_test_s: force_test::STALL_S,
        stall_mean_s: force_test::STALL_MEAN_S,
        impact_within_s: tester_force::IMPACT_S,
        residual_at_s: tester_force::WHOLE_S,
        residual_mean_s: force_test::RESIDUAL_S,
        low_energy_j: limits::LOW_ENERGY_J,
        least_bus_voltage: supply::LEAST_VOLTAGE,
        longest_stop_s: timeline::LONGEST_STOP_S,
        rated_ambient_c: thermal::RATED_AMBIENT_C,
        runaway_c: thermal::RUNAWAY_C,
        loss_block_s: thermal::BLOCK_S,
    };
}
