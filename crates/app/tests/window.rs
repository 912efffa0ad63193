//! What a user does in the window and what comes of it, through the names that a screen reader reads.

mod steps;

use std::path::Path;

use eframe::egui::{self, Key, Modifiers, Pos2, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};
use steps::*;
use tautleaf_app::charts::{Kind, Look, MarkKind};
use tautleaf_app::example;
use tautleaf_physics::{Figure, Outcome, Rule};
use tautleaf_scenario::UnitSystem;

#[test]
fn a_heavier_leaf_changes_the_curves_and_a_verdict() {
    let mut test = window();
    let before = peak(&chart(&test, Kind::Energy));
    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Within);

    move_slider(&mut test, "Leaf mass", 160.0);

    assert_eq!(mass(&test), 160.0);
    let energy = chart(&test, Kind::Energy);
    assert!(peak(&energy) > 1.3 * before, "{} after {before}", peak(&energy));
    assert!(!energy.over.is_empty(), "what lies over the limit is shaded");
    assert!(energy.marks.iter().any(|mark| mark.kind == MarkKind::Over), "the worst point is marked");
    assert_eq!(verdict(&test, Figure::PeakEnergyLeaf).outcome, Outcome::Over);
    let row = names(&test).into_iter().find(|name| name.starts_with("Peak energy, one leaf"));
    assert!(row.as_ref().is_some_and(|row| row.contains(" % over")), "{row:?}");
}

/// 1 lb = 0.45359237 kg, exact.
#[test]
fn pounds_can_be_typed_into_a_field_of_kilograms() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "190 lb");
    assert_eq!(mass(&test), 190.0 * 0.453_592_37);
    assert!(test.state().state().view.notice.is_none());
}

#[test]
fn a_mass_typed_in_seconds_is_refused_with_a_reason_and_changes_nothing() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "190 s");
    assert_eq!(mass(&test), 95.0);
    let notice = test.state().state().view.notice.clone().expect("a message");
    assert!(notice.lines[0].contains("kg"), "{notice:?}");
    assert!(test.query_by_label("Leaf mass was not changed.").is_some());
    click(&mut test, "Dismiss");
    assert!(test.query_by_label("Leaf mass was not changed.").is_none());
}

#[test]
fn leaving_a_value_field_untouched_is_no_change() {
    let mut test = window();
    test.get_by_role_and_label(Role::SpinButton, "Closing acceleration").click();
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(&mut test);
    assert!(!test.state().state().document.is_dirty());
}

#[test]
fn a_drag_of_a_slider_is_one_step_to_undo() {
    let mut test = window();
    let rail = test.get_by_role_and_label(Role::Slider, "Leaf mass").rect();
    let at = |part: f32| Pos2::new(rail.left() + part * rail.width(), rail.center().y);
    test.drag_at(at(0.3));
    test.step();
    let mut seen = Vec::new();
    for part in [0.4, 0.5, 0.6, 0.7] {
        test.hover_at(at(part));
        test.run_steps(2);
        seen.push(mass(&test));
    }
    test.drop_at(at(0.7));
    settle(&mut test);
    assert!(seen.windows(2).all(|pair| pair[0] < pair[1]), "it moves all along: {seen:?}");
    assert!(mass(&test) > 200.0);

    test.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut test);
    assert_eq!(mass(&test), 95.0);
    assert!(!test.state().state().document.is_dirty());

    click(&mut test, "Redo");
    assert!(mass(&test) > 200.0);
}

#[test]
fn the_new_curves_are_there_in_the_frame_of_the_move() {
    let mut test = window();
    let before = peak(&chart(&test, Kind::Energy));
    test.get_by_role_and_label(Role::Slider, "Leaf mass").set_value_accesskit(160.0);
    test.step();
    assert_eq!(mass(&test), 160.0);
    assert!(peak(&chart(&test, Kind::Energy)) > 1.3 * before);
}

#[test]
fn reset_brings_the_default_back() {
    let mut test = window();
    click(&mut test, "Reset Leaf mass");
    assert_eq!(mass(&test), tautleaf_physics::Parameters::default().leaf.mass_kg);
    assert!(test.query_by_label("Reset Leaf mass").is_none(), "there is nothing left to reset");
    click(&mut test, "Undo");
    assert_eq!(mass(&test), 95.0);
}

#[test]
fn a_broken_file_is_told_line_by_line_and_the_door_stays() {
    let path = folder().join("broken.toml");
    let text = "schema = 1\ntitle = \"Broken\"\n[leaf]\nmass = \"80\"\nstroke = \"1 kg\"\nwidht = \"1 m\"\n";
    std::fs::write(&path, text).expect("a folder for tests");
    let mut test = window();
    open(&mut test, &path);

    let notice = test.state().state().view.notice.clone().expect("a message");
    assert!(notice.wrong);
    assert!(notice.head.contains("3 problems"), "{}", notice.head);
    assert!(test.query_by_label(&notice.lines[0]).is_some(), "the first stands there");
    assert!(test.query_by_label(&notice.lines[1]).is_none(), "the others on demand");
    click(&mut test, "2 more");
    for (line, key) in [(4, "leaf.mass"), (5, "leaf.stroke"), (6, "leaf.widht")] {
        let told = notice.lines.iter().find(|told| told.contains(&format!("broken.toml:{line}: {key}")));
        let told = told.unwrap_or_else(|| panic!("{key} in {:?}", notice.lines));
        assert!(test.query_by_label(told).is_some(), "{told}");
    }
    assert_eq!(test.state().state().document.scenario().title, example::scenario().title);
    assert_eq!(mass(&test), 95.0);
}

#[test]
fn a_missing_file_is_told_and_the_door_stays() {
    let mut test = window();
    open(&mut test, Path::new("/nowhere/door.toml"));
    assert!(test.state().state().view.notice.as_ref().is_some_and(|notice| notice.wrong));
    assert_eq!(mass(&test), 95.0);
}

#[test]
fn a_good_file_is_opened_and_saved_elsewhere_and_reads_back_identical() {
    let mut test = window();
    open(&mut test, &scenarios().join("bi-parting.toml"));
    assert!(test.state().state().document.scenario().title.contains("pair"));
    type_into(&mut test, "Leaf mass", "130 lb");
    assert!(test.state().state().document.is_dirty());

    let path = folder().join("saved.toml");
    click(&mut test, "Save as");
    test.get_by_role_and_label(Role::TextInput, "Path").focus();
    test.run_steps(2);
    test.key_press_modifiers(Modifiers::COMMAND, Key::A);
    test.event(egui::Event::Text(path.display().to_string()));
    test.run_steps(2);
    click(&mut test, "Save file");

    let document = &test.state().state().document;
    assert!(!document.is_dirty());
    assert_eq!(document.path(), Some(&*path));
    let read_back = tautleaf_scenario::read(&path).expect("a door file");
    assert_eq!(&read_back, document.scenario());
}

#[test]
fn us_units_show_everywhere_at_once() {
    let mut test = window();
    click(&mut test, "Units: US");
    assert_eq!(test.state().state().units(), UnitSystem::Us);
    let value = test.get_by_role_and_label(Role::SpinButton, "Leaf mass").value().unwrap_or_default();
    assert!(value.contains("lb"), "the field shows {value}");
    assert_eq!(chart(&test, Kind::Speed).unit, "in/s");
    assert_eq!(chart(&test, Kind::Force).unit, "lbf");
    let stall = names(&test).into_iter().find(|name| name.starts_with("Stall force"));
    assert!(stall.as_ref().is_some_and(|row| row.contains("lbf")), "{stall:?}");
    assert_eq!(mass(&test), 95.0, "showing it in pounds does not change it");
    type_into(&mut test, "Leaf mass", "200");
    assert_eq!(mass(&test), 200.0 * 0.453_592_37);
}

#[test]
fn the_setting_that_is_offered_brings_the_verdict_back_within() {
    let mut test = window();
    move_slider(&mut test, "Closing speed", 0.42);
    assert_eq!(verdict(&test, Figure::TopSpeedClosing).outcome, Outcome::Over);

    let offer = |name: &String| name.starts_with("Try closing speed") && name.ends_with("top speed closing");
    let offered = names(&test).into_iter().find(offer).expect("an offer beside the verdict");
    click(&mut test, &offered);

    let outcome = verdict(&test, Figure::TopSpeedClosing).outcome;
    assert!(matches!(outcome, Outcome::Within | Outcome::Close), "{outcome:?}");
    click(&mut test, "Undo");
    assert_eq!(test.state().state().document.scenario().parameters.closing.speed_m_per_s, 0.42);
}

/// Half an ampere does not move the reference leaf: no limit may read as kept by a door that stands still.
#[test]
fn a_door_that_never_opens_is_not_within_all_limits() {
    let mut test = window();
    move_slider(&mut test, "Opening current limit", 0.5);
    assert!(test.query_by_label("Does not open and close").is_some());
    assert!(test.query_by_label("Within all limits").is_none());
}

#[test]
fn clicking_a_verdict_points_at_its_worst_moment() {
    let mut test = window();
    let worst = verdict(&test, Figure::PeakEnergyLeaf).at.expect("a moment");
    let row = names(&test).into_iter().find(|name| name.starts_with("Peak energy, one leaf")).expect("a row");
    click(&mut test, &row);
    assert_eq!(test.state().state().view.cursor, Some(worst));
    click(&mut test, "Point at no moment");
    assert_eq!(test.state().state().view.cursor, None);
}

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
    assert_eq!(tested.points.len(), 3);
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

#[test]
fn an_impossible_door_is_explained_and_the_last_run_stays() {
    let mut test = window();
    let before = peak(&chart(&test, Kind::Speed));
    move_slider(&mut test, "Closing creep distance", 200.0);
    // Shorter than its own creep distance.
    type_into(&mut test, "Stroke", "150 mm");
    assert!(!test.state().state().refused.is_empty());
    assert!(test.query_by_label_contains("This door cannot be run.").is_some());
    assert!(test.query_by_label_contains("Closing creep distance: ").is_some());
    assert!(peak(&chart(&test, Kind::Speed)) > 0.5 * before, "the charts still show a run");
    click(&mut test, "Undo");
    assert!(test.state().state().refused.is_empty());
    assert!(test.query_by_label_contains("This door cannot be run.").is_none());
}

#[test]
fn a_value_beyond_the_slider_is_shown_as_it_is() {
    let mut test = window();
    type_into(&mut test, "Leaf mass", "900 kg");
    assert_eq!(mass(&test), 900.0);
    let value = test.get_by_role_and_label(Role::SpinButton, "Leaf mass").value().unwrap_or_default();
    assert!(value.starts_with("900"), "{value}");
    assert!(test.state().state().live.as_ref().is_some_and(|live| !live.warnings.is_empty()));
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
    let more = state.held.difference(state.live.as_ref().expect("a run"), Figure::PeakEnergyLeaf);
    let shown = format!("+{}", tautleaf_app::words::number(more.expect("a difference")));
    assert!(test.query_by_label(&shown).is_some(), "{shown}");

    click(&mut test, "Back to Run 1");
    assert_eq!(mass(&test), 95.0);
    assert_eq!(test.query_all_by_label("=").count(), 9, "all nine figures are as they were");
    click(&mut test, "Undo");
    assert_eq!(mass(&test), 140.0);
    click(&mut test, "Let go of Run 1");
    assert!(test.state().state().held_charts.is_none());
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

#[test]
fn time_runs_when_played_and_stands_when_paused() {
    let mut test = window();
    test.get_by_label("Play").click();
    test.run_steps(30);
    let at = |test: &Test| test.state().state().view.cursor.map_or(0.0, |moment| moment.t_s);
    let played = at(&test);
    assert!((0.3..0.7).contains(&played), "half a second of frames: {played}");
    test.get_by_label("Pause").click();
    test.run_steps(3);
    let paused = at(&test);
    test.run_steps(10);
    assert_eq!(at(&test), paused);
    click(&mut test, "Step on");
    assert!((at(&test) - paused - 0.001).abs() < 0.001, "one sample further");
    click(&mut test, "Step back");
    click(&mut test, "Step back");
    assert!(at(&test) < paused);
}

#[test]
fn dragging_the_leaf_moves_in_time() {
    let mut test = window();
    let leaf = test.get_by_label_contains("Leaf 1: drag to move in time").rect();
    let (from, to) = (leaf.center(), leaf.center() + egui::vec2(60.0, 0.0));
    test.hover_at(from);
    test.step();
    test.drag_at(from);
    test.step();
    for part in 1..=6 {
        test.hover_at(from + egui::vec2(10.0 * part as f32, 0.0));
        test.run_steps(2);
    }
    test.drop_at(to);
    settle(&mut test);
    let moment = test.state().state().view.cursor.expect("a moment");
    let moved = test.get_by_label_contains("Leaf 1: drag to move in time").rect().left() - leaf.left();
    assert!(moment.clear_opening_m > 0.1, "{moment:?}");
    assert!((moved - 60.0).abs() < 5.0, "the leaf follows the pointer: {moved}");
}

#[test]
fn clicking_a_part_of_the_doorway_shows_its_sliders() {
    let mut test = window();
    let shows = |test: &Test, name: &str| test.query_by_role_and_label(Role::Slider, name).is_some();
    assert!(!shows(&test, "Gear ratio"), "folded at first");
    click(&mut test, "Drive: show its sliders");
    assert!(shows(&test, "Gear ratio"));
    click(&mut test, "Rollers and rail: show its sliders");
    assert!(shows(&test, "Rail slope"));
}

#[test]
fn what_is_in_the_way_can_be_dragged_to_another_gap_in_one_step() {
    let mut test = window();
    let text = "schema = 1\n[obstacle]\ngap = \"400 mm\"\n";
    let path = folder().join("in the way.toml");
    std::fs::write(&path, text).expect("a folder for tests");
    open(&mut test, &path);
    let gap = |test: &Test| test.state().state().document.scenario().parameters.obstacle.map(|o| o.gap_m);
    let at = test.get_by_label_contains("What is in the way").rect().center();
    test.hover_at(at);
    test.step();
    test.drag_at(at);
    test.step();
    for part in 1..=4 {
        test.hover_at(at + egui::vec2(10.0 * part as f32, 0.0));
        test.run_steps(2);
    }
    test.drop_at(at + egui::vec2(40.0, 0.0));
    settle(&mut test);
    assert!(gap(&test).is_some_and(|gap| gap > 0.45), "{:?}", gap(&test));
    click(&mut test, "Undo");
    assert_eq!(gap(&test), Some(0.4));
}

/// Nothing that can be set in a file is missing in the window.
#[test]
fn every_number_of_a_door_has_its_slider() {
    let mut test = window_of_size([1280.0, 7000.0]);
    for part in ["Rollers and rail", "Drive", "Controller", "Stops", "Use and surroundings"] {
        click(&mut test, part);
    }
    let folds =
        test.query_all_by_label_contains("More about").filter_map(|node| node.accesskit_node().label());
    for fold in folds.collect::<Vec<_>>() {
        click(&mut test, &fold);
    }
    let mut unset = Vec::new();
    // The example has one leaf only.
    for field in tautleaf_physics::FIELDS.iter().filter(|field| field.key != "leaf.second_mass") {
        let name = tautleaf_app::words::name_of(field.key);
        if test.query_by_role_and_label(Role::Slider, &name).is_none() {
            assert!(test.query_by_label(&format!("Set {name}")).is_some(), "{}: {name}", field.key);
            unset.push(field.key);
        }
    }
    assert!(unset.contains(&"controller.jerk") && unset.len() < 6, "{unset:?}");
    click(&mut test, "Set Controller jerk");
    assert!(test.state().state().document.scenario().parameters.controller.jerk_m_per_s3.is_some());
    assert!(test.query_by_role_and_label(Role::Slider, "Controller jerk").is_some());
}

/// Two hangers carry the leaf: at rest together its weight, m g.
#[test]
fn the_hangers_of_a_leaf_at_rest_carry_its_weight() {
    let mut test = window();
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
    for name in ["Show speed", "Show kinetic energy", "Show closing force", "Show strand tension"] {
        click(&mut test, name);
    }
    assert_eq!(kinds(&test), [Kind::Tension]);
    click(&mut test, "Show current");
    assert_eq!(kinds(&test), [Kind::Tension, Kind::Current]);
}

#[test]
fn a_file_without_limits_says_how_to_set_some() {
    let path = folder().join("no limits.toml");
    std::fs::write(&path, "schema = 1\ntitle = \"Bare\"\n").expect("a folder for tests");
    let mut test = window();
    open(&mut test, &path);
    assert!(test.query_by_label("No limits set").is_some());
    let example = tautleaf_app::panels::verdicts::EXAMPLE_OF_LIMITS;
    assert!(test.query_by_label(example.trim_end()).is_some());
    let followed =
        tautleaf_scenario::parse(&format!("schema = 1\n{example}"), "example").expect("a door file");
    assert!(tautleaf_scenario::limits_of(&followed).len() > 4);
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

#[test]
fn nothing_is_drawn_while_nothing_changes() {
    let mut test = window();
    let frames = test.run();
    assert!(frames <= 3, "{frames} frames although nothing happens");
}

#[test]
fn the_cautions_are_one_click_away() {
    let mut test = window();
    assert!(test.query_by_label_contains("A simulation is not proof").is_some());
    click(&mut test, "All cautions");
    for caution in tautleaf_scenario::CAUTIONS {
        assert!(test.query_by_label(caution).is_some(), "{caution}");
    }
    click(&mut test, "Understood");
    assert!(test.query_by_label(tautleaf_scenario::CAUTIONS[0]).is_none());
}

#[test]
fn everything_that_can_be_operated_has_a_name() {
    for size in [[1280.0, 720.0], [1920.0, 1080.0]] {
        let test = window_of_size(size);
        let roles = [Role::Slider, Role::SpinButton, Role::Button, Role::TextInput, Role::RadioButton];
        let mut named = 0;
        for node in roles.into_iter().flat_map(|role| test.query_all_by_role(role)) {
            let label = node.accesskit_node().label().unwrap_or_default();
            assert!(!label.trim().is_empty(), "what is at {:?} has no name", node.rect());
            named += 1;
        }
        assert!(named > 40, "{named} are there");
    }
}

#[test]
fn colours_change_between_light_and_dark() {
    let mut test = window();
    click(&mut test, "Dark colours");
    assert!(test.state().state().view.dark);
    assert_eq!(test.ctx.theme(), egui::Theme::Dark);
    click(&mut test, "Light colours");
    assert_eq!(test.ctx.theme(), egui::Theme::Light);
}
