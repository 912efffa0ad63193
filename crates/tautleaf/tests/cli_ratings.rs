//! Ratings of drive and belt in a door file, as every command judges them, and as `choose` and `tune` write them.

mod black_box;

use black_box::{Folder, shipped, tautleaf, with_input};

/// A light door whose only limits are ratings; the shaft bears less than the belt pulls with.
const OVER: &str = "schema = 1\ntitle = \"Rated\"\n[ratings]\ndrive = \"The drive\"\nbelt = \"The belt\"\nshaft_load = \"120 N\"\n\
                    maximum_speed = \"5000 1/min\"\n";

fn kept() -> String {
    OVER.replace("120 N", "1200 N")
}

#[test]
fn a_rating_that_is_exceeded_turns_headline_and_exit_code_of_every_command_that_judges() {
    for command in ["run", "force"] {
        let over = with_input(&[command, "-"], OVER.as_bytes());
        assert_eq!(over.code, 1, "{command}: {}", over.out);
        assert!(over.out.contains("OVER: limits 1 over, 1 within"), "{command}: {}", over.out);
        assert!(over.out.contains("Radial load on the shaft (rating)"), "{command}: {}", over.out);
        assert!(over.out.contains("rating of the drive \"The drive\""), "{command}: {}", over.out);
        let within = with_input(&[command, "-"], kept().as_bytes());
        assert!(
            within.code == 0 && within.out.contains("WITHIN: limits 2 within"),
            "{command}: {}",
            within.out
        );
    }
    let advise = with_input(&["advise", "-"], OVER.as_bytes());
    assert!(advise.code == 1 && advise.out.contains("Radial load on the shaft (rating)"), "{}", advise.out);
    assert_eq!(with_input(&["advise", "-"], kept().as_bytes()).code, 0);
    let json = with_input(&["run", "-", "--json"], OVER.as_bytes()).json();
    let verdict = &json["verdicts"][0];
    assert_eq!(
        (verdict["key"].as_str(), verdict["outcome"].as_str()),
        (Some("ratings.shaft_load"), Some("over"))
    );
    assert_eq!((verdict["known_rank"].as_str(), verdict["judge"].as_str()), (Some("rating"), Some("limit")));
}

#[test]
fn a_study_and_a_sweep_count_how_often_a_rating_is_kept() {
    let spread = with_input(&["spread", "-", "--runs", "20", "--json"], OVER.as_bytes()).json();
    let limits = spread["limits"].as_array().expect("a list");
    let kept = |key: &str| {
        limits.iter().find(|limit| limit["key"] == key).expect("it is judged")["kept"]["times"].clone()
    };
    assert_eq!(kept("ratings.shaft_load"), 0, "{spread}");
    assert_eq!(kept("ratings.maximum_speed"), 20, "{spread}");
    let sweep = with_input(&["sweep", "-", "--over", "belt.tension=20..400 N:2"], OVER.as_bytes());
    assert!(sweep.code == 0 && sweep.out.contains("adial load on the shaft (rating)"), "{}", sweep.out);
}

#[test]
fn ratings_are_listed_with_their_lines_by_resolve() {
    let text = with_input(&["resolve", "-"], OVER.as_bytes()).out;
    assert!(text.contains("ratings.shaft_load") && text.contains("set in line 6"), "{text}");
    let json = with_input(&["resolve", "-", "--json"], OVER.as_bytes()).json();
    assert_eq!(json["ratings"]["drive"], "The drive");
    assert_eq!(json["ratings"]["shaft_load_n"], 120.0);
    assert!(json["ratings"]["peak_current_a"].is_null());
}

/// The door as tuned: its limits, its ratings and its comments are those of the file, and it keeps them.
#[test]
fn what_tune_writes_has_the_settings_found_keeps_every_rating_and_is_judged_by_them() {
    let folder = Folder::new();
    let limited = "schema = 1\n[ratings]\ndrive = \"The drive\"\nmaximum_speed = \"2400 1/min\" # as its data sheet says\n";
    let door = folder.write("door.toml", limited);
    let tuned = folder.path("tuned.toml");
    assert_eq!(tautleaf(&["run", &door]).code, 1, "the motor turns too fast for its rating");
    let answer = tautleaf(&["tune", &door, "--out", &tuned]);
    assert_eq!(answer.code, 0, "{}{}", answer.out, answer.err);
    let written = std::fs::read_to_string(&tuned).expect("it is written");
    for part in
        ["drive = \"The drive\"", "maximum_speed = \"2400 1/min\" # as its data sheet says", "[opening]"]
    {
        assert!(written.contains(part), "{part}\n{written}");
    }
    let run = tautleaf(&["run", &tuned]);
    assert!(run.code == 0 && run.out.contains("Top motor speed (rating)"), "{}", run.out);
    let refused = tautleaf(&["tune", &door, "--out", &door]);
    assert!(refused.code == 2 && refused.err.contains("it is the door file"), "{}", refused.err);
}

/// What is written names drive and belt with their ratings; run by itself it is judged by them and keeps them.
#[test]
fn any_drive_of_the_list_is_written_with_its_ratings_and_keeps_them() {
    let folder = Folder::new();
    let heavy = shipped("heavy-leaf-to-choose-for");
    let listed = tautleaf(&["choose", &heavy, "--json"]).json();
    for take in [1, 2, 5] {
        let chosen = folder.path(&format!("chosen-{take}.toml"));
        let answer = tautleaf(&["choose", &heavy, "--out", &chosen, "--take", &take.to_string()]);
        assert_eq!(answer.code, 0, "{}", answer.err);
        let does = listed["does"].as_array().expect("a list");
        let pair = does.iter().find(|pair| pair["take"] == take).expect("it is numbered");
        let name = |key: &str| pair[key].as_str().expect("a name").to_owned();
        let written = std::fs::read_to_string(&chosen).expect("it is written");
        for part in [format!("drive = \"{}\"", name("drive")), format!("belt = \"{}\"", name("belt"))] {
            assert!(written.contains(&part), "{part}\n{written}");
        }
        let heading = format!("{} with {}: its settings", name("drive"), name("belt"));
        assert!(answer.out.contains(&heading), "{heading}\n{}", answer.out);
        let run = tautleaf(&["run", &chosen, "--json"]);
        assert_eq!(run.code, 0, "{}", run.out);
        let verdicts = run.json()["verdicts"].as_array().expect("a list").clone();
        let rated = verdicts.iter().filter(|verdict| verdict["known_rank"] == "rating");
        let keys: Vec<&str> = rated.filter_map(|verdict| verdict["key"].as_str()).collect();
        for key in [
            "shaft_load",
            "allowable_tension",
            "peak_current",
            "rated_current",
            "maximum_speed",
            "insulation",
        ] {
            assert!(keys.contains(&format!("ratings.{key}").as_str()), "{key}: {keys:?}");
        }

        // a bearing that bears less than it carries: the same file fails
        let weaker = written
            .lines()
            .map(|line| if line.starts_with("shaft_load = ") { "shaft_load = \"20 N\"" } else { line });
        let weaker = folder.write("weaker.toml", weaker.collect::<Vec<_>>().join("\n"));
        let run = tautleaf(&["run", &weaker]);
        assert!(run.code == 1 && run.out.contains("OVER: limits 1 over"), "{}", run.out);
    }
    let none = folder.path("none.toml");
    let answer = tautleaf(&["choose", &heavy, "--out", &none, "--take", "900"]);
    assert!(answer.code == 2 && answer.err.contains("--take 900: only "), "{}", answer.err);
    assert!(!std::path::Path::new(&none).exists());
    assert_eq!(tautleaf(&["choose", &heavy, "--take", "0"]).code, 2);
}

/// The ratings of the old drive say nothing about a new one.
#[test]
fn the_ratings_of_the_old_drive_and_belt_go_with_them() {
    let heavy = std::fs::read_to_string(shipped("heavy-leaf-to-choose-for")).expect("it is shipped");
    let rated = heavy.clone()
        + "\n[ratings]\ndrive = \"the old one\"\nshaft_load = \"1 N\"\npeak_current = \"0.01 A\"\n";
    let folder = Folder::new();
    let (before, after) = (folder.path("a.toml"), folder.path("b.toml"));
    assert_eq!(with_input(&["choose", "-", "--out", &before], heavy.as_bytes()).code, 0);
    let answer = with_input(&["choose", "-", "--out", &after], rated.as_bytes());
    assert_eq!(answer.code, 0, "{}", answer.out);
    let text = std::fs::read_to_string(&after).expect("it is written");
    assert!(!text.contains("the old one") && !text.contains("\"1 N\""), "{text}");
    let ratings = |path: &str| tautleaf(&["resolve", path, "--json"]).json()["ratings"].clone();
    assert_eq!(ratings(&before), ratings(&after));
}
