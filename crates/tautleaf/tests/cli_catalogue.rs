//! `tautleaf catalogue FILE` and `--new`: a data sheet typed as it stands.

mod black_box;

use black_box::{Folder, tautleaf, with_input};

#[test]
fn a_new_entry_is_accepted_as_it_is_and_never_written_over_another_file() {
    let folder = Folder::new();
    let file = folder.path("mine.toml");
    let written = tautleaf(&["catalogue", "--new", &file]);
    assert!(written.code == 0 && written.err.contains("wrote "), "{}", written.err);
    let text = std::fs::read_to_string(&file).expect("it is written");
    assert_eq!(tautleaf(&["catalogue", "--new", "-"]).out, text);
    let shown = tautleaf(&["catalogue", &file]);
    assert_eq!((shown.code, shown.err.as_str()), (0, ""), "{}", shown.out);
    assert_eq!(with_input(&["catalogue", "-"], text.as_bytes()).out, shown.out);

    std::fs::write(&file, "# my own\n").expect("a file in a temporary folder");
    let again = tautleaf(&["catalogue", "--new", &file]);
    assert!(
        again.code == 2 && again.err.contains("not written, because it is there already"),
        "{}",
        again.err
    );
    assert_eq!(std::fs::read_to_string(&file).expect("it is there"), "# my own\n");
}

#[test]
fn a_file_is_shown_as_typed_and_with_what_was_worked_out_and_how() {
    let text = tautleaf(&["catalogue", "--new", "-"]).out;
    let shown = with_input(&["catalogue", "-"], text.as_bytes()).out;
    for part in [
        "Drives, 1",
        "My drive, as typed",
        &format!("{:34}  5.2 V/1000 min-1", "voltage_constant"),
        "My drive, worked out",
        "0.07022 N m/A  amplitude between two terminals, from voltage_constant",
        "K i_0, from no_load_current",
        "sqrt(3/2) I_rms, one direct current",
        "i_N^2 R, with R as warm as that, times the thermal resistance",
    ] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
    // only what is in the file, and in the width of a terminal
    assert!(!shown.contains("worm") && !shown.contains("Belts"), "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= 100), "{shown}");

    let json = with_input(&["catalogue", "-", "--json"], text.as_bytes()).json();
    let drive = &json["drives"][0];
    assert_eq!(drive["typed"]["ratio"], "8:1");
    let worked_out = drive["worked_out"].as_array().expect("a list");
    let rated =
        worked_out.iter().find(|worked| worked["key"] == "drive.rated_current").expect("it is worked out");
    // sqrt(3/2) x 3 A
    assert!((rated["value"].as_f64().expect("a number") - 3.0 * 1.5_f64.sqrt()).abs() < 1e-12, "{rated}");
}

#[test]
fn a_contradiction_is_refused_with_file_line_and_both_numbers() {
    let folder = Folder::new();
    let text = tautleaf(&["catalogue", "--new", "-"]).out;
    let file = folder.write("mine.toml", text.replace("\"5.2 V/1000 min-1\"", "\"9 V/1000 min-1\""));
    let answer = tautleaf(&["catalogue", &file]);
    assert_eq!((answer.code, answer.out.as_str()), (2, ""));
    let line = 1 + text.lines().position(|line| line.starts_with("no_load_speed")).expect("it is there");
    let part =
        format!("mine.toml:{line}: drive.no_load_speed: this makes a torque constant of 0.08593 N m/A");
    assert!(answer.err.contains(&part), "{part}\n{}", answer.err);
    // and by every command that reads it
    let folder_name = folder.path("");
    let listed = tautleaf(&["catalogue", "--catalogue", &folder_name]);
    assert!(listed.code == 2 && listed.err.contains(&part), "{}", listed.err);
    // a rated point that the voltage does not reach stays refused
    let text = text
        .replace("voltage = \"24 V\"", "voltage = \"18 V\"")
        .replace("no_load_speed = \"3250", "no_load_speed = \"2550");
    let answer = with_input(&["catalogue", "-"], text.as_bytes());
    assert!(answer.code == 2 && answer.err.contains("the rated point needs R i + K w = "), "{}", answer.err);
    assert!(answer.err.contains(" of 18 V"), "{}", answer.err);
}
