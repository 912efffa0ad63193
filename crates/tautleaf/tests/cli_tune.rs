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

/// Without a limit that says how hard the door may hit the shortest cycle is not what is looked for first; who asks for it gets it.
#[test]
fn without_a_limit_on_how_hard_it_hits_it_says_which_one_is_missing() {
    let door = "schema = 1\n[limits]\nstall_force_max = \"150 N\"\n";
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let answer = with_input(&["tune", "-", "--reserve", "5 %"], door.as_bytes());
    let said = flat(&answer.out);
    for part in [
        "Tuned for the least jerk in no more time",
        "5 % of each limit to be left",
        "No limit on energy, impact force or closing speed that may fail the door is set",
        "kinetic_energy_max",
        "\"low-energy-sliding-eu\"",
        "\"powered-sliding-us\"",
    ] {
        assert!(said.contains(part), "{part}\n{}", answer.out);
    }
    let answer = with_input(&["tune", "-", "--goal", "fastest"], door.as_bytes());
    let said = flat(&answer.out);
    assert!(
        said.contains("Tuned for the shortest cycle") && said.contains("what is fast here may hit hard"),
        "{}",
        answer.out
    );
}

#[test]
fn what_is_no_goal_and_no_probability_is_refused() {
    let file = shipped("reference-glass");
    let answer = tautleaf(&["tune", &file, "--goal", "nicest"]);
    assert!(answer.code == 2 && answer.err.contains("fastest, calmest or coolest"), "{}", answer.err);
    let answer = tautleaf(&["tune", &file, "--probability", "120 %"]);
    assert!(answer.code == 2 && answer.err.contains("such as 95 %"), "{}", answer.err);
}
