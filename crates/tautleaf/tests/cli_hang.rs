//! `tautleaf hang`.

mod black_box;

use black_box::{CALM, all_shipped, shipped, tautleaf, with_input};
use serde_json::Value;

fn case(result: &Value, name: &str) -> Value {
    let cases = result["cases"].as_array().expect("a list");
    cases.iter().find(|case| case["case"] == name).unwrap_or_else(|| panic!("{name}: {result}")).clone()
}

#[test]
fn every_shipped_door_has_the_cost_of_its_tolerances_listed() {
    for file in all_shipped() {
        let answer = tautleaf(&["hang", &file]);
        assert_eq!(answer.code, 0, "{file}: {}", answer.err);
        assert!(answer.out.lines().all(|line| line.chars().count() <= 100), "{}", answer.out);
        for part in ["lifting aids", "as in the door file", "off plumb", "head first", "common practice"] {
            assert!(answer.out.contains(part), "{file}: {part}\n{}", answer.out);
        }
        assert!(!answer.out.contains("NaN"), "{}", answer.out);
        assert_eq!(
            tautleaf(&["hang", &file, "--json"]).json()["cases"].as_array().map(Vec::len),
            Some(8),
            "{file}"
        );
    }
}

/// 95 kg on 1.0 m of stroke and 1.1 m of leaf: 95 x 9.80665 x 2/2100 = 0.887 N by hand; 2.3 m high, hangers 0.9 m apart.
#[test]
fn the_reference_costs_what_a_hand_calculation_gives() {
    let result = tautleaf(&["hang", &shipped("reference-glass"), "--json"]).json();
    let by_hand = |name| case(&result, name)["opening_by_hand_n"].as_f64().expect("it can be opened");
    assert!((by_hand("rail-rises") - by_hand("as-filed") - 95.0 * 9.806_65 * 2.0 / 2100.0).abs() < 1e-9);
    assert!((result["foot_per_hanger"].as_f64().expect("a number") - 2.3 / 0.9).abs() < 1e-9);
    assert_eq!(case(&result, "trailing-higher")["gap_m"].as_f64().map(|gap| (gap * 1e9).round()), Some(2e6));
}

/// Closed form against the run: what the settings ask for is reached, and jolts come on top.
#[test]
fn a_run_loads_the_hangers_at_least_as_much_as_its_accelerations_do() {
    let file = shipped("reference-glass");
    let filed = case(&tautleaf(&["hang", &file, "--json"]).json(), "as-filed");
    let run = tautleaf(&["run", &file, "--json"]).json();
    let figure = |name: &str| run["figures"][name].as_f64().expect("a figure");
    let (least, most) = (figure("least_hanger_load_n"), figure("greatest_hanger_load_n"));
    let formula = |name: &str| filed[name].as_f64().expect("a number");
    assert!(least <= formula("least_load_at_set_accelerations_n") + 2.0, "{least} {filed}");
    assert!(most >= formula("greatest_load_at_set_accelerations_n") - 2.0, "{most} {filed}");
}

#[test]
fn the_tolerances_of_the_door_file_are_followed_and_a_lifting_wheel_is_told() {
    let bench = "[workbench]\nframe_tolerance = \"5 mm\"\nhanger_end_most = \"150 mm\"\n";
    let answer = with_input(&["hang", "-"], format!("{CALM}{bench}").as_bytes());
    for part in ["rail rises 5 mm", "hangers at 150 mm", "60 mm to 150 mm"] {
        assert!(answer.out.contains(part), "{part}\n{}", answer.out);
    }
    let lifting = tautleaf(&["hang", &shipped("wheel-lift")]);
    assert!(lifting.out.contains("A wheel leaves the rail"), "{}", lifting.out);
    let wrong = with_input(&["hang", "-"], b"schema = 1\n[workbench]\nframe_tolerance = \"-1 mm\"\n");
    assert_eq!((wrong.code, wrong.out.as_str()), (2, ""));
    assert!(wrong.err.starts_with("standard-input:3: workbench.frame_tolerance: "), "{}", wrong.err);
}

#[test]
fn a_gear_that_locks_is_said_to_lock() {
    let answer = with_input(&["hang", "-"], format!("{CALM}[gear]\nefficiency = 0.4\n").as_bytes());
    assert!(answer.code == 0 && answer.out.contains("locks"), "{}", answer.out);
}
