//! How long a door is waited for.

use crate::parameters::{Motion, Parameters};

/// Longest time that a whole run may take, standing open left out, s.
pub(crate) fn longest_run_s(p: &Parameters) -> f64 {
    patience(p, &p.opening) + patience(p, &p.closing)
}

/// Longest time for one motion, s.
pub(crate) fn patience(p: &Parameters, motion: &Motion) -> f64 {
    let slowest = motion.speed_m_per_s.min(motion.creep_speed_m_per_s);
    20.0 + 2.0 * p.leaf.stroke_m / motion.speed_m_per_s
        + 2.0 * motion.creep_distance_m / slowest
        + 2.0 * motion.speed_m_per_s / motion.acceleration_m_per_s2.min(motion.braking_m_per_s2)
}
