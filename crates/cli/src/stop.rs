//! Ctrl-C, and how far a long run is.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::failure::Failure;

/// Exit code of a command that was stopped: 128 and the number of the signal.
pub(crate) const STOPPED: u8 = 130;

/// Parts that a whole is divided into which nobody can count.
const PARTS: u64 = 1000;

/// A flag that the first Ctrl-C sets, so that a run ends and what is done is kept. A second one ends the program.
pub(crate) fn on_ctrl_c() -> Result<Arc<AtomicBool>, Failure> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    ctrlc::set_handler(move || {
        if flag.swap(true, Ordering::Relaxed) {
            std::process::exit(i32::from(STOPPED));
        }
    })?;
    Ok(stop)
}

/// A bar on standard error with the time that is left; nothing where that is no terminal.
pub(crate) struct Progress(ProgressBar);

impl Progress {
    pub fn of(runs: u64) -> Self {
        Self::counting(runs, "runs")
    }

    /// The same for something else that is counted.
    pub fn counting(count: u64, what: &str) -> Self {
        let bar = ProgressBar::with_draw_target(Some(count), ProgressDrawTarget::stderr());
        let style = ProgressStyle::with_template(&format!(
            "{{bar:40}} {{pos}} of {{len}} {what}, {{eta}} left; Ctrl-C stops and keeps them",
        ));
        if let Ok(style) = style {
            bar.set_style(style);
        }
        Self(bar)
    }

    /// One of a whole that nobody can count; `ctrl_c`: what that does.
    pub fn of_a_whole(ctrl_c: &str) -> Self {
        let bar = ProgressBar::with_draw_target(Some(PARTS), ProgressDrawTarget::stderr());
        let template = format!("{{bar:40}} {{percent}} %, about {{eta}} left; Ctrl-C {ctrl_c}");
        if let Ok(style) = ProgressStyle::with_template(&template) {
            bar.set_style(style);
        }
        Self(bar)
    }

    pub fn step(&self) {
        self.0.inc(1);
    }

    /// This share of a whole is done.
    pub fn share(&self, share: f64) {
        self.0.set_position((share * PARTS as f64) as u64);
    }

    /// So much is done of so much.
    pub fn at(&self, done: usize, all: usize) {
        self.0.set_length(all as u64);
        self.0.set_position(done as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
