//! Ratings of drive and belt: read, judged beside the limits, written again.

use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Figure, Known, Limit, RATING_FIELDS, Ratings, Rule};
use tautleaf_scenario::{Scenario, commented, limits_of, parse, to_text};

const RATED: &str = "schema = 1\n\
    [limits]\nshaft_load_max = \"500 N\"\n\
    [ratings]\ndrive = \"24 V, worm 15:1, 60 W\"\nbelt = \"5M, 15 mm\"\nshaft_load = \"600 N\"\n\
    allowable_tension = \"0.9 kN\"\npeak_current = \"12 A\"\nrated_current = \"4.5 A\"\nmaximum_speed = \"3000 1/min\"\n\
    insulation = \"F\"\nsupply_current = \"6 A\"\n";

fn door(text: &str) -> Scenario {
    parse(text, "door.toml").unwrap_or_else(|error| panic!("{error}"))
}

fn rating(scenario: &Scenario, figure: Figure) -> Limit {
    let mine = |limit: &Limit| limit.is_rating() && limit.figure == Some(figure);
    limits_of(scenario).into_iter().find(mine).unwrap_or_else(|| panic!("{}", figure.name()))
}

#[test]
fn every_rating_of_a_door_file_is_a_limit_that_names_where_it_is_from() {
    let scenario = door(RATED);
    for (figure, most, from) in [
        (Figure::ShaftLoad, 600.0, "rating of the drive \"24 V, worm 15:1, 60 W\""),
        (Figure::GreatestTension, 900.0, "rating of the belt \"5M, 15 mm\""),
        (Figure::PeakCurrent, 12.0, "rating of the drive \"24 V, worm 15:1, 60 W\""),
        (Figure::RmsCurrent, 4.5, "rating of the drive \"24 V, worm 15:1, 60 W\""),
        // 3000 a minute are 100 pi rad/s (arithmetic)
        (
            Figure::TopMotorSpeed,
            100.0 * std::f64::consts::PI,
            "rating of the drive \"24 V, worm 15:1, 60 W\"",
        ),
        // IEC 60085: class F bears 155 C
        (Figure::WindingTemperature, 155.0, "rating of the drive \"24 V, worm 15:1, 60 W\""),
        (Figure::SupplyCurrent, 6.0, "rating of the drive \"24 V, worm 15:1, 60 W\""),
    ] {
        let limit = rating(&scenario, figure);
        let Rule::AtMost(allowed) = limit.rule else { panic!("{limit:?}") };
        assert!((allowed - most).abs() < 1e-9, "{}: {allowed}", figure.name());
        assert_eq!((limit.source.as_str(), limit.known), (from, Known::Rating));
        assert!(limit.may_fail() && scenario.line_of(&limit.key).is_some(), "{}", limit.key);
    }
}

#[test]
fn a_limit_of_the_file_and_a_rating_on_the_same_figure_both_count() {
    let on_shaft: Vec<Limit> =
        limits_of(&door(RATED)).into_iter().filter(|limit| limit.figure == Some(Figure::ShaftLoad)).collect();
    let told: Vec<(&str, &Rule)> =
        on_shaft.iter().map(|limit| (limit.source.as_str(), &limit.rule)).collect();
    let rating = "rating of the drive \"24 V, worm 15:1, 60 W\"";
    assert_eq!(told, [("set in the door file", &Rule::AtMost(500.0)), (rating, &Rule::AtMost(600.0))]);
}

#[test]
fn the_motor_takes_rated_current_and_class_from_the_ratings_where_it_says_none() {
    let motor = door(RATED).parameters.motor;
    assert_eq!((motor.rated_current_a, motor.insulation), (4.5, InsulationClass::F));

    let both = format!("{RATED}[motor]\nrated_current = \"4 A\"\ninsulation = \"B\"\n");
    let scenario = door(&both);
    let motor = scenario.parameters.motor;
    assert_eq!((motor.rated_current_a, motor.insulation), (4.0, InsulationClass::B));
    // judged by the rating, and told that the two differ
    assert_eq!(rating(&scenario, Figure::RmsCurrent).rule, Rule::AtMost(4.5));
    let warnings = scenario.warnings(&scenario.door().expect("a door"));
    let said: Vec<String> = warnings.iter().map(ToString::to_string).collect();
    for part in [
        "door.toml:15: motor.rated_current: 4 A is not the rating of 4.5 A; the same in both",
        "door.toml:16: motor.insulation: class B is not the rating of class F",
    ] {
        assert!(said.iter().any(|line| line.contains(part)), "{part}\n{said:?}");
    }
}

#[test]
fn a_motor_that_leaves_them_out_follows_new_ratings_and_one_that_says_them_does_not() {
    let new =
        || Ratings { rated_current_a: Some(2.5), insulation: Some(InsulationClass::H), ..Ratings::default() };
    let default = Scenario::default().parameters.motor;
    for text in ["schema = 1\n# mine\n", RATED] {
        let mut scenario = door(text);
        scenario.rate(new());
        let motor = scenario.parameters.motor;
        assert_eq!((motor.rated_current_a, motor.insulation), (2.5, InsulationClass::H));
        let saved = to_text(&scenario);
        assert!(!saved.contains("[motor]") && saved.contains("mine") == text.contains("mine"), "{saved}");
        assert_eq!(door(&saved), scenario);
        scenario.rate(Ratings::default());
        let motor = scenario.parameters.motor;
        assert_eq!((motor.rated_current_a, motor.insulation), (default.rated_current_a, default.insulation));
        assert_eq!(door(&to_text(&scenario)), scenario);
    }
    let mut scenario = door("schema = 1\n[motor]\nrated_current = \"4 A\"\ninsulation = \"B\"\n");
    scenario.rate(new());
    let motor = scenario.parameters.motor;
    assert_eq!((motor.rated_current_a, motor.insulation), (4.0, InsulationClass::B));
    assert_eq!(door(&to_text(&scenario)), scenario);
}

/// The motor takes the rating: one that no motor can have would make a door that does not run.
#[test]
fn a_rated_current_is_possible_where_that_of_a_motor_is() {
    let range = |key: &str| tautleaf_physics::field(key).map(|field| field.possible);
    let rating = RATING_FIELDS.iter().find(|field| field.key == "ratings.rated_current");
    assert_eq!(rating.map(|field| field.possible), range("motor.rated_current"));
}

#[test]
fn what_is_no_rating_is_refused_with_its_line_and_what_would_do() {
    for (text, part) in [
        (
            "shaft_laod = \"600 N\"",
            "door.toml:3: ratings.shaft_laod: there is no such key; did you mean \"shaft_load\"?",
        ),
        ("shaft_load = \"600\"", "door.toml:3: ratings.shaft_load: \"600\" has no unit"),
        (
            "maximum_speed = 3000",
            "ratings.maximum_speed: 3000 has no unit; write a rotational speed such as \"3000 1/min\"",
        ),
        ("peak_current = \"-1 A\"", "ratings.peak_current: \"-1 A\" is not possible"),
        ("insulation = \"Z\"", "ratings.insulation: found \"Z\"; write \"A\" or \"E\""),
        (
            "drive = \"two\\nlines\"",
            "ratings.drive: found \"two\\nlines\"; write a name of 1 to 60 characters",
        ),
    ] {
        let error =
            parse(&format!("schema = 1\n[ratings]\n{text}\n"), "door.toml").expect_err(text).to_string();
        assert!(error.contains(part), "{part}\n{error}");
    }
}

#[test]
fn a_rotational_speed_is_read_as_data_sheets_write_it() {
    for written in ["3000 1/min", "3000 rpm", "3000 min-1", "3000 min\u{207b}\u{b9}", "50 1/s"] {
        let scenario = door(&format!("schema = 1\n[ratings]\nmaximum_speed = \"{written}\"\n"));
        let speed = scenario.ratings.maximum_speed_rad_per_s.expect("a speed");
        assert!((speed - 100.0 * std::f64::consts::PI).abs() < 1e-9, "{written}: {speed}");
    }
}

#[test]
fn ratings_change_in_a_file_and_go_from_it_and_its_comments_stay() {
    let text = format!("# mine\n{RATED}# below\n");
    let mut scenario = door(&text);
    assert_eq!(to_text(&scenario), text);
    scenario.ratings.shaft_load_n = Some(700.0);
    scenario.ratings.supply_current_a = None;
    let saved = to_text(&scenario);
    assert!(saved.contains("# mine") && saved.contains("shaft_load = \"700 N\""), "{saved}");
    assert!(!saved.contains("supply_current"), "{saved}");
    assert_eq!(door(&saved), scenario);
    scenario.ratings = Default::default();
    let saved = to_text(&scenario);
    assert!(!saved.contains("ratings"), "{saved}");
    assert_eq!(door(&saved), scenario);
}

/// A motor that is said to be as by default beside a rating that says otherwise is written out: else the rating would hold.
#[test]
fn a_motor_that_differs_from_its_rating_is_saved_as_it_is() {
    let mut scenario = door(RATED);
    let default = Scenario::default().parameters.motor;
    scenario.parameters.motor.rated_current_a = default.rated_current_a;
    scenario.parameters.motor.insulation = default.insulation;
    scenario.origin = Default::default();
    assert_eq!(door(&to_text(&scenario)), scenario);
}

#[test]
fn the_file_to_start_from_explains_every_rating() {
    let text = commented();
    let section =
        text.split("[ratings]").nth(1).and_then(|rest| rest.split("\n[").next()).expect("a section");
    for field in RATING_FIELDS {
        let key = field.key.trim_start_matches("ratings.");
        assert!(section.contains(&format!("#  {key} = \"... ")), "{key}\n{section}");
    }
    for word in ["drive", "belt", "insulation"] {
        assert!(section.contains(&format!("#  {word} = ")), "{word}\n{section}");
    }
}
