//! `tautleaf sweep`.

mod black_box;

use std::fs;

use black_box::{Folder, all_shipped, shipped, tautleaf};

/// Energy of the heavy leaf goes with the square of its closing speed: over 10 J from sqrt(2 x 10 J/160 kg) = 0.354 m/s.
#[test]
fn the_border_of_a_limit_is_where_its_formula_puts_it() {
    let file = shipped("heavy-glass-energy");
    let over = "closing.speed=0.345..0.36 m/s:4";
    let result = tautleaf(&["sweep", &file, "--over", over, "--json"]).json();
    let points = result["points"].as_array().expect("a list");
    let kept: Vec<bool> = points
        .iter()
        .map(|point| point["limits"]["kinetic_energy_max"]["kept"].as_bool().expect("judged"))
        .collect();
    assert_eq!(kept, [true, true, false, false]);
    assert_eq!(result["axes"][0]["values"][3], 0.36);
    let text = tautleaf(&["sweep", &file, "--over", over]).out;
    for part in
        ["A  Peak energy, one leaf: at most 10 J", "J close", "J over", "|", "A simulation is not proof"]
    {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn every_shipped_door_can_be_swept_in_lines_that_fit_a_terminal() {
    for file in all_shipped() {
        let answer = tautleaf(&[
            "sweep",
            &file,
            "--over",
            "closing.speed=0.1..0.4 m/s:3",
            "--over",
            "leaf.mass=60..90 kg:2",
        ]);
        assert_eq!(answer.code, 0, "{file}: {}", answer.err);
        assert_eq!(answer.out.lines().find(|line| line.chars().count() > 100), None, "{file}");
        assert!(answer.out.contains("6 runs") && !answer.out.contains("NaN"), "{file}: {}", answer.out);
        let answer = tautleaf(&["sweep", &file, "--over", "belt.tension=100..500 N:3"]);
        assert_eq!(answer.out.lines().find(|line| line.chars().count() > 100), None, "{file}");
    }
}

#[test]
fn one_thread_and_two_give_the_same_bytes_of_every_kind() {
    let folder = Folder::new();
    let file = shipped("bi-parting");
    let sweep = |name: &str, threads: &str| {
        let outs = ["csv", "json", "svg"].map(|kind| folder.path(&format!("{name}.{kind}")));
        let over = ["--over", "closing.speed=0.2..0.3 m/s:3", "--over", "seal.brush=0..10 N/m:3"];
        let to = ["--csv", &outs[0], "--json", &outs[1], "--svg", &outs[2], "--threads", threads];
        let answer = tautleaf(&[&["sweep", &file], &over[..], &to[..]].concat());
        assert_eq!(answer.code, 0, "{}", answer.err);
        (answer.out, outs.map(|out| fs::read_to_string(out).expect("it was written")))
    };
    let alone = sweep("alone", "1");
    assert_eq!(sweep("two", "2"), alone);
    let [csv, _, svg] = alone.1;
    assert_eq!(csv.lines().count(), 2 + 9);
    assert!(csv.starts_with("# {\"program\":\"tautleaf\""), "{csv}");
    roxmltree::Document::parse(&svg).expect("a picture is well-formed XML");
    let picture = tautleaf(&["sweep", &file, "--over", "rail.slope=-3..3 mm/m:3", "--svg", "-"]);
    roxmltree::Document::parse(&picture.out).expect("a picture is well-formed XML");
}

#[test]
fn wrong_ranges_are_refused_with_a_word_on_what_would_do() {
    let file = shipped("reference-glass");
    for (args, part) in [
        (&[][..], "--over"),
        (&["--over", "closing.sped=0.2..0.4 m/s"], "did you mean \"closing.speed\"?"),
        (&["--over", "closing.speed=0.2..0.4"], "has no unit"),
        (&["--over", "leaf.mass=60..80 kg", "--over", "leaf.mass=60..80 kg"], "is on both axes"),
        (&["--over", "leaf.mass=60..80 kg:1000", "--over", "closing.speed=0.2..0.4 m/s:1000"], "too many"),
        (&["--over", "a=1..2", "--over", "b=1..2", "--over", "c=1..2"], "one number or two"),
        (&["--over", "leaf.mass=60..80 kg", "--svg", "-", "--json"], "use one of them"),
        (&["--over", "leaf.mass=60..80 kg", "--svg", &file], "because it is the door file"),
    ] {
        let answer = tautleaf(&[&["sweep", &file], args].concat());
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{args:?}");
        assert!(answer.err.contains(part), "{args:?}: {}", answer.err);
    }
}
