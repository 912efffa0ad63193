//! The tuner where the best is known, and its promises run again.

use std::sync::Mutex;

use tautleaf_physics::{Door, Figure, Limit, Outcome, Parameters};
use tautleaf_trials::spread::{Sampling, Study, inputs_of};
use tautleaf_trials::tune::{Goal, MOST_EVALUATIONS, TuneError, Tuned, Tuning, tune};
use tautleaf_trials::{Bench, Criteria, Effort, Reserve, Watch, changed};

fn at_most(figure: Figure, most: f64) -> Limit {
    Limit::at_most(&format!("{}_max", figure.name()), figure, most)
}

fn bench(limits: Vec<Limit>) -> Bench {
    let criteria = Criteria { limits, close_margin: 0.1, gaps_m: None };
    Bench { criteria, effort: Effort::WithImpact }
}

fn tuned(p: &Parameters, limits: &[Limit], goal: Goal, probability: Option<f64>) -> (Bench, Tuned) {
    let door = Door::try_from(p.clone()).unwrap();
    let bench = bench(limits.to_vec());
    let reserve = Reserve::NONE;
    let tuning = Tuning {
        goal,
        reserve,
        probability,
        runs: 200,
        seed: 1,
        threads: 2,
        most_evaluations: MOST_EVALUATIONS,
    };
    let found = tune(&door, &bench, &[], &tuning, &Watch::nobody()).unwrap();
    (bench, found)
}

/// Every limit of a door with the changes, run from scratch.
fn over(p: &Parameters, found: &Tuned, bench: &Bench) -> Vec<String> {
    let door = Door::try_from(changed(p, &found.changes)).unwrap();
    let assessment = bench.criteria.assess(&door, Effort::Everything);
    assert!(assessment.run.finished);
    assessment.verdicts.into_iter().filter(|it| it.outcome == Outcome::Over).map(|it| it.limit.key).collect()
}

/// The fastest leaf of m kg that carries no more than E goes sqrt(2 E/m): 80 kg and 6 J, 0.387 m/s.
#[test]
fn the_fastest_under_an_energy_limit_goes_the_square_root_of_twice_the_energy_over_mass() {
    let p = Parameters::default();
    let (bench, found) = tuned(&p, &[at_most(Figure::PeakEnergyLeaf, 6.0)], Goal::Fastest, None);
    assert!(found.keeps, "{:?}", found.changes);
    assert_eq!(over(&p, &found, &bench), Vec::<String>::new());
    let best = (2.0f64 * 6.0 / 80.0).sqrt();
    for figure in [Figure::TopSpeedOpening, Figure::TopSpeedClosing] {
        let speed = found.after.get(figure).unwrap();
        // within 3 %: what is left is ripple, and rounding to a speed that can be set
        assert!((speed / best - 1.0).abs() < 0.03, "{figure:?} {speed} of {best}");
    }
    assert!(found.binding.contains(&0), "the energy holds it back: {:?}", found.binding);
    let time = |trial: &tautleaf_trials::Trial| {
        trial.get(Figure::OpeningTime).unwrap() + trial.get(Figure::ClosingTime).unwrap()
    };
    assert!(time(&found.after) < time(&found.before) * 1.05);
}

/// A leaf of mass m that meets an edge of stiffness k at v presses with v sqrt(k m) (one mass, one spring): that sets the
/// speed at which a limit on the impact is met. The drive's own push and its mass on the belt come on top, so the speed found
/// is lower, but not by more than a third.
#[test]
fn the_fastest_under_an_impact_limit_meets_the_edge_at_the_speed_that_the_spring_gives() {
    let p = Parameters::default();
    let most = 500.0;
    let (bench, found) = tuned(&p, &[at_most(Figure::ImpactForce, most)], Goal::Fastest, None);
    assert!(found.keeps && over(&p, &found, &bench).is_empty(), "{:?}", found.changes);
    let impact = found.after.get(Figure::ImpactForce).unwrap();
    assert!(impact > 0.95 * most && impact <= most, "{impact}");
    let (edge, tester) = (p.edge.stiffness_n_per_m, p.tester.stiffness_n_per_m);
    let stiffness = edge * tester / (edge + tester);
    let best = most / (stiffness * p.leaf.mass_kg).sqrt();
    let speed = found.after.get(Figure::TopSpeedClosing).unwrap();
    assert!(speed < 1.02 * best && speed > 0.66 * best, "{speed} of {best}");
}

/// Less current for the same time: a gentler trapezoid than 0.8 m/s2 up to 0.6 m/s, and no slower than it was.
#[test]
fn the_coolest_is_no_slower_and_takes_less_current() {
    let p = Parameters::default();
    let (_, found) = tuned(&p, &[at_most(Figure::StallForceGreatest, 400.0)], Goal::Coolest, None);
    let figure = |trial: &tautleaf_trials::Trial, figure| trial.get(figure).unwrap();
    assert!(figure(&found.after, Figure::RmsCurrent) < figure(&found.before, Figure::RmsCurrent));
    let time = |trial| figure(trial, Figure::OpeningTime) + figure(trial, Figure::ClosingTime);
    assert!(time(&found.after) <= 1.003 * time(&found.before));
}

/// What is never known on site spreads: the limit is kept as often as was wanted, by draws that the tuning did not see, and
/// that costs time.
#[test]
fn a_wanted_probability_is_kept_and_costs_time() {
    let mut p = Parameters::default();
    p.edge.travel_m = Some(0.06);
    let limits = [at_most(Figure::PeakEnergyLeaf, 6.0), at_most(Figure::ImpactForce, 600.0)];
    let (_, plain) = tuned(&p, &limits, Goal::Fastest, None);
    let (_, sure) = tuned(&p, &limits, Goal::Fastest, Some(0.9));
    let all = sure.all.unwrap();
    assert!(sure.keeps && all.share().unwrap() >= 0.9, "{all:?}");
    assert_eq!(sure.kept.len(), 2);
    // 1000 doors more, drawn here: the share that keeps both is at least 0.9 less three standard deviations, 0.03
    let door = Door::try_from(changed(&p, &sure.changes)).unwrap();
    let bench = bench(limits.to_vec());
    let study = Study::new(&door, inputs_of(&door, &[]).unwrap(), bench, 77, Sampling::Random);
    let keeps = |n| study.bench.unjudged(&study.row(n).trial).is_some_and(|unjudged| unjudged.is_empty());
    let share = (0..1000).filter(|&n| keeps(n)).count() as f64 / 1000.0;
    assert!(share >= 0.87, "{share}");
    let time = |found: &Tuned| {
        found.after.get(Figure::OpeningTime).unwrap() + found.after.get(Figure::ClosingTime).unwrap()
    };
    assert!(time(&sure) > time(&plain), "{} and {}", time(&sure), time(&plain));
    let times: Vec<f64> = sure.trade_off.iter().filter_map(|point| point.time_s).collect();
    // the curve begins at the answer
    assert!((times[0] - time(&sure)).abs() < 1e-9, "{times:?}");
    assert!(times.len() >= 3 && times.windows(2).all(|pair| pair[1] > pair[0] - 0.02), "{times:?}");
}

/// A limit that no setting moves is named, and nothing else is given up for it.
#[test]
fn where_one_limit_cannot_be_kept_nothing_is_proposed() {
    let p = Parameters::default();
    let limits = [at_most(Figure::ManualForce, 1.0), at_most(Figure::PeakEnergyLeaf, 20.0)];
    let (_, found) = tuned(&p, &limits, Goal::Fastest, None);
    assert!(!found.keeps && found.changes.is_empty(), "{:?}", found.changes);
    assert_eq!(found.before, found.after);
}

/// Each change is worth something: put back alone, it costs more than is lost in rounding, or breaks a limit.
#[test]
fn no_change_that_does_next_to_nothing_is_proposed() {
    let p = Parameters::default();
    let (bench, found) = tuned(&p, &[at_most(Figure::PeakEnergyLeaf, 6.0)], Goal::Fastest, None);
    let time = |changes: &[tautleaf_trials::Change]| {
        let door = Door::try_from(changed(&p, changes)).unwrap();
        let trial = bench.run(&door);
        let kept = bench.unjudged(&trial).is_some();
        kept.then(|| trial.get(Figure::OpeningTime).unwrap() + trial.get(Figure::ClosingTime).unwrap())
    };
    let whole = time(&found.changes).unwrap();
    for n in 0..found.changes.len() {
        let mut without = found.changes.clone();
        let left_out = without.remove(n);
        assert!(time(&without).is_none_or(|time| time > whole), "{left_out:?} of {:?}", found.changes);
    }
}

#[test]
fn a_run_without_an_opening_and_a_closing_is_refused() {
    let mut p = Parameters::default();
    p.timeline.power_lost_s = Some(1.0);
    let door = Door::try_from(p).unwrap();
    let bench = bench(Vec::new());
    let tuning = Tuning {
        goal: Goal::Fastest,
        reserve: Reserve::NONE,
        probability: None,
        runs: 20,
        seed: 1,
        threads: 1,
        most_evaluations: MOST_EVALUATIONS,
    };
    let refused = tune(&door, &bench, &[], &tuning, &Watch::nobody());
    assert_eq!(refused.map(|tuned| tuned.changes), Err(TuneError::NoCycle));
}

/// A bar that stands at its end for half of the time, or ends at half of it, says nothing about the time left.
#[test]
fn how_far_a_tuning_is_grows_evenly_to_all_of_it() {
    let door = Door::try_from(Parameters::default()).unwrap();
    let limits = vec![at_most(Figure::PeakEnergyLeaf, 6.0)];
    let bench = bench(limits);
    let tuning = Tuning {
        goal: Goal::Fastest,
        reserve: Reserve::NONE,
        probability: None,
        runs: 0,
        seed: 1,
        threads: 1,
        most_evaluations: MOST_EVALUATIONS,
    };
    let told = Mutex::new(Vec::new());
    let tell = |share| told.lock().unwrap().push(share);
    tune(&door, &bench, &[], &tuning, &Watch { tell: &tell, ..Watch::nobody() }).unwrap();
    let told = told.into_inner().unwrap();
    assert!(told.windows(2).all(|two| two[0] <= two[1]));
    assert!(told.len() > 500 && told[told.len() - 1] > 0.95 && told[told.len() * 9 / 10] < 0.98);
    let halfway = told[told.len() / 2];
    assert!((0.35..0.65).contains(&halfway), "{halfway} told when half of the doors had been run");
}
