//! What presses a leaf against its floor guide.

use crate::belt::G;
use crate::parameters::Parameters;

/// Density of air, kg/m3 (EN 1991-1-4 recommends 1.25, from memory).
pub const AIR_KG_PER_M3: f64 = 1.25;

/// Sideways load of one leaf of this mass on its floor guide, N.
///
/// The leaf hangs from the rail as from a hinge and leans on the guide at z_f; pressure acts at half its height,
/// weight in a frame out of plumb at z_g. All taken as pushing the same way, since a wind has no direction here (eq. 16):
///
/// ```text
/// Y = ((1/2 rho v^2 + |p|) W H (H/2) + m g psi z_g)/z_f
/// ```
pub fn guide_load_n(p: &Parameters, mass_kg: f64) -> f64 {
    let pressure = wind_pressure_pa(p.weather.wind_m_per_s) + p.weather.stack_pressure_pa.abs();
    let face = p.leaf.width_m * p.leaf.height_m;
    let gravity_depth = p.leaf.gravity_depth_m.unwrap_or(p.leaf.height_m / 2.0);
    let guide_depth = p.guide.depth_m.unwrap_or(p.leaf.height_m).max(f64::MIN_POSITIVE);
    let pressed = pressure * face * p.leaf.height_m / 2.0;
    let leaning = mass_kg * G * p.guide.out_of_plumb.abs() * gravity_depth;
    (pressed + leaning) / guide_depth
}

/// Stagnation pressure of a wind speed in m/s, 1/2 rho v^2, Pa.
pub fn wind_pressure_pa(wind_m_per_s: f64) -> f64 {
    0.5 * AIR_KG_PER_M3 * wind_m_per_s * wind_m_per_s
}

/// Stack pressure of a building, 0.0342 a h (1/T_o - 1/T_i), Pa: air pressure a in Pa, height h in m, temperatures
/// outside and inside in C.
pub fn stack_pressure_pa(air_pa: f64, height_m: f64, outside_c: f64, inside_c: f64) -> f64 {
    0.0342 * air_pa * height_m * (1.0 / (outside_c + 273.15) - 1.0 / (inside_c + 273.15))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Stack effect formula as published: 10 m, 0 C outside, 20 C inside, 101325 Pa: 8.65 Pa (value derived).
    #[test]
    fn stack_pressure_of_a_hall_in_winter() {
        assert!((stack_pressure_pa(101_325.0, 10.0, 0.0, 20.0) - 8.65).abs() < 0.01);
    }

    /// 10 m/s press 62.5 Pa on 1.1 x 2.2 m, 151.25 N in the middle, guide at 2.25 m: 151.25 x 1.1/2.25 = 73.9 N (moments about the rail).
    #[test]
    fn wind_leans_a_leaf_on_its_guide() {
        let mut p = Parameters::default();
        p.weather.wind_m_per_s = 10.0;
        p.guide.depth_m = Some(2.25);
        assert!((guide_load_n(&p, 80.0) - 151.25 * 1.1 / 2.25).abs() < 1e-9);
    }
}
