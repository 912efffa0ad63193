//! How far something long is: what the work in the background and the window share of it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use eframe::egui;

/// Parts that a whole is divided into which nobody can count.
const PARTS: u64 = 1000;
/// What was done in less time than this says nothing about the time left, s.
const TOO_SHORT_S: f64 = 0.5;

/// Something long that is under way.
pub struct Progress {
    ctx: egui::Context,
    begun_s: f64,
    done: AtomicU64,
    all: u64,
    /// What is counted; `None`: a whole that nobody can count.
    what: Option<&'static str>,
    stop: AtomicBool,
}

impl Progress {
    /// Of so many of something: `24 drives`. Times are those of the context.
    pub fn counting(all: u64, what: &'static str, ctx: &egui::Context) -> Arc<Self> {
        Self::begin(all, Some(what), ctx)
    }

    /// Of something of which only the share that is done is known.
    pub fn of_a_whole(ctx: &egui::Context) -> Arc<Self> {
        Self::begin(PARTS, None, ctx)
    }

    fn begin(all: u64, what: Option<&'static str>, ctx: &egui::Context) -> Arc<Self> {
        Arc::new(Self {
            ctx: ctx.clone(),
            begun_s: ctx.input(|input| input.time),
            done: AtomicU64::new(0),
            all: all.max(1),
            what,
            stop: AtomicBool::new(false),
        })
    }

    /// One more is done.
    pub fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
        self.ctx.request_repaint();
    }

    /// So many are done.
    pub fn at(&self, done: u64) {
        self.done.store(done, Ordering::Relaxed);
        self.ctx.request_repaint();
    }

    /// This share of the whole is done.
    pub fn at_share(&self, share: f64) {
        self.at((share * self.all as f64) as u64);
    }

    /// It is to end, and keeps what is done.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Whether it is to end.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// What says so.
    pub fn stops(&self) -> &AtomicBool {
        &self.stop
    }

    /// The share that is done.
    pub fn share(&self) -> f64 {
        (self.done.load(Ordering::Relaxed) as f64 / self.all as f64).min(1.0)
    }

    /// How far it is: `12 of 24 drives, about 20 s left`.
    pub fn in_words(&self, now_s: f64) -> String {
        let done = self.done.load(Ordering::Relaxed).min(self.all);
        let far = match self.what {
            Some(what) => format!("{done} of {} {what}", self.all),
            None => format!("{:.0} %", 100.0 * self.share()),
        };
        if self.is_stopped() {
            return format!("{far}, stopping");
        }
        match left_s(self.share(), now_s - self.begun_s) {
            Some(left_s) => format!("{far}, {}", left_in_words(left_s)),
            None => far,
        }
    }
}

/// Time left once a share of all was done in so much time, s; `None`: too little was to say.
fn left_s(share: f64, spent_s: f64) -> Option<f64> {
    (share > 0.0 && spent_s >= TOO_SHORT_S).then(|| spent_s * (1.0 - share) / share)
}

/// Rounded up, the coarser the longer it is, so that it does not flicker: `about 20 s left`.
fn left_in_words(left_s: f64) -> String {
    let (number, unit) = match left_s {
        left if left <= 5.0 => return "a few seconds left".to_owned(),
        left if left <= 60.0 => (5.0 * (left / 5.0).ceil(), "s"),
        left if left <= 3600.0 => ((left / 60.0).ceil(), "min"),
        left => ((left / 3600.0).ceil(), "h"),
    };
    format!("about {number:.0} {unit} left")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_third_done_in_ten_seconds_leaves_twenty() {
        assert!((left_s(1.0 / 3.0, 10.0).expect("enough") - 20.0).abs() < 1e-9);
        assert_eq!((left_s(0.0, 10.0), left_s(0.5, 0.1)), (None, None));
    }

    #[test]
    fn the_time_left_is_rounded_up_and_the_coarser_the_longer_it_is() {
        let said = [2.0, 12.0, 60.0, 61.0, 3599.0, 5000.0].map(left_in_words);
        let expected = [
            "a few seconds left",
            "about 15 s left",
            "about 60 s left",
            "about 2 min left",
            "about 60 min left",
            "about 2 h left",
        ];
        assert_eq!(said, expected);
    }

    #[test]
    fn what_is_done_is_said_beside_all_of_it() {
        let ctx = egui::Context::default();
        let drives = Progress::counting(24, "drives", &ctx);
        (0..12).for_each(|_| drives.step());
        assert_eq!(drives.in_words(20.0), "12 of 24 drives, about 20 s left");
        let whole = Progress::of_a_whole(&ctx);
        whole.at_share(0.25);
        assert_eq!(whole.in_words(30.0), "25 %, about 2 min left");
        whole.stop();
        assert_eq!(whole.in_words(30.0), "25 %, stopping");
    }
}
