//! `tautleaf tones`.

mod black_box;

use black_box::{CALM, Folder, all_shipped, shipped, tautleaf, with_input};

#[test]
fn every_shipped_door_has_its_tones_listed() {
    for file in all_shipped() {
        let answer = tautleaf(&["tones", &file]);
        assert_eq!(answer.code, 0, "{file}: {}", answer.err);
        assert!(answer.out.lines().all(|line| line.chars().count() <= 100), "{}", answer.out);
        for part in ["Where the door sings", "belt meshing", "along the loop, mode 1", "judgement"] {
            assert!(answer.out.contains(part), "{file}: {part}\n{}", answer.out);
        }
        assert!(!answer.out.contains("NaN"), "{}", answer.out);
        let result = tautleaf(&["tones", &file, "--json"]).json();
        let meetings = result["meetings"].as_array().expect("a list");
        let swings: Vec<f64> = meetings.iter().filter_map(|met| met["swings"].as_f64()).collect();
        assert!(swings.len() == meetings.len() && swings.windows(2).all(|pair| pair[0] >= pair[1]), "{file}");
    }
}

#[test]
fn a_door_that_hums_is_told_with_the_tension_that_parts_the_tones_and_its_caution() {
    let answer = tautleaf(&["tones", &shipped("hums-while-closing")]);
    let text = answer.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // 220 N x 1.1^2 and x 0.9^2
    for part in [
        "belt meshing at 30.0 Hz meets return pulley to drive pulley",
        "266 N or 178 N",
        "0.135 m/s",
        "isolate the mains",
    ] {
        assert!(text.contains(part), "{part}\n{}", answer.out);
    }
    let quiet = std::fs::read_to_string(shipped("hums-while-closing")).expect("it is shipped");
    let answer = with_input(&["tones", "-"], quiet.replace("220 N\"", "178 N\"").as_bytes());
    assert!(answer.out.contains("Nowhere"), "{}", answer.out);
}

/// Back strand: parted by tension. A strand that the leaf moves: whatever the tension, its tone fits somewhere on the way.
#[test]
fn what_would_not_part_the_tones_is_not_offered() {
    let fixed = tautleaf(&["tones", &shipped("hums-while-closing")]).out;
    assert!(fixed.contains("parts them") && !fixed.contains("only moves it"), "{fixed}");
    let moved = tautleaf(&["tones", &shipped("us-storefront")]).out;
    assert!(moved.contains("only moves it along the travel") && !moved.contains("parts them"), "{moved}");
}

#[test]
fn gear_and_motor_sound_where_the_file_says_what_they_are() {
    let plain = with_input(&["tones", "-"], CALM.as_bytes());
    assert!(!plain.out.contains("gear meshing") && !plain.out.contains("magnet poles"), "{}", plain.out);
    let more = "[gear]\nrotor_teeth = 2\n[motor]\npole_pairs = 4\ncommutator_bars = 7\n";
    let answer = with_input(&["tones", "-", "--json"], format!("{CALM}{more}").as_bytes());
    let sources = answer.json()["sources"].clone();
    let per_m = |name: &str| {
        let mine = sources.as_array().expect("a list").iter().find(|source| source["name"] == name);
        mine.and_then(|source| source["swings_per_m"].as_f64()).unwrap_or_else(|| panic!("{name}: {sources}"))
    };
    // 30 teeth of 5 mm a turn, gear 15 : 1: 100 turns of the rotor a metre
    for (name, expected) in [
        ("rotor", 100.0),
        ("gear meshing", 200.0),
        ("magnet poles", 400.0),
        ("commutation", 2400.0),
        ("commutator", 1400.0),
        ("belt meshing", 200.0),
    ] {
        assert!((per_m(name) / expected - 1.0).abs() < 1e-9, "{name}");
    }
    let wrong = with_input(&["tones", "-"], b"schema = 1\n[motor]\npole_pairs = 1.5\n");
    assert_eq!((wrong.code, wrong.out.as_str()), (2, ""));
    assert!(wrong.err.starts_with("standard-input:3: motor.pole_pairs: "), "{}", wrong.err);
}

#[test]
fn a_picture_of_the_tones_is_well_formed_and_never_written_over_the_door_file() {
    let folder = Folder::new();
    let (door, picture) = (folder.write("door.toml", CALM), folder.path("tones.svg"));
    let answer = tautleaf(&["tones", &door, "--svg", &picture]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    let svg = std::fs::read_to_string(&picture).expect("it was written");
    assert!(svg.contains("<title>Calm &lt;door&gt;") && svg.contains("belt meshing"), "{svg}");
    assert!(svg.trim_end().ends_with("</svg>") && !svg.contains("NaN"));
    assert_eq!(tautleaf(&["tones", &door, "--svg", "-"]).out, svg);
    assert_eq!(tautleaf(&["tones", &door, "--svg", &door]).code, 2);
    assert_eq!(tautleaf(&["tones", &door, "--svg", "-", "--json"]).code, 2);
    assert_eq!(std::fs::read_to_string(&door).expect("untouched"), CALM);
}

#[test]
fn a_belt_without_tension_still_gets_an_answer() {
    let text = "schema = 1\nunits = \"US\"\narrangement = \"bi-parting\"\n[belt]\ntension = \"0 N\"\n";
    for args in
        [&["tones", "-"][..], &["tones", "-", "--svg", "-"], &["tones", "-", "--json"], &["belt", "-"]]
    {
        let answer = with_input(args, text.as_bytes());
        assert_eq!(answer.code, 0, "{args:?} {}", answer.err);
        assert!(!answer.out.contains("NaN") && !answer.out.contains(" mm"), "{}", answer.out);
    }
}
