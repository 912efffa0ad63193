//! `tautleaf choose` and `tautleaf catalogue`.

mod black_box;

use black_box::{CALM, Folder, shipped, tautleaf, with_input};

const HEAVY: &str = "heavy-leaf-to-choose-for";

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_heavy_leaf_gets_its_drives_their_settings_and_the_reason_of_every_other() {
    let answer = tautleaf(&["choose", &shipped(HEAVY)]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    assert!(answer.out.lines().all(|line| line.chars().count() <= 100), "{}", answer.out);
    let text = flat(&answer.out);
    for part in [
        "open in 4 s, closed in 8 s, 90 cycles an hour",
        "Ranked by the smallest rated power",
        "installed tension, pulleys of",
        "What it has left",
        "self-locking gear: efficiency 0.47 locks itself, and the door has to be opened by hand",
        "inertia ratio: moves",
        "peak torque: needs",
        "A simulation is not proof",
        "lifting aids and enough people",
        "isolate the mains",
        "licensed practice signs",
        "invented, generic ones",
    ] {
        assert!(text.contains(part), "{part}\n{}", answer.out);
    }
    assert!(!answer.out.contains("NaN") && !answer.out.contains("inf"), "{}", answer.out);
}

/// The promise: the door file that is written, run by itself, is within every limit, and without it the door is over.
#[test]
fn the_door_file_that_is_written_keeps_every_limit() {
    let folder = Folder::new();
    for name in [HEAVY, "drive-too-weak", "us-storefront", "bi-parting", "battery-sag"] {
        let chosen = folder.path(&format!("{name}.toml"));
        let answer = tautleaf(&["choose", &shipped(name), "--out", &chosen]);
        assert_eq!(answer.code, 0, "{name}: {}", answer.err);
        let run = tautleaf(&["run", &chosen, "--json"]);
        assert_eq!(run.code, 0, "{name}: {}{}", run.err, run.json()["verdicts"]);
    }
    assert_eq!(tautleaf(&["run", &shipped(HEAVY)]).code, 1);
}

#[test]
fn every_pair_is_in_the_json_with_its_margins_and_its_reason() {
    let answer = tautleaf(&["choose", &shipped(HEAVY), "--json"]);
    let result = answer.json();
    let list = |key: &str| result[key].as_array().expect("a list").clone();
    let (does, does_not) = (list("does"), list("does_not"));
    assert_eq!(does.len() + does_not.len(), 24 * 12);
    assert!(does.iter().all(|pair| pair["reason"].is_null() && pair["cycles_run"].as_u64() > Some(0)));
    for pair in &does {
        let checks = pair["checks"].as_array().expect("a list");
        assert!(
            checks.len() > 10 && checks.iter().all(|check| check["margin"].as_f64() >= Some(-1e-9)),
            "{pair}"
        );
        assert!(
            pair["settings"]
                .as_array()
                .expect("a list")
                .iter()
                .any(|set| set["key"] == "motor.torque_constant")
        );
    }
    let mut reasons: Vec<&str> =
        does_not.iter().map(|pair| pair["reason"]["bound"].as_str().expect("a reason")).collect();
    reasons.sort_unstable();
    reasons.dedup();
    for reason in ["allowable tension", "inertia ratio", "peak torque", "self-locking gear"] {
        assert!(reasons.contains(&reason), "{reason}: {reasons:?}");
    }
    let (with, without): (Vec<_>, Vec<_>) = does.iter().partition(|pair| pair["has_reserve"] == true);
    let watts: Vec<f64> = with.iter().filter_map(|pair| pair["rated_power_w"].as_f64()).collect();
    assert!(watts.windows(2).all(|two| two[0] <= two[1]));
    // those that lack some of it by how much of it they have, in tenths
    let had = |pair: &&serde_json::Value| {
        let checks = pair["checks"].as_array().expect("a list").iter();
        let part = checks.filter_map(|check| Some(check["margin"].as_f64()? / check["reserve"].as_f64()?));
        (10.0 * part.filter(|part| part.is_finite()).fold(1.0, f64::min).max(0.0)).floor()
    };
    let tenths: Vec<f64> = without.iter().map(had).collect();
    assert!(tenths.len() > 3 && tenths.is_sorted_by(|a, b| a >= b), "{tenths:?}");
    assert!(result["cautions"].as_array().is_some_and(|all| !all.is_empty()));
}

#[test]
fn another_rule_ranks_otherwise_and_the_same_pairs_do() {
    let ranked = |rule: &str, key: &str| -> Vec<f64> {
        let answer = tautleaf(&["choose", &shipped(HEAVY), "--reserve", "0 %", "--json", "--rank", rule]);
        let result = answer.json();
        assert_eq!(result["rank"], rule);
        let all = result["does"].as_array().expect("a list").clone();
        all.iter().filter_map(|pair| pair.pointer(key).and_then(|value| value.as_f64())).collect()
    };
    let energy = ranked("energy", "/energy_per_cycle_j");
    assert!(energy.len() > 50 && energy.windows(2).all(|two| two[0] <= two[1]), "{energy:?}");
    let left = ranked("margin", "/tightest/margin");
    assert!(left.len() == energy.len() && left.windows(2).all(|two| two[0] >= two[1]), "{left:?}");
    assert_eq!(tautleaf(&["choose", &shipped(HEAVY), "--rank", "price"]).code, 2);
}

#[test]
fn a_door_that_no_drive_can_move_in_time_gets_no_drive() {
    // 160 kg in the wanted time carry more energy than is allowed, whatever moves them
    let folder = Folder::new();
    let text = std::fs::read_to_string(shipped("heavy-glass-energy")).expect("a shipped door");
    let door = folder.write("door.toml", text + "closing_time_max = \"3 s\"\n");
    let answer = tautleaf(&["choose", &door]);
    assert_eq!(answer.code, 1, "{}", answer.err);
    let said = flat(&answer.out);
    // the same reason 24 times is said once
    assert!(
        said.contains("every one of them: speed for the wanted time: the wanted time needs"),
        "{}",
        answer.out
    );
    let answer = tautleaf(&["choose", &door, "--out", &folder.path("none.toml")]);
    assert!(answer.code == 1 && answer.err.contains("was not written"), "{}", answer.err);
    assert!(!std::path::Path::new(&folder.path("none.toml")).exists());
}

/// Without limits on time its own settings ask for more speed than its energy limit allows: that is a wish, and gives way.
#[test]
fn a_wish_that_the_limits_of_the_door_forbid_gives_way_to_them() {
    let answer = tautleaf(&["choose", &shipped("heavy-glass-energy")]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    assert!(
        flat(&answer.out).contains("as its settings would, slowed to what its limits leave"),
        "{}",
        answer.out
    );
}

#[test]
fn what_ranks_first_has_the_reserve_and_who_lacks_it_says_of_what() {
    let answer = tautleaf(&["choose", &shipped("us-storefront"), "--json"]).json();
    assert_eq!(answer["reserve"], 0.1);
    let does = answer["does"].as_array().expect("a list");
    let has: Vec<bool> = does.iter().map(|pair| pair["has_reserve"] == true).collect();
    assert!(has[0] && has.contains(&false) && has.is_sorted_by(|a, b| a >= b), "{has:?}");
    for check in does[0]["checks"].as_array().expect("a list") {
        let number = |key: &str| check[key].as_f64().expect("a number");
        assert!(number("margin") >= number("reserve") - 1e-9, "{check}");
    }
    let text = tautleaf(&["choose", &shipped("us-storefront")]).out;
    assert!(
        flat(&text).contains(
            "Everything is kept, but not with 10 % of everything left; what comes nearest to that first:"
        ),
        "{text}"
    );
}

#[test]
fn drives_are_restricted_and_what_leaves_none_is_refused_with_what_would() {
    let door = shipped(HEAVY);
    let only = ["--voltage", "24 V", "--gear", "worm", "--most-power", "100 W", "--self-locking", "no"];
    let answer = tautleaf(&[&["choose", &door, "--json"][..], &only].concat());
    assert_eq!(answer.code, 0, "{}", answer.err);
    let result = answer.json();
    // the worms of 24 V but those of 120 W and of 40:1, which locks itself
    assert_eq!(
        (&result["drives"], &result["only"]),
        (&6.into(), &"24 V, worm gear, at most 100 W rated, not self-locking".into())
    );
    let pairs = ["does", "does_not"].map(|key| result[key].as_array().expect("a list").clone()).concat();
    assert_eq!(pairs.len(), 6 * 12);
    assert!(pairs.iter().all(|pair| {
        pair["drive"].as_str().is_some_and(|name| name.starts_with("24 V") && name.contains("worm"))
    }));
    let text = tautleaf(&[&["choose", &door][..], &only].concat()).out;
    assert!(flat(&text).contains("Tried were drives of 24 V, worm gear"), "{text}");

    for (wrong, says) in [
        (
            &["--voltage", "36 V"][..],
            "no drive of the catalogue is for a bus of 36 V; there are 24 V, 48 V, 160 V, 325 V",
        ),
        (&["--voltage", "24"], "has no unit"),
        (&["--gear", "chain"], "write one of worm, planetary, direct"),
        (&["--most-power", "120"], "such as 120 W"),
        (&["--self-locking", "maybe"], "write yes or no"),
        (
            &["--voltage", "48 V", "--gear", "worm"],
            "none of the 24 drives of the catalogue is 48 V, worm gear: 2 of them are 48 V, ",
        ),
        (&["--most-power", "5 W"], "ask for less, or add drives with --catalogue"),
        (&["--reserve", "10"], "write a share such as 10 %"),
        (&["--reserve", "95 %"], "from 0 % to 90 %"),
    ] {
        let answer = tautleaf(&[&["choose", &door][..], wrong].concat());
        assert!(
            answer.code == 2 && answer.out.is_empty() && answer.err.contains(says),
            "{wrong:?}: {}",
            answer.err
        );
    }
}

#[test]
fn drives_of_ones_own_stand_beside_those_of_the_program_and_bad_ones_are_refused() {
    let folder = Folder::new();
    let drives = folder.path("drives");
    std::fs::create_dir(&drives).expect("a folder in a temporary folder");
    let own = "schema = 1\n[[drive]]\nname = \"The one of our own\"\nmotor = \"brushless\"\ngear = \"planetary\"\nvoltage = \"36 V\"\n\
        resistance = \"0.5 ohm\"\ntorque_constant = \"0.06 N m/A\"\ninductance = \"0.5 mH\"\nrotor_inertia = \"4e-5 kg m2\"\n\
        rated_current = \"5 A\"\npeak_current = \"15 A\"\nrated_turns_per_min = 3500\nmost_turns_per_min = 5000\nrated_rise = \"80 K\"\n\
        ratio = 15\nefficiency = 0.88\npeak_torque = \"10 N m\"\npulley_diameter = \"48 mm\"\nshaft_load = \"1200 N\"\n";
    folder.write("drives/own.toml", own);
    let door = folder.write("door.toml", CALM);
    let answer = tautleaf(&["choose", &door, "--catalogue", &drives, "--rank", "margin"]);
    assert!(
        answer.code == 0 && answer.out.contains("of 25 drives meet the requirements"),
        "{}{}",
        answer.out,
        answer.err
    );
    let listed = tautleaf(&["catalogue", "--catalogue", &drives]);
    assert!(
        listed.out.contains("The one of our own") && listed.out.contains("none is a product"),
        "{}",
        listed.out
    );
    assert!(listed.out.lines().all(|line| line.chars().count() <= 100), "{}", listed.out);

    folder.write("drives/own.toml", own.replace("\"36 V\"", "\"36\"").replace("ratio = 15", "ratio = 0"));
    let answer = tautleaf(&["choose", &door, "--catalogue", &drives]);
    assert_eq!((answer.code, answer.out.as_str()), (2, ""));
    assert!(answer.err.contains("own.toml:6: drive.voltage: \"36\" has no unit"), "{}", answer.err);
    assert!(answer.err.contains("own.toml:16: drive.ratio: 0 is not possible"), "{}", answer.err);
    assert_eq!(tautleaf(&["catalogue", "--catalogue", &folder.path("none")]).code, 2);
}

#[test]
fn the_catalogue_lists_every_number() {
    let all = tautleaf(&["catalogue", "--json"]).json();
    let drives = all["drives"].as_array().expect("a list");
    assert_eq!((drives.len(), all["belts"].as_array().map(Vec::len)), (24, Some(12)));
    for drive in drives {
        let numbers = drive["numbers"].as_array().expect("a list");
        assert!(numbers.len() >= 20 && numbers.iter().all(|number| number["value"].is_number()), "{drive}");
    }
}

#[test]
fn the_map_of_a_drive_tells_the_shortest_time_of_each_leaf_and_what_forbids_less() {
    let door = shipped("drive-too-weak");
    let answer = tautleaf(&["choose", &door, "--map", "24 V, planetary 16:1", "--belt", "5M, 15"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    for part in [
        "leaf mass against closing time",
        "what forbids less",
        "voltage reserve",
        "within every border",
        "not at all",
    ] {
        assert!(answer.out.contains(part), "{part}\n{}", answer.out);
    }
    let map =
        tautleaf(&["choose", &door, "--map", "24 V, planetary 16:1", "--belt", "5M, 15", "--json"]).json();
    let rows = map["rows"].as_array().expect("a list");
    // a heavier leaf never closes faster
    let times: Vec<f64> = rows.iter().filter_map(|row| row["shortest_closing_s"].as_f64()).collect();
    assert!(times.len() > 4 && times.windows(2).all(|two| two[1] >= two[0] - 0.1), "{times:?}");
    assert!(map["borders"].as_array().is_some_and(|borders| borders.len() >= 2));
}

#[test]
fn pictures_are_well_formed_and_nothing_is_written_over_the_door_file() {
    let folder = Folder::new();
    let door = folder.write("door.toml", CALM);
    for args in [&["--map", "24 V, worm 15:1, 60 W"][..], &[]] {
        let answer = tautleaf(&[&["choose", &door, "--svg", "-"][..], args].concat());
        assert!(answer.code < 2, "{}", answer.err);
        let svg = &answer.out;
        roxmltree::Document::parse(svg).expect("well-formed");
        assert!(svg.contains("<title>Calm &lt;door&gt;") && !svg.contains("NaN"), "{svg}");
        assert!(svg.contains("A simulation is not proof"));
    }
    for wrong in [
        &["--svg", &door][..],
        &["--out", &door],
        &["--svg", "-", "--json"],
        &["--map", "worm"],
        &["--map", "steam"],
        &["--belt", "5M"],
    ] {
        let answer = tautleaf(&[&["choose", &door][..], wrong].concat());
        assert!(answer.code == 2 && answer.out.is_empty(), "{wrong:?}: {}{}", answer.out, answer.err);
    }
    let several = tautleaf(&["choose", &door, "--map", "worm 15:1"]).err;
    assert!(
        several.contains("more than one drive \"worm 15:1\"; write one of \"24 V, worm 15:1, 40 W\""),
        "{several}"
    );
    assert_eq!(std::fs::read_to_string(&door).expect("untouched"), CALM);
}

#[test]
fn a_battery_is_not_exchanged_for_the_supply_of_a_drive() {
    let text = format!("{CALM}[supply]\nkind = \"battery\"\n");
    let answer = with_input(&["choose", "-", "--json"], text.as_bytes());
    let result = answer.json();
    let refused = result["does_not"].as_array().expect("a list");
    let supply: Vec<_> = refused.iter().filter(|pair| pair["reason"]["bound"] == "supply voltage").collect();
    assert!(supply.len() == 8 * 12 && supply.iter().all(|pair| pair["cycles_run"] == 0), "{}", supply.len());
}

/// What is said of the first rank is what a study of the door file that is written counts with the same draws.
#[test]
fn a_wanted_probability_is_counted_as_a_study_of_the_chosen_door_counts_it() {
    let folder = Folder::new();
    let (door, out) = (folder.write("calm.toml", CALM), folder.path("chosen.toml"));
    let wanted = ["choose", &door, "--voltage", "24 V", "--gear", "planetary", "--probability", "90 %"];
    let answer = tautleaf(&[&wanted[..], &["--runs", "40", "--seed", "5", "--json", "--out", &out]].concat());
    assert_eq!(answer.code, 0, "{}", answer.err);
    let surely = &answer.json()["surely"];
    assert_eq!((surely["met"].as_bool(), surely["wanted"].as_f64()), (Some(true), Some(0.9)));
    let table = tautleaf(&["spread", &out, "--runs", "40", "--seed", "5", "--json"]).json();
    let kept = &surely["kept"][0]["times"];
    assert!(kept.as_u64().is_some_and(|kept| kept >= 36), "{kept}");
    assert_eq!(&table["keeps_all"]["times"], kept, "a study holds to a sound door as choosing does");
    let text = tautleaf(&[&wanted[..], &["--runs", "40", "--seed", "5"]].concat()).out;
    assert!(text.contains("Kept in drawn doors, 90 % asked for") && text.contains(" of 40"), "{text}");
}
