//! One number of a door at many values, in the window.

mod steps;

use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::trials::Trial;
use tautleaf_app::trials::sweeping::Swept;
use tautleaf_physics::Figure;
use tautleaf_scenario::UnitSystem;

fn found(test: &Test) -> &Swept {
    test.state().state().trials.sweep.found.as_ref().expect("a sweep")
}

/// The closing speed of the example at five values.
fn swept() -> Test {
    let mut test = window();
    open_trial(&mut test, Trial::Sweep);
    write(&mut test, "Setting", "closing sp");
    click(&mut test, "Sweep closing speed");
    write(&mut test, "From", "0.2");
    write(&mut test, "To", "400 mm/s");
    write(&mut test, "Values", "5");
    click(&mut test, "Sweep it");
    test
}

/// The example allows 0.35 m/s closing, which a leaf that is told 0.35 m/s is just over: it overshoots a little.
#[test]
fn a_number_is_swept_and_each_limit_says_where_it_is_kept() {
    let mut test = swept();
    let values: Vec<f64> = found(&test).rows.iter().map(|row| row.values[0]).collect();
    assert!(values.iter().zip([0.2, 0.25, 0.3, 0.35, 0.4]).all(|(a, b)| (a - b).abs() < 1e-12), "{values:?}");
    let speed = found(&test).judged().into_iter().find(|&place| {
        found(&test).sweep.bench.criteria.limits[place].figure == Some(Figure::TopSpeedClosing)
    });
    let kept = found(&test).kept(speed.expect("the example limits it"));
    assert_eq!(kept, [(values[0], values[2])]);
    let picture = spoken(&test, "Closing speed, m/s. Margins");
    assert!(picture.contains("Top speed closing: kept from 0.20 m/s to 0.30 m/s"), "{picture}");

    test.state_mut().send(Action::SetUnits(UnitSystem::Us));
    test.state_mut().send(Action::ShowSweepOf(Some(Figure::ImpactForce)));
    settle(&mut test);
    let picture = spoken(&test, "Closing speed, in/s. Impact force: ");
    assert!(picture.contains(" lbf at the first value"), "{picture}");
    assert!(test.query_by_label_contains("The door has changed since").is_none(), "units change no door");
}

#[test]
fn a_setting_that_is_typed_whole_brings_its_own_ends() {
    let mut test = window();
    open_trial(&mut test, Trial::Sweep);
    assert!(test.query_by_label("Sweep belt tension").is_some(), "some are offered at once");
    write(&mut test, "Setting", "leaf.mass");
    let asked = &test.state().state().trials.sweep_asked;
    assert!(asked.from.ends_with(" kg") && asked.to.ends_with(" kg"), "{asked:?}");
    click(&mut test, "Sweep it");
    assert_eq!(found(&test).rows.len(), 11);
}

#[test]
fn what_cannot_be_swept_is_said_and_nothing_is_run() {
    let mut test = swept();
    for (name, text, said) in [
        ("Values", "100000", "write from 2 to 10000"),
        ("From", "-1", "is not possible"),
        ("Setting", "closing.sped", "did you mean \"closing.speed\"?"),
    ] {
        write(&mut test, "Values", "5");
        write(&mut test, name, text);
        click(&mut test, "Sweep it");
        assert!(test.query_by_label_contains(said).is_some(), "{said}");
        assert!(test.state().state().trials.sweep.going.is_none());
    }
    assert_eq!(found(&test).rows.len(), 5, "what was found before is kept");
}

#[test]
fn a_sweep_can_be_stopped_and_keeps_the_values_that_it_ran() {
    let mut test = window();
    open_trial(&mut test, Trial::Sweep);
    write(&mut test, "Setting", "leaf.mass");
    write(&mut test, "Values", "10000");
    test.get_by_label("Sweep it").click();
    test.run_steps(2);
    for _ in 0..4000 {
        let done = test.state().state().trials.going(Trial::Sweep).map_or(0.0, |going| going.share());
        if done > 1e-3 {
            break;
        }
        test.step();
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    test.get_by_label("Stop").click();
    settle(&mut test);
    let rows = &found(&test).rows;
    assert!((1..10_000).contains(&rows.len()), "{}", rows.len());
    assert!(rows.iter().zip(0..).all(|(row, n)| row.index == n), "without a hole");
    let said = format!("Stopped after {} of 10000 values", rows.len());
    assert!(test.query_by_label_contains(&said).is_some());
}

#[test]
fn what_was_swept_of_another_door_says_so_and_a_refused_one_is_not_swept() {
    let mut test = swept();
    test.state_mut().send(Action::HidePopup);
    settle(&mut test);
    move_slider(&mut test, "Leaf mass", 120.0);
    open_trial(&mut test, Trial::Sweep);
    assert!(test.query_by_label_contains("The door has changed since").is_some());
    let clamp = tautleaf_physics::number("belt.clamp").expect("in the table");
    test.state_mut().send(Action::Set { number: clamp, value: Some(15.0), dragging: false });
    settle(&mut test);
    assert!(test.get_by_label("Sweep it").accesskit_node().is_disabled());
}

/// Two settings against one another: a cell a pair, the tightest limit in each, and a click sets both in one step.
#[test]
fn two_settings_are_swept_against_one_another_and_a_cell_sets_both() {
    let mut test = swept();
    write(&mut test, "Against, if you like", "leaf.mass");
    let asked = &test.state().state().trials.sweep_asked;
    assert!(asked.against_from.ends_with(" kg") && asked.from == "0.2", "{asked:?}");
    write(&mut test, "from", "80");
    write(&mut test, "to", "160");
    click(&mut test, "Sweep it");
    let found = found(&test);
    assert!(found.is_map() && found.rows.len() == 25);
    let first = &found.rows[0];
    assert!(first.values.iter().zip([0.2, 80.0]).all(|(a, b)| (a - b).abs() < 1e-9), "{:?}", first.values);
    // The tightest limit of a pair is that of the door run with both.
    let row = &found.rows[13];
    let tautleaf_app::trials::sweeping::Tightest::Margin(_, margin) = found.tightest(row) else {
        panic!("judged")
    };
    let values = row.values.clone();
    let mut scenario = tautleaf_app::example::scenario();
    scenario.parameters.closing.speed_m_per_s = values[0];
    scenario.parameters.leaf.mass_kg = values[1];
    let live = tautleaf_app::live::Live::of(&scenario).expect("a door");
    let limits = live.verdicts.iter().filter(|verdict| verdict.limit.judge == tautleaf_physics::Judge::Limit);
    let least = limits.filter_map(|verdict| verdict.margin).fold(f64::INFINITY, f64::min);
    assert!((margin - least).abs() < 1e-9, "{margin} and {least}");
    assert!(found.kept_in() > 0 && found.kept_in() < 25, "{}", found.kept_in());

    let cell = test.get_by_label_contains("Closing speed 0.30 m/s, Leaf mass 140 kg: ");
    cell.click();
    settle(&mut test);
    let p = &test.state().state().document.scenario().parameters;
    assert!((p.closing.speed_m_per_s - 0.3).abs() < 1e-9 && (p.leaf.mass_kg - 140.0).abs() < 1e-9);
    test.state_mut().send(Action::ShowSweepOf(Some(Figure::ImpactForce)));
    test.state_mut().send(Action::Undo);
    settle(&mut test);
    assert!(!test.state().state().document.is_dirty(), "one step");
    assert!(test.query_all_by_label_contains("Impact force ").next().is_some());
}
