//! Battery, current limit and braking energy, through whole runs.

use tautleaf_physics::parameters::{Braking, Supply, SupplyKind};
use tautleaf_physics::{CycleOptions, Door, Figure, Parameters, Run, cycle};

fn run(supply: Supply) -> Run {
    let mut p = Parameters { supply, ..Parameters::default() };
    p.opening.braking_m_per_s2 = 1.5; // hard enough for energy to flow back
    p.gear.efficiency = 0.95;
    cycle(&Door::try_from(p).unwrap(), &CycleOptions::default())
}

fn get(run: &Run, figure: Figure) -> f64 {
    run.figures.get(figure).unwrap_or_else(|| panic!("{}", figure.name()))
}

/// What each item of the bus says of itself adds up: supply = battery loss + burnt + kept + what the winding took.
fn bus_adds_up(run: &Run) {
    let e = &run.energy;
    let left = e.supply_j - e.supply_loss_j - e.braking_burnt_j - e.bus_capacitor_j - e.bus_j;
    assert!(left.abs() < 1e-9 * e.supply_j.abs(), "{left} J: {e:?}");
    assert!(e.relative_residual() < 1e-3, "{e:?}");
}

#[test]
fn the_energy_balance_closes_for_every_supply_and_every_way_of_braking() {
    for kind in [SupplyKind::Mains, SupplyKind::Battery] {
        for braking in [Braking::Back, Braking::Resistor, Braking::Blocked] {
            let run = run(Supply { kind, braking, ..Supply::default() });
            assert!(run.finished, "{kind:?} {braking:?}");
            bus_adds_up(&run);
            let burnt = run.energy.braking_burnt_j;
            assert_eq!(burnt > 0.0, braking == Braking::Resistor || burnt > 0.0, "{burnt}");
            if braking == Braking::Back {
                assert_eq!(burnt, 0.0);
            }
        }
    }
}

/// A limit that is never reached and a battery without resistance are the stiff supply, to the last bit or nearly.
#[test]
fn a_supply_that_is_never_stretched_is_the_stiff_one() {
    let stiff = run(Supply::default());
    let limited = run(Supply { current_limit_a: Some(1000.0), ..Supply::default() });
    assert_eq!(stiff.samples, limited.samples);
    assert_eq!(stiff.energy.bus_j, limited.energy.bus_j);
    assert_eq!(get(&limited, Figure::LeastBusVoltage), 24.0);
    let battery = run(Supply { kind: SupplyKind::Battery, resistance_ohm: 1e-9, ..Supply::default() });
    let (a, b) = (get(&stiff, Figure::OpeningTime), get(&battery, Figure::OpeningTime));
    assert!((a - b).abs() < 1e-6, "{a} {b}");
}

/// V = V_oc - R_i i_bus and P = V i_bus at the moment of the greatest sag: V (V_oc - V)/R_i is the power that the
/// winding took, V_w i, to what it changes within a tick.
#[test]
fn a_battery_sags_by_its_inner_resistance_times_the_current_of_the_bus() {
    let resistance_ohm = 0.8;
    let run = run(Supply { kind: SupplyKind::Battery, resistance_ohm, ..Supply::default() });
    let least = run.figures.reading(Figure::LeastBusVoltage).unwrap();
    let sample = run.samples.iter().find(|sample| sample.t_s >= least.at.unwrap().t_s - 1e-9).unwrap();
    let taken = sample.voltage_v * sample.current_a;
    let given = least.value * (24.0 - least.value) / resistance_ohm;
    assert!(least.value < 22.0 && (given / taken - 1.0).abs() < 0.02, "{given} W, {taken} W");
}

/// What charge a period takes, over what the battery holds: half of it, half the cycles.
#[test]
fn a_battery_holds_cycles_by_its_charge() {
    let battery = |capacity: f64| Supply {
        kind: SupplyKind::Battery,
        capacity_a_s: Some(capacity),
        ..Supply::default()
    };
    let (whole, half) = (run(battery(36_000.0)), run(battery(18_000.0)));
    let (a, b) = (get(&whole, Figure::BatteryCycles), get(&half, Figure::BatteryCycles));
    assert!((a - 2.0 * b).abs() <= 1.0, "{a} {b}");
    // the charge of a period times 24 V is its energy with what the inner resistance takes
    let energy = 36_000.0 * 24.0 / a;
    let net = get(&whole, Figure::EnergyPerCycle);
    assert!(energy > net && energy < 1.1 * net, "{energy} J of {net} J");
}

#[test]
fn a_blocked_supply_lets_the_bus_rise_when_the_leaf_brakes_up_to_its_clamp() {
    let blocked =
        |capacitance_f: f64| Supply { braking: Braking::Blocked, capacitance_f, ..Supply::default() };
    let (small, large) = (run(blocked(1e-4)), run(blocked(0.1)));
    assert!(
        (get(&small, Figure::GreatestBusVoltage) - 30.0).abs() < 1e-9 && small.energy.braking_burnt_j > 0.0
    );
    let rise = get(&large, Figure::GreatestBusVoltage);
    assert!(rise > 24.0 && rise < 30.0 && large.energy.braking_burnt_j == 0.0, "{rise} V");
    // what the capacitor keeps is given back: less is drawn from the supply than where all is burnt
    let burning = run(Supply { braking: Braking::Resistor, ..Supply::default() });
    assert!(large.energy.supply_j < burning.energy.supply_j);
}

#[test]
fn mains_at_its_current_limit_folds_back_and_the_door_opens_later() {
    let (stiff, limited) =
        (run(Supply::default()), run(Supply { current_limit_a: Some(2.0), ..Supply::default() }));
    bus_adds_up(&limited);
    assert!(get(&limited, Figure::LeastBusVoltage) < 20.0);
    assert!(get(&limited, Figure::OpeningTime) > get(&stiff, Figure::OpeningTime) + 0.01);
}
