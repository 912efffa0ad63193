//! `tautleaf force`, `check`, `new`, `resolve` and `limits`.

mod black_box;

use black_box::{CALM, Folder, all_shipped, hasty, shipped, tautleaf, with_input};
use serde_json::Value;

fn curve(gap: &Value) -> (Vec<f64>, Vec<f64>) {
    let list = |key: &str| {
        let values = gap["force_over_time"][key].as_array().expect("a list");
        values.iter().map(|value| value.as_f64().expect("a number")).collect()
    };
    (list("t_s"), list("force_n"))
}

#[test]
fn force_over_time_has_its_peak_where_the_impact_is() {
    let answer = tautleaf(&["force", &shipped("reference-glass"), "--json"]);
    let result = answer.json();
    let gaps = result["force"].as_array().expect("a list");
    // the usual three, the upper end of each band, and the fastest place of each
    let tested: Vec<f64> = gaps.iter().filter_map(|gap| gap["gap_m"].as_f64()).collect();
    assert!([0.05, 0.2, 0.3, 0.5].iter().all(|gap| tested.contains(gap)), "{tested:?}");
    assert!(tested.is_sorted() && tested.len() > 6, "{tested:?}");
    for gap in gaps {
        let (t_s, force_n) = curve(gap);
        assert_eq!(t_s.len(), force_n.len());
        let impact = gap["impact_force_n"].as_f64().expect("it is met");
        let early = t_s.iter().zip(&force_n).filter(|(t, _)| **t <= 0.75);
        let greatest = early.map(|(_, force)| *force).fold(0.0, f64::max);
        // one point a tick, the impact is the greatest of all sub-steps between them
        assert!(greatest <= impact && greatest > 0.999 * impact, "{greatest} {impact}");
    }
}

#[test]
fn gaps_are_asked_for_with_their_units() {
    let file = shipped("us-storefront");
    let answer = tautleaf(&["force", &file, "--gaps", "2 in, 100mm", "--gaps", "0.5 m", "--json"]);
    let result = answer.json();
    let gaps: Vec<f64> =
        result["force"].as_array().expect("a list").iter().filter_map(|gap| gap["gap_m"].as_f64()).collect();
    assert_eq!(gaps, [0.0508, 0.1, 0.5]);
    for wrong in ["50", "50 N", "-50 mm", "0 mm", "wide", "nan mm", "50 m"] {
        let answer = tautleaf(&["force", &file, &format!("--gaps={wrong}")]);
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{wrong}");
        assert!(!answer.err.is_empty(), "{wrong}");
    }
}

#[test]
fn force_is_judged_by_the_limits_on_closing_force_alone() {
    let limits = "[limits]\nclosing_speed_max = \"0.01 m/s\"\nstall_force_max = \"400 N\"\n";
    let text = CALM.split("[limits]").next().expect("the door").to_owned();
    let answer = with_input(&["force", "-"], (text.clone() + limits).as_bytes());
    assert_eq!(answer.code, 0, "{}", answer.out);
    let answer = with_input(&["force", "-"], (text + &limits.replace("400", "150")).as_bytes());
    assert_eq!(answer.code, 1);
    assert!(
        answer.out.contains("Stall force") && answer.out.contains("closing.current_limit"),
        "{}",
        answer.out
    );
    assert!(answer.out.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn check_says_every_problem_of_every_file() {
    let folder = Folder::new();
    let good = folder.write("good.toml", CALM);
    let odd = folder.write("odd.toml", CALM.replace("60 kg", "900 kg"));
    let bad = folder.write(
        "bad.toml",
        "schema = 1\n[leaf]\nmass = \"80\"\nstroke = \"0 m\"\n[belt]\ntensoin = \"9 N\"\n",
    );
    let answer = tautleaf(&["check", &good, &bad, &odd]);
    assert_eq!(answer.code, 2);
    assert!(answer.out.contains(&format!("{good}: fine\n")), "{}", answer.out);
    assert!(answer.out.contains(&format!("{odd}: fine, with a warning\n")), "{}", answer.out);
    let problems: Vec<&str> = answer.err.lines().collect();
    assert_eq!(problems.len(), 3, "{}", answer.err);
    for (problem, at) in problems.iter().zip([":3: leaf.mass: ", ":4: leaf.stroke: ", ":6: belt.tensoin: "]) {
        assert!(problem.starts_with(&format!("{bad}{at}")), "{problem}");
    }
    assert_eq!(tautleaf(&["check", &good, &odd]).code, 0);
}

/// Two faults and two forces, of which only the second is wrong: the line is that of its own key, or else of its own entry.
#[test]
fn what_is_wrong_with_the_second_fault_is_told_with_its_own_line() {
    let folder = Folder::new();
    let faults = "schema = 1\n[[fault]]\nname = \"joint\"\nkind = \"step\"\nheight = \"1 mm\"\n";
    for (second, says) in [
        (
            "[[fault]]\nkind = \"bump\"\nheight = \"20 mm\"\n",
            ":8: the second [[fault]]: height: it is 20 mm high, the roller's radius is 15 mm; at most 7.5 mm",
        ),
        // the same name: it is told by its place
        (
            "[[fault]]\nname = \"joint\"\nkind = \"bump\"\nheight = \"-1 mm\"\n",
            ":9: the second [[fault]]: height: \"joint\" is -1 mm high; 0 or more",
        ),
        (
            "[[fault]]\nleaf = 2\n",
            ":7: the second [[fault]]: leaf: it is on leaf 2; this door has 1 leaf: write 1",
        ),
        ("[[fault]]\nheight = \"9 m\"\n", ":7: the second [[fault]]: height: \"9 m\" is not possible; "),
        (
            "[[fault]]\nheihgt = \"1 mm\"\n",
            ":7: the second [[fault]]: heihgt: there is no such key; did you mean",
        ),
        (
            "[[force]]\nstart = \"1 s\"\n[[force]]\nstart = \"3 s\"\nend = \"2 s\"\n",
            ":10: the second [[force]]: end: it ends at 2 s before it begins at 3 s; ",
        ),
        // that it is not possible is found as it is read
        (
            "[[force]]\nfrom = \"1 m\"\n[[force]]\nto = \"-200 m\"\n",
            ":9: the second [[force]]: to: \"-200 m\" is not possible; ",
        ),
    ] {
        let file = folder.write("door.toml", format!("{faults}{second}"));
        let answer = tautleaf(&["check", &file]);
        assert_eq!((answer.code, answer.err.lines().count()), (2, 1), "{}", answer.err);
        assert!(answer.err.starts_with(&format!("{file}{says}")), "{}", answer.err);
    }
}

/// As text and as data: what is unusual about the second of two forces.
#[test]
fn what_is_unusual_about_the_second_force_is_told_with_its_own_line() {
    let text = format!("{CALM}[[force]]\ndrag = \"1 N\"\n[[force]]\ndrag = \"300 N\"\n");
    let line = text.lines().count();
    let answer = with_input(&["check", "-"], text.as_bytes());
    let says = format!("warning: standard-input:{line}: the second [[force]]: drag: 300 N is unusual; ");
    assert!(answer.code == 0 && answer.out.contains(&says), "{}", answer.out);
    let warning = &with_input(&["resolve", "-", "--json"], text.as_bytes()).json()["warnings"][0];
    assert_eq!((&warning["key"], &warning["entry"]), (&Value::from("force.drag"), &Value::from(2)));
    assert_eq!(warning["line"], line);
}

/// 1 kg is 2.2046 lb, 1 ft is 0.3048 m.
#[test]
fn a_file_in_us_units_is_told_what_is_wrong_in_us_units() {
    let head = "schema = 1\nunits = \"US\"\n";
    for (text, says) in [
        (
            "[leaf]\nmass = \"0.1 lb\"\n",
            ":4: leaf.mass: \"0.1 lb\" is not possible; mass of one leaf with its hangers, \
            without belt: between 0.2205 lb and 11023 lb\n",
        ),
        (
            "[closing]\ncreep_distance = \"60 in\"\n[leaf]\nstroke = \"4 ft\"\n",
            ":4: closing.creep_distance: 60 in is longer \
            than the travel; at most 4 ft\n",
        ),
        (
            "[belt]\ncentre_distance = \"2 ft\"\n",
            ":4: belt.centre_distance: 2 ft between the pulleys leaves no belt ahead of \
            the open leaf; stroke and clamp need at least 4.282 ft\n",
        ),
    ] {
        let answer = with_input(&["check", "-"], format!("{head}{text}").as_bytes());
        assert_eq!((answer.code, answer.err), (2, format!("standard-input{says}")));
    }
    let answer = with_input(&["check", "-"], format!("{head}[leaf]\nmass = \"2000 lb\"\n").as_bytes());
    assert!(answer.out.contains("usual is 44.09 lb to 881.8 lb\n"), "{}", answer.out);
}

#[test]
fn every_shipped_scenario_is_fine() {
    for file in all_shipped() {
        let answer = tautleaf(&["check", &file]);
        // the one whose warning is what it shows
        if file.ends_with("locking-worm.toml") {
            assert!(answer.code == 0 && answer.out.starts_with(&format!("{file}: fine, with a warning\n")));
            assert_eq!(answer.out.matches("warning: ").count(), 1, "{}", answer.out);
            continue;
        }
        assert_eq!((answer.code, answer.out), (0, format!("{file}: fine\n")));
    }
}

#[test]
fn a_new_door_file_is_fine_and_is_never_written_over_another() {
    let folder = Folder::new();
    let file = folder.path("new.toml");
    let answer = tautleaf(&["new", &file]);
    assert_eq!((answer.code, answer.out.as_str()), (0, ""));
    assert_eq!(tautleaf(&["check", &file]).code, 0);
    std::fs::write(&file, CALM).expect("it can be changed");
    let answer = tautleaf(&["new", &file]);
    assert_eq!(answer.code, 2);
    assert!(answer.err.contains("it is there already"), "{}", answer.err);
    assert_eq!(std::fs::read_to_string(&file).expect("it is there"), CALM);
    assert_eq!(tautleaf(&["new", &file, "--force"]).code, 0);
    let printed = tautleaf(&["new"]).out;
    assert_eq!(std::fs::read_to_string(&file).expect("it is there"), printed);
    assert_eq!(with_input(&["run", "-"], printed.as_bytes()).code, 0);
}

#[test]
fn resolve_gives_every_number_that_the_model_uses() {
    let result = with_input(&["resolve", "-", "--json"], CALM.as_bytes()).json();
    let parameters = &result["parameters"];
    assert_eq!(parameters["leaf"]["mass_kg"], 60.0);
    assert_eq!(parameters["belt"]["centre_distance_m"], 2.3); // stroke + 1.4 m, worked out
    for (section, key) in [
        ("controller", "proportional_gain_a_s_per_m"),
        ("controller", "integral_gain_a_per_m"),
        ("pulleys", "return_radius_m"),
    ] {
        assert!(parameters[section][key].is_number(), "{section}.{key}");
    }
    let spans = result["derived"]["ring"]["spans"].as_array().expect("a list");
    assert_eq!(spans.len(), 3);
    assert_eq!(spans[0]["row"], serde_json::json!([-1.0, 1.0, 0.0]));
    assert_eq!(result["constants"]["gravity_m_per_s2"], 9.80665);
    assert_eq!(result["initial"]["t_s"], 0.0);
    assert_eq!(result["initial"]["state"], "closed");
}

#[test]
fn resolve_says_where_each_number_is_from() {
    let answer = with_input(&["resolve", "-"], CALM.as_bytes());
    let line =
        |key: &str| answer.out.lines().find(|line| line.starts_with(key)).expect("it is listed").to_owned();
    assert!(line("leaf.mass").contains("60 kg") && line("leaf.mass").contains("set in line 4"));
    assert!(line("gear.ratio").contains("default: judgement"));
    assert!(line("belt.centre_distance").contains("worked out"));
}

#[test]
fn limits_are_listed_with_their_sources() {
    let all = tautleaf(&["limits"]);
    for text in
        ["low-energy-sliding-eu", "EN 16005:2012", "1.69 J", "powered-sliding-us", "30 lbf", "from memory"]
    {
        assert!(all.out.contains(text), "{text}");
    }
    let one = tautleaf(&["limits", "powered-sliding-us"]);
    assert!(one.out.contains("10.10 / 10.1.1") && !one.out.contains("low-energy-sliding-eu"));
    let none = tautleaf(&["limits", "powered-sliding-uk"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(none.err.contains("powered-sliding-us"));
}

#[test]
fn without_a_display_the_window_says_so() {
    let mut command = black_box::command(&[]);
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("WAYLAND_SOCKET");
    let answer = black_box::finish(command, b"");
    assert_eq!((answer.code, answer.out.as_str()), (2, ""));
    assert!(
        answer.err.contains("no window could be opened") && answer.err.contains("--help"),
        "{}",
        answer.err
    );
}

#[test]
fn force_and_run_agree_on_the_same_gaps() {
    let (run, force) = (
        with_input(&["run", "-", "--json"], hasty().as_bytes()).json(),
        with_input(&["force", "-", "--json"], hasty().as_bytes()).json(),
    );
    let pairs =
        run["force"].as_array().expect("a list").iter().zip(force["force"].as_array().expect("a list"));
    for (one, other) in pairs {
        for key in [
            "gap_m",
            "stall_force_n",
            "impact_force_n",
            "residual_force_n",
            "time_above_150n_s",
            "acts_after_s",
        ] {
            assert_eq!(one[key], other[key], "{key}");
        }
    }
}
