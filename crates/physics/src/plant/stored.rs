//! Energy that is stored in a state of the door.

use super::{Continuous, Plant};

impl<const B: usize, const S: usize, const R: usize> Plant<B, S, R> {
    /// Energy in the spring between rotor and pulley, J.
    pub fn mesh_energy(&self, state: &Continuous<B>) -> f64 {
        0.5 * self.mesh.k * self.mesh_depth(state).powi(2)
    }

    /// Strain energy of the belt, sum of T_s^2 / (2 k), J.
    pub fn strain_energy(&self, state: &Continuous<B>) -> f64 {
        (0..S).map(|s| self.span(s, state)).map(|span| span.elastic.max(0.0).powi(2) / (2.0 * span.k)).sum()
    }

    /// Kinetic energy of all bodies, J.
    pub fn kinetic_energy(&self, state: &Continuous<B>) -> f64 {
        (0..B).map(|b| 0.5 * self.masses[b] * state.v[b].powi(2)).sum()
    }

    /// Energy in the winding's inductance, J.
    pub fn magnetic_energy(&self, state: &Continuous<B>) -> f64 {
        if self.quasi_static { 0.0 } else { 0.5 * self.l * state.i * state.i }
    }

    /// Energy in the springs of the stoppers, J.
    pub fn stopper_energy(&self, state: &Continuous<B>) -> f64 {
        self.leading_bodies()
            .map(|body| self.stopper_depth(state.q[body]))
            .map(|depth| 0.5 * self.stop_k * depth * depth)
            .sum()
    }
}
