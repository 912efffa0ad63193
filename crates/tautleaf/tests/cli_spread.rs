//! `tautleaf spread` and `tautleaf gather`.

mod black_box;

use std::fs;

use black_box::{CALM, Folder, all_shipped, hasty, shipped, tautleaf, with_input};

/// Text, JSON and rows of a study of one door, on so many threads.
fn study(folder: &Folder, name: &str, args: &[&str]) -> (String, String, String) {
    let door = folder.write("door.toml", CALM);
    let (csv, json) = (folder.path(&format!("{name}.csv")), folder.path(&format!("{name}.json")));
    let args = [&["spread", &door, "--runs", "120", "--csv", &csv, "--json", &json], args].concat();
    let answer = tautleaf(&args);
    assert_eq!(answer.code, 0, "{}", answer.err);
    let read = |path: &str| fs::read_to_string(path).expect("it was written");
    (answer.out, read(&csv), read(&json))
}

#[test]
fn one_thread_and_two_and_one_part_and_five_give_the_same_bytes() {
    let folder = Folder::new();
    let alone = study(&folder, "alone", &["--threads", "1"]);
    assert_eq!(study(&folder, "two", &["--threads", "2"]), alone);
    assert_ne!(study(&folder, "other", &["--seed", "2"]), alone);

    let door = folder.path("door.toml");
    let parts: Vec<String> = (1..=5).map(|n| folder.path(&format!("part-{n}.csv"))).collect();
    for (n, part) in parts.iter().enumerate() {
        let of = format!("{}/5", n + 1);
        let answer = tautleaf(&["spread", &door, "--runs", "120", "--part", &of, "--csv", part]);
        assert_eq!((answer.code, answer.out.as_str()), (0, ""), "{}", answer.err);
    }
    let (csv, json) = (folder.path("whole.csv"), folder.path("whole.json"));
    let parquet = ["whole", "one"].map(|name| folder.path(&format!("{name}.parquet")));
    let shuffled = [3, 0, 4, 2, 1].map(|n| parts[n].as_str());
    let answer = tautleaf(&[&["gather"], &shuffled[..], &["--csv", &csv, "--json", &json]].concat());
    assert_eq!(answer.code, 0, "{}", answer.err);
    let read = |path: &str| fs::read_to_string(path).expect("it was written");
    assert_eq!((answer.out, read(&csv), read(&json)), alone);
    tautleaf(&[&["gather"], &shuffled[..], &["--parquet", &parquet[0]]].concat());
    tautleaf(&["spread", &door, "--runs", "120", "--parquet", &parquet[1]]);
    let [whole, one] = parquet.map(|path| fs::read(path).expect("it was written"));
    assert!(whole.starts_with(b"PAR1") && whole == one);
}

#[test]
fn what_does_not_belong_together_is_not_joined() {
    let folder = Folder::new();
    let door = folder.write("door.toml", CALM);
    let other = folder.write("other.toml", hasty());
    let part = |door: &str, part: &str, name: &str, args: &[&str]| {
        let out = folder.path(name);
        let args = [&["spread", door, "--runs", "6", "--part", part, "--csv", &out], args].concat();
        assert_eq!(tautleaf(&args).code, 0);
        out
    };
    let one = part(&door, "1/2", "one.csv", &[]);
    let two = part(&door, "2/2", "two.csv", &[]);
    let refused = |files: &[&str], part: &str| {
        let answer = tautleaf(&[&["gather"], files].concat());
        assert_eq!((answer.code, answer.out.as_str()), (2, ""));
        assert!(answer.err.contains(part), "{part}: {}", answer.err);
    };
    refused(&[&one], "part 2/2 is missing");
    refused(&[&two], "part 1/2 is missing");
    refused(&[&one, &two, &one], "named twice");
    refused(&[&one, &part(&door, "2/2", "seed.csv", &["--seed", "7"])], "its seed is not that of");
    refused(&[&one, &part(&other, "2/2", "door.csv", &[])], "its door file is not that of");
    refused(&[&one, &part(&door, "2/2", "force.csv", &["--no-force-test"])], "its force test is not that of");
    refused(&[&door], "this is no part of a study");
    refused(&[&folder.path("nothing.csv")], "cannot be read");

    let text = fs::read_to_string(&two).expect("it was written");
    let lines: Vec<&str> = text.lines().collect();
    let broken = |name: &str, lines: &[&str]| folder.write(name, lines.join("\n") + "\n");
    refused(&[&one, &broken("short.csv", &lines[..4])], "it ends before trial 5");
    let swapped = [lines[0], lines[1], lines[3], lines[2], lines[4]];
    refused(&[&one, &broken("swapped.csv", &swapped)], "swapped.csv:3: this is not trial 3");
    let drawn = lines[3].replacen("done,", "done,1", 1);
    refused(
        &[&one, &broken("drawn.csv", &[lines[0], lines[1], lines[2], &drawn, lines[4]])],
        "not those that are drawn",
    );
    let version = text.replacen(env!("CARGO_PKG_VERSION"), "9.9.9", 1);
    refused(&[&one, &folder.write("version.csv", version)], "written by version 9.9.9");
    let answer = tautleaf(&["gather", &one, &two, "--csv", &one]);
    assert!(answer.code == 2 && answer.err.contains("it is one of the parts"), "{}", answer.err);
}

#[test]
fn every_shipped_door_can_be_studied_in_lines_that_fit_a_terminal() {
    for file in all_shipped() {
        let answer = tautleaf(&["spread", &file, "--runs", "24"]);
        assert_eq!(answer.code, 0, "{file}: {}", answer.err);
        let wide = answer.out.lines().find(|line| line.chars().count() > 100);
        assert_eq!(wide, None, "{file}");
        for part in [
            "24 runs",
            "seed 1",
            "What spreads",
            "rollers.resistance",
            "judgement",
            "A simulation is not proof",
        ] {
            assert!(answer.out.contains(part), "{file}: {part}\n{}", answer.out);
        }
        assert!(!answer.out.contains("NaN"), "{}", answer.out);
    }
}

#[test]
fn a_limit_by_chance_is_told_with_its_probability_and_what_it_hangs_on() {
    let file = shipped("energy-by-chance");
    assert_eq!(tautleaf(&["run", &file]).code, 0);
    let result = tautleaf(&["spread", &file, "--runs", "400", "--no-force-test", "--json"]).json();
    let kept = &result["limits"][0]["kept"];
    let (from, to) = (kept["from"].as_f64().expect("a share"), kept["to"].as_f64().expect("a share"));
    assert!(from > 0.7 && to < 0.9, "{kept}");
    assert_eq!((&result["seed"], &result["runs"]), (&1.into(), &400.into()));
    assert_eq!(result["version"], env!("CARGO_PKG_VERSION"));
    let energy =
        result["figures"].as_array().expect("a list").iter().find(|f| f["figure"] == "peak_energy_leaf_j");
    // the mass most of all; the drive's own tolerances move the speed a little
    let first_order = energy.expect("the energy")["first_order"].as_object().expect("indices");
    let share = |key: &str| first_order[key].as_f64().expect("an index");
    let most = first_order.keys().map(|key| share(key)).fold(0.0, f64::max);
    assert!(share("leaf.mass") > 0.7 && share("leaf.mass") == most, "{first_order:?}");
    let text = tautleaf(&["spread", &file, "--runs", "400", "--no-force-test"]).out;
    assert!(text.contains("What matters") && text.contains("leaf.mass +0.9"), "{text}");
}

#[test]
fn rows_can_be_read_by_others_and_say_where_they_are_from() {
    let folder = Folder::new();
    let (_, csv, _) = study(&folder, "rows", &["--sampling", "sobol"]);
    let (first, rest) = csv.split_once('\n').expect("lines");
    let from: serde_json::Value =
        serde_json::from_str(first.strip_prefix("# ").expect("a comment")).expect("JSON");
    assert_eq!((&from["seed"], &from["runs"], &from["sampling"]), (&1.into(), &120.into(), &"sobol".into()));
    assert_eq!(
        (from["version"].as_str(), from["door"].as_str()),
        (Some(env!("CARGO_PKG_VERSION")), Some(CALM))
    );
    let mut rows = csv::Reader::from_reader(rest.as_bytes());
    let names = rows.headers().expect("names").clone();
    for name in
        ["index", "leaf.mass", "peak_energy_leaf_j", "kinetic_energy_max.kept", "closing_speed_max.margin"]
    {
        assert!(names.iter().any(|column| column == name), "{name}");
    }
    assert_eq!(rows.records().filter(|row| row.is_ok()).count(), 120);
    let piped = with_input(&["spread", "-", "--runs", "3", "--csv", "-"], CALM.as_bytes());
    assert_eq!((piped.code, piped.out.lines().count()), (0, 5), "{}", piped.err);
}

#[test]
fn wrong_questions_are_refused_with_a_word_on_what_would_do() {
    let file = shipped("reference-glass");
    for (args, part) in [
        (&["--runs", "0"][..], "1..=1000000000"),
        (&["--part", "3/2", "--csv", "x"], "such as 2/5"),
        (&["--part", "1/2"], "--csv"),
        (&["--sampling", "halton"], "random or sobol"),
        (&["--json", "-", "--csv", "-"], "use one of them"),
        (&["--csv", &file], "because it is the door file"),
        (&["--csv", "no/such/folder/x.csv"], "check that the folder exists"),
    ] {
        let answer = tautleaf(&[&["spread", &file], args].concat());
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{args:?}");
        assert!(answer.err.contains(part), "{args:?}: {}", answer.err);
    }
    let wrong =
        with_input(&["spread", "-"], b"schema = 1\n[[spread]]\nkey = \"leaf.mas\"\nshape = \"fixed\"\n");
    assert!(wrong.err.starts_with("standard-input:3: spread.key: "), "{}", wrong.err);
}

/// Ctrl-C: what is done is kept, the exit code says that it is not all.
#[cfg(unix)]
#[test]
fn a_study_that_is_stopped_keeps_what_it_did() {
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};

    let folder = Folder::new();
    let out = folder.path("runs.csv");
    let mut child =
        black_box::command(&["spread", &shipped("reference-glass"), "--runs", "1000000", "--csv", &out])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
    let began = Instant::now();
    while fs::metadata(&out).map_or(0, |about| about.len()) < 100_000 {
        assert!(began.elapsed() < Duration::from_secs(60), "nothing is written");
        assert_eq!(child.try_wait().expect("it can be asked"), None);
        std::thread::sleep(Duration::from_millis(50));
    }
    let id = child.id().to_string();
    assert!(Command::new("kill").args(["-INT", &id]).status().expect("kill runs").success());
    let answer = child.wait_with_output().expect("it ends");
    assert_eq!(answer.status.code(), Some(130));
    let (text, notes) = (String::from_utf8_lossy(&answer.stdout), String::from_utf8_lossy(&answer.stderr));
    assert!(text.contains("of 1000000 runs, stopped"), "{text}");
    assert!(notes.contains("those are kept"), "{notes}");
    let rows = fs::read_to_string(&out).expect("it was written");
    let rows: Vec<&str> = rows.lines().skip(2).collect();
    assert!(text.contains(&format!("Tolerance study: {} of", rows.len())), "{text}");
    assert!(rows.iter().zip(0..).all(|(row, n)| row.starts_with(&format!("{n},"))));
}

/// Neither an endless file nor two outputs on one: each is said and nothing is lost.
#[test]
fn what_is_no_part_and_what_would_be_written_over_is_refused() {
    let answer = tautleaf(&["gather", "/dev/zero"]);
    assert_eq!(answer.code, 2, "{}", answer.err);
    let out = std::env::temp_dir().join(format!("tautleaf-one-{}.csv", std::process::id()));
    let out = out.to_str().expect("UTF-8");
    let file = shipped("reference-glass");
    let answer = tautleaf(&["spread", &file, "--runs", "2", "--csv", out, "--parquet", out]);
    assert!(answer.code == 2 && answer.err.contains("two outputs cannot share one file"), "{}", answer.err);
    assert!(!std::path::Path::new(out).exists());
}

/// A number without its exception is read as if there were none.
#[test]
fn limits_that_no_run_judged_stand_beside_the_probability() {
    let file = shipped("reference-glass");
    let judged = tautleaf(&["spread", &file, "--runs", "24"]);
    assert!(judged.out.contains("Opens, closes and keeps every limit: "), "{}", judged.out);
    let untested = tautleaf(&["spread", &file, "--runs", "24", "--no-force-test"]);
    assert!(untested.out.contains("keeps every limit that was judged; 3 WERE NOT: "), "{}", untested.out);
}
