//! The winding over one step: its own decay is taken exactly, only what the drive's speed does to it is approximated.
//!
//! L di/dt = V - R i - K v, with V held over the step, is di/dt = g(v) - c i, c = R/L and g = (V - K v)/L. Exponential time
//! differencing of fourth order (Cox and Matthews, J. Comput. Phys. 176, 2002, eq. 26 to 29) treats it so; for what does not
//! decay its stages are those of the classic Runge-Kutta method, so that both go together. A step may then be as long as the
//! belt allows, although the winding follows each tick's voltage within a fraction of it.

/// Below this c h the functions are summed as series: the closed forms lose their digits.
const SERIES_BELOW: f64 = 0.5;
/// Terms of the series: the next one is below 1e-17 at [`SERIES_BELOW`].
const TERMS: u32 = 12;

/// Weights of a step of `h` seconds for a current that decays with c.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Decay {
    /// The step, s.
    pub h: f64,
    /// e^(-c h/2), and what g makes of it in that time, s.
    half: [f64; 2],
    /// e^(-c h), and the weights of g at the start, in the middle (each of two stages) and at the end, s.
    whole: [f64; 4],
}

impl Decay {
    /// Weights for a rate of decay c, 1/s, at least 0, and a step h, s.
    pub fn over(rate: f64, h: f64) -> Self {
        let (half, whole) = (phi(-rate * h / 2.0), phi(-rate * h));
        let [left, p1, p2, p3] = whole;
        Self {
            h,
            half: [half[0], half[1] * h / 2.0],
            whole: [left, h * (p1 - 3.0 * p2 + 4.0 * p3), h * (2.0 * p2 - 4.0 * p3), h * (4.0 * p3 - p2)],
        }
    }

    /// Current after half a step from `i`, A, under g, A/s.
    #[inline(always)]
    pub fn half(&self, i: f64, g: f64) -> f64 {
        self.half[0] * i + self.half[1] * g
    }

    /// Current after the step from `i`, A, with g of the four stages, A/s.
    #[inline(always)]
    pub fn whole(&self, i: f64, g: [f64; 4]) -> f64 {
        let [left, first, middle, last] = self.whole;
        left * i + first * g[0] + middle * (g[1] + g[2]) + last * g[3]
    }
}

/// e^z and phi_1 to phi_3, phi_k(z) = (phi_(k-1)(z) - 1/(k-1)!)/z.
fn phi(z: f64) -> [f64; 4] {
    if z.abs() < SERIES_BELOW {
        // phi_3 = sum of z^k/(k + 3)!
        let p3 = (0..TERMS).rev().fold(0.0, |sum, k| (sum * z + 1.0) / f64::from(k + 3)) / 2.0;
        let p2 = z * p3 + 0.5;
        let p1 = z * p2 + 1.0;
        return [z * p1 + 1.0, p1, p2, p3];
    }
    let p1 = z.exp_m1() / z;
    let p2 = (p1 - 1.0) / z;
    [z.exp(), p1, p2, (p2 - 0.5) / z]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both ways of summing agree where they meet (closed form: they are the same functions).
    #[test]
    fn the_series_goes_on_where_the_closed_form_ends() {
        let (series, closed) = (phi(-SERIES_BELOW * (1.0 - 1e-12)), phi(-SERIES_BELOW));
        for k in 0..4 {
            assert!((series[k] / closed[k] - 1.0).abs() < 1e-11, "phi_{k}: {} and {}", series[k], closed[k]);
        }
    }

    /// Without decay the weights are those of the classic Runge-Kutta method (closed form).
    #[test]
    fn what_does_not_decay_is_integrated_as_by_runge_kutta() {
        let step = Decay::over(0.0, 0.3);
        assert!((step.half(2.0, 5.0) - (2.0 + 0.15 * 5.0)).abs() < 1e-15);
        let classic = 2.0 + 0.3 / 6.0 * (1.0 + 2.0 * (2.0 + 3.0) + 4.0);
        assert!((step.whole(2.0, [1.0, 2.0, 3.0, 4.0]) - classic).abs() < 1e-15);
    }

    /// Under a voltage that is held, at a drive that stands, i goes to g/c by e^(-c h), however long the step (closed form).
    #[test]
    fn a_held_voltage_is_answered_exactly() {
        for decayed in [0.01, 0.4, 2.0, 30.0] {
            let (rate, h) = (1600.0, decayed / 1600.0);
            let exact = |t: f64| 7.0 + (2.0 - 7.0) * (-rate * t).exp();
            let step = Decay::over(rate, h);
            let g = 7.0 * rate;
            assert!((step.half(2.0, g) - exact(h / 2.0)).abs() < 1e-11, "{decayed}");
            assert!((step.whole(2.0, [g; 4]) - exact(h)).abs() < 1e-11, "{decayed}");
        }
    }
}
