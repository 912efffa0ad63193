//! Charts and what goes with them: what they show, and what can be done with them, by the names that a screen reader reads.

mod steps;

use eframe::egui::{Key, Modifiers, Pos2, accesskit::Role};
use egui_kittest::kittest::Queryable;
use steps::*;
use tautleaf_app::charts::{Chart, Kind, Look};
use tautleaf_physics::{Figure, Outcome, Rule};

#[test]
fn clicking_a_chart_points_at_that_moment() {
    let mut test = window();
    let middle = test.get_by_role_and_label(Role::Image, &spoken(&test, "Speed:")).rect().center();
    test.hover_at(middle);
    test.step();
    test.drag_at(middle);
    test.drop_at(middle);
    settle(&mut test);
    let moment = test.state().state().view.cursor.expect("a moment");
    let end = test.state().state().charts.range.1;
    assert!((moment.t_s - end / 2.0).abs() < 0.1 * end, "{} of {end}", moment.t_s);
}

#[test]
fn over_the_opening_the_impact_force_is_a_curve() {
    let mut test = window();
    click(&mut test, "Charts over: opening");
    let force = chart(&test, Kind::Force);
    let impact = force.curves.iter().find(|curve| curve.name == "impact").expect("a curve");
    assert!(impact.points.len() >= 12, "{} points", impact.points.len());
    let tested = force.curves.iter().find(|curve| curve.name == "impact, tested gaps").expect("points");
    // every gap of the force test: the usual three, the ends of the bands, where the leaf is fastest
    assert!(tested.points.len() > 6, "{} points", tested.points.len());
    // Stall is filled in by work in the background, and goes through what the run itself found.
    let stall = force.curves.iter().find(|curve| curve.name == "stall").expect("filled in");
    let diamonds = force.curves.iter().find(|curve| curve.name == "stall, tested gaps").expect("points");
    for point in &diamonds.points {
        let read = stall.at(point.x).expect("within the travel");
        assert!((read / point.y - 1.0).abs() < 0.05, "{read} and {} N at {} m", point.y, point.x);
    }
    assert_eq!(test.state().state().charts.axis_unit, "m");
    click(&mut test, "Units: US");
    assert_eq!(test.state().state().charts.axis_unit, "in");
}

#[test]
fn no_curve_has_more_points_than_a_screen_can_show() {
    let test = window();
    for chart in &test.state().state().charts.charts {
        for curve in &chart.curves {
            assert!((2..=2000).contains(&curve.points.len()), "{}: {}", curve.name, curve.points.len());
        }
    }
}

/// The strands share the installed tension at rest; tightened, all of them rise by as much.
#[test]
fn a_tighter_belt_lifts_every_strand_in_the_chart_of_tensions() {
    let mut test = window();
    let at_rest = |test: &Test| {
        let tension = chart(test, Kind::Tension);
        let strands = tension.curves.iter().filter(|curve| matches!(curve.look, Look::Strand(_)));
        strands.map(|strand| strand.points[0].y).collect::<Vec<_>>()
    };
    let before = at_rest(&test);
    assert_eq!(before.len(), 3);
    move_slider(&mut test, "Belt tension", 450.0);
    for (after, before) in at_rest(&test).iter().zip(before) {
        assert!((after - before - 150.0).abs() < 1.0, "{before} to {after} N");
    }
    assert!(test.query_by_label_contains("Isolate mains and battery").is_some(), "the caution stands there");
}

#[test]
fn the_tension_window_says_where_the_belt_stands_and_moves_with_the_leaf() {
    let mut test = window();
    let said = |test: &Test| spoken(test, "Tension window:");
    assert!(said(&test).contains("300 N lies between"), "{}", said(&test));
    let before = test.state().state().tension_window.clone().expect("a window").ends().0;
    move_slider(&mut test, "Leaf mass", 150.0);
    assert!(test.state().state().tension_window.clone().expect("a window").ends().0 > before);
    assert!(test.query_by_label_contains("300 N is ").is_some(), "take-up and turns stand there");
    move_slider(&mut test, "Belt tension", 40.0);
    assert!(said(&test).contains("too loose"), "{}", said(&test));
}

#[test]
fn a_held_run_stays_behind_the_new_one_and_the_figures_show_the_difference() {
    let mut test = window();
    let before = chart(&test, Kind::Energy);
    click(&mut test, "Hold this run");
    move_slider(&mut test, "Leaf mass", 140.0);

    let state = test.state().state();
    let held = state.held_charts.as_ref().expect("curves of the held run").charts.clone();
    let held = held.iter().find(|chart| chart.kind == Kind::Energy).expect("energy");
    assert_eq!(peak(held), peak(&before));
    assert!(peak(&chart(&test, Kind::Energy)) > peak(held));
    let more = state.document.held().difference(state.live.as_ref().expect("a run"), Figure::PeakEnergyLeaf);
    // 19.3 J has one decimal, and so has the difference beside it.
    let shown = format!("{:+.1}", more.expect("a difference"));
    assert!(test.query_by_label(&shown).is_some(), "{shown}");

    click(&mut test, "Back to Run 1");
    assert_eq!(mass(&test), 95.0);
    assert_eq!(test.query_all_by_label("=").count(), 9, "all nine figures are as they were");
    click(&mut test, "Undo");
    assert_eq!(mass(&test), 140.0);
    click(&mut test, "Let go of Run 1");
    assert!(test.state().state().held_charts.is_none());
}

/// What is held is work as well: letting go of it is taken back like anything else.
#[test]
fn holding_and_letting_go_are_steps_to_undo() {
    let mut test = window();
    let names = |test: &Test| {
        let held = test.state().state().document.held().all().iter();
        held.map(|held| held.name.clone()).collect::<Vec<_>>()
    };
    click(&mut test, "Hold this run");
    move_slider(&mut test, "Leaf mass", 140.0);
    click(&mut test, "Let go of Run 1");
    assert!(names(&test).is_empty());
    let undo = |test: &mut Test| {
        test.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        settle(test);
    };
    undo(&mut test);
    assert_eq!((names(&test), mass(&test)), (vec!["Run 1".to_owned()], 140.0));
    assert!(test.state().state().held_charts.is_some(), "it is drawn again");
    undo(&mut test);
    assert_eq!((names(&test).len(), mass(&test)), (1, 95.0));
    undo(&mut test);
    assert!(names(&test).is_empty());
}

#[test]
fn a_limit_is_dragged_to_another_value_in_one_step() {
    let mut test = window();
    let own = |test: &Test| {
        let limits = tautleaf_scenario::limits_of(test.state().state().document.scenario());
        limits
            .into_iter()
            .find(|limit| limit.key == "kinetic_energy_max")
            .expect("the example limits it")
            .rule
    };
    assert_eq!(own(&test), Rule::AtMost(15.0));
    let plot = test.get_by_role_and_label(Role::Image, &spoken(&test, "Kinetic energy:")).rect();
    let chart = chart(&test, Kind::Energy);
    // Where 15 J and 10 J lie in the plot: its lower edge is a little below the least value.
    let (low, high) = (chart.bottom - 0.03 * (chart.top - chart.bottom), chart.top);
    let y = |joules: f64| plot.bottom() - plot.height() * ((joules - low) / (high - low)) as f32;
    let at = |joules: f64| Pos2::new(plot.center().x, y(joules));
    test.hover_at(at(15.0));
    test.step();
    test.drag_at(at(15.0));
    test.run_steps(2);
    for joules in [14.0, 13.0, 12.0, 11.0] {
        test.hover_at(at(joules));
        test.run_steps(2);
    }
    test.drop_at(at(11.0));
    settle(&mut test);
    let Rule::AtMost(now) = own(&test) else { panic!("still at most") };
    assert!((now - 11.0).abs() < 0.8, "{now} J");
    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Over);
    assert_eq!(test.state().state().view.cursor, None, "no moment was pointed at");
    click(&mut test, "Undo");
    assert_eq!(own(&test), Rule::AtMost(15.0));
}

#[test]
fn slack_is_marked_in_the_chart_and_told_once_beside_the_verdicts() {
    let mut test = window();
    open(&mut test, &scenarios().join("belt-too-loose.toml"));
    let slack = chart(&test, Kind::Tension).slack;
    assert!(slack[0].text.starts_with("goes slack, snaps tight after "), "{slack:?}");
    let (from, to) = slack[0].across;
    let strand = chart(&test, Kind::Tension).curves.last().cloned().expect("the strand at the drive");
    let least = strand.points.iter().filter(|point| (from..=to).contains(&point.x)).map(|point| point.y);
    assert!(least.fold(f64::INFINITY, f64::min) <= 0.0, "it carries nothing there");
    assert!(chart(&test, Kind::Speed).marks.iter().any(|mark| mark.text == "belt snaps tight"));
    assert_eq!(test.query_all_by_label_contains("Jerks: the strand").count(), 1);
}

/// Two hangers carry the leaf: at rest together its weight, m g.
#[test]
fn the_hangers_of_a_leaf_at_rest_carry_its_weight() {
    let mut test = window();
    click(&mut test, "Charts");
    click(&mut test, "Show hanger load");
    let loads = chart(&test, Kind::Hanger);
    let carried: f64 = loads.curves.iter().map(|curve| curve.points.last().expect("points").y).sum();
    assert!((carried / (95.0 * 9.80665) - 1.0).abs() < 0.02, "{carried} N");
}

#[test]
fn charts_can_be_taken_away_and_brought_back_but_never_all() {
    let mut test = window();
    let kinds = |test: &Test| test.state().state().charts.charts.iter().map(|c| c.kind).collect::<Vec<_>>();
    assert_eq!(kinds(&test), Kind::FIRST);
    click(&mut test, "Charts");
    for name in ["Show speed", "Show kinetic energy", "Show closing force", "Show strand tension"] {
        click(&mut test, name);
    }
    assert_eq!(kinds(&test), [Kind::Tension]);
    click(&mut test, "Show current");
    assert_eq!(kinds(&test), [Kind::Tension, Kind::Current]);
}

/// What the pointer is told at a place is what the run did there, however the curve was thinned out.
#[test]
fn the_number_under_the_pointer_is_the_curves() {
    let test = window();
    let speed = chart(&test, Kind::Speed);
    let leaf = speed.curves.last().expect("the leaf");
    let live = test.state().state().live.as_ref().expect("a run");
    for t_s in [0.4, 1.0, 1.7, 6.3, 7.5, 9.2] {
        let told = leaf.at(t_s).expect("a height");
        let was = live.sample_at(t_s).expect("a sample").leaf_speed_m_per_s[0].abs();
        assert!((told - was).abs() < 0.002, "{told} and {was} at {t_s} s");
    }
}

/// Each further chart is drawn from the run: the greatest acceleration and jerk are those of the figures, the winding
/// comes back to where it began, and the wheels climb what the rail rises.
#[test]
fn the_charts_on_demand_show_what_the_figures_say() {
    let mut test = window_of_size([1280.0, 2400.0]);
    open(&mut test, &scenarios().join("knock-at-two-thirds.toml"));
    click(&mut test, "More charts");
    for name in ["acceleration", "jerk", "winding temperature", "rail under the wheels", "current", "power"] {
        click(&mut test, &format!("Show {name}"));
    }
    let figure = |test: &Test, figure| {
        let live = test.state().state().live.as_ref().expect("a run");
        live.run.figures.get(figure).expect("a figure")
    };
    let size = |chart: &Chart| {
        let heights = chart.curves.iter().flat_map(|curve| &curve.points).map(|at| at.y.abs());
        heights.fold(0.0, f64::max)
    };
    let felt = size(&chart(&test, Kind::Acceleration));
    assert!((felt - figure(&test, Figure::PeakAcceleration)).abs() < 1e-9, "{felt}");
    let jerk = size(&chart(&test, Kind::Jerk));
    assert!((jerk - figure(&test, Figure::PeakJerk)).abs() < 1e-9, "{jerk}");
    let winding = chart(&test, Kind::Winding);
    let greatest = figure(&test, Figure::WindingTemperature);
    assert!((size(&winding) - greatest).abs() < 0.02, "{} and {greatest}", size(&winding));
    assert!(winding.bottom > 0.0, "the axis does not begin at zero");
    let rail = chart(&test, Kind::Rail);
    assert!(rail.top > 0.1, "the joint stands up: {} mm", rail.top);
}

/// The wheel over a chart looks closer at where the pointer is; Home brings the whole run back.
#[test]
fn the_wheel_looks_closer_and_home_brings_the_whole_back() {
    let mut test = window();
    let speed = test.get_by_label_contains("Speed: ").rect();
    test.hover_at(egui::pos2(speed.left() + 0.75 * speed.width(), speed.center().y));
    test.step();
    for _ in 0..6 {
        let delta = egui::vec2(0.0, 120.0);
        let phase = egui::TouchPhase::Move;
        test.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta,
            phase,
            source: egui::MouseWheelSource::Wheel,
            modifiers: Modifiers::NONE,
        });
        test.run_steps(4);
    }
    settle(&mut test);
    let shown = |test: &Test| test.state().state().charts.range;
    let whole = test.state().state().charts.whole;
    let (from, to) = shown(&test);
    assert!(to - from < 0.5 * (whole.1 - whole.0), "{from} to {to} of {whole:?}");
    let there = whole.0 + 0.75 * (whole.1 - whole.0);
    assert!((from..=to).contains(&there), "{there} lies between {from} and {to}");
    test.key_press(Key::Home);
    settle(&mut test);
    assert_eq!(shown(&test), whole);
}

/// The value at the end of a chart's head leads to where it was reached.
#[test]
fn a_click_on_the_peak_goes_there() {
    let mut test = window();
    let at = |test: &Test| test.state().state().view.cursor.expect("a moment").t_s;
    click(&mut test, "peak 0.52 m/s");
    let live = test.state().state().live.as_ref().expect("a run");
    let top = live.run.figures.reading(Figure::TopSpeedOpening).expect("a figure").at.expect("a moment");
    assert!((at(&test) - top.t_s).abs() < 0.002, "{} instead of {}", at(&test), top.t_s);
}
