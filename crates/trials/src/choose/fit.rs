//! A drive and a belt put into a door.

use std::f64::consts::PI;

use tautleaf_physics::parameters::{Motor, Parameters, SupplyKind};
use tautleaf_physics::{Door, belt};

use super::catalogue::{BeltKind, Drive};

/// Density of aluminium, kg/m3 (handbook).
const ALUMINIUM_KG_PER_M3: f64 = 2700.0;
/// Stiffness of the mesh of a gear with play, at the rim, N/m: a stiff gear (judgement).
const MESH_N_PER_M: f64 = 2e6;
/// How much wider than its belt a pulley is, with its flanges, m (judgement).
const FLANGES_M: f64 = 0.006;

/// Teeth of the pulley that comes nearest to the diameter, and no fewer than the belt may bend round.
pub fn teeth(drive: &Drive, belt: &BeltKind) -> f64 {
    (PI * drive.pulley_diameter_m / belt.pitch_m).round().max(belt.least_teeth)
}

/// Inertia of a solid aluminium pulley, rho pi r^4 (b + 6 mm)/2, kg m2 (eq. 42).
pub fn pulley_inertia_kg_m2(radius_m: f64, belt_width_m: f64) -> f64 {
    0.5 * ALUMINIUM_KG_PER_M3 * PI * radius_m.powi(4) * (belt_width_m + FLANGES_M)
}

/// The parameters of a door with this drive and belt in the place of its own.
///
/// What the door asks of its drive as a current, to press it closed or to help it along, is carried over as the force
/// that it stood for; gains are worked out anew. A door on a battery keeps it; any other takes the supply of the drive.
pub fn fitted(door: &Door, drive: &Drive, belt: &BeltKind) -> Parameters {
    let (old, derived) = (door.parameters(), door.derived());
    let mut p = door.given().clone();
    let teeth = teeth(drive, belt);
    let radius_m = belt::pitch_radius_m(belt.pitch_m, teeth);

    p.belt.pitch_m = belt.pitch_m;
    p.belt.width_m = belt.width_m;
    p.belt.specific_stiffness_n_per_m = belt.specific_stiffness_n_per_m;
    p.belt.specific_mass_kg_per_m2 = belt.specific_mass_kg_per_m2;
    p.belt.damping_time_s = belt.damping_time_s;
    p.pulleys.teeth = teeth;
    p.pulleys.drive_inertia_kg_m2 = pulley_inertia_kg_m2(radius_m, belt.width_m);
    p.pulleys.return_inertia_kg_m2 = p.pulleys.drive_inertia_kg_m2;
    p.pulleys.return_radius_m = None;

    p.gear.ratio = drive.ratio;
    p.gear.efficiency = drive.efficiency;
    p.gear.rotor_teeth = drive.rotor_teeth;
    // play and wear are those of the old gear; a play asks for a mesh that it lies in
    p.gear.backlash_m = drive.backlash_rad.map_or(0.0, |play| play * radius_m);
    p.gear.mesh_stiffness_n_per_m = (p.gear.backlash_m > 0.0).then_some(MESH_N_PER_M);
    p.motor = motor(drive, old.motor.winding_temperature_c);
    if p.supply.kind == SupplyKind::Mains {
        p.supply.voltage_v = drive.voltage_v;
        p.supply.current_limit_a = drive.supply_current_a;
        p.supply.clamp_voltage_v = None;
    }

    let force_per_ampere = derived.pull_per_ampere_n * old.gear.efficiency;
    let new_per_ampere = drive.efficiency * drive.ratio * drive.torque_constant_n_m_per_a / radius_m;
    let carried = |current_a: f64| rounded(current_a * force_per_ampere / new_per_ampere, 3);
    p.controller.press_current_a = carried(old.controller.press_current_a);
    p.controller.feed_forward_a = carried(old.controller.feed_forward_a);
    p.controller.proportional_gain_a_s_per_m = None;
    p.controller.integral_gain_a_per_m = None;
    p.controller.counts_per_turn = drive.counts_per_turn;
    p
}

fn motor(drive: &Drive, winding_temperature_c: f64) -> Motor {
    Motor {
        resistance_ohm: drive.resistance_ohm,
        torque_constant_n_m_per_a: drive.torque_constant_n_m_per_a,
        inductance_h: drive.inductance_h,
        rotor_inertia_kg_m2: drive.rotor_inertia_kg_m2,
        rotor_friction_n_m: drive.rotor_friction_n_m,
        magnet_coefficient_per_k: drive.magnet_coefficient_per_k,
        winding_temperature_c,
        pole_pairs: drive.pole_pairs,
        commutator_bars: drive.commutator_bars,
        rated_current_a: drive.rated_current_a,
        rated_rise_k: drive.rated_rise_k,
        inner_rise_share: drive.inner_rise_share,
        winding_time_s: drive.winding_time_s,
        housing_time_s: drive.housing_time_s,
        insulation: drive.insulation,
    }
}

/// To so many digits that count, through text so that 0.263 is 0.263.
pub(super) fn rounded(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits - 1).parse().unwrap_or(value)
}

/// The same, never above the value.
pub(super) fn rounded_down(value: f64, digits: usize) -> f64 {
    let near = rounded(value, digits);
    if near <= value || value <= 0.0 {
        return near;
    }
    let unit = 10f64.powf(value.log10().floor() - (digits as f64 - 1.0));
    rounded(near - unit, digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_down_never_goes_up() {
        assert_eq!((rounded(0.26349, 3), rounded_down(0.2637, 3)), (0.263, 0.263));
        assert_eq!(rounded_down(9.996, 3), 9.99);
        for n in 1..2000 {
            let value = 0.0137 * f64::from(n);
            let down = rounded_down(value, 2);
            assert!(down <= value && down > 0.89 * value, "{value} {down}");
        }
    }
}
