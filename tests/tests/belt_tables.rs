//! Belt formulas against published tables and worked examples.

use std::f64::consts::PI;

use tautleaf_physics::{Parameters, belt, motor};

fn assert_near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} instead of {expected}");
}

/// A published design guide's worked example of a linear drive (maker not named): pull 868 N, tension 900 N, loop
/// 6000 mm, 35 kN/mm, 30 mm, 6.32 g/m/mm, span 1 m. Its bound of the tight strand is T_0 + F = 1768 N; the ring
/// itself gives T_0 + F (L - y)/L = 1623 N at y = 1 m.
#[test]
fn a_published_linear_drive_has_its_take_up_mass_tone_and_tensions() {
    let ea = 35e3 * 30.0;
    assert_near(belt::take_up_m(900.0, 6.0, ea), 2.571e-3, 1e-6);
    let mass = 6.32e-3 * 30.0;
    assert_near(mass, 0.19, 0.001);
    assert_near(belt::span_tone_hz(1, 1.0, 900.0, mass), 34.4, 0.05);
    let (tight, _) = belt::strands_under_pull_n(900.0, 868.0, 6.0, 1.0);
    assert_near(tight, 1623.3, 0.05);
    assert_near(900.0 + 868.0, 1768.0, 0.0);
}

/// The same guide's tables, 10 mm wide: T5 90, AT5 140, 5M 220 kN per unit strain carry 360, 560, 880 N, which is
/// 0.400 %; 8M of 30 mm 1050 kN carries 3600 N, 0.343 %.
#[test]
fn allowable_tensions_of_published_tables_are_0_34_to_0_40_percent_of_stiffness() {
    for (ea, allowable) in [(90e3, 360.0), (140e3, 560.0), (220e3, 880.0)] {
        assert_near(belt::ALLOWABLE_STRAIN * ea, allowable, 1e-9);
    }
    assert_near(3600.0 / 1050e3, 0.00343, 5e-6);
}

/// Shigley, chapter 17 (reproduction): d 6, D 18, C 96 in: wraps 3.016511 and 3.266674 rad, length 230.074 in.
#[test]
fn a_flat_belt_round_two_pulleys_has_shigleys_length() {
    let (small, large) = belt::two_pulley_wraps(6.0, 18.0, 96.0);
    assert_near(small, 3.016511, 5e-7);
    assert_near(large, 3.266674, 5e-7);
    assert_near(belt::two_pulley_length(6.0, 18.0, 96.0), 230.074, 5e-4);
}

/// Roloff/Matek exercise (published): T5, 38 and 114 teeth, belt 990 mm: d 60.48 and 181.44 mm, C 299 mm, wrap
/// 156 degrees; exact 298.86 mm and 156.65 degrees.
#[test]
fn a_toothed_belt_round_two_pulleys_has_the_exercises_centre_distance() {
    let (d, large) = (2.0 * belt::pitch_radius_m(5.0, 38.0), 2.0 * belt::pitch_radius_m(5.0, 114.0));
    assert_near(d, 60.48, 0.005);
    assert_near(large, 181.44, 0.005);
    assert_near(belt::two_pulley_length(d, large, 298.86), 990.0, 0.02);
    assert_near(belt::two_pulley_wraps(d, large, 298.86).0 * 180.0 / PI, 156.65, 0.01);
}

/// Copper from 25 to 105 C: R x 1.308 (handbook, 0.00385/K at 25 C; 0.00393/K belongs to 20 C).
#[test]
fn a_copper_winding_at_105_c_has_1_308_times_its_resistance_at_25_c() {
    let mut p = Parameters::default();
    p.motor.winding_temperature_c = 105.0;
    assert_near(motor::resistance(&p.motor) / p.motor.resistance_ohm, 1.308, 1e-12);
    // 0.00393/K referred to 20 C is the same wire: (1 + 0.00393 x 85)/(1 + 0.00393 x 5)
    assert_near((1.0 + 0.00393 * 85.0) / (1.0 + 0.00393 * 5.0), 1.308, 0.001);
}

/// (c^2 - v^2)/(2 l c): a belt that runs at 1 m/s at 250 N and 72 g/m sounds 0.03 % lower (derived).
#[test]
fn a_running_belt_sounds_lower() {
    let still = belt::span_tone_hz(1, 1.2, 250.0, 0.072);
    let running = belt::running_span_tone_hz(1.2, 250.0, 0.072, 1.0);
    assert_near(running / still, 1.0 - 0.072 / 250.0, 1e-9);
}

/// A level strand sags m' g l^2/(8 T) in the middle (derived): 2 % of 2.4 m at 10.6 N for 72 g/m.
#[test]
fn a_strand_sags_two_percent_at_the_tension_that_is_warned_of() {
    let tension = belt::sag_tension_n(0.072, 2.4, 0.02);
    assert_near(0.072 * belt::G * 2.4 * 2.4 / (8.0 * tension) / 2.4, 0.02, 1e-12);
}
