//! The workbench answers for every door that can be built, usual or odd.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use tautleaf_physics::workbench::{SWINGS_TO_SING, belt_work, hang_work, tones};
use tautleaf_physics::{Door, FIELDS, Parameters, WHOLE_NUMBERS};
use tautleaf_report::{BeltReport, HangReport, Palette, TonesReport, svg};
use tautleaf_scenario::Scenario;
use tautleaf_tests::random_door;

/// A usual door with three of its numbers anywhere in what is possible.
fn odd_door(index: u64) -> Parameters {
    let mut p = random_door(31, index);
    let mut rng = StdRng::seed_from_u64(index);
    for _ in 0..3 {
        let field = &FIELDS[rng.random_range(0..FIELDS.len())];
        let (low, high) = field.possible;
        let drawn = if low > 0.0 {
            rng.random_range(low.ln()..=high.ln()).exp()
        } else {
            rng.random_range(low..=high)
        };
        let drawn = if WHOLE_NUMBERS.contains(&field.key) { drawn.round() } else { drawn };
        (field.set)(&mut p, Some(drawn.clamp(low, high)));
    }
    p
}

fn holds(door: &Door, name: &str) {
    let belt = belt_work(door);
    assert!(belt.run_m.is_finite() && belt.run_m > 0.0, "{name}");
    assert!(belt.wanted.turns.is_finite() && belt.wanted.turns >= 0.0, "{name}");
    assert!(
        belt.endless.teeth.fract() == 0.0 && belt.endless.touching_m.is_finite(),
        "{name}: {:?}",
        belt.endless
    );
    assert!(belt.open.is_none_or(|open| open.touching_m.is_finite() && open.teeth.fract() == 0.0), "{name}");
    let pull = &belt.full_pull;
    assert!(pull.tightest_n(belt.wanted.tension_n).is_finite() && pull.slack_below_n.is_finite(), "{name}");
    for strand in &belt.strands {
        assert!(strand.tone_hz.is_finite() && strand.length_m > 0.0, "{name}: {strand:?}");
        if strand.tone_hz > 0.0 {
            let back = belt.heard(*strand, strand.tone_hz).tension_n;
            assert!((back / belt.wanted.tension_n - 1.0).abs() < 1e-9, "{name}: {back}");
        }
    }
    let travel = door.travel_m();
    for met in &tones(door).meetings {
        let (from, to) = met.stretch_m;
        assert!((0.0..=travel).contains(&from) && (0.0..=travel).contains(&to), "{name}: {met:?}");
        assert!(met.swings <= met.source.per_m * travel * (1.0 + 1e-9), "{name}: {met:?}");
        assert_eq!(met.sings(), met.swings >= SWINGS_TO_SING);
    }
    let hang = hang_work(door);
    assert!(!hang.cases.is_empty(), "{name}");
    for hung in &hang.cases {
        assert!(
            hung.least_n.is_finite() && hung.greatest_n >= hung.least_n && hung.drift_n >= 0.0,
            "{name}: {hung:?}"
        );
    }
}

#[test]
fn every_door_that_can_be_built_has_a_belt_tones_and_hangs() {
    let mut built = 0;
    for index in 0..300 {
        let p = if index % 2 == 0 { random_door(31, index) } else { odd_door(index) };
        let Ok(door) = Door::try_from(p.clone()) else { continue };
        built += 1;
        holds(&door, &format!("door {index}"));
        let scenario = Scenario { parameters: p, ..Scenario::default() };
        let text = [
            BeltReport::of(&scenario, Some(30.0)).unwrap().text(&Palette::PLAIN),
            TonesReport::of(&scenario).unwrap().text(&Palette::PLAIN),
            HangReport::of(&scenario).unwrap().text(&Palette::PLAIN),
        ];
        assert!(
            text.iter().all(|text| !text.contains("NaN") && !text.contains(" inf ")),
            "door {index}: {text:?}"
        );
        let picture = svg::tones(&TonesReport::of(&scenario).unwrap()).unwrap();
        assert!(!picture.contains("NaN"), "door {index}");
    }
    assert!(built > 200, "{built}");
}
