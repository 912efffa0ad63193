//! Published limits as the program judges them, each through a whole run.

use tautleaf_physics::limits::{FOOT_M, POUND_KG, closing_speed_by_weight_m_per_s};
use tautleaf_physics::{
    CycleOptions, Door, Figure, Judge, Known, Limit, Outcome, Parameters, Rule, Verdict, cycle, judge,
};
use tautleaf_tests::outside::presets::{SPEED_BY_WEIGHT, TIME_OVER_A_METRE};

fn limit(figure: Figure, rule: Rule) -> Limit {
    Limit {
        key: "test".to_owned(),
        preset: None,
        figure: Some(figure),
        rule,
        unit: String::new(),
        source: "see the test".to_owned(),
        known: Known::Reproduced,
        judge: Judge::Limit,
    }
}

/// Runs a leaf of this mass at this closing speed and judges it.
fn closing(mass_kg: f64, speed_m_per_s: f64, stroke_m: f64, limit: Limit) -> Verdict {
    let mut p = Parameters::default();
    p.leaf.mass_kg = mass_kg;
    p.leaf.stroke_m = stroke_m;
    p.opening.speed_m_per_s = 0.3;
    p.closing.speed_m_per_s = speed_m_per_s;
    p.closing.creep_speed_m_per_s = p.closing.creep_speed_m_per_s.min(speed_m_per_s);
    p.closing.acceleration_m_per_s2 = speed_m_per_s; // a second: the speed loop hardly overshoots
    p.opening.current_limit_a = 20.0;
    p.closing.current_limit_a = 20.0;
    let door = Door::try_from(p).unwrap();
    let run = cycle(&door, &CycleOptions::default());
    assert!(run.finished);
    judge(&door, &run, &[limit], 0.0).remove(0)
}

/// ANSI/BHMA A156.10 (1999 10.10, 2005 10.1.1; public reproduction): a heavier leaf may close more slowly.
/// A door set 10 % slower is within, set 5 % faster over: the speed loop overshoots by up to 7 %.
#[test]
fn a_heavier_leaf_may_close_more_slowly_by_the_us_speed_rule() {
    for (pounds, _) in SPEED_BY_WEIGHT {
        let allowed = closing_speed_by_weight_m_per_s(pounds * POUND_KG) / FOOT_M;
        for (factor, outcome) in [(0.9, Outcome::Within), (1.05, Outcome::Over)] {
            let rule = limit(Figure::TopSpeedBeforeCheck, Rule::ClosingSpeedByWeight);
            let verdict = closing(pounds * POUND_KG, factor * allowed * FOOT_M, 1.0, rule);
            assert_eq!(verdict.outcome, outcome, "{pounds} lb at {factor}: {:?}", verdict.value);
        }
    }
}

/// EN 16005:2012 Annex F (printed copies and formula): a least time over D,
/// 90 % of the stroke. Runs that cover it in more and in less time are told apart.
#[test]
fn low_energy_leaves_take_the_published_least_times() {
    for (mass_kg, least_s) in TIME_OVER_A_METRE {
        let average = 1.0 / least_s;
        for (speed, outcome) in [(0.95 * average, Outcome::Within), (1.6 * average, Outcome::Over)] {
            let rule = limit(Figure::ClosingLeastTime90, Rule::LowEnergyLeastTime);
            let verdict = closing(mass_kg, speed, 1.0 / 0.9, rule);
            assert!((verdict.allowed.unwrap() - least_s).abs() < 1e-12);
            assert_eq!(verdict.outcome, outcome, "{mass_kg} kg at {speed} m/s: {:?} s", verdict.value);
        }
    }
}
