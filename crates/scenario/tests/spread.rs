//! The sections `[[spread]]`: read, refused with a reason, saved.

use tautleaf_scenario::{Scenario, parse, to_text};
use tautleaf_trials::Effort;
use tautleaf_trials::spread::{ListedShape, Sampling};

const HEAD: &str = "schema = 1\n[closing]\nspeed = \"0.3 m/s\"\n[[force]]\nname = \"cord\"\n";

fn read(text: &str) -> Scenario {
    parse(&format!("{HEAD}{text}"), "door.toml").unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn every_shape_is_read_with_its_units() {
    let scenario = read(
        "[[spread]]\nkey = \"leaf.mass\"\nshape = \"normal\"\ndeviation = \"2 kg\"\nmost = \"90 kg\"\n\
         [[spread]]\nkey = \"duty.ambient\"\nshape = \"normal\"\nmean = \"68 F\"\ndeviation = \"5 K\"\n\
         [[spread]]\nkey = \"force.1.drag\"\nshape = \"uniform\"\nfrom = \"0 N\"\nto = \"10 lbf\"\n\
         [[spread]]\nkey = \"rollers.resistance\"\nshape = \"triangular\"\nfrom = 0.005\nto = 0.03\n\
         [[spread]]\nkey = \"rail.slope\"\nshape = \"fixed\"\n",
    );
    let shapes: Vec<ListedShape> = scenario.spreads.iter().map(|spread| spread.shape).collect();
    assert_eq!(shapes[0], ListedShape::Normal { mean: None, deviation: 2.0 });
    assert_eq!((scenario.spreads[0].least, scenario.spreads[0].most), (None, Some(90.0)));
    let ListedShape::Normal { mean: Some(mean), deviation } = shapes[1] else { panic!("{shapes:?}") };
    assert!((mean - 20.0).abs() < 1e-9 && deviation == 5.0, "{mean}");
    assert_eq!(shapes[2], ListedShape::Uniform { from: 0.0, to: 44.482216152605 });
    assert_eq!(shapes[3], ListedShape::Triangular { from: 0.005, peak: None, to: 0.03 });
    assert_eq!(shapes[4], ListedShape::Fixed);
    let study = scenario.study(1, Sampling::Random, Effort::NoForceTest).unwrap();
    let keys: Vec<String> = study.inputs.iter().map(|input| input.settable.key()).collect();
    assert_eq!(keys[..4], ["leaf.mass", "duty.ambient", "force.1.drag", "rollers.resistance"]);
    assert!(keys.contains(&"belt.tension".to_owned()) && !keys.contains(&"rail.slope".to_owned()));
}

/// (text below the head, beginning of the message, what else it says)
#[rustfmt::skip]
const BROKEN: &[(&str, &str, &str)] = &[
    ("[[spread]]\nshape = \"fixed\"", "door.toml:6: spread.key: is missing", "leaf.mass"),
    ("[[spread]]\nkey = \"leaf.mass\"", "door.toml:6: spread.shape: is missing", "triangular"),
    ("[[spread]]\nkey = \"leaf.mas\"\nshape = \"fixed\"", "door.toml:7: spread.key: \"leaf.mas\": there is no such key", "did you mean \"leaf.mass\"?"),
    ("[[spread]]\nkey = \"banana\"\nshape = \"fixed\"", "door.toml:7: spread.key: ", "tautleaf resolve"),
    ("[[spread]]\nkey = 5\nshape = \"fixed\"", "door.toml:7: spread.key: found 5", "in quotes"),
    ("[[spread]]\nkey = \"obstacle.gap\"\nshape = \"fixed\"", "door.toml:7: spread.key: ", "write a section [obstacle]"),
    ("[[spread]]\nkey = \"force.2.drag\"\nshape = \"fixed\"", "door.toml:7: spread.key: ", "this door has 1 of [[force]]"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"bell\"", "door.toml:8: spread.shape: found \"bell\"", "\"normal\""),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"normal\"\ndeviaton = \"2 kg\"", "door.toml:6: spread.deviation: is missing", "did you mean \"deviation\"?"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"normal\"\ndeviation = \"2\"", "door.toml:9: spread.deviation: \"2\" has no unit", "such as \"80 kg\""),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"normal\"\ndeviation = \"0 kg\"", "door.toml:9: spread.deviation: \"0 kg\" is not above zero", "fixed"),
    ("[[spread]]\nkey = \"duty.ambient\"\nshape = \"normal\"\ndeviation = \"5 C\"", "door.toml:9: spread.deviation: ", "K"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"uniform\"\nfrom = \"60 kg\"", "door.toml:6: spread.to: is missing", "from and to"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"uniform\"\nfrom = \"90 kg\"\nto = \"60 kg\"", "door.toml:10: spread.to: leaf.mass: its ends", "greater value"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"uniform\"\nfrom = \"60 kg\"\nto = \"90 kg\"\npeak = \"70 kg\"", "door.toml:11: spread.peak: a uniform spread has none", "shape = \"triangular\""),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"triangular\"\nfrom = \"90 kg\"\nto = \"95 kg\"", "door.toml:6: spread.peak: leaf.mass: its peak", "door's own value"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"uniform\"\nfrom = \"-1 kg\"\nto = \"95 kg\"", "door.toml:9: spread.from: \"-1 kg\" is not possible", "between 0.1 kg"),
    ("[[spread]]\nkey = \"controller.jerk\"\nshape = \"normal\"\ndeviation = \"1 m/s3\"", "door.toml:8: spread.shape: controller.jerk: the door gives no value", "mean"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"normal\"\ndeviation = \"1 kg\"\nleast = \"200 kg\"", "door.toml:6: spread.most: leaf.mass: nothing of it", "leave some"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"fixed\"\n[[spread]]\nkey = \"leaf.mass\"\nshape = \"fixed\"", "door.toml:10: spread.key: leaf.mass: is listed twice", "keep one"),
    ("[spread]\nkey = \"leaf.mass\"", "door.toml:6: spread: found a section", "[[spread]]"),
    ("[[spread]]\nkey = \"leaf.mass\"\nshape = \"fixed\"\nwidth = 3", "door.toml:9: spread.width: there is no such key", "known here: key"),
];

#[test]
fn whatever_is_wrong_with_a_spread_is_told_with_its_line() {
    for (text, beginning, part) in BROKEN {
        let error = parse(&format!("{HEAD}{text}\n"), "door.toml").expect_err(text).to_string();
        assert!(error.lines().any(|line| line.starts_with(beginning)), "{text}\n{error}");
        assert!(error.contains(part), "{text}\n{error}");
    }
}

#[test]
fn spreads_are_saved_and_read_back_the_same() {
    let text = "[[spread]]\nkey = \"duty.ambient\"\nshape = \"normal\"\ndeviation = \"5 K\"\nleast = \"-10 C\"\n\
                [[spread]]\nkey = \"force.1.drag\"\nshape = \"uniform\"\nfrom = \"0 N\"\nto = \"10 lbf\"\n\
                [[spread]]\nkey = \"pulleys.teeth\"\nshape = \"triangular\"\nfrom = 20\npeak = 24\nto = 32\n";
    let mut scenario = read(text);
    assert_eq!(to_text(&scenario), format!("{HEAD}{text}"));
    scenario.spreads[1].shape = ListedShape::Fixed;
    scenario.spreads.remove(0);
    let again = parse(&to_text(&scenario), "again.toml").unwrap();
    assert_eq!(again, scenario);
    let bare = Scenario {
        spreads: scenario.spreads.clone(),
        parameters: scenario.parameters.clone(),
        ..Scenario::default()
    };
    assert_eq!(parse(&to_text(&bare), "bare.toml").unwrap(), bare);
}
