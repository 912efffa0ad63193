//! The toothed belt as formulas: radius, stiffness, tones, sag, length.
//!
//! T_i = max(0, T_0 + k_i e_i + tau_b k_i de_i/dt),  k_i = EA / l_i,  EA = c_sp b      (DEVELOPERS.md, eq. 2)

use std::f64::consts::PI;

/// Standard gravity (exact), m/s2.
pub const G: f64 = 9.806_65;

/// Strain at the allowable tension of the usual cords: makers' tables give 0.34 to 0.40 %.
pub const ALLOWABLE_STRAIN: f64 = 0.004;

/// Pitch radius of a toothed pulley, r = z p / (2 pi), m.
pub fn pitch_radius_m(pitch_m: f64, teeth: f64) -> f64 {
    teeth * pitch_m / (2.0 * PI)
}

/// Stiffness at the leaf with the drive locked, EA L / (y (L - y)), N/m.
///
/// `loop_m` is the sum of the free spans L, `distance_m` the belt y from drive pulley to leaf. Least, 4 EA / L,
/// where both ways round are equal: at the return pulley, not at mid-opening.
pub fn stiffness_at_leaf_n_per_m(ea_n: f64, loop_m: f64, distance_m: f64) -> f64 {
    ea_n * loop_m / (distance_m * (loop_m - distance_m))
}

/// Tensions (tight, slack) of two spans under a steady pull on the leaf, drive locked, N.
///
/// ```text
/// tight T_0 + F (L - y)/L        slack T_0 - F y/L         y: length of the span that takes the pull
/// ```
///
/// The two rules of the trade are its limits: T_0 >= F for linear drives (y near L), T_0 >= F/2 for equal spans.
pub fn strands_under_pull_n(installed_n: f64, pull_n: f64, loop_m: f64, tight_m: f64) -> (f64, f64) {
    (installed_n + pull_n * (loop_m - tight_m) / loop_m, installed_n - pull_n * tight_m / loop_m)
}

/// How far the adjuster moves the return pulley for a tension, T_0 l / (2 EA), m; `loop_m` is the pitch length l: once
/// it has run, the belt that lay on the pulleys is stretched too.
pub fn take_up_m(installed_n: f64, loop_m: f64, ea_n: f64) -> f64 {
    installed_n * loop_m / (2.0 * ea_n)
}

/// Tone of a span at rest, f_n = n / (2 l) sqrt(T / m'), Hz; `mass_kg_per_m` is m'.
pub fn span_tone_hz(order: u32, length_m: f64, tension_n: f64, mass_kg_per_m: f64) -> f64 {
    f64::from(order) / (2.0 * length_m) * (tension_n / mass_kg_per_m).sqrt()
}

/// The same backwards: tension of a span whose first tone is this one, m' (2 l f)^2, N.
pub fn tension_of_tone_n(length_m: f64, tone_hz: f64, mass_kg_per_m: f64) -> f64 {
    mass_kg_per_m * (2.0 * length_m * tone_hz).powi(2)
}

/// Tone of a span whose belt runs at v: (c^2 - v^2) / (2 l c), c = sqrt(T / m'), Hz.
pub fn running_span_tone_hz(length_m: f64, tension_n: f64, mass_kg_per_m: f64, speed_m_per_s: f64) -> f64 {
    let wave = (tension_n / mass_kg_per_m).sqrt();
    (wave * wave - speed_m_per_s * speed_m_per_s) / (2.0 * length_m * wave)
}

/// Tension below which a level span sags more than `fraction` of its length, m' g l / (8 fraction), N.
pub fn sag_tension_n(mass_kg_per_m: f64, length_m: f64, fraction: f64) -> f64 {
    mass_kg_per_m * G * length_m / (8.0 * fraction)
}

/// Pitch length of an open belt round two pulleys (exact), m: any consistent unit will do.
///
/// ```text
/// L = sqrt(4 C^2 - (D - d)^2) + (D th_D + d th_d)/2,   th = pi +- 2 asin((D - d)/(2 C))
/// ```
pub fn two_pulley_length(small: f64, large: f64, centre: f64) -> f64 {
    let (wrap_small, wrap_large) = two_pulley_wraps(small, large, centre);
    (4.0 * centre * centre - (large - small).powi(2)).sqrt() + (large * wrap_large + small * wrap_small) / 2.0
}

/// Axis distance at which a belt of this pitch length just touches two pulleys: [`two_pulley_length`] backwards.
/// `None`: it does not reach round the larger one.
pub fn two_pulley_centre(small: f64, large: f64, length: f64) -> Option<f64> {
    let (mut low, mut high) = ((large - small) / 2.0, length / 2.0);
    // at the least distance the small pulley lies within the large one
    if !(length > PI * large && high > low) {
        return None;
    }
    // length grows with the distance; a hundred halvings leave nothing of a double
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if two_pulley_length(small, large, middle) < length { low = middle } else { high = middle }
    }
    Some(high)
}

/// Wrap angles (small, large) of an open belt round two pulleys, rad.
pub fn two_pulley_wraps(small: f64, large: f64, centre: f64) -> (f64, f64) {
    let half = ((large - small) / (2.0 * centre)).asin();
    (PI - 2.0 * half, PI + 2.0 * half)
}

/// Teeth that share the pull, z wrap / (2 pi), at most 12.
pub fn teeth_in_mesh(teeth: f64, wrap_rad: f64) -> f64 {
    (teeth * wrap_rad / (2.0 * PI)).floor().clamp(1.0, 12.0)
}
