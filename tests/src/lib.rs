//! What the program promises as a whole, one file a fact, and what those files share.

mod drawn;
pub mod modules;
pub mod outside;

use std::path::Path;

use tautleaf_physics::Parameters;
use tautleaf_scenario::Scenario;

pub use drawn::{coherent_door, random_door};

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
