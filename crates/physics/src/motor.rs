//! Winding and magnet.
//!
//! ```text
//! L di/dt = V - R i - K w        T_m = K i                                        (DEVELOPERS.md, eq. 8)
//! R = R_25 (1 + 0.00385 (T - 25))     K = K_25 (1 + alpha_K (T - 25))
//! ```

use crate::parameters::Motor;

/// Temperature coefficient of copper referred to 25 C, 1/K (0.00393 belongs to 20 C; handbook constant).
pub const COPPER_PER_K: f64 = 0.00385;

/// Below this L/R, s, the current follows the voltage at once: it settles to e^-20 within a tick of 1 ms.
pub const QUASI_STATIC_S: f64 = 50e-6;

/// Winding resistance at the temperature of the run, ohm.
pub fn resistance(motor: &Motor) -> f64 {
    motor.resistance_ohm * (1.0 + COPPER_PER_K * (motor.winding_temperature_c - 25.0))
}

/// Torque constant at the temperature of the run, N m/A, which is also V s/rad.
pub fn torque_constant(motor: &Motor) -> f64 {
    motor.torque_constant_n_m_per_a
        * (1.0 + motor.magnet_coefficient_per_k * (motor.winding_temperature_c - 25.0))
}
