//! The ring as a linear system, with a feedback that only the test has.

use nalgebra::{DMatrix, DVector};
use tautleaf_physics::Ring;

use super::Standing::{Memory, Published};
use super::Tolerance::{By, Share};
use super::runs::door;
use super::{Check, Source};
use crate::lossless_door;

const POLYNOMIAL: Source = Source::new(
    Published,
    "Dorf & Bishop, Modern Control Systems, ex. 3.8: s^3 + 25 s^2 + 14.5 k s + 1000 k (0.25 + 0.15 k2)",
);
const ROOTS: Source =
    Source::new(Memory, "the same example at k = 20 N/m, k1 = 1, k2 = 0.1; roots recomputed");

/// m 0.2 kg, r 0.15 m, J 0.01, b 0.25, K_m 2, R 2, k 20 N/m a span; no back-EMF, no inductance; voltage -k1 k2 times the
/// leaf's speed. Masses and stiffnesses a thousandfold, which leaves the polynomial as it is.
pub fn printer_drive() -> Vec<Check> {
    const TIMES: f64 = 1000.0;
    let (m, r, j, b, k_m, resistance, k, k1, k2) = (0.2, 0.15, 0.01, 0.25, 2.0, 2.0, 20.0, 1.0, 0.1);
    // Two equal spans: the leaf beside the return pulley, which is taken as without mass. EA = k times half the loop.
    let (centre, beside) = (2.0, 0.02);
    let mut p = lossless_door();
    p.leaf.mass_kg = m * TIMES;
    p.leaf.stroke_m = 0.05;
    p.belt.centre_distance_m = Some(centre);
    p.belt.clamp_m = centre - 0.05 - beside;
    p.belt.width_m = 0.001;
    p.belt.specific_mass_kg_per_m2 = 1e-6;
    p.belt.specific_stiffness_n_per_m = k * TIMES * centre / p.belt.width_m;
    p.pulleys.drive_inertia_kg_m2 = 0.0;
    p.pulleys.return_inertia_kg_m2 = 1e-3; // left out below
    p.gear.ratio = 1.0;
    let radius = tautleaf_physics::belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
    p.motor.rotor_inertia_kg_m2 = j * TIMES * (radius / r).powi(2);
    let door = door(p);

    let ring = door.ring();
    let mut stiffness = stiffness(ring, &[0.05]);
    condense(&mut stiffness, ring.return_body);
    // bodies left: 0 drive, 1 leaf
    let masses = [ring.masses_kg[0], ring.masses_kg[1]];
    let (damping, feedback) = (b * TIMES / (r * r), k_m * k1 * k2 / resistance * TIMES / r);
    let mut a = DMatrix::<f64>::zeros(4, 4);
    for row in 0..2 {
        a[(row, 2 + row)] = 1.0;
        for column in 0..2 {
            a[(2 + row, column)] = -stiffness[(row, column)] / masses[row];
        }
    }
    a[(2, 2)] = -damping / masses[0];
    a[(2, 3)] = -feedback / masses[0];

    // s times the cubic: the loop may turn freely
    let polynomial = characteristic(&a);
    let why = "k of the two spans together: the leaf is 20 mm beside the pulley";
    let mut checks = vec![
        POLYNOMIAL.check("coefficient of s^2", "1/s", (25.0, polynomial[1]), Share(1e-3), why),
        POLYNOMIAL.check("coefficient of s", "1/s2", (14.5 * k, polynomial[2]), Share(1e-3), why),
        POLYNOMIAL.check(
            "constant",
            "1/s3",
            (1000.0 * k * (0.25 + 0.15 * k2), polynomial[3]),
            Share(1e-3),
            why,
        ),
    ];
    let roots = a.complex_eigenvalues();
    let real = roots.iter().map(|root| root.re).fold(f64::INFINITY, f64::min);
    let swing = roots.iter().max_by(|a, b| a.im.total_cmp(&b.im)).expect("four roots");
    checks.push(ROOTS.check("real root", "1/s", (-22.56, real), By(0.01), "rounding"));
    checks.push(ROOTS.check("pair of roots, real part", "1/s", (-1.22, swing.re), By(0.01), "rounding"));
    checks.push(ROOTS.check("pair of roots, imaginary part", "1/s", (15.28, swing.im), By(0.01), "rounding"));
    checks
}

/// K = A^T diag(EA/l) A with the leaves at these places, from the ring's own rows.
pub fn stiffness(ring: &Ring, positions_m: &[f64]) -> DMatrix<f64> {
    let n = ring.masses_kg.len();
    let mut k = DMatrix::<f64>::zeros(n, n);
    for span in &ring.spans {
        let row = DVector::from_vec(span.row.clone());
        k += &row * row.transpose() * (ring.ea_n / span.length_m(positions_m));
    }
    k
}

/// Eliminates a body without mass.
fn condense(k: &mut DMatrix<f64>, body: usize) {
    let column = k.column(body).clone_owned();
    let reduced = &*k - &column * column.transpose() / k[(body, body)];
    *k = reduced.remove_row(body).remove_column(body);
}

/// Coefficients of det(s I - A), highest power first (Faddeev-LeVerrier).
fn characteristic(a: &DMatrix<f64>) -> Vec<f64> {
    let n = a.nrows();
    let (mut coefficients, mut m) = (vec![1.0], DMatrix::<f64>::identity(n, n));
    for order in 1..=n {
        let product = a * &m;
        let c = -product.trace() / order as f64;
        coefficients.push(c);
        m = product + DMatrix::<f64>::identity(n, n) * c;
    }
    coefficients
}
