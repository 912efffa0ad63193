//! `tautleaf tune` as its users run it.

mod black_box;

use black_box::{shipped, tautleaf, with_input};

/// A light door with one limit, so that a debug build tunes it in seconds, and an advisory value that no setting keeps.
const DOOR: &str = "schema = 1\ntitle = \"Tuned\"\n[limits]\nkinetic_energy_max = \"6 J\"\n\
                    peak_current_max = { value = \"0.1 A\", judge = \"advisory\" }\n";

#[test]
fn it_finds_settings_that_keep_every_limit_and_says_what_holds_them_back() {
    let answer = with_input(&["tune", "-"], DOOR.as_bytes());
    assert_eq!(answer.code, 0, "{}{}", answer.out, answer.err);
    for part in [
        "Settings",
        "opening speed 0.6 m/s to ",
        "holds it back",
        "OVER WHAT IS ADVISED",
        "Peak current (",
        "A simulation is not proof",
    ] {
        assert!(answer.out.contains(part), "{part}\n{}", answer.out);
    }
    assert!(answer.out.lines().all(|line| line.chars().count() <= 100), "{}", answer.out);
}

#[test]
fn what_is_no_goal_and_no_probability_is_refused() {
    let file = shipped("reference-glass");
    let answer = tautleaf(&["tune", &file, "--goal", "nicest"]);
    assert!(answer.code == 2 && answer.err.contains("fastest, calmest or coolest"), "{}", answer.err);
    let answer = tautleaf(&["tune", &file, "--probability", "120 %"]);
    assert!(answer.code == 2 && answer.err.contains("such as 95 %"), "{}", answer.err);
}
