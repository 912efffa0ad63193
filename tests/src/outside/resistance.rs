//! What resists a leaf: the friction curve at creeping speed, a loaded wheel.

use tautleaf_physics::belt::G;

use super::Standing::{Memory, Published};
use super::Tolerance::{By, Share};
use super::runs::{door, moving_mass_kg, push, roll, slope};
use super::{Check, Source};
use crate::{lossless_door, lossless_leaf};

const LUGRE: Source =
    Source::new(Published, "Canudas de Wit et al. 1995, Table I (reproductions); its steady curve, derived");
const WHEEL: Source =
    Source::new(Memory, "drive-engineering handbook, F = m g (2/D (mu d/2 + f) + c); recomputed");

/// F_C 1 N, F_S 1.5 N, v_s 1 mm/s, 0.4 N s/m: a leaf pushed by a constant force through a strong damper creeps at the
/// speed at which both and its friction balance. The friction is what the damper leaves.
pub fn steady_curve() -> Vec<Check> {
    [(1e-3, 1.18434), (1e-4, 1.49506)]
        .into_iter()
        .map(|(speed, expected)| {
            let damping = 5000.0;
            let mut p = lossless_leaf();
            p.leaf.mass_kg = 100.0;
            p.rollers.resistance = 1.0 / (100.0 * G);
            p.rollers.breakaway = 1.5;
            p.rollers.fade_speed_m_per_s = 1e-3;
            p.rollers.viscous_n_s_per_m = 0.4;
            let force = expected + damping * speed;
            let mut hand = push(force);
            hand.damping_n_s_per_m = damping;
            p.forces.push(hand);
            let run = roll(&door(p), 0.2, speed, 3.0);
            let end = run.samples.last().map_or(f64::NAN, |sample| sample.leaf_speed_m_per_s[0]);
            let fact = format!("steady friction at {} mm/s", 1e3 * speed);
            LUGRE.check(
                fact,
                "N",
                (expected, force - damping * end),
                By(2e-5),
                "rounding of the printed constants",
            )
        })
        .collect()
}

/// 3000 kg on wheels of 250 mm with journals of 60 mm: f 0.5 mm, mu 0.005, flange 0.003. The leaf is pushed off and its
/// slowing weighed.
pub fn wheel() -> Vec<Check> {
    let mut p = lossless_door();
    p.leaf.mass_kg = 3000.0;
    p.leaf.stroke_m = 3.0;
    p.rollers.resistance = 2.0 / 250.0 * (0.005 * 60.0 / 2.0 + 0.5) + 0.003;
    let door = door(p);
    let run = roll(&door, 0.2, 0.5, 4.0);
    let speeds: Vec<(f64, f64)> =
        run.samples.iter().map(|sample| (sample.t_s, sample.leaf_speed_m_per_s[0])).collect();
    let force = -slope(&speeds) * moving_mass_kg(&door);
    vec![WHEEL.check(
        "resistance of 3000 kg",
        "N",
        (241.0, force),
        Share(0.003),
        "printed without decimals; the pulleys swing on the belt",
    )]
}
