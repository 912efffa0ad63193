//! Ctrl-C, and how far a long run is.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::failure::Failure;

/// Exit code of a command that was stopped: 128 and the number of the signal.
pub(crate) const STOPPED: u8 = 130;

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

    /// One that only says what is going on, and for how long.
    pub fn waiting(what: &'static str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{elapsed} {msg}") {
            bar.set_style(style);
        }
        bar.set_message(what);
        bar.enable_steady_tick(std::time::Duration::from_millis(500));
        Self(bar)
    }

    pub fn step(&self) {
        self.0.inc(1);
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
