//! What happens to a door while it runs: power lost, a person, a beam, opening again, learning, partial opening.

use tautleaf_physics::parameters::{BeamAction, PowerLost, RunKind, Timeline};
use tautleaf_physics::{CycleOptions, Door, EventKind, Figure, Parameters, Plan, Run, Start, State, cycle};
use tautleaf_tests::lossless_door;

fn run(p: Parameters) -> (Door, Run) {
    let door = Door::try_from(p).unwrap();
    let run = cycle(&door, &CycleOptions { stopping: true, ..CycleOptions::default() });
    assert!(run.energy.relative_residual() < 1e-3, "{:?}", run.energy);
    (door, run)
}

fn with(timeline: Timeline) -> (Door, Run) {
    run(Parameters { timeline, ..Parameters::default() })
}

fn get(run: &Run, figure: Figure) -> f64 {
    run.figures.get(figure).unwrap_or_else(|| panic!("{}", figure.name()))
}

fn when(run: &Run, kind: EventKind) -> f64 {
    run.events.iter().find(|event| event.kind == kind).unwrap_or_else(|| panic!("{kind:?}")).at.t_s
}

#[test]
fn what_does_not_happen_while_the_door_runs_changes_nothing() {
    let (_, plain) = with(Timeline::default());
    let later = Timeline {
        power_lost_s: Some(3000.0),
        beam_broken_s: Some(3000.0),
        open_again_s: Some(3000.0),
        presence_until_s: Some(0.5),
        activation_depth_m: Some(1.0),
        ..Timeline::default()
    };
    let (_, same) = with(later);
    assert_eq!(plain.samples, same.samples);
    assert_eq!(plain.energy, same.energy);
}

/// A long door without losses but for what the test adds, with power lost at full speed.
fn without_power(winding: PowerLost, rolling: f64) -> (Door, Run, f64) {
    let mut p = lossless_door();
    p.leaf.stroke_m = 3.0;
    p.opening.speed_m_per_s = 0.5;
    p.rollers.resistance = rolling;
    p.timeline.power_lost_s = Some(1.5);
    p.timeline.power_lost_winding = winding;
    let (door, run) = run(p);
    let speed = run.samples.iter().find(|s| s.t_s >= 1.5 - 1e-9).unwrap().leaf_speed_m_per_s[0];
    (door, run, speed)
}

/// M v^2/2 = c_rr m g x (derived), as the winding is open
#[test]
fn without_power_a_leaf_coasts_until_rolling_has_taken_its_energy() {
    let (door, run, speed) = without_power(PowerLost::Open, 0.02);
    let mass: f64 = door.ring().masses_kg.iter().sum();
    let expected = mass * speed * speed / (2.0 * 0.02 * 80.0 * 9.80665);
    let found = get(&run, Figure::CoastDistance);
    // as with coasting from the start: the pulleys swing on without loss, 1 %
    assert!((found / expected - 1.0).abs() < 0.01, "{found} m instead of {expected} m");
    assert!(!run.finished && run.samples.last().unwrap().state == State::Off);
}

/// M dv/dt = -(N K/r)^2/R v brakes exponentially: x = M v R/(N K/r)^2 (derived)
#[test]
fn with_the_winding_shorted_the_motor_brakes_the_leaf() {
    let (door, run, speed) = without_power(PowerLost::Shorted, 0.0);
    let derived = door.derived();
    let mass: f64 = door.ring().masses_kg.iter().sum();
    let brake = derived.pull_per_ampere_n.powi(2) / derived.resistance_ohm;
    let expected = mass * speed / brake;
    let found = get(&run, Figure::CoastDistance);
    assert!((found / expected - 1.0).abs() < 0.02, "{found} m instead of {expected} m");
    assert!(run.energy.bus_j > 0.0);
}

#[test]
fn a_gear_that_locks_itself_stops_the_leaf_and_no_hand_can_push_it() {
    let mut p = Parameters::default();
    p.gear.efficiency = 0.4;
    p.timeline.power_lost_s = Some(1.5);
    let (_, locked) = run(p.clone());
    p.gear.efficiency = 0.75;
    let (_, free) = run(p);
    let (a, b) = (get(&locked, Figure::CoastDistance), get(&free, Figure::CoastDistance));
    assert!(a < 0.2 * b, "{a} m, {b} m");
    assert!(locked.figures.get(Figure::ManualForce).is_none() && get(&free, Figure::ManualForce) > 0.0);
}

#[test]
fn the_hold_open_time_counts_from_when_the_doorway_is_clear() {
    let (door, run) = with(Timeline { presence_until_s: Some(9.0), ..Timeline::default() });
    let expected = 9.0 + door.parameters().controller.hold_open_s;
    assert!((when(&run, EventKind::CommandClose) - expected).abs() < 1.5e-3);
    assert!(run.finished);
}

/// Someone at v reaches a leaf the depth d away after d/v, of which the sensor has used its delay.
#[test]
fn someone_who_walks_up_finds_what_has_opened_by_then() {
    let (door, run) = with(Timeline { activation_depth_m: Some(1.2), ..Timeline::default() });
    let then = 1.2 / 1.2 - 0.1;
    let sample = run.samples.iter().find(|sample| sample.t_s >= then - 1e-9).unwrap();
    let found = get(&run, Figure::OpeningAtPerson);
    assert!((found - sample.clear_opening_m).abs() < 1e-6, "{found}");
    let wide = run.samples.iter().find(|sample| sample.clear_opening_m >= 0.6).unwrap();
    let waits = get(&run, Figure::PersonWaits);
    assert!(waits > 0.1 && (waits - (wide.t_s - then)).abs() < 1e-3, "{waits}");
    // from far away the door is open long before
    let (_, far) = with(Timeline { activation_depth_m: Some(5.0), ..Timeline::default() });
    assert!((get(&far, Figure::OpeningAtPerson) / door.clear_width_m() - 1.0).abs() < 0.003);
    assert_eq!(get(&far, Figure::PersonWaits), 0.0);
}

#[test]
fn a_broken_beam_acts_a_sensor_delay_later() {
    let broken = Timeline { beam_broken_s: Some(7.5), sensor_delay_s: 0.15, ..Timeline::default() };
    let (_, reopened) = with(broken);
    assert!((when(&reopened, EventKind::Reversed) - 7.65).abs() < 1e-9);
    assert!(reopened.finished && when(&reopened, EventKind::ArrivedClosed) > 14.0);
    let (_, stopped) = with(Timeline { beam_action: BeamAction::Stop, ..broken });
    assert!((when(&stopped, EventKind::Stopped) - 7.65).abs() < 1e-9 && !stopped.finished);
    let last = stopped.samples.last().unwrap();
    assert!(last.state == State::Stopped && last.clear_opening_m > 0.1);
    // while the door opens no one is in its way
    let (_, opening) = with(Timeline { beam_broken_s: Some(1.0), ..broken });
    assert!(opening.events.iter().all(|event| event.kind != EventKind::Reversed));
}

/// At least what it covers during the delay; from there it brakes with what the current limit allows.
#[test]
fn the_stopping_distance_is_that_of_the_delay_and_of_braking() {
    let stopping = |delay: f64| {
        let (_, run) = with(Timeline { sensor_delay_s: delay, ..Timeline::default() });
        (get(&run, Figure::StoppingDistance), get(&run, Figure::TopSpeedClosing))
    };
    let ((short, speed), (long, _)) = (stopping(0.05), stopping(0.25));
    assert!((long - short - 0.2 * speed).abs() < 0.02 * 0.2 * speed, "{short} m, {long} m at {speed} m/s");
    assert!(short > 0.05 * speed && short < 0.05 * speed + 0.05, "{short} m");
    // the figure is what a run with the beam broken there shows
    let (_, plain) = with(Timeline::default());
    let at = plain.figures.reading(Figure::StoppingDistance).unwrap().at.unwrap();
    let (_, broken) = with(Timeline { beam_broken_s: Some(at.t_s), ..Timeline::default() });
    let after = broken.samples.iter().filter(|sample| sample.t_s >= at.t_s && sample.t_s < at.t_s + 1.0);
    let least = after.map(|sample| sample.clear_opening_m).fold(f64::INFINITY, f64::min);
    let found = get(&plain, Figure::StoppingDistance);
    assert!((found - (at.clear_opening_m - least)).abs() < 1e-9, "{found} m");
}

#[test]
fn a_door_told_to_open_again_while_it_closes_does_so() {
    let (_, run) = with(Timeline { open_again_s: Some(7.5), ..Timeline::default() });
    let opened = run.events.iter().filter(|event| event.kind == EventKind::CommandOpen);
    let times: Vec<f64> = opened.map(|event| event.at.t_s).collect();
    assert_eq!(times.len(), 2);
    assert!((times[1] - 7.5).abs() < 1e-9 && run.finished);
}

/// Stroke and gaps; the belt and the stops give by what the current limit pushes: some tenths of a millimetre.
#[test]
fn a_learning_run_finds_the_stroke_from_anywhere() {
    let mut p = Parameters {
        timeline: Timeline { run: RunKind::Learning, ..Timeline::default() },
        ..Parameters::default()
    };
    p.stoppers.behind_closed_m = 0.002;
    p.stoppers.behind_open_m = 0.006;
    let (door, learned) = run(p);
    let found = get(&learned, Figure::LearnedStroke);
    assert!(learned.finished && found > 1.008 && found < 1.010, "{found} m");
    let start = Start::At { opening_m: 0.4, speed_m_per_s: 0.0 };
    let again = cycle(&door, &CycleOptions { plan: Plan::Learn, start, ..CycleOptions::default() });
    assert!((get(&again, Figure::LearnedStroke) - found).abs() < 1e-4);
    let creeps = door.parameters().opening.creep_speed_m_per_s;
    assert!(get(&again, Figure::TopSpeedOpening) < 1.2 * creeps);
}

#[test]
fn partial_opening_is_measured_to_where_the_leaf_then_stops() {
    let mut p = Parameters::default();
    p.leaf.partial_opening_m = Some(p.leaf.stroke_m);
    let (_, whole) = run(p.clone());
    assert_eq!(whole.samples, run(Parameters::default()).1.samples);
    p.leaf.partial_opening_m = Some(0.6);
    let (door, partial) = run(p);
    assert_eq!(door.clear_width_m(), 0.6);
    assert!(get(&partial, Figure::OpeningTime) < get(&whole, Figure::OpeningTime) - 0.3);
    let furthest = partial.samples.iter().map(|sample| sample.clear_opening_m).fold(0.0, f64::max);
    assert!((furthest - 0.6).abs() < 0.003, "{furthest} m");
    assert!((get(&partial, Figure::OvershootOpen) - (furthest - 0.6).max(0.0)).abs() < 1e-9);
}
