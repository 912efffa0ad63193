//! The main states of the window as pictures, compared with those in `snapshots`.
//!
//! `UPDATE_SNAPSHOTS=true cargo nextest run -p tautleaf-app --test pictures` draws them anew: look at each before it is
//! committed. They are drawn on the processor, since no two graphics drivers agree.

mod soft_renderer;
mod steps;

use egui_kittest::{Harness, SnapshotOptions};
use soft_renderer::SoftRenderer;
use steps::*;
use tautleaf_app::action::Action;
use tautleaf_app::axis::Axis;
use tautleaf_app::document::Document;
use tautleaf_app::example;
use tautleaf_app::window::Window;
use tautleaf_physics::number;
use tautleaf_scenario::UnitSystem;

/// Pixels that may differ: a rounding of a float moves an edge by one.
const MAY_DIFFER: usize = 60;

/// The window after some actions, once it has come to rest.
fn picture(name: &str, size: [f32; 2], dark: bool, actions: impl IntoIterator<Item = Action>) {
    let start = move |creation: &mut eframe::CreationContext<'static>| {
        Window::new(&creation.egui_ctx, Document::new(example::scenario(), None), false)
    };
    let builder = Harness::builder().with_size(size).with_max_steps(40).with_step_dt(1.0 / 60.0);
    let mut test = builder.renderer(SoftRenderer::default()).build_eframe(start);
    test.state().send(Action::SetDark(dark));
    for action in actions {
        test.state().send(action);
        settle(&mut test);
    }
    settle(&mut test);
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/snapshots");
    let options = SnapshotOptions::new().output_path(folder).max_failed_pixels(MAY_DIFFER);
    test.snapshot_options(name, &options);
}

fn set(key: &str, value: f64) -> Action {
    Action::Set { number: number(key).expect("in the table"), value: Some(value), dragging: false }
}

#[test]
fn a_heavy_leaf_over_its_energy() {
    picture("heavy", [1280.0, 720.0], false, [set("leaf.mass", 140.0), set("closing.speed", 0.42)]);
}

#[test]
fn over_the_opening_in_the_dark_in_us_units() {
    let actions = [Action::SetUnits(UnitSystem::Us), Action::Over(Axis::Opening), Action::Hold];
    picture("opening-dark-us", [1280.0, 720.0], true, actions);
}

#[test]
fn a_slack_strand_hangs() {
    let loose = scenarios().join("belt-too-loose.toml");
    picture("slack", [1920.0, 1080.0], false, [Action::Open(loose), Action::PointAtTime(10.42)]);
}

#[test]
fn a_door_that_cannot_be_is_explained() {
    picture("refused", [1280.0, 720.0], false, [set("belt.clamp", 15.0), set("leaf.mass", -3.0)]);
}
