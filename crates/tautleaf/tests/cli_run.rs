//! `tautleaf run`, by what a user relies on.

mod black_box;

use black_box::{CALM, Folder, all_shipped, command, finish, hasty, shipped, tautleaf, with_input};
use serde_json::Value;

#[test]
fn exit_code_says_whether_a_limit_is_over() {
    assert_eq!(with_input(&["run", "-"], CALM.as_bytes()).code, 0);
    assert_eq!(with_input(&["run", "-"], hasty().as_bytes()).code, 1);
    assert_eq!(with_input(&["run", "-"], b"schema = 1\n").code, 0); // no limits, nothing to be over
    assert_eq!(tautleaf(&["run", "no-such-door.toml"]).code, 2);
    assert_eq!(tautleaf(&["run"]).code, 2);
    assert_eq!(tautleaf(&["walk"]).code, 2);
}

#[test]
fn going_over_advice_does_not_fail_the_door() {
    let advised = hasty().replace("\"0.1 m/s\"", "{ value = \"0.1 m/s\", judge = \"advisory\" }");
    let answer = with_input(&["run", "-"], advised.as_bytes());
    assert!(answer.out.contains("over "), "{}", answer.out);
    assert_eq!(answer.code, 0);
}

#[test]
fn a_door_that_never_opens_is_not_within_its_limits() {
    // 0.05 A of a 0.75 N m pull per ampere: far below breakaway
    let stuck = format!("{CALM}closing_time_max = \"9 s\"\n[opening]\ncurrent_limit = \"0.05 A\"\n");
    let answer = with_input(&["run", "-", "--json"], stuck.as_bytes());
    let result = answer.json();
    assert_eq!(result["provenance"]["finished"], false);
    assert_eq!(result["figures"]["closing_time_s"], Value::Null);
    assert_eq!(answer.code, 1);
}

/// 0.9 A pulls 21 N through the gear: less than a 180 kg leaf needs to break away. Its stall force is as small, and
/// that must not read as a door within its limits.
#[test]
fn a_door_that_never_closes_is_not_called_within() {
    let stays_open = "schema = 1\n[leaf]\nmass = \"180 kg\"\n[closing]\ncurrent_limit = \"0.9 A\"\n";
    for limits in ["", "[limits]\nstall_force_max = \"150 N\"\n"] {
        for command in ["run", "force"] {
            let answer = with_input(&[command, "-"], format!("{stays_open}{limits}").as_bytes());
            assert_eq!(answer.code, 1, "{command}: {}", answer.out);
            assert!(answer.out.contains("THE DOOR DID NOT OPEN AND CLOSE"), "{command}: {}", answer.out);
            assert!(!answer.out.contains("\nWITHIN"), "{command}: {}", answer.out);
        }
    }
}

#[test]
fn the_table_says_the_verdict_before_the_figures_within_100_columns() {
    for file in all_shipped() {
        let answer = tautleaf(&["run", &file]);
        let at = |text: &str| answer.out.find(text).unwrap_or_else(|| panic!("{text}: {}", answer.out));
        let figures = at("\nSpeed and energy\n");
        let verdicts = answer.out.find("\nLimits\n").unwrap_or_else(|| at("\nAdvisory"));
        assert!(verdicts < figures && figures < at("\nCautions\n"), "{file}");
        assert!(answer.out.contains("only a force test on the installed door"), "{file}");
        for line in answer.out.lines() {
            assert!(line.chars().count() <= 100, "{file}: {line}");
        }
        assert!(answer.code <= 1, "{file}: {}", answer.err);
    }
}

#[test]
fn an_over_limit_names_the_setting_and_with_it_the_door_is_within() {
    let text = std::fs::read_to_string(shipped("heavy-glass-energy")).expect("it is shipped");
    let before = with_input(&["run", "-", "--json"], text.as_bytes());
    assert_eq!(before.code, 1);
    let result = before.json();
    let over: Vec<&Value> = verdicts(&result).iter().filter(|verdict| verdict["outcome"] == "over").collect();
    assert_eq!(over.len(), 1);
    let change = &over[0]["remedy"]["changes"][0];
    assert_eq!((&change["key"], change["from"].as_f64()), (&Value::from("closing.speed"), Some(0.4)));
    let to = change["shown"]["to"].as_str().expect("text to copy");
    let table = with_input(&["run", "-"], text.as_bytes()).out;
    assert!(table.contains(&format!("closing.speed 0.4 m/s -> {to} brings it back")), "{table}");

    let after = text.replace("speed = \"0.4 m/s\"", &format!("speed = \"{to}\""));
    assert_ne!(after, text);
    let answer = with_input(&["run", "-", "--json"], after.as_bytes());
    assert_eq!(answer.code, 0, "{}", answer.out);
    let again = answer.json();
    // with the margin that the file asks for, not on the edge
    assert!(verdicts(&again).iter().all(|verdict| verdict["outcome"] == "within"), "{}", again["verdicts"]);
}

#[test]
fn a_remedy_in_us_units_holds_as_it_is_written() {
    let text = std::fs::read_to_string(shipped("us-storefront")).expect("it is shipped");
    let hasty = text.replace("speed = \"9 in/s\"", "speed = \"14 in/s\"");
    let before = with_input(&["run", "-", "--json"], hasty.as_bytes());
    assert_eq!(before.code, 1);
    let result = before.json();
    let over = verdicts(&result).iter().find(|v| v["key"] == "closing_speed_max").expect("it is judged");
    // ANSI/BHMA A156.10: above 160 lb sqrt(160/W) ft/s, here sqrt(160/210) = 0.8729 ft/s
    assert_eq!(over["shown"]["allowed"], "0.8729 ft/s");
    assert!(over["says"].as_str().is_some_and(|says| says.contains("ft/s of 0.8729 ft/s: 34 % over")));
    let to = over["remedy"]["changes"][0]["shown"]["to"].as_str().expect("there is a remedy");
    assert!(to.ends_with(" in/s"), "{to}");
    let after = hasty.replace("speed = \"14 in/s\"", &format!("speed = \"{to}\""));
    let answer = with_input(&["run", "-", "--json"], after.as_bytes());
    let again = answer.json();
    let verdict = verdicts(&again).iter().find(|v| v["key"] == "closing_speed_max").expect("still judged");
    assert_ne!(verdict["outcome"], "over");
}

#[test]
fn us_doors_are_told_in_us_units() {
    let answer = tautleaf(&["run", &shipped("us-storefront")]);
    for text in ["210 lb", "24 in/s", "lbf of 30 lbf", "ft/s of 0.8729 ft/s", "ft lbf"] {
        assert!(answer.out.contains(text), "{text}: {}", answer.out);
    }
}

#[test]
fn json_has_every_part_and_the_balance_closes() {
    let answer = tautleaf(&["run", &shipped("reference-glass"), "--json"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let result = answer.json();
    for key in [
        "schema",
        "title",
        "figures",
        "figure_moments",
        "verdicts",
        "events",
        "force",
        "energy_balance",
        "provenance",
        "warnings",
        "cautions",
    ] {
        assert!(!result[key].is_null(), "{key}");
    }
    for key in [
        "opening_time_s",
        "closing_time_s",
        "closing_least_time_90pct_s",
        "top_speed_opening_m_per_s",
        "top_speed_closing_m_per_s",
        "peak_energy_leaf_j",
        "peak_energy_coupled_j",
        "stall_force_n",
        "impact_force_n",
        "residual_force_n",
        "time_above_150n_s",
        "least_strand_tension_n",
        "slack_time_s",
        "peak_current_a",
        "rms_current_a",
        "energy_per_cycle_j",
    ] {
        assert!(result["figures"][key].is_number(), "{key}");
    }
    let balance = &result["energy_balance"];
    let number = |key: &str| balance[key].as_f64().unwrap_or_else(|| panic!("{key}"));
    let residual = number("inputs_j") - number("losses_j") - number("stored_j");
    assert!((residual - number("residual_j")).abs() < 1e-9);
    assert!(number("relative_residual") < 1e-3);
    let events: Vec<&str> = result["events"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|event| event["event"].as_str())
        .collect();
    assert_eq!(events[..3], ["command-open", "arrived-open", "command-close"]);
    assert_eq!(result["provenance"]["program"], "tautleaf");
    for verdict in verdicts(&result) {
        for key in
            ["key", "label", "outcome", "source", "known", "judge", "says", "shown", "margin", "unit_si"]
        {
            assert!(!verdict[key].is_null(), "{key}: {verdict}");
        }
    }
}

#[test]
fn standard_input_gives_the_same_as_the_file() {
    let file = shipped("bi-parting");
    let text = std::fs::read(&file).expect("it is shipped");
    let (from_file, from_input) =
        (tautleaf(&["run", &file, "--json"]), with_input(&["run", "-", "--json"], &text));
    assert_eq!(from_file.json()["figures"], from_input.json()["figures"]);
    assert_eq!(from_input.json()["provenance"]["file"], "standard-input");
}

#[test]
fn csv_has_every_sample_with_every_digit() {
    let folder = Folder::new();
    let out = folder.path("run.csv");
    let answer = tautleaf(&["run", &shipped("bi-parting"), "--csv", &out]);
    assert!(answer.out.contains("Limits"), "the table is still the answer");
    let mut reader = csv::Reader::from_path(&out).expect("it was written");
    let expected = "t_s,clear_opening_m,speed_m_per_s,leaf_1_position_m,leaf_2_position_m,leaf_2_speed_m_per_s,\
        wanted_speed_m_per_s,energy_leaf_j,energy_leaves_j,energy_coupled_j,tension_1_n,tension_2_n,tension_3_n,\
        tension_4_n,hanger_leading_1_n,hanger_trailing_1_n,hanger_leading_2_n,hanger_trailing_2_n,drive_position_m,drive_speed_m_per_s,current_a,voltage_v,contact_force_n,state";
    let columns: Vec<String> = reader.headers().expect("a header").iter().map(str::to_owned).collect();
    assert_eq!(columns.join(","), expected);
    let at = |name: &str| columns.iter().position(|column| column == name).expect("a column");
    let (mut rows, mut last_t) = (0, -1.0);
    for record in reader.records() {
        let record = record.expect("as many cells as columns");
        let number = |name: &str| record[at(name)].parse::<f64>().expect("a number");
        let positions = number("leaf_1_position_m") + number("leaf_2_position_m");
        assert!((number("clear_opening_m") - positions).abs() < 1e-12);
        // two leaves of 60 kg: W = m v^2 / 2 each
        let energy = 30.0 * (number("speed_m_per_s").powi(2) + number("leaf_2_speed_m_per_s").powi(2));
        assert!((number("energy_leaves_j") - energy).abs() < 1e-9);
        // both hangers together carry the leaf, 60 kg x 9.80665 m/s2
        let carried = number("hanger_leading_2_n") + number("hanger_trailing_2_n");
        assert!((carried - 588.399).abs() < 1e-6, "{carried}");
        assert!(number("t_s") > last_t);
        last_t = number("t_s");
        rows += 1;
    }
    assert!(rows > 5000, "{rows}");
}

#[test]
fn csv_leaves_out_the_leaf_and_the_span_that_are_not_there() {
    let answer = with_input(&["run", "-", "--csv", "-"], CALM.as_bytes());
    let header = answer.out.lines().next().expect("a header");
    assert!(header.contains("tension_3_n") && !header.contains("tension_4_n") && !header.contains("leaf_2"));
    assert!(answer.out.lines().count() > 1000 && !answer.out.contains("Limits"), "only the table of numbers");
}

#[test]
fn svg_is_well_formed_and_says_what_it_shows() {
    let folder = Folder::new();
    for (name, input) in [("calm", CALM.to_owned()), ("hasty", hasty())] {
        let out = folder.path(&format!("{name}.svg"));
        with_input(&["run", "-", "--svg", &out], input.as_bytes());
        let svg = std::fs::read_to_string(&out).expect("it was written");
        let document = roxmltree::Document::parse(&svg).expect("well-formed");
        assert_eq!(document.root_element().tag_name().name(), "svg");
        let texts: Vec<String> = document
            .descendants()
            .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "text")))
            .map(|node| node.text().unwrap_or_default().trim().to_owned())
            .collect();
        for wanted in [
            "Calm <door> & \"quotes\"",
            "Speed of the leaf",
            "Kinetic energy",
            "Closing force",
            "speed, m/s",
            "kinetic energy, J",
            "force, N",
            "time since touching, s",
            "limit, one leaf 30 J",
            "A simulation is not proof: only a force test on the installed door, by a competent person, shows that it \
             conforms.",
        ] {
            assert!(texts.iter().any(|text| text == wanted), "{name}: {wanted}: {texts:?}");
        }
        let limit = if name == "calm" { "limit 0.3 m/s" } else { "limit 0.1 m/s, over" };
        assert!(texts.iter().any(|text| text == limit), "{texts:?}");
    }
}

/// The axes of this door once sent the drawing library round and round.
#[test]
fn regress_a_picture_is_drawn_in_time_whatever_the_range_of_its_axes() {
    let door = "schema = 1\n[closing]\nacceleration = \"0.0721939 m/s2\"\ncurrent_limit = \"21.6791 A\"\n\
        [opening]\ncreep_distance = \"74.1244 mm\"\n[stoppers]\ndamping = \"2854.63 N s/m\"\n\
        behind_closed = \"1.34216 mm\"\n[controller]\npress_current = \"0.055263 A\"\n[pulleys]\nteeth = 36\n\
        return_inertia = \"2.61714e-06 kg m2\"\nbearing_diameter_ratio = 0.208297\n\
        [edge]\nstiffness = \"382.671 N/mm\"\n[motor]\ninductance = \"16.9736 mH\"\n";
    let answer = with_input(&["run", "-", "--svg", "-"], door.as_bytes());
    assert_eq!(answer.code, 0);
    assert!(roxmltree::Document::parse(&answer.out).is_ok());
}

#[test]
fn no_colour_is_written_to_a_pipe_unless_it_is_forced() {
    let folder = Folder::new();
    let file = folder.write("door.toml", hasty());
    let plain = tautleaf(&["run", &file]);
    assert!(!plain.out.contains('\u{1b}') && !plain.err.contains('\u{1b}'));
    let mut forced = command(&["run", &file]);
    forced.env("CLICOLOR_FORCE", "1");
    let forced = finish(forced, b"");
    assert!(forced.out.contains("\u{1b}["));
    let mut refused = command(&["run", &file]);
    refused.env("NO_COLOR", "1");
    assert_eq!(finish(refused, b"").out, plain.out);
}

#[test]
fn warnings_are_no_part_of_the_answer() {
    let unusual = CALM.replace("60 kg", "900 kg");
    let answer = with_input(&["run", "-"], unusual.as_bytes());
    assert!(answer.err.contains("warning: standard-input:4: leaf.mass: 900 kg is unusual"), "{}", answer.err);
    assert!(!answer.out.contains("unusual"));
    let json = with_input(&["run", "-", "--json"], unusual.as_bytes());
    assert_eq!(json.json()["warnings"][0]["key"], "leaf.mass");
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    use std::process::Stdio;
    let mut child = command(&["run", &shipped("reference-glass"), "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    drop(child.stdout.take()); // closes the pipe before anything is written
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_is_a_failure() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").expect("Linux has it");
    let output = command(&["run", &shipped("reference-glass")]).stdout(full).output().expect("it runs");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("standard output cannot be written"));
}

#[test]
fn files_that_cannot_be_written_are_named() {
    let folder = Folder::new();
    let file = folder.write("door.toml", CALM);
    for flag in ["--csv", "--svg"] {
        let answer = tautleaf(&["run", &file, flag, &folder.path("nowhere/out")]);
        assert_eq!((answer.code, answer.out.as_str()), (2, ""));
        assert!(answer.err.contains("nowhere/out: not written"), "{}", answer.err);
        let answer = tautleaf(&["run", &file, flag, &file]);
        assert_eq!(answer.code, 2);
        assert!(answer.err.contains("it is the door file"), "{}", answer.err);
    }
    assert_eq!(std::fs::read_to_string(&file).expect("it is still there"), CALM);
}

#[test]
fn one_answer_at_a_time_on_standard_output() {
    let answer = with_input(&["run", "-", "--csv", "-", "--json"], CALM.as_bytes());
    assert_eq!((answer.code, answer.out.as_str()), (2, ""));
    assert!(answer.err.contains("use one of them"));
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    let run = || tautleaf(&["run", &shipped("belt-too-loose"), "--json"]).out;
    assert_eq!(run(), run());
}

#[test]
fn help_teaches_with_examples() {
    for name in ["run", "force", "check", "new", "resolve", "limits"] {
        let answer = tautleaf(&[name, "--help"]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{name}");
        assert!(
            answer.out.contains("Examples:") && answer.out.contains(&format!("tautleaf {name}")),
            "{name}"
        );
    }
    assert!(tautleaf(&["--help"]).out.contains("tautleaf new shop.toml"));
}

fn verdicts(result: &Value) -> &Vec<Value> {
    result["verdicts"].as_array().expect("a list of verdicts")
}
