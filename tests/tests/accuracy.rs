//! How near a run comes to its own converged solution: phase by phase, aligned at each phase's command.
//!
//! Promised: times within 1 ms, positions within 0.1 mm, peak energies and forces within 0.5 %. The converged
//! solution has 24 times as many sub-steps; with twice as many it no longer changes in the sixth digit.

use tautleaf_physics::{
    CycleOptions, DEFAULT_GAPS_M, Door, EventKind, Figure, ForceTest, Quantity, Run, Sample, cycle,
};
use tautleaf_tests::shipped_scenarios;

const CONVERGED: u32 = 24;

fn run(door: &Door, refine: u32) -> Run {
    let gaps: Vec<f64> = DEFAULT_GAPS_M.into_iter().filter(|&gap| gap < door.clear_width_m()).collect();
    cycle(door, &CycleOptions { force: ForceTest::at(&gaps), refine, ..CycleOptions::default() })
}

/// Times at which a phase begins: the commands; a learning run sets out by itself.
fn commands(run: &Run) -> Vec<f64> {
    let begins =
        |kind| matches!(kind, EventKind::CommandOpen | EventKind::CommandClose | EventKind::Reversed);
    let commands = run.events.iter().filter(|event| begins(event.kind)).map(|event| event.at.t_s);
    let by_itself = run.events.iter().all(|event| !begins(event.kind)).then_some(0.0);
    by_itself.into_iter().chain(commands).collect()
}

fn opening_at(samples: &[Sample], t_s: f64) -> f64 {
    let after = samples.partition_point(|sample| sample.t_s < t_s).clamp(1, samples.len() - 1);
    let (a, b) = (&samples[after - 1], &samples[after]);
    a.clear_opening_m + (t_s - a.t_s) / (b.t_s - a.t_s) * (b.clear_opening_m - a.clear_opening_m)
}

/// Greatest difference of the clear opening at the same time since the same command, m.
fn position_difference(run: &Run, converged: &Run) -> f64 {
    let (ours, theirs) = (commands(run), commands(converged));
    assert_eq!(ours.len(), theirs.len(), "not the same phases");
    let mut worst: f64 = 0.0;
    for (n, (&start, &reference)) in ours.iter().zip(&theirs).enumerate() {
        let end = ours.get(n + 1).copied().unwrap_or(f64::INFINITY);
        let last = converged.samples.last().unwrap().t_s;
        for sample in run.samples.iter().filter(|sample| sample.t_s >= start && sample.t_s < end) {
            let then = reference + sample.t_s - start;
            if then <= last {
                worst = worst.max((sample.clear_opening_m - opening_at(&converged.samples, then)).abs());
            }
        }
    }
    worst
}

/// What of a run is not as near to the converged one as promised.
fn beyond_promise(run: &Run, converged: &Run) -> Vec<String> {
    let mut beyond = Vec::new();
    let position = position_difference(run, converged);
    if position > 1e-4 {
        beyond.push(format!("position {position} m"));
    }
    for &figure in Figure::ALL {
        let (Some(found), Some(exact)) = (run.figures.get(figure), converged.figures.get(figure)) else {
            assert_eq!(
                run.figures.get(figure).is_some(),
                converged.figures.get(figure).is_some(),
                "{figure:?}"
            );
            continue;
        };
        let allowed = match figure.quantity() {
            Quantity::Time | Quantity::ShortTime => 1e-3,
            // half a percent, or what no instrument would tell: a tenth of a newton, a millijoule
            // what is left of a static load when another is taken off it: against the peak, as tensions are
            _ if figure == Figure::LeastHangerLoad => {
                0.005 * converged.figures.get(Figure::GreatestHangerLoad).unwrap_or(0.0)
            }
            Quantity::Force => (0.005 * exact.abs()).max(0.1),
            Quantity::Energy => (0.005 * exact.abs()).max(1e-3),
            Quantity::Length | Quantity::ShortLength => 1e-4,
            Quantity::Speed | Quantity::Current => (0.005 * exact.abs()).max(1e-3),
            _ => continue,
        };
        if (found - exact).abs() > allowed {
            beyond.push(format!("{}: {found} instead of {exact}", figure.name()));
        }
    }
    beyond
}

#[test]
fn every_shipped_scenario_keeps_the_promised_accuracy() {
    let scenarios = shipped_scenarios();
    assert!(scenarios.len() >= 7);
    let mut failed = Vec::new();
    for (name, scenario) in scenarios {
        let door = Door::try_from(scenario.parameters).unwrap();
        let (ours, converged) = (run(&door, 1), run(&door, CONVERGED));
        println!(
            "{name}: {} sub-steps, position within {:.1e} m",
            ours.substeps,
            position_difference(&ours, &converged)
        );
        let beyond = beyond_promise(&ours, &converged);
        if !beyond.is_empty() {
            failed.push(format!("{name}: {beyond:?}"));
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

/// Halving the step changes nothing beyond the same promise, and brings the energy balance nearer to zero.
#[test]
fn halving_the_step_changes_nothing_beyond_the_promise() {
    for (name, scenario) in shipped_scenarios() {
        let door = Door::try_from(scenario.parameters).unwrap();
        let (ours, halved) = (run(&door, 1), run(&door, 2));
        let beyond = beyond_promise(&ours, &halved);
        assert!(beyond.is_empty(), "{name}: {beyond:?}");
        assert!(ours.energy.relative_residual() < 1e-3, "{name}");
        assert!(halved.energy.relative_residual() <= ours.energy.relative_residual(), "{name}");
    }
}

/// The energy balance of every shipped scenario closes within 0.1 % of the sum of its items, each integrated on
/// its own.
#[test]
fn the_energy_balance_closes_on_every_shipped_scenario() {
    for (name, scenario) in shipped_scenarios() {
        let door = Door::try_from(scenario.parameters).unwrap();
        let energy = run(&door, 1).energy;
        println!("{name}: {:.1e}", energy.relative_residual());
        assert!(energy.relative_residual() < 1e-3, "{name}: {energy:?}");
    }
}

/// What a cycle costs depends on the number of sub-steps: the reference has one a tick, and a change that asks for more doubles
/// the time that is promised in `benches/cycle.rs`.
#[test]
fn the_reference_takes_one_sub_step_a_tick() {
    let (_, scenario) =
        shipped_scenarios().into_iter().find(|(name, _)| name.starts_with("reference")).unwrap();
    assert_eq!(run(&Door::try_from(scenario.parameters).unwrap(), 1).substeps, 1);
}

/// A winding whose time constant is a third of the step: its decay and its impulse are exact, so that 24 times as many steps
/// move no leaf by more than a tenth of what is promised.
#[test]
fn a_step_longer_than_the_winding_takes_loses_nothing() {
    let (_, scenario) =
        shipped_scenarios().into_iter().find(|(name, _)| name.starts_with("reference")).unwrap();
    let mut p = scenario.parameters;
    p.motor.inductance_h = 0.35e-3 * p.motor.resistance_ohm;
    let door = Door::try_from(p).unwrap();
    let (ours, converged) = (run(&door, 1), run(&door, CONVERGED));
    assert_eq!(ours.substeps, 1);
    let position = position_difference(&ours, &converged);
    println!("position within {position:.1e} m");
    assert!(position < 1e-5, "{position} m");
}
