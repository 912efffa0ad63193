//! The window: move anything, and the answer is there in the same frame.
//!
//! Panels draw what a read-only context shows them and send actions; [`apply`] alone changes the state; work in the
//! background is polled. Threads, files and dialogs are in [`outside`].

use std::path::PathBuf;

use eframe::egui;

pub mod action;
pub mod apply;
mod apply_trials;
pub mod axis;
pub mod chart_files;
mod chart_parts;
pub mod charts;
pub mod context;
mod courses;
mod curves;
pub mod document;
pub mod drawing;
pub mod example;
pub mod extras;
mod force_curves;
pub mod held;
pub mod jobs;
pub mod kind;
pub mod limit_edits;
mod limit_lines;
pub mod live;
mod marks;
mod oklab;
pub mod outside;
pub mod panels;
pub mod progress;
pub mod rating_edits;
pub mod remarks;
pub mod remedies;
mod scales;
pub mod settle;
mod slack;
pub mod state;
pub mod tension_map;
pub mod tension_window;
pub mod theme;
pub mod trials;
pub mod widgets;
pub mod window;
pub mod words;

use document::Document;
use outside::store::{self, Store};
use window::Window;

/// Why there is no window.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    /// The desktop does not give one.
    #[error("no window could be opened: {0}; a display with OpenGL is needed, the subcommands work without")]
    NoWindow(#[from] eframe::Error),
}

/// Opens the window with a door file, or with the example, and returns when it is closed.
///
/// A file that cannot be read is told in the window.
///
/// # Errors
/// There is no display, or it has no OpenGL.
pub fn run(file: Option<PathBuf>) -> Result<(), StartError> {
    let viewport = egui::ViewportBuilder::default()
        .with_app_id("tautleaf")
        .with_title("Tautleaf")
        .with_inner_size([1280.0, 720.0])
        .with_min_inner_size([1024.0, 600.0])
        .with_icon(egui::IconData::default())
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions {
        viewport,
        renderer: eframe::Renderer::Glow,
        ..eframe::NativeOptions::default()
    };
    eframe::run_native(
        "tautleaf",
        options,
        Box::new(move |creation| {
            let ctx = &creation.egui_ctx;
            let dark = ctx.input(|input| input.raw.system_theme) == Some(egui::Theme::Dark);
            let mut window = Window::new(ctx, Document::new(example::scenario(), None), dark);
            // Without such a folder the window works as well; it only keeps nothing for a crash.
            if let Some(store) = store::folder().and_then(|folder| Store::open(&folder).ok()) {
                window = window.keeping(store);
            }
            if let Some(file) = file {
                window.send(action::Action::Open(file));
            }
            Ok(Box::new(window))
        }),
    )?;
    Ok(())
}
