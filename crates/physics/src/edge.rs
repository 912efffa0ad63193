//! The edge of a leaf: a spring that is pressed flat after its travel, with a damper.
//!
//! n edges touch at the same time; z is what they are pressed together in all, F the force between edge and obstacle, k_t the
//! stiffness of the obstacle and d how far both are pressed together.
//!
//! ```text
//! E(z) = k_1 z for z <= n s,  k_1 n s + k_2 (z - n s) beyond      (c dz/dt + E(z))/n = F = max(0, k_t (d - z))     (12)
//! k_1(T) = k_1 max(1, exp(-b (T - 20 C)))                                                                        (12a)
//! ```

use crate::parameters::{ClosingEdge, RearEdge};

/// Temperature at which the stiffness of an edge is given, C.
const GIVEN_AT_C: f64 = 20.0;
/// Above this rate, 1/s, the edge's compression counts as settled.
const SETTLED_RATE: f64 = 50e3;

/// The edges that touch at the same time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Edge {
    /// How many, n.
    pub count: f64,
    /// Stiffness of one while it gives, k_1, N/m.
    pub stiffness: f64,
    /// Travel of one until it is flat, s, m; infinite: it is never.
    pub travel: f64,
    /// Stiffness of one that is pressed flat, k_2, N/m.
    pub hard_stiffness: f64,
    /// Damping of one, c, N s/m.
    pub damping: f64,
}

impl Edge {
    /// The closing edges of so many leaves, at this temperature, C.
    pub fn closing(edge: &ClosingEdge, count: f64, ambient_c: f64) -> Self {
        Self {
            count,
            stiffness: edge.stiffness_n_per_m * cold_factor(edge.cold_factor_per_k, ambient_c),
            travel: edge.travel_m.unwrap_or(ClosingEdge::USUAL_TRAVEL_M),
            hard_stiffness: edge.hard_stiffness_n_per_m,
            damping: edge.damping_n_s_per_m,
        }
    }

    /// The rear edge of one leaf.
    pub fn rear(edge: &RearEdge) -> Self {
        Self {
            count: 1.0,
            stiffness: edge.stiffness_n_per_m,
            travel: f64::INFINITY,
            hard_stiffness: edge.stiffness_n_per_m,
            damping: edge.damping_n_s_per_m,
        }
    }

    /// Compression of all of them at which they are pressed flat, n s, m.
    pub fn knee(&self) -> f64 {
        self.count * self.travel
    }

    /// Rate at which the compression follows, 1/s; `None`: at once.
    pub fn rate(&self, obstacle_k: f64) -> Option<f64> {
        let rate = |k: f64| (self.count * obstacle_k + k) / self.damping;
        let slower = rate(self.stiffness.min(self.hard_stiffness));
        (self.damping > 0.0 && slower < SETTLED_RATE).then(|| rate(self.stiffness.max(self.hard_stiffness)))
    }

    /// E(z), N.
    pub fn spring(&self, z: f64) -> f64 {
        let soft = z.min(self.knee());
        self.stiffness * soft + self.hard_stiffness * (z - soft)
    }

    /// Energy in all of them, the integral of E/n, J.
    pub fn energy(&self, z: f64) -> f64 {
        let soft = z.min(self.knee());
        let hard = z - soft;
        (0.5 * self.stiffness * soft * soft
            + hard * (self.stiffness * soft + 0.5 * self.hard_stiffness * hard))
            / self.count
    }

    /// Compression at which edges and obstacle hold each other while both are pressed together by `d`, m.
    pub fn settled(&self, d: f64, obstacle_k: f64) -> f64 {
        let (d, pushed) = (d.max(0.0), self.count * obstacle_k);
        let soft = pushed * d / (pushed + self.stiffness);
        if soft <= self.knee() {
            return soft;
        }
        (pushed * d + (self.hard_stiffness - self.stiffness) * self.knee()) / (pushed + self.hard_stiffness)
    }

    /// Stiffness of the n edges and the obstacle in a row, those of one edge being `k`, N/m.
    fn in_a_row(&self, k: f64, obstacle_k: f64) -> f64 {
        1.0 / (self.count / k + 1.0 / obstacle_k)
    }

    /// Greatest speed of rigid leaves of `mass_kg` each at which an undamped edge is not pressed flat while each is pushed by
    /// `pushed_n`, m/s; `None`: an edge without end.
    ///
    /// ```text
    /// v_b = sqrt(max(0, F_1^2 - 2 F_0 F_1)/(n k_a m))     F_1 = k_1 s     1/k_a = n/k_1 + 1/k_t                       (52)
    /// ```
    pub fn flat_speed_m_per_s(&self, mass_kg: f64, pushed_n: f64, obstacle_k: f64) -> Option<f64> {
        let flat_n = self.stiffness * self.travel;
        let room = (flat_n * flat_n - 2.0 * pushed_n * flat_n).max(0.0);
        let k = self.in_a_row(self.stiffness, obstacle_k);
        flat_n.is_finite().then(|| (room / (self.count * k * mass_kg)).sqrt())
    }
}

/// How many times as stiff an edge is at this temperature as at 20 C, at least once; `b` in 1/K, eq. (12a).
fn cold_factor(b: f64, celsius: f64) -> f64 {
    (-b * (celsius - GIVEN_AT_C)).exp().max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TESTER: f64 = 500e3;

    fn edge(travel: f64) -> Edge {
        Edge { count: 2.0, stiffness: 20e3, travel, hard_stiffness: 300e3, damping: 0.0 }
    }

    /// (c dz/dt + E)/n = F at rest: E(z)/n = k_t (d - z) on both sides of the knee.
    #[test]
    fn a_settled_edge_holds_the_obstacle() {
        for d in [0.0, 0.01, 0.0204, 0.03, 0.1] {
            let edge = edge(0.01);
            let z = edge.settled(d, TESTER);
            assert!((edge.spring(z) / edge.count - TESTER * (d - z)).abs() < 1e-9, "{d}");
        }
    }

    /// The energy is the integral of the force, by the trapezoid rule on a force that is straight between the points.
    #[test]
    fn what_an_edge_holds_is_the_integral_of_its_force() {
        let edge = edge(0.01);
        let points = [0.0, 0.01, 0.02, 0.05];
        let area = |pair: &[f64]| {
            0.5 * (pair[1] - pair[0]) * (edge.spring(pair[0]) + edge.spring(pair[1])) / edge.count
        };
        let sum: f64 = points.windows(2).map(area).sum();
        assert!((edge.energy(0.05) - sum).abs() < 1e-12);
    }

    /// exp(0.01 x 30) = 1.3499 at -10 C; rubber is no softer when it is warm.
    #[test]
    fn rubber_stiffens_in_the_cold() {
        assert!((cold_factor(0.01, -10.0) - 1.349_859).abs() < 1e-6);
        assert_eq!(cold_factor(0.01, 35.0), 1.0);
    }

    /// 115 kg on 20 N/mm with 10 mm of travel before a tester of 500 N/mm, pushed by 40 N: F_1 = 200 N, k_a = 19.23 N/mm,
    /// sqrt((200^2 - 2 x 40 x 200)/(19231 x 115)) = 0.104 m/s.
    #[test]
    fn a_leaf_presses_its_edge_flat_above_a_speed() {
        let one = Edge { count: 1.0, ..edge(0.01) };
        let v = one.flat_speed_m_per_s(115.0, 40.0, TESTER).expect("it ends");
        assert!((v - 0.104_2).abs() < 1e-4, "{v}");
        assert_eq!(edge(f64::INFINITY).flat_speed_m_per_s(115.0, 40.0, TESTER), None);
    }
}
