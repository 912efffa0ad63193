//! `tautleaf belt`.

mod black_box;

use black_box::{CALM, all_shipped, shipped, tautleaf, with_input};

fn belt(text: &str, args: &[&str]) -> black_box::Answer {
    with_input(&[&["belt", "-"], args].concat(), text.as_bytes())
}

#[test]
fn every_shipped_door_has_its_belt_worked_out() {
    for file in all_shipped() {
        let answer = tautleaf(&["belt", &file]);
        assert_eq!(answer.code, 0, "{file}: {}", answer.err);
        assert!(answer.out.lines().all(|line| line.chars().count() <= 100), "{}", answer.out);
        for part in ["isolate the mains", "What to do", "just touching", "ratcheting reserve", "uncalibrated"]
        {
            assert!(answer.out.contains(part), "{file}: {part}");
        }
        assert!(!answer.out.contains("NaN") && !answer.out.contains("inf"), "{}", answer.out);
        let result = tautleaf(&["belt", &file, "--json"]).json();
        assert!(result["run_m"].as_f64().is_some_and(|run| run > 2.0));
        assert!(result["wanted"]["turns"].as_f64().is_some_and(|turns| turns > 0.0));
    }
}

/// 2 x 2400 mm and 30 teeth of 5 mm: 990 pitches; one shorter is cut, 300 N stretch 4950 mm by 4.5 mm.
#[test]
fn the_reference_belt_is_ordered_cut_and_turned_by_hand_calculation() {
    let answer = tautleaf(&["belt", &shipped("reference-glass")]);
    for part in
        ["order 989 teeth, 4945 mm", "cut 989 teeth", "990 whole pitches", "2.2 turns clockwise", "2.25 mm"]
    {
        assert!(answer.out.contains(part), "{part}\n{}", answer.out);
    }
}

#[test]
fn a_heard_tone_is_turned_into_a_tension_and_turns() {
    let file = shipped("reference-glass");
    let result = tautleaf(&["belt", &file, "--json"]).json();
    let tone = result["to_pluck"]["tone_hz"].as_f64().expect("a strand sounds");
    let half = format!("{} Hz", tone / 2.0);
    let heard = tautleaf(&["belt", &file, "--json", "--heard", &half]).json();
    let (first, turns) = (&heard["heard"][0], result["wanted"]["turns"].as_f64().expect("a number"));
    assert!((first["tension_n"].as_f64().expect("a number") - 75.0).abs() < 1e-6, "{first}");
    assert!((first["turns"].as_f64().expect("a number") - 0.75 * turns).abs() < 1e-6, "{first}");
    assert!(tautleaf(&["belt", &file, "--heard", "30"]).out.contains("Heard 30.0 Hz"));
    for wrong in ["0", "30 N", "-4", "nan", "loud"] {
        let answer = tautleaf(&["belt", &file, &format!("--heard={wrong}")]);
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{wrong}");
        assert!(answer.err.contains("31 Hz"), "{}", answer.err);
    }
}

#[test]
fn the_workbench_of_the_door_file_is_followed() {
    let bench = "[workbench]\ncut_short = 2\nclamp_teeth = 7\nthread_pitch = \"2 mm\"\ntightens = \"counter-clockwise\"\n\
                 wanted_tension = \"100 N\"\n";
    let answer = belt(&format!("{CALM}{bench}"), &[]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    // axes 2.3 m apart: 950 pitches; 100 x 4.75/(2 x 330 kN) = 0.72 mm
    for part in
        ["cut 948 teeth", "7 teeth in each side", "0.4 turns counter-clockwise", "0.72 mm", "100 % strength"]
    {
        assert!(answer.out.contains(part), "{part}\n{}", answer.out);
    }
    assert!(answer.out.contains("computed with belt.tension, 250 N"), "{}", answer.out);
}

#[test]
fn a_door_file_in_us_units_is_answered_in_inches_and_pounds() {
    let answer = tautleaf(&["belt", &shipped("us-storefront")]);
    assert!(answer.out.contains("65 lbf") && answer.out.contains(" in,"), "{}", answer.out);
    assert!(!answer.out.contains(" mm") && !answer.out.contains(" N "), "{}", answer.out);
}

#[test]
fn what_is_wrong_on_the_workbench_is_said_with_its_line() {
    for (bench, key) in [
        ("clamp_teeth = 2.5", "workbench.clamp_teeth"),
        ("cut_short = -1", "workbench.cut_short"),
        ("thread_pitch = \"0 mm\"", "workbench.thread_pitch"),
        ("thread_pitch = 1", "workbench.thread_pitch"),
        ("tightens = \"left\"", "workbench.tightens"),
        ("wanted_tension = \"100 mm\"", "workbench.wanted_tension"),
        ("wanted_tensoin = \"100 N\"", "workbench.wanted_tensoin"),
    ] {
        let answer = belt(&format!("schema = 1\n[workbench]\n{bench}\n"), &[]);
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{bench}");
        assert!(answer.err.starts_with(&format!("standard-input:3: {key}: ")), "{}", answer.err);
    }
}

#[test]
fn a_clamp_that_is_too_weak_is_told_with_what_would_do() {
    let text =
        "schema = 1\n[belt]\nspecific_stiffness = \"9 kN/mm\"\nwidth = \"10 mm\"\ntension = \"160 N\"\n";
    let answer = belt(text, &[]);
    // 360 N allowable, 154 N with three teeth
    assert!(answer.out.contains("over: 43 % strength with 3 teeth a side, "), "{}", answer.out);
}
