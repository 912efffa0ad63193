//! Least squares, and a filter that shifts nothing.

use std::f64::consts::PI;

use nalgebra::{DMatrix, DVector};

/// Solves A x = b in the sense of least squares.
pub fn least_squares(rows: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let columns = rows.first().map_or(0, Vec::len);
    let a = DMatrix::from_fn(rows.len(), columns, |row, column| rows[row][column]);
    let b = DVector::from_row_slice(right);
    // by QR: the columns differ by orders of magnitude
    let qr = a.qr();
    let projected = qr.q().transpose() * b;
    qr.r().solve_upper_triangular(&projected).map_or_else(Vec::new, |x| x.iter().copied().collect())
}

/// Minimises the sum of squares of `residuals`, by Levenberg and Marquardt, from a first guess.
pub fn minimise(first: &[f64], residuals: impl Fn(&[f64]) -> Vec<f64>) -> Vec<f64> {
    let square = |r: &[f64]| r.iter().map(|x| x * x).sum::<f64>();
    let mut x = first.to_vec();
    let mut r = residuals(&x);
    let mut damping = 1e-3;
    for _ in 0..200 {
        let mut jacobian = DMatrix::<f64>::zeros(r.len(), x.len());
        for n in 0..x.len() {
            let step = 1e-6 * x[n].abs().max(1e-3);
            let mut moved = x.clone();
            moved[n] += step;
            for (row, (to, from)) in residuals(&moved).iter().zip(&r).enumerate() {
                jacobian[(row, n)] = (to - from) / step;
            }
        }
        let gradient = jacobian.transpose() * DVector::from_row_slice(&r);
        let mut normal = jacobian.transpose() * &jacobian;
        for n in 0..x.len() {
            normal[(n, n)] *= 1.0 + damping;
        }
        let Some(step) = normal.lu().solve(&gradient) else { break };
        let next: Vec<f64> = x.iter().zip(step.iter()).map(|(x, step)| x - step).collect();
        let there = residuals(&next);
        if square(&there) < square(&r) {
            let gained = 1.0 - square(&there) / square(&r);
            (x, r, damping) = (next, there, damping / 10.0);
            if gained < 1e-12 {
                break;
            }
        } else if damping > 1e12 {
            break;
        } else {
            damping *= 10.0;
        }
    }
    x
}

/// Fourth-order Butterworth low-pass, run forwards and backwards: no shift in time. The first and last few time
/// constants are not to be trusted.
pub fn butterworth_both_ways(signal: &[f64], cut_off_hz: f64, sample_hz: f64) -> Vec<f64> {
    let mut filtered = signal.to_vec();
    for _ in 0..2 {
        for pole in [1.0, 3.0] {
            // pairs of poles at angles of pi/8 and 3 pi/8 from the imaginary axis: 1/Q = 2 sin
            second_order(&mut filtered, cut_off_hz / sample_hz, 2.0 * f64::sin(pole * PI / 8.0));
        }
        filtered.reverse();
    }
    filtered
}

/// One second-order low-pass by the bilinear transform; starts settled at the first value.
fn second_order(signal: &mut [f64], cut_off: f64, inverse_q: f64) {
    let w = (PI * cut_off).tan();
    let norm = 1.0 / (1.0 + inverse_q * w + w * w);
    let (b, a1, a2) = (w * w * norm, 2.0 * (w * w - 1.0) * norm, (1.0 - inverse_q * w + w * w) * norm);
    let first = signal.first().copied().unwrap_or(0.0);
    let (mut x1, mut x2, mut y1, mut y2) = (first, first, first, first);
    for value in signal {
        let x = *value;
        let y = b * (x + 2.0 * x1 + x2) - a1 * y1 - a2 * y2;
        (x2, x1, y2, y1) = (x1, x, y1, y);
        *value = y;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// |H|^2 = 1/(1 + (tan(pi f/fs)/tan(pi fc/fs))^8), once each way (Butterworth of order 4, bilinear).
    #[test]
    fn the_filter_has_butterworths_gain_and_no_delay() {
        let sine = |f: f64, n: usize| (2.0 * PI * f * n as f64 / 1000.0).sin();
        for f in [20.0, 100.0, 150.0] {
            let signal: Vec<f64> = (0..4000).map(|n| sine(f, n)).collect();
            let filtered = butterworth_both_ways(&signal, 100.0, 1000.0);
            let gain = 1.0 / (1.0 + ((PI * f / 1000.0).tan() / (PI * 0.1).tan()).powi(8));
            for n in 1000..3000 {
                assert!((filtered[n] - gain * signal[n]).abs() < 1e-6, "{f} Hz at {n}");
            }
        }
    }

    /// A straight line through three points off it: slope 1.5, intercept 1/3 (by hand).
    #[test]
    fn least_squares_finds_the_line() {
        let rows: Vec<Vec<f64>> = [0.0, 1.0, 2.0].iter().map(|&x| vec![x, 1.0]).collect();
        let found = least_squares(&rows, &[0.0, 2.5, 3.0]);
        assert!((found[0] - 1.5).abs() < 1e-12 && (found[1] - 1.0 / 3.0).abs() < 1e-12, "{found:?}");
    }

    /// exp(-2 t) + 3 from its own values.
    #[test]
    fn minimising_finds_an_exponential() {
        let data: Vec<(f64, f64)> =
            (0..20).map(|n| f64::from(n) / 10.0).map(|t| (t, (-2.0 * t).exp() + 3.0)).collect();
        let found =
            minimise(&[1.0, 1.0], |x| data.iter().map(|(t, y)| (-x[0] * t).exp() + x[1] - y).collect());
        assert!((found[0] - 2.0).abs() < 1e-6 && (found[1] - 3.0).abs() < 1e-6, "{found:?}");
    }
}
