//! How far something long is, and whether it is to end.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

/// Watches something long from outside.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    /// Once it is set, the work ends and gives what it has.
    pub stop: &'a AtomicBool,
    /// Told after each step which share of the work is done, 0 to 1, from any thread.
    pub tell: &'a (dyn Fn(f64) + Sync),
}

static GOES_ON: AtomicBool = AtomicBool::new(false);

impl Watch<'static> {
    /// Nobody watches, and nothing stops it.
    pub fn nobody() -> Self {
        Self { stop: &GOES_ON, tell: &|_| () }
    }
}

/// Work in stages of which nobody knows exactly how many steps they take.
pub(crate) struct Stages<'a> {
    watch: &'a Watch<'a>,
    /// Steps that all stages together are expected to take.
    all: f64,
    at: Mutex<At>,
}

#[derive(Clone, Copy, Default)]
struct At {
    /// Steps that the stages before this one were expected to take.
    before: f64,
    /// Steps that this one is expected to take, and those that it took.
    expected: f64,
    taken: f64,
}

impl<'a> Stages<'a> {
    /// Work that is expected to take so many steps.
    pub fn new(watch: &'a Watch<'a>, all: f64) -> Self {
        Self { watch, all: all.max(1.0), at: Mutex::default() }
    }

    /// The next stage, expected to take so many steps. What is left of the one before it is passed over.
    pub fn begin(&self, expected: f64) {
        self.change(|at| *at = At { before: at.before + at.expected, expected, taken: 0.0 });
    }

    /// So many steps more, or a part of one where several are taken at a time. A stage that takes longer than was
    /// expected stays where it should have ended.
    pub fn step(&self, steps: f64) {
        self.change(|at| at.taken += steps);
    }

    fn change(&self, change: impl FnOnce(&mut At)) {
        let mut at = self.at.lock().unwrap_or_else(PoisonError::into_inner);
        change(&mut at);
        (self.watch.tell)(((at.before + at.taken.min(at.expected)) / self.all).min(1.0));
    }

    /// Whether it is to end.
    pub fn is_stopped(&self) -> bool {
        self.watch.stop.load(Ordering::Relaxed)
    }

    /// What says so.
    pub fn stop(&self) -> &'a AtomicBool {
        self.watch.stop
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_share_that_is_told_never_falls_and_ends_at_all_of_it() {
        let told = Mutex::new(Vec::new());
        let watch = Watch { tell: &|share| told.lock().unwrap().push(share), ..Watch::nobody() };
        let stages = Stages::new(&watch, 20.0);
        stages.begin(10.0);
        for _ in 0..4 {
            stages.step(1.0);
        }
        stages.begin(10.0);
        for _ in 0..15 {
            stages.step(1.0);
        }
        let told = told.into_inner().unwrap();
        assert!(told.windows(2).all(|two| two[0] <= two[1]), "{told:?}");
        assert_eq!((told[4], told[5], told[20]), (0.2, 0.5, 1.0));
    }
}
