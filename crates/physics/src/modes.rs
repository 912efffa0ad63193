//! Axial modes of the loop.

use crate::ring::Ring;

/// Lowest mode with the drive locked and the leaves at these positions, rad/s: the least eigenvalue of M^-1 K
/// without body 0, by inverse iteration.
pub(crate) fn first_locked_mode(ring: &Ring, positions_m: &[f64]) -> f64 {
    let bodies = ring.masses_kg.len() - 1;
    let masses = &ring.masses_kg[1..];
    let stiffness = locked_stiffness(ring, positions_m);
    let mut shape = vec![1.0; bodies];
    let mut square = 0.0;
    for _ in 0..60 {
        let load: Vec<f64> = shape.iter().zip(masses).map(|(q, m)| q * m).collect();
        let next = solve(stiffness.clone(), load);
        let scale = next.iter().fold(0.0_f64, |a, q| a.max(q.abs()));
        square = shape.iter().fold(0.0_f64, |a, q| a.max(q.abs())) / scale;
        shape = next.iter().map(|q| q / scale).collect();
    }
    square.sqrt()
}

/// Every axial mode of the loop with the leaves at these positions and the drive free to turn, Hz, lowest first: the
/// eigenvalues of M^-1 K but for the one at nothing, in which all run along together. A rotor that is parted from its pulley
/// by a spring, N/m, swings with them, its teeth held on one flank.
pub(crate) fn axial_modes_hz(ring: &Ring, mesh_n_per_m: Option<f64>, positions_m: &[f64]) -> Vec<f64> {
    let mut masses = ring.masses_kg.clone();
    let mut scaled = stiffness(ring, positions_m);
    if let (Some(rotor), Some(mesh)) = (ring.rotor_kg, mesh_n_per_m) {
        masses.push(rotor);
        with_rotor(&mut scaled, mesh);
    }
    for (a, row) in scaled.iter_mut().enumerate() {
        for (b, entry) in row.iter_mut().enumerate() {
            *entry /= (masses[a] * masses[b]).sqrt();
        }
    }
    let mut squares = eigenvalues(scaled);
    squares.sort_by(f64::total_cmp);
    squares.iter().skip(1).map(|square| square.max(0.0).sqrt() / (2.0 * std::f64::consts::PI)).collect()
}

/// Adds a body that a spring joins to body 0, N/m.
fn with_rotor(stiffness: &mut Vec<Vec<f64>>, mesh_n_per_m: f64) {
    let rotor = stiffness.len();
    stiffness.iter_mut().for_each(|row| row.push(0.0));
    stiffness.push(vec![0.0; rotor + 1]);
    stiffness[0][0] += mesh_n_per_m;
    stiffness[rotor][rotor] = mesh_n_per_m;
    (stiffness[0][rotor], stiffness[rotor][0]) = (-mesh_n_per_m, -mesh_n_per_m);
}

/// Eigenvalues of a symmetric matrix by Jacobi's rotations, in no order.
fn eigenvalues(mut s: Vec<Vec<f64>>) -> Vec<f64> {
    let n = s.len();
    for _ in 0..50 {
        let off: f64 = (0..n).flat_map(|a| (0..a).map(move |b| (a, b))).map(|(a, b)| s[a][b].powi(2)).sum();
        let on: f64 = (0..n).map(|a| s[a][a].powi(2)).sum();
        if off <= 1e-28 * on {
            break;
        }
        for a in 0..n {
            for b in a + 1..n {
                rotate(&mut s, a, b);
            }
        }
    }
    (0..n).map(|a| s[a][a]).collect()
}

/// Turns the plane of a and b so that their product term is gone.
fn rotate(s: &mut [Vec<f64>], a: usize, b: usize) {
    if s[a][b] == 0.0 {
        return;
    }
    let theta = (s[b][b] - s[a][a]) / (2.0 * s[a][b]);
    let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
    let c = 1.0 / (t * t + 1.0).sqrt();
    let sine = t * c;
    for row in s.iter_mut() {
        (row[a], row[b]) = (c * row[a] - sine * row[b], sine * row[a] + c * row[b]);
    }
    for n in 0..s.len() {
        (s[a][n], s[b][n]) = (c * s[a][n] - sine * s[b][n], sine * s[a][n] + c * s[b][n]);
    }
}

/// Stiffness of the ring A^T k A without body 0, N/m.
pub(crate) fn locked_stiffness(ring: &Ring, positions_m: &[f64]) -> Vec<Vec<f64>> {
    let full = stiffness(ring, positions_m);
    full.into_iter().skip(1).map(|row| row.into_iter().skip(1).collect()).collect()
}

/// Stiffness of the ring A^T k A, N/m.
pub(crate) fn stiffness(ring: &Ring, positions_m: &[f64]) -> Vec<Vec<f64>> {
    let bodies = ring.masses_kg.len();
    let mut stiffness = vec![vec![0.0; bodies]; bodies];
    for (index, span) in ring.spans.iter().enumerate() {
        let k = ring.ea_of(index) / span.length_m(positions_m);
        for (a, row) in stiffness.iter_mut().enumerate() {
            for (b, entry) in row.iter_mut().enumerate() {
                *entry += span.row[a] * k * span.row[b];
            }
        }
    }
    stiffness
}

/// Solves K q = f for a positive definite K by elimination.
pub(crate) fn solve(mut k: Vec<Vec<f64>>, mut f: Vec<f64>) -> Vec<f64> {
    let n = f.len();
    for a in 0..n {
        for b in a + 1..n {
            let part = k[b][a] / k[a][a];
            for c in a..n {
                k[b][c] -= part * k[a][c];
            }
            f[b] -= part * f[a];
        }
    }
    for a in (0..n).rev() {
        let known: f64 = (a + 1..n).map(|b| k[a][b] * f[b]).sum();
        f[a] = (f[a] - known) / k[a][a];
    }
    f
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parameters::{Arrangement, Parameters};
    use crate::{Door, belt};

    /// One heavy leaf, light return pulley: w = sqrt(EA L/(y (L - y))/m) to 1 %.
    #[test]
    fn a_single_leaf_swings_at_the_root_of_loop_stiffness_over_mass() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let stiffness = belt::stiffness_at_leaf_n_per_m(door.ring().ea_n, door.derived().free_loop_m, 0.8);
        let expected = (stiffness / door.ring().masses_kg[1]).sqrt();
        assert!((first_locked_mode(door.ring(), &[0.5]) / expected - 1.0).abs() < 0.01);
    }

    /// Free drive m_d and leaf m on two springs either way round (return pulley and belt hardly any mass):
    /// w^2 = k (1/m_d + 1/m), k = EA L/(y (L - y)).
    #[test]
    fn a_free_drive_and_a_leaf_swing_against_each_other() {
        let mut p = Parameters::default();
        p.pulleys.return_inertia_kg_m2 = 1e-6;
        p.belt.specific_mass_kg_per_m2 = 0.1;
        let door = Door::try_from(p).unwrap();
        let ring = door.ring();
        let k = belt::stiffness_at_leaf_n_per_m(ring.ea_n, door.derived().free_loop_m, 0.7);
        let expected =
            (k * (1.0 / ring.masses_kg[0] + 1.0 / ring.masses_kg[1])).sqrt() / (2.0 * std::f64::consts::PI);
        let modes = axial_modes_hz(ring, None, &[0.4]);
        assert_eq!(modes.len(), 2);
        assert!((modes[0] / expected - 1.0).abs() < 1e-3, "{modes:?} {expected}");
    }

    /// A rotor behind a spring: as many modes as bodies, without the one in which all run along. A spring that is stiff beside
    /// the belt leaves the others as they are with the rotor on the pulley (limit).
    #[test]
    fn a_rotor_behind_a_spring_is_a_body_more() {
        let whole = Door::try_from(Parameters::default()).unwrap();
        let mut p = Parameters::default();
        p.gear.mesh_stiffness_n_per_m = Some(3e6);
        let parted = Door::try_from(p).unwrap();
        let modes = |mesh| axial_modes_hz(parted.ring(), Some(mesh), &[0.4]);
        let together = axial_modes_hz(whole.ring(), None, &[0.4]);
        assert_eq!((modes(3e6).len(), together.len()), (3, 2));
        for (stiff, together) in modes(1e11).iter().zip(&together) {
            assert!((stiff / together - 1.0).abs() < 1e-4, "{stiff} and {together} Hz");
        }
        // and one that is weak beside it lets the rotor swing alone against all the rest
        let rotor = parted.ring().rotor_kg.unwrap();
        let rest: f64 = parted.ring().masses_kg.iter().sum();
        let alone = (100.0 * (1.0 / rotor + 1.0 / rest)).sqrt() / (2.0 * std::f64::consts::PI);
        assert!((modes(100.0)[0] / alone - 1.0).abs() < 1e-3, "{:?} and {alone} Hz", modes(100.0));
    }

    /// Sum and product of the eigenvalues of a matrix are its trace and determinant; [[2, 1], [1, 2]] has 1 and 3.
    #[test]
    fn rotations_leave_the_eigenvalues_on_the_diagonal() {
        let mut found = eigenvalues(vec![vec![2.0, 1.0, 0.0], vec![1.0, 2.0, 0.0], vec![0.0, 0.0, -5.0]]);
        found.sort_by(f64::total_cmp);
        for (found, expected) in found.iter().zip([-5.0, 1.0, 3.0]) {
            assert!((found - expected).abs() < 1e-12, "{found}");
        }
    }

    /// Two equal leaves either side of a light return pulley, drive locked: in phase, each on the span to the drive
    /// side of it. With spans 0.8, 1.6, 0.8, 1.6 m and m each, K = EA [[1.25 + s, -s], [-s, 0.625 + s]] where the
    /// two spans round the return pulley are in series, s = 1/2.4.
    #[test]
    fn a_pair_swings_at_the_lower_root_of_its_two_by_two() {
        let p = Parameters { arrangement: Arrangement::BiParting, ..Parameters::default() };
        let door = Door::try_from(p).unwrap();
        let (a, s, b): (f64, f64, f64) = (1.0 / 0.8, 1.0 / (1.6 + 0.8), 1.0 / 1.6);
        let (sum, product) = (a + b + 2.0 * s, (a + s) * (b + s) - s * s);
        let least = (sum - (sum * sum - 4.0 * product).sqrt()) / 2.0;
        let expected = (door.ring().ea_n * least / door.ring().masses_kg[1]).sqrt();
        let found = first_locked_mode(door.ring(), &[0.5, 0.5]);
        assert!((found / expected - 1.0).abs() < 0.01, "{found} instead of {expected}");
    }
}
