//! What the program promises as a whole, one file a fact, and what those files share.

pub mod outside;

use std::path::Path;

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use tautleaf_physics::parameters::{Arrangement, ObstructionAction};
use tautleaf_physics::{FIELDS, Parameters, WHOLE_NUMBERS};
use tautleaf_scenario::Scenario;

/// A door drawn from the usual ranges, the same for the same seed and index.
///
/// Ranges that span more than a factor of twenty are drawn evenly over their logarithm.
pub fn random_door(seed: u64, index: u64) -> Parameters {
    let mut rng = StdRng::seed_from_u64(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ index);
    let mut p = Parameters {
        arrangement: [Arrangement::Away, Arrangement::Towards, Arrangement::BiParting]
            [rng.random_range(0..3)],
        ..Parameters::default()
    };
    if rng.random_bool(0.2) {
        p.obstruction.action = ObstructionAction::Stop;
    }
    for field in FIELDS {
        let (low, high) = field.usual;
        let drawn = if low > 0.0 && high / low > 20.0 {
            (rng.random_range(low.ln()..=high.ln())).exp()
        } else {
            rng.random_range(low..=high)
        };
        let drawn = if WHOLE_NUMBERS.contains(&field.key) { drawn.round() } else { drawn };
        if (field.get)(&p).is_some() {
            (field.set)(&mut p, Some(drawn.clamp(low, high)));
        }
    }
    p.motor.winding_temperature_c = 25.0;
    p
}

/// A door without any loss: what is left is masses, belt springs and whatever a test adds.
pub fn lossless_door() -> Parameters {
    let mut p = Parameters::default();
    p.rollers.resistance = 0.0;
    p.rollers.breakaway = 1.0;
    p.rollers.viscous_n_s_per_m = 0.0;
    p.seal.brush_n_per_m = 0.0;
    p.seal.end_stiffness_n_per_m = 0.0;
    p.pulleys.bearing_friction = 0.0;
    p.pulleys.drag_n = 0.0;
    p.gear.efficiency = 1.0;
    p.motor.rotor_friction_n_m = 0.0;
    p
}

/// The same with hardly any mass but the leaf's: light pulleys, rotor and belt.
pub fn lossless_leaf() -> Parameters {
    let mut p = lossless_door();
    p.pulleys.drive_inertia_kg_m2 = 1e-6;
    p.pulleys.return_inertia_kg_m2 = 1e-6;
    p.motor.rotor_inertia_kg_m2 = 1e-9;
    p.belt.specific_mass_kg_per_m2 = 0.01;
    p.belt.specific_stiffness_n_per_m = 2e6;
    p
}

/// Every shipped scenario: its file name and what is in it.
///
/// # Panics
/// If a shipped file cannot be read: that is what a test wants to know.
pub fn shipped_scenarios() -> Vec<(String, Scenario)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "toml"));
    files.sort();
    let name = |file: &Path| file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    files.iter().map(|file| (name(file), tautleaf_scenario::read(file).unwrap())).collect()
}
