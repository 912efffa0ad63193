//! `tautleaf advise` as its users run it.

mod black_box;

use black_box::{shipped, tautleaf, with_input};

#[test]
fn it_says_what_to_turn_in_the_words_of_the_site() {
    let run = tautleaf(&["advise", &shipped("belt-too-loose")]);
    assert_eq!(run.code, 1, "a limit is over as the door is");
    assert!(run.out.contains("1 adjuster 1 turn clockwise: +133.3 N, belt 60 N to 193.4 N"), "{}", run.out);
    assert!(run.out.contains("isolate the mains"), "the caution stands beside it");
}

#[test]
fn as_json_it_names_every_effect_with_its_limits() {
    let run = tautleaf(&["advise", &shipped("heavy-glass-energy"), "--json"]);
    assert_eq!(run.code, 1);
    let answer = run.json();
    assert_eq!(answer["plan"][0]["key"], "closing.speed");
    assert!(answer["plan"][0]["to"].as_f64().unwrap() < 0.4);
    let limits = answer["limits"].as_array().unwrap().len();
    assert!(
        answer["effects"]
            .as_array()
            .unwrap()
            .iter()
            .all(|effect| { effect["more_margin"].as_array().unwrap().len() == limits })
    );
}

#[test]
fn a_door_within_its_limits_needs_nothing() {
    let run = tautleaf(&["advise", &shipped("reference-glass")]);
    assert_eq!(run.code, 0);
    let said = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("Nothing: no limit is over, and each has at least 10 % left."), "{}", run.out);
    let run = tautleaf(&["advise", &shipped("reference-glass"), "--reserve", "0 %"]);
    assert!(run.out.contains("Nothing: no limit is over."), "{}", run.out);
}

/// The reference has 14 % left of its closing speed and 20 % are asked for: its speed is turned down, although no limit is over.
#[test]
fn a_reserve_that_is_asked_for_is_turned_for() {
    let run = tautleaf(&["advise", &shipped("reference-glass"), "--reserve", "20 %", "--json"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let answer = run.json();
    let plan = answer["plan"].as_array().expect("a plan");
    assert!(plan.iter().any(|change| change["key"] == "closing.speed"), "{answer}");
    let limits = answer["limits"].as_array().expect("limits");
    let speed = limits.iter().find(|limit| limit["key"] == "closing_speed_max").expect("a limit");
    assert!(
        speed["margin_before"].as_f64() < Some(0.2) && speed["margin_after"].as_f64() >= Some(0.2 - 1e-9)
    );
}

/// 300 kg and half an ampere: nothing is over, because nothing moves.
#[test]
fn a_door_that_does_not_move_is_not_well() {
    let door = "schema = 1\n[leaf]\nmass = \"300 kg\"\n[opening]\ncurrent_limit = \"0.5 A\"\n[limits]\nclosing_time_max = \"9 s\"\n";
    let run = with_input(&["advise", "-"], door.as_bytes());
    assert_eq!(run.code, 1);
    assert!(run.out.contains("does not open and close as it is"), "{}", run.out);
}
