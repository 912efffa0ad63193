//! What ratings are judged by, read off whole runs; and that a rating decides where it is the stricter.

use tautleaf_physics::parameters::{Arrangement, Supply, SupplyKind};
use tautleaf_physics::{CycleOptions, Door, Figure, Outcome, Parameters, Run, cycle};
use tautleaf_scenario::parse;
use tautleaf_trials::{Effort, Standing};

fn run(p: &Parameters) -> (Door, Run) {
    let door = Door::try_from(p.clone()).expect("a door");
    let run = cycle(&door, &CycleOptions::default());
    assert!(run.finished);
    (door, run)
}

fn get(run: &Run, figure: Figure) -> f64 {
    run.figures.get(figure).unwrap_or_else(|| panic!("{}", figure.name()))
}

/// A pair that opens faster than it closes, its second leaf the heavier.
fn pair() -> Parameters {
    let mut p = Parameters { arrangement: Arrangement::BiParting, ..Parameters::default() };
    p.leaf.second_mass_kg = Some(1.2 * p.leaf.mass_kg);
    (p.opening.speed_m_per_s, p.closing.speed_m_per_s) = (0.6, 0.3);
    p
}

/// E = m v^2/2 of the heavier leaf at the top speed of closing, which both leaves share but for the stretch of the belt.
#[test]
fn the_energy_of_one_leaf_while_closing_is_that_of_its_own_speed_on_that_way() {
    let p = pair();
    let (_, run) = run(&p);
    let mass = 1.2 * p.leaf.mass_kg;
    let closed_form = 0.5 * mass * get(&run, Figure::TopSpeedClosing).powi(2);
    let closing = get(&run, Figure::PeakEnergyLeafClosing);
    // the lighter leaf may be the faster one, by what the belt stretches: 2 % of the speed are 4 % of the energy
    assert!(
        closing <= closed_form * (1.0 + 1e-12) && closing > 0.96 * closed_form,
        "{closing} {closed_form}"
    );
    assert!(get(&run, Figure::PeakEnergyLeaf) > 2.0 * closing);
    let at =
        run.figures.reading(Figure::PeakEnergyLeafClosing).and_then(|reading| reading.at).expect("a moment");
    let sample = run.samples.iter().find(|sample| sample.t_s == at.t_s).expect("a sample");
    assert!(sample.leaf_speed_m_per_s[1] < -0.25, "{sample:?}");
}

/// With drive: that and the energy of belt, drive and return pulley, which move with both leaves.
#[test]
fn with_the_drive_one_leaf_carries_what_no_leaf_does_beside_its_own() {
    let (_, run) = run(&pair());
    let (alone, with) =
        (get(&run, Figure::PeakEnergyLeafClosing), get(&run, Figure::PeakEnergyLeafCoupledClosing));
    let all = get(&run, Figure::PeakEnergyCoupledClosing);
    assert!(alone < with && with < all, "{alone} {with} {all}");
    // of a single leaf it is all that moves
    let (_, single) = self::run(&Parameters::default());
    let (one, all) =
        (get(&single, Figure::PeakEnergyLeafCoupledClosing), get(&single, Figure::PeakEnergyCoupledClosing));
    assert!((one - all).abs() < 1e-12 * all, "{one} {all}");
}

/// omega = v N/r
#[test]
fn the_motor_turns_as_fast_as_belt_and_gear_make_it() {
    let p = Parameters::default();
    let (door, run) = run(&p);
    let fastest = run.samples.iter().map(|sample| sample.drive_speed_m_per_s.abs()).fold(0.0, f64::max);
    let radius = p.pulleys.teeth * p.belt.pitch_m / std::f64::consts::TAU;
    let (omega, expected) = (get(&run, Figure::TopMotorSpeed), fastest * p.gear.ratio / radius);
    assert!((omega - expected).abs() < 1e-9 * expected, "{omega} {expected}");
    assert!((door.ring().radius_m - radius).abs() < 1e-12);
}

/// i = U I/V of a supply that holds its voltage; a tick is short against how the winding's power changes.
#[test]
fn the_supply_gives_what_the_winding_takes_and_no_more_than_its_limit() {
    let mut p = Parameters::default();
    let (_, stiff) = run(&p);
    let watts = stiff.samples.iter().map(|sample| sample.voltage_v * sample.current_a).fold(0.0, f64::max);
    let found = get(&stiff, Figure::SupplyCurrent);
    assert!((found - watts / p.supply.voltage_v).abs() < 0.05 * found, "{found} {watts}");

    p.supply = Supply { current_limit_a: Some(0.7 * found), ..p.supply };
    let limited = get(&run(&p).1, Figure::SupplyCurrent);
    assert!((limited - 0.7 * found).abs() < 1e-9, "{limited} {found}");

    p.supply = Supply { kind: SupplyKind::Battery, resistance_ohm: 0.2, ..Supply::default() };
    let (_, sagging) = run(&p);
    // V = V_oc - R i at the greatest current
    let sag = p.supply.voltage_v - get(&sagging, Figure::LeastBusVoltage);
    assert!((sag - 0.2 * get(&sagging, Figure::SupplyCurrent)).abs() < 1e-9, "{sag}");
}

fn standing(limits: &str) -> (Standing, Vec<(String, Outcome)>) {
    let scenario = parse(&format!("schema = 1\n{limits}"), "door.toml").expect("a door file");
    let door = scenario.door().expect("a door");
    let assessment = scenario.criteria().assess(&door, Effort::AsJudged);
    let told = assessment.verdicts.iter().map(|verdict| (verdict.limit.source.clone(), verdict.outcome));
    (assessment.standing(&door), told.collect())
}

/// The reference turns its motor faster than 500 and slower than 5000 times a minute (measured: 3755).
#[test]
fn the_stricter_of_limit_and_rating_decides() {
    let rated = |rating: &str, limit: &str| {
        standing(&format!(
            "[ratings]\ndrive = \"D\"\nmaximum_speed = \"{rating}\"\n[limits]\nmotor_speed_max = \"{limit}\"\n"
        ))
    };
    let (stands, told) = rated("500 1/min", "5000 1/min");
    assert_eq!(stands, Standing::Over(1));
    let expected = [("set in the door file", Outcome::Within), ("rating of the drive \"D\"", Outcome::Over)];
    assert_eq!(told, expected.map(|(source, outcome)| (source.to_owned(), outcome)));
    let (stands, told) = rated("5000 1/min", "500 1/min");
    assert_eq!((stands, told[0].1, told[1].1), (Standing::Over(1), Outcome::Over, Outcome::Within));
    assert_eq!(rated("5000 1/min", "5000 1/min").0, Standing::Within);
}

/// Each rating alone fails the reference where it is small and is kept where it is large.
#[test]
fn each_rating_alone_decides() {
    for (key, small, large) in [
        ("shaft_load", "50 N", "5000 N"),
        ("allowable_tension", "50 N", "9000 N"),
        ("peak_current", "0.5 A", "60 A"),
        ("rated_current", "0.05 A", "20 A"),
        ("maximum_speed", "100 1/min", "9000 1/min"),
        ("supply_current", "0.1 A", "60 A"),
    ] {
        let of = |most: &str| standing(&format!("[ratings]\n{key} = \"{most}\"\n")).0;
        assert_eq!((of(small), of(large)), (Standing::Over(1), Standing::Within), "{key}");
    }
    // class A bears 105 C, H 180 C (IEC 60085); at 80 C ambient and with this press current the winding comes between them
    let warm = "[duty]\nambient = \"80 C\"\n[controller]\npress_current = \"3 A\"\n";
    let of = |class: &str| {
        standing(&format!("{warm}[ratings]\nrated_current = \"4 A\"\ninsulation = \"{class}\"\n")).1
    };
    assert_eq!((of("A")[1].1, of("H")[1].1), (Outcome::Over, Outcome::Within));
}
