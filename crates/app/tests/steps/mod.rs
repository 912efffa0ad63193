//! Steps that a user takes, and what can be read off the window.
#![allow(dead_code, reason = "no test file takes every step")]

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use eframe::egui::{self, Key, Vec2, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use tautleaf_app::charts::{Chart, Kind};
use tautleaf_app::document::Document;
use tautleaf_app::example;
use tautleaf_app::outside::store::Store;
use tautleaf_app::trials::Trial;
use tautleaf_app::window::Window;
use tautleaf_physics::{Figure, Verdict};

/// A window under test.
pub type Test = Harness<'static, Window>;

pub fn window() -> Test {
    window_of_size([1280.0, 720.0])
}

pub fn window_of_size(size: impl Into<Vec2>) -> Test {
    let start = |creation: &mut eframe::CreationContext<'static>| {
        Window::new(&creation.egui_ctx, Document::new(example::scenario(), None), false)
    };
    let builder = Harness::builder().with_size(size).with_max_steps(40).with_step_dt(1.0 / 60.0);
    let mut test = builder.build_eframe(start);
    settle(&mut test);
    test
}

/// A window that keeps unsaved work in a folder.
pub fn window_keeping_in(folder: &Path) -> Test {
    let store = Store::open(folder).expect("a folder for tests");
    let start = move |creation: &mut eframe::CreationContext<'static>| {
        Window::new(&creation.egui_ctx, Document::new(example::scenario(), None), false).keeping(store)
    };
    let builder = Harness::builder().with_size([1280.0, 720.0]).with_max_steps(40).with_step_dt(1.0 / 60.0);
    let mut test = builder.build_eframe(start);
    settle(&mut test);
    test
}

/// Lets background work finish and the window come to rest.
pub fn settle(test: &mut Test) {
    let end = Instant::now() + Duration::from_secs(120);
    test.run_steps(3);
    let busy = |test: &Test| test.state().state().jobs.is_busy() || test.state().state().jobs.is_keeping();
    while busy(test) {
        assert!(Instant::now() < end, "background work does not end");
        std::thread::sleep(Duration::from_millis(5));
        test.step();
    }
    test.run_steps(3);
}

pub fn mass(test: &Test) -> f64 {
    test.state().state().document.scenario().parameters.leaf.mass_kg
}

pub fn verdict(test: &Test, figure: Figure) -> Verdict {
    let live = test.state().state().live.as_ref().expect("a run");
    let verdict = live.verdicts.iter().find(|verdict| verdict.limit.figure == Some(figure));
    verdict.expect("the example limits it").clone()
}

pub fn chart(test: &Test, kind: Kind) -> Chart {
    let charts = &test.state().state().charts.charts;
    charts.iter().find(|chart| chart.kind == kind).expect("three charts").clone()
}

/// Greatest height of the last curve, which is the most important one.
pub fn peak(chart: &Chart) -> f64 {
    let curve = chart.curves.last().expect("a curve");
    curve.points.iter().map(|point| point.y).fold(0.0, f64::max)
}

/// What a screen reader calls each button.
pub fn names(test: &Test) -> Vec<String> {
    test.get_all_by_role(Role::Button).filter_map(|node| node.accesskit_node().label()).collect()
}

/// The whole name of the chart whose name begins so.
pub fn spoken(test: &Test, beginning: &str) -> String {
    let mut names = test.get_all_by_role(Role::Image).filter_map(|node| node.accesskit_node().label());
    names.find(|name| name.starts_with(beginning)).expect("a chart")
}

pub fn move_slider(test: &mut Test, name: &str, to: f64) {
    test.get_by_role_and_label(Role::Slider, name).set_value_accesskit(to);
    settle(test);
}

pub fn type_into(test: &mut Test, name: &str, text: &str) {
    test.get_by_role_and_label(Role::SpinButton, name).click();
    test.run_steps(2);
    test.event(egui::Event::Text(text.to_owned()));
    test.run_steps(2);
    test.key_press(Key::Enter);
    settle(test);
}

/// Writes into a field in the place of what stands in it.
pub fn write(test: &mut Test, name: &str, text: &str) {
    test.get_by_role_and_label(Role::TextInput, name).focus();
    test.run_steps(2);
    test.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    test.run_steps(2);
    test.event(egui::Event::Text(text.to_owned()));
    settle(test);
}

/// Opens a trial by its key.
pub fn open_trial(test: &mut Test, trial: Trial) {
    test.key_press(trial.shortcut().logical_key);
    settle(test);
}

pub fn click(test: &mut Test, name: &str) {
    test.get_by_label(name).click();
    settle(test);
}

/// A folder that tests may write to.
pub fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
}

/// The doors that are shipped.
pub fn scenarios() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../scenarios")
}

pub fn open(test: &mut Test, path: &Path) {
    click(test, "Open");
    test.get_by_role_and_label(Role::TextInput, "Path").focus();
    test.run_steps(2);
    test.event(egui::Event::Text(path.display().to_string()));
    test.run_steps(2);
    click(test, "Open file");
}
