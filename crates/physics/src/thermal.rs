//! How warm the motor gets: two nodes, winding and housing, in the steady periodic state of the duty.
//!
//! ```text
//! C_w dT_w/dt = i^2 R(T_w) - G_wh (T_w - T_h)        C_h dT_h/dt = G_wh (T_w - T_h) - G_ha (T_h - T_a)
//! ```
//!
//! (DEVELOPERS.md, eq. 17, 18.) R grows in proportion to T_w, so the equations stay linear, and a period takes the
//! temperatures at its beginning to those at its end by x -> E x + k. The steady state is the one that comes back
//! to itself, x = (I - E)^-1 k: it is found directly, not by stepping hours.
//!
//! The conductances follow from the rated point: at the rated current, in an ambient of 40 C, the winding is
//! warmer by the rated rise, of which a given share lies between winding and housing.

use crate::moment::Moment;
use crate::motor::COPPER_PER_K;
use crate::parameters::Parameters;
use crate::run::Sample;

/// Ambient to which a rated rise refers, C (IEC 60034-1).
pub(crate) const RATED_AMBIENT_C: f64 = 40.0;
/// Stands for a winding that finds no steady state, or one above this, C: it burns.
pub(crate) const RUNAWAY_C: f64 = 1000.0;
/// Losses are averaged over this time, s: a hundredth of the shortest time constant that is usual.
pub(crate) const BLOCK_S: f64 = 0.05;

/// A stretch of time with a constant loss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Block {
    pub for_s: f64,
    /// Mean square of the current, A2.
    pub square_a2: f64,
    /// Where the run is at its end.
    pub end: Option<Moment>,
}

/// The steady periodic state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Steady {
    /// Greatest winding temperature in the period, C.
    pub winding_c: f64,
    /// When it is so; `None`: while the door stands between two cycles.
    pub at: Option<Moment>,
    /// The same less 40 C, in an ambient of 40 C, K.
    pub rise_at_40_k: f64,
    /// Mean housing temperature, C.
    pub housing_c: f64,
}

/// Heat capacities, J/K, and conductances, W/K.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Network {
    r25: f64,
    winding: f64,
    housing: f64,
    inner: f64,
    outer: f64,
}

/// x -> E x + k for the temperatures of winding and housing above ambient.
#[derive(Clone, Copy, Debug)]
struct Map {
    e: [[f64; 2]; 2],
    k: [f64; 2],
}

impl Map {
    const NOTHING: Self = Self { e: [[1.0, 0.0], [0.0, 1.0]], k: [0.0; 2] };

    fn of(&self, x: [f64; 2]) -> [f64; 2] {
        std::array::from_fn(|row| self.e[row][0] * x[0] + self.e[row][1] * x[1] + self.k[row])
    }

    /// First this one, then the next.
    fn then(&self, next: &Self) -> Self {
        let column = |n: usize| [self.e[0][n], self.e[1][n]];
        let turned = |x: [f64; 2]| -> [f64; 2] {
            std::array::from_fn(|row| next.e[row][0] * x[0] + next.e[row][1] * x[1])
        };
        let (a, b) = (turned(column(0)), turned(column(1)));
        Self { e: [[a[0], b[0]], [a[1], b[1]]], k: next.of(self.k) }
    }

    /// What comes back to itself; `None` where every period leaves it further away.
    fn fixed_point(&self) -> Option<[f64; 2]> {
        let [[a, b], [c, d]] = self.e;
        let (trace, product) = (a + d, a * d - b * c);
        let stable = product < 1.0 && trace < 1.0 + product; // entries are not negative
        let det = (1.0 - a) * (1.0 - d) - b * c;
        let [p, q] = self.k;
        let x = [((1.0 - d) * p + b * q) / det, (c * p + (1.0 - a) * q) / det];
        (stable && x.iter().all(|x| x.is_finite())).then_some(x)
    }
}

impl Network {
    pub fn of(p: &Parameters) -> Self {
        let m = &p.motor;
        let at_rating = m.resistance_ohm * (1.0 + COPPER_PER_K * (RATED_AMBIENT_C + m.rated_rise_k - 25.0));
        let loss = m.rated_current_a * m.rated_current_a * at_rating;
        let inner = loss / (m.inner_rise_share * m.rated_rise_k);
        let outer = loss / ((1.0 - m.inner_rise_share) * m.rated_rise_k);
        Self {
            r25: m.resistance_ohm,
            winding: m.winding_time_s * inner,
            housing: m.housing_time_s * outer,
            inner,
            outer,
        }
    }

    /// Matrix M of the rates of both temperatures above ambient, 1/s.
    fn rates(&self, block: &Block) -> [[f64; 2]; 2] {
        let heating = block.square_a2 * self.r25 * COPPER_PER_K;
        [
            [(heating - self.inner) / self.winding, self.inner / self.winding],
            [self.inner / self.housing, -(self.inner + self.outer) / self.housing],
        ]
    }

    /// Rate of the winding at ambient temperature, K/s.
    fn forcing(&self, block: &Block, factor: f64) -> f64 {
        block.square_a2 * self.r25 * factor / self.winding
    }

    /// Integral of the housing's temperature above ambient over a block, K s: M times it is what both have gained
    /// beyond the forcing.
    fn housing_integral(&self, block: &Block, factor: f64, from: [f64; 2], to: [f64; 2]) -> f64 {
        let [[a, b], [c, d]] = self.rates(block);
        let gained = to[0] - from[0] - self.forcing(block, factor) * block.for_s;
        (a * (to[1] - from[1]) - c * gained) / (a * d - b * c)
    }

    /// The map of a block at an ambient at which the winding has R_25 `factor`.
    ///
    /// With M the matrix of the rates, exp(M t) = e^(s t) (cosh(r t) + sinh(r t)/r (M - s)), s half its trace and
    /// r^2 = ((a - d)/2)^2 + b c, which is positive.
    fn map(&self, block: &Block, factor: f64) -> Map {
        let [[a, b], [c, d]] = self.rates(block);
        let (s, half) = ((a + d) / 2.0, (a - d) / 2.0);
        let r = (half * half + b * c).sqrt();
        let (fast, slow) = (((s - r) * block.for_s).exp(), ((s + r) * block.for_s).exp());
        let (cosh, sinh) = ((slow + fast) / 2.0, (slow - fast) / (2.0 * r));
        let e = [[cosh + half * sinh, b * sinh], [c * sinh, cosh - half * sinh]];
        // equilibrium at this loss: M x = -f
        let forcing = self.forcing(block, factor);
        let det = a * d - b * c;
        let rest = [-d * forcing / det, c * forcing / det];
        let k = std::array::from_fn(|row| rest[row] - e[row][0] * rest[0] - e[row][1] * rest[1]);
        Map { e, k }
    }

    /// Temperature of the winding at the start of a period and at the end of each block, C.
    pub fn course(&self, blocks: &[Block], ambient_c: f64) -> Option<Vec<f64>> {
        let factor = 1.0 + COPPER_PER_K * (ambient_c - 25.0);
        let maps: Vec<Map> = blocks.iter().map(|block| self.map(block, factor)).collect();
        let mut x = maps.iter().fold(Map::NOTHING, |all, map| all.then(map)).fixed_point()?;
        let mut course = vec![ambient_c + x[0]];
        for map in &maps {
            x = map.of(x);
            course.push(ambient_c + x[0]);
        }
        Some(course)
    }

    fn steady(&self, blocks: &[Block], ambient_c: f64) -> Steady {
        let factor = |ambient: f64| 1.0 + COPPER_PER_K * (ambient - 25.0);
        let maps: Vec<Map> = blocks.iter().map(|block| self.map(block, factor(ambient_c))).collect();
        let period = maps.iter().fold(Map::NOTHING, |all, map| all.then(map));
        let burnt = Steady {
            winding_c: RUNAWAY_C,
            at: None,
            rise_at_40_k: RUNAWAY_C - RATED_AMBIENT_C,
            housing_c: RUNAWAY_C,
        };
        let Some(start) = period.fixed_point() else { return burnt };
        let (mut x, mut greatest, mut at) = (start, start[0], None);
        let (mut housing, mut time) = (0.0, 0.0);
        for (block, map) in blocks.iter().zip(&maps) {
            let next = map.of(x);
            housing += self.housing_integral(block, factor(ambient_c), x, next);
            time += block.for_s;
            x = next;
            if x[0] > greatest {
                (greatest, at) = (x[0], block.end);
            }
        }
        if ambient_c + greatest > RUNAWAY_C {
            return burnt;
        }
        Steady {
            winding_c: ambient_c + greatest,
            at,
            // every temperature above ambient is in proportion to the resistance at ambient
            rise_at_40_k: greatest * factor(RATED_AMBIENT_C) / factor(ambient_c),
            housing_c: ambient_c + housing / time,
        }
    }
}

/// The losses of one period: the samples of a run, then standing for what is left of it.
///
/// `square_a2_s` is the integral of the squared current over the samples, as the run integrated it.
pub(crate) fn period(
    samples: &[Sample],
    tick_s: f64,
    square_a2_s: f64,
    standing_a: f64,
    period_s: f64,
) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::with_capacity(256);
    let (mut for_s, mut sum, mut total) = (0.0, 0.0, 0.0);
    for pair in samples.windows(2) {
        let (from, to) = (&pair[0], &pair[1]);
        let dt = to.t_s - from.t_s;
        let (a, b) = (from.current_a, to.current_a);
        for_s += dt;
        sum += dt * (a * a + b * b) / 2.0;
        if for_s >= BLOCK_S - tick_s / 2.0 {
            let end = Some(Moment { t_s: to.t_s, clear_opening_m: to.clear_opening_m });
            blocks.push(Block { for_s, square_a2: sum / for_s, end });
            total += sum;
            (for_s, sum) = (0.0, 0.0);
        }
    }
    let scale = if total > 0.0 { square_a2_s / (total + sum) } else { 1.0 };
    for block in &mut blocks {
        block.square_a2 *= scale;
    }
    let run: f64 = blocks.iter().map(|block| block.for_s).sum();
    let mut left = period_s - run;
    if left >= 0.0 {
        blocks.push(Block { for_s: left, square_a2: standing_a * standing_a, end: None });
    }
    // a run may go on for longer than the period: what is cut off is standing
    while left < 0.0 {
        let Some(last) = blocks.last_mut() else { break };
        if last.for_s > -left {
            last.for_s += left;
            break;
        }
        left += last.for_s;
        blocks.pop();
    }
    blocks
}

/// Steady periodic temperatures under these losses, at the ambient of the duty.
pub(crate) fn steady(p: &Parameters, blocks: &[Block]) -> Steady {
    Network::of(p).steady(blocks, p.duty.ambient_c)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(for_s: f64, current_a: f64) -> Block {
        Block { for_s, square_a2: current_a * current_a, end: None }
    }

    /// The course ends where it began, one period later, and its greatest value is the one that the figure gives.
    #[test]
    fn the_course_of_a_winding_comes_back_to_its_start() {
        let p = Parameters::default();
        let blocks = [block(5.0, 6.0), block(10.0, 3.0), block(60.0, 0.5)];
        let course = Network::of(&p).course(&blocks, 20.0).unwrap();
        let steady = Network::of(&p).steady(&blocks, 20.0);
        assert!((course[0] - course[3]).abs() < 1e-9, "{course:?}");
        assert!((course.iter().copied().fold(0.0, f64::max) - steady.winding_c).abs() < 1e-9);
    }

    /// What the rated point means: at the rated current, without a break, 80 K above 40 C; the housing by its share.
    #[test]
    fn at_its_rated_current_a_motor_warms_by_its_rated_rise() {
        let mut p = Parameters::default();
        p.duty.ambient_c = 40.0;
        let steady = steady(&p, &[block(100.0, p.motor.rated_current_a)]);
        assert!((steady.winding_c - 120.0).abs() < 1e-9, "{steady:?}");
        assert!((steady.rise_at_40_k - 80.0).abs() < 1e-9);
        let housing = 40.0 + 80.0 * (1.0 - p.motor.inner_rise_share);
        assert!((steady.housing_c - housing).abs() < 1e-9, "{steady:?}");
        p.duty.ambient_c = 0.0;
        assert!(
            (super::steady(&p, &[block(100.0, p.motor.rated_current_a)]).rise_at_40_k - 80.0).abs() < 1e-9
        );
    }

    /// One node, the housing held at ambient by a share of nearly all: with q = i^2 R_25 and G the conductance,
    /// on for t1 it moves to x1 = q f/(G - q c) with time constant C/(G - q c), off for t2 back with C/G. The
    /// periodic greatest value is x1 (1 - e1)/(1 - e1 e2) (derived).
    #[test]
    fn one_node_on_and_off_reaches_the_closed_form() {
        let mut p = Parameters::default();
        p.duty.ambient_c = 25.0;
        p.motor.inner_rise_share = 1.0 - 1e-9;
        p.motor.housing_time_s = 1.0;
        let current: f64 = 7.0;
        let network = Network::of(&p);
        let heat = current * current * p.motor.resistance_ohm;
        let held = network.inner - heat * COPPER_PER_K;
        let (on, off) =
            ((-20.0 * held / network.winding).exp(), (-40.0 * network.inner / network.winding).exp());
        let expected = 25.0 + heat / held * (1.0 - on) / (1.0 - on * off);
        let found = steady(&p, &[block(20.0, current), block(40.0, 0.0)]).winding_c;
        assert!((found - expected).abs() < 1e-5, "{found} instead of {expected}");
    }

    /// Stepping a day of periods ends where the fixed point is.
    #[test]
    fn a_day_of_cycles_ends_at_the_fixed_point() {
        let p = Parameters::default();
        let blocks = [block(3.0, 6.0), block(2.0, 0.5), block(4.0, 5.0), block(51.0, 1.2)];
        let network = Network::of(&p);
        let steady = network.steady(&blocks, 20.0);
        let factor = 1.0 + COPPER_PER_K * (20.0 - 25.0);
        let (mut x, mut greatest) = ([0.0; 2], 0.0_f64);
        for _ in 0..1440 {
            greatest = 0.0;
            for block in &blocks {
                x = network.map(block, factor).of(x);
                greatest = greatest.max(x[0]);
            }
        }
        assert!((steady.winding_c - 20.0 - greatest).abs() < 1e-6, "{steady:?}, stepped to {greatest}");
    }

    /// One block of an hour is the same as 3600 of a second.
    #[test]
    fn cutting_a_block_changes_nothing() {
        let p = Parameters::default();
        let whole = steady(&p, &[block(30.0, 6.0), block(3600.0, 0.3)]);
        let mut cut = vec![block(1.0, 6.0); 30];
        cut.extend(vec![block(1.0, 0.3); 3600]);
        let cut = steady(&p, &cut);
        assert!((whole.winding_c - cut.winding_c).abs() < 1e-6, "{whole:?} {cut:?}");
        assert!((whole.housing_c - cut.housing_c).abs() < 1e-6, "{whole:?} {cut:?}");
    }

    /// Copper that heats itself faster than it can cool has no steady state.
    #[test]
    fn a_winding_that_heats_itself_faster_than_it_cools_runs_away() {
        let p = Parameters::default();
        assert_eq!(steady(&p, &[block(60.0, 10.0 * p.motor.rated_current_a)]).winding_c, RUNAWAY_C);
    }
}
