//! What standards allow, as the program works it out.

use tautleaf_physics::limits::{
    FOOT_M, LOW_ENERGY_J, POUND_KG, closing_speed_by_weight_m_per_s, low_energy_least_time_s,
};
use tautleaf_physics::{CycleOptions, Parameters, cycle};

use super::Standing::{Derived, Published};
use super::Tolerance::{By, Share};
use super::runs::door;
use super::{Check, Source};

const US_SPEED: Source = Source::new(
    Published,
    "ANSI/BHMA A156.10 (1999 10.10, 2005 10.1.1; reproduction): 1 ft/s up to 160 lb, then sqrt(160/W)",
);
const LEAST_TIME: Source = Source::new(Published, "EN 16005:2012, Annex F (printed copies and formula)");
const ENERGY: Source = Source::new(Derived, "v = sqrt(2 E/m) of 1.69 J (EN 16005:2012, 4.6.4)");

/// Weight in pounds and greatest closing speed in feet a second.
pub const SPEED_BY_WEIGHT: [(f64, f64); 4] = [(160.0, 1.000), (200.0, 0.894), (300.0, 0.730), (500.0, 0.566)];

/// Mass in kg and least time over 1.0 m in seconds.
pub const TIME_OVER_A_METRE: [(f64, f64); 4] = [(10.0, 1.8), (50.0, 3.9), (100.0, 5.5), (150.0, 6.7)];

/// Mass in kg and the speed in m/s at which it has 1.69 J.
pub const LOW_ENERGY_SPEED: [(f64, f64); 3] = [(50.0, 0.260), (100.0, 0.184), (250.0, 0.116)];

/// Allowed speeds, least times and energies.
pub fn limits() -> Vec<Check> {
    let mut checks = Vec::new();
    for (pounds, feet_per_s) in SPEED_BY_WEIGHT {
        let ours = closing_speed_by_weight_m_per_s(pounds * POUND_KG) / FOOT_M;
        let fact = format!("closing speed allowed for {pounds} lb");
        checks.push(US_SPEED.check(fact, "ft/s", (feet_per_s, ours), By(5.1e-4), "rounding"));
    }
    for (mass_kg, least_s) in TIME_OVER_A_METRE {
        let fact = format!("least time over 1 m for {mass_kg} kg");
        checks.push(LEAST_TIME.check(
            fact,
            "s",
            (least_s, low_energy_least_time_s(mass_kg, 1.0)),
            By(1e-9),
            "exact",
        ));
    }
    for (mass_kg, speed) in LOW_ENERGY_SPEED {
        let fact = format!("energy of {mass_kg} kg closing at {speed} m/s, whole model");
        let why = "three digits of the speed, and the speed loop: 4 %";
        checks.push(ENERGY.check(
            fact,
            "J",
            (LOW_ENERGY_J, energy_half_way_j(mass_kg, speed)),
            Share(0.04),
            why,
        ));
    }
    checks
}

/// Kinetic energy of a closing leaf at 0.3 m, where the speed loop is back at the speed that was set.
fn energy_half_way_j(mass_kg: f64, speed_m_per_s: f64) -> f64 {
    let mut p = Parameters::default();
    p.leaf.mass_kg = mass_kg;
    p.opening.speed_m_per_s = 0.1;
    p.closing.speed_m_per_s = speed_m_per_s;
    p.closing.current_limit_a = 20.0;
    let run = cycle(&door(p), &CycleOptions::default());
    let closing = run.samples.iter().filter(|sample| sample.leaf_speed_m_per_s[0] < -0.5 * speed_m_per_s);
    let half_way =
        closing.min_by(|a, b| (a.clear_opening_m - 0.3).abs().total_cmp(&(b.clear_opening_m - 0.3).abs()));
    half_way.map_or(f64::NAN, |sample| sample.energy_leaf_j)
}
