//! Two motors on a flexible shaft, measured: the fit of a two-mass model, and the same two masses on our belt.

use nalgebra::Complex;
use tautleaf_physics::{Parameters, Sample};

use super::super::Standing::Measured;
use super::super::Tolerance::{By, Share};
use super::super::runs::{door, push, roll};
use super::super::{Outcome, Source};
use super::{columns, fit};
use crate::lossless_leaf;

const RECORD: Source = Source::new(
    Measured,
    "FdiTools examples (MIT), two coupled motors, frequency response, multisine A; recomputed, no published parameters",
);
/// Antiresonance and resonance, Hz, and load over motor inertia.
const EXPECTED: (f64, f64, f64) = (53.97, 76.14, 0.99);

/// The fit, and what a leaf and a drive of these proportions do on a belt of that stiffness.
///
/// # Errors
/// Where the record is not at hand.
pub fn resonance() -> Outcome {
    let (anti, resonance) = fitted()?;
    let ratio = (resonance / anti).powi(2) - 1.0;
    let why = "two fits that weigh the frequencies differently";
    let (held, free) = tones_on_a_belt(ratio, anti);
    let belt = "fit as above; the return pulley's little mass";
    Ok(vec![
        RECORD.check("antiresonance", "Hz", (EXPECTED.0, anti), Share(0.01), why),
        RECORD.check("resonance", "Hz", (EXPECTED.1, resonance), Share(0.01), why),
        RECORD.check("load over motor inertia", "", (EXPECTED.2, ratio), By(0.05), why),
        RECORD.check(
            "leaf on the belt, drive held, whole model",
            "Hz",
            (EXPECTED.0, held),
            Share(0.01),
            belt,
        ),
        RECORD.check("leaf and drive on the belt, whole model", "Hz", (EXPECTED.1, free), Share(0.01), belt),
    ])
}

/// Antiresonance and resonance, Hz.
///
/// ```text
/// motor  g (s^2 + 2 z_a w_a s + w_a^2)/D     load  g (2 z_a w_a s + w_a^2)/D
/// D = s (s + c) (s^2 + 2 z_r w_r s + w_r^2) exp(s t)
/// ```
fn fitted() -> Result<(f64, f64), super::Skipped> {
    let rows: Vec<[f64; 7]> = columns("twomass_a_frf.csv")?;
    let measured: Vec<(f64, Complex<f64>, Complex<f64>)> = rows
        .iter()
        .map(|row| {
            (std::f64::consts::TAU * row[0], Complex::new(row[1], row[2]), Complex::new(row[4], row[5]))
        })
        .collect();
    let (w_low, first, _) = measured[0];
    let guess = [(first.norm() * w_low * w_low).ln(), 54.0, 0.02, 76.0, 0.02, 0.0, 1.0];
    let residuals = |x: &[f64]| {
        let (w_a, w_r) = (std::f64::consts::TAU * x[1], std::f64::consts::TAU * x[3]);
        let mut out = Vec::with_capacity(4 * measured.len());
        for &(w, motor, load) in &measured {
            let s = Complex::new(0.0, w);
            let shaft = s * (2.0 * x[2] * w_a) + w_a * w_a;
            let below = s * (s + x[6]) * (s * s + s * (2.0 * x[4] * w_r) + w_r * w_r) * (s * x[5]).exp();
            for (model, found) in [((s * s + shaft) / below, motor), (shaft / below, load)] {
                // the logarithm weighs every frequency by its own size, and parts gain from phase
                let apart = (model * x[0].exp() / found).ln();
                out.extend([apart.re, apart.im]);
            }
        }
        out
    };
    let found = fit::minimise(&guess, residuals);
    Ok((found[1], found[3]))
}

/// Tones, Hz, of a leaf on the belt behind a held drive, and of leaf and drive together, after a short push.
fn tones_on_a_belt(load_over_motor: f64, antiresonance_hz: f64) -> (f64, f64) {
    let (motor_kg, y, whole) = (50.0, 0.8, 4.8);
    let leaf_kg = load_over_motor * motor_kg;
    let stiffness = leaf_kg * (std::f64::consts::TAU * antiresonance_hz).powi(2);
    let mut p: Parameters = lossless_leaf();
    p.leaf.mass_kg = leaf_kg;
    p.belt.tension_n = 2000.0;
    p.belt.specific_stiffness_n_per_m = stiffness * y * (whole - y) / whole / p.belt.width_m;
    p.belt.damping_time_s = 0.0;
    let radius = tautleaf_physics::belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
    p.pulleys.drive_inertia_kg_m2 = motor_kg * radius * radius;
    let mut kick = push(50.0); // so little that the leaf stays where it is
    kick.end_s = 0.003;
    p.forces.push(kick);
    let free = roll(&door(p.clone()), 0.5, 0.0, 0.5);
    p.gear.efficiency = 0.3; // locks itself
    let held = roll(&door(p), 0.5, 0.0, 0.5);
    let swing = |sample: &Sample| sample.leaf_speed_m_per_s[0] - sample.drive_speed_m_per_s;
    (frequency_hz(&held.samples, swing), frequency_hz(&free.samples, swing))
}

/// From the first to the last upward passage through zero.
fn frequency_hz(samples: &[Sample], of: impl Fn(&Sample) -> f64) -> f64 {
    let passages: Vec<f64> = samples
        .windows(2)
        .filter(|pair| of(&pair[0]) < 0.0 && of(&pair[1]) >= 0.0)
        .map(|pair| {
            let (before, after) = (of(&pair[0]), of(&pair[1]));
            pair[0].t_s + (pair[1].t_s - pair[0].t_s) * before / (before - after)
        })
        .collect();
    match passages.as_slice() {
        [first, .., last] => (passages.len() - 1) as f64 / (last - first),
        _ => f64::NAN,
    }
}
