//! What the hangers carry while a leaf is accelerated, and the pressure of air.

use tautleaf_physics::{CycleOptions, Plan, State, cycle, weather};

use super::Standing::{Derived, Published};
use super::Tolerance::{By, Share};
use super::runs::door;
use super::{Check, Source};
use crate::lossless_leaf;

const MOMENTS: Source =
    Source::new(Derived, "moments about the rail: 100 kg, s_h 0.8, z_g 1.1, z_c 0.05 m, 1 m/s2, so F 100 N");
const STACK: Source = Source::new(Published, "stack effect, 0.0342 a h (1/T_o - 1/T_i); value derived");
const WIND: Source =
    Source::new(Derived, "62.5 Pa on 1.1 x 2.2 m at half height about the rail, guide at 2.25 m");

/// The leaf on its way up to speed at 1 m/s2, with no resistance: means over half a second.
pub fn loads_and_air() -> Vec<Check> {
    let mut p = lossless_leaf();
    p.leaf.mass_kg = 100.0;
    p.leaf.stroke_m = 3.0;
    p.leaf.hanger_spacing_m = Some(0.8);
    p.leaf.gravity_depth_m = Some(1.1);
    p.leaf.belt_height_m = 0.05;
    p.belt.damping_time_s = 0.01;
    p.supply.voltage_v = 200.0;
    p.controller.counts_per_turn = 100_000.0;
    p.opening.acceleration_m_per_s2 = 1.0;
    p.opening.speed_m_per_s = 1.4;
    p.opening.current_limit_a = 50.0;
    // the drive has next to no mass, so the gain that goes by it would be too weak
    p.controller.proportional_gain_a_s_per_m = Some(60.0);
    let run = cycle(&door(p), &CycleOptions { plan: Plan::Open, ..CycleOptions::default() });
    let ramp = run
        .samples
        .iter()
        .filter(|sample| sample.state == State::Opening && (0.7..1.2).contains(&sample.t_s));
    let (mut shift, mut sum, mut count) = (0.0, 0.0, 0.0);
    for sample in ramp {
        let [leading, trailing] = sample.hanger_load_n[0];
        shift += (trailing - leading) / 2.0;
        sum += (trailing + leading) / 2.0;
        count += 1.0;
    }
    let mut windy = lossless_leaf();
    windy.weather.wind_m_per_s = 10.0;
    windy.guide.depth_m = Some(2.25);
    let why = "the speed loop follows the ramp within a little";
    vec![
        MOMENTS.check(
            "load that shifts to the trailing hanger",
            "N",
            (143.75, shift / count),
            Share(0.01),
            why,
        ),
        MOMENTS.check("mean load of a hanger", "N", (490.33, sum / count), By(0.01), "rounding"),
        WIND.check(
            "load on the floor guide at 10 m/s",
            "N",
            (73.94, weather::guide_load_n(&windy, 100.0)),
            By(0.01),
            "rounding",
        ),
        STACK.check(
            "stack pressure, 10 m, 0 and 20 C, 101325 Pa",
            "Pa",
            (8.65, weather::stack_pressure_pa(101_325.0, 10.0, 0.0, 20.0)),
            By(0.01),
            "rounding",
        ),
    ]
}
