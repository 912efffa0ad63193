//! Rotor and pulley, parted by a spring with play.

use crate::parameters::Parameters;
use crate::ring::Ring;

/// Rotor and pulley parted by a spring with play.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Mesh {
    pub k: f64,
    pub c: f64,
    pub half_play: f64,
}

/// Spring, damper and play between rotor and pulley; the damper is the wanted part of 2 sqrt(k m), m both in series.
pub(crate) fn mesh(p: &Parameters, ring: &Ring) -> Mesh {
    let (Some(k), Some(rotor)) = (p.gear.mesh_stiffness_n_per_m, ring.rotor_kg) else {
        return Mesh::default();
    };
    let pulley = ring.masses_kg[0];
    let series = rotor * pulley / (rotor + pulley);
    Mesh { k, c: 2.0 * p.gear.mesh_damping_ratio * (k * series).sqrt(), half_play: p.gear.backlash_m / 2.0 }
}
