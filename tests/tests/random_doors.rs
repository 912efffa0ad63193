//! Doors drawn at random: ten thousand whose numbers are drawn one by one from their usual ranges, and a thousand whose
//! parts fit each other.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use tautleaf_physics::{CycleOptions, Door, EventKind, ForceTest, Parameters, Run, cycle};
use tautleaf_tests::{coherent_door, random_door};

const SEED: u64 = 1;

/// What is not as it should be about a run.
fn faults(run: &Run) -> Vec<String> {
    let mut faults = Vec::new();
    for sample in &run.samples {
        let mut numbers = vec![sample.clear_opening_m, sample.current_a, sample.energy_coupled_j];
        numbers.extend(sample.tension_n);
        if numbers.iter().any(|number| !number.is_finite()) {
            faults.push(format!("not finite at {} s", sample.t_s));
            break;
        }
    }
    for (figure, reading) in run.figures.iter() {
        if !reading.value.is_finite() {
            faults.push(format!("{} is {}", figure.name(), reading.value));
        }
    }
    if run.energy.relative_residual() > 1e-3 {
        faults.push(format!("energy closes to {:.2e} only", run.energy.relative_residual()));
    }
    faults
}

/// What became of so many doors.
#[derive(Default)]
struct Shares {
    ran: AtomicU64,
    finished: AtomicU64,
    reversed: AtomicU64,
    slack: AtomicU64,
    wrong: Mutex<Vec<(u64, Vec<String>)>>,
}

impl Shares {
    /// Runs one door with an impact at 300 mm.
    fn look_at(&self, index: u64, p: Parameters) {
        let count = |counter: &AtomicU64, so: bool| counter.fetch_add(u64::from(so), Ordering::Relaxed);
        match Door::try_from(p) {
            Ok(door) => {
                let force = ForceTest { gaps_m: vec![0.3], impact: true, ..ForceTest::none() };
                let run = cycle(&door, &CycleOptions { force, ..CycleOptions::default() });
                let has = |wanted: fn(&EventKind) -> bool| run.events.iter().any(|event| wanted(&event.kind));
                count(&self.ran, true);
                count(&self.finished, run.finished);
                count(&self.reversed, has(|kind| matches!(kind, EventKind::Reversed)));
                count(&self.slack, has(|kind| matches!(kind, EventKind::SlackBegins { .. })));
                let faults = faults(&run);
                if !faults.is_empty() {
                    self.wrong.lock().unwrap().push((index, faults));
                }
            }
            Err(problems) => assert!(!problems.0.is_empty() && !problems.to_string().is_empty()),
        }
    }

    /// Draws so many doors on every core there is.
    fn of(doors: u64, draw: impl Fn(u64, u64) -> Parameters + Sync) -> Self {
        let (shares, next) = (Self::default(), AtomicU64::new(0));
        std::thread::scope(|scope| {
            for _ in 0..std::thread::available_parallelism().map_or(2, usize::from) {
                scope.spawn(|| {
                    loop {
                        let index = next.fetch_add(1, Ordering::Relaxed);
                        if index >= doors {
                            return;
                        }
                        shares.look_at(index, draw(SEED, index));
                    }
                });
            }
        });
        let [ran, finished, reversed, slack] =
            [&shares.ran, &shares.finished, &shares.reversed, &shares.slack]
                .map(|n| n.load(Ordering::Relaxed));
        println!(
            "seed {SEED}: {ran} of {doors} ran; {finished} opened and closed, {reversed} reversed, {slack} had a slack strand"
        );
        let wrong = shares.wrong.lock().unwrap();
        assert!(wrong.is_empty(), "{} faulty, first {:?}", wrong.len(), &wrong[..wrong.len().min(5)]);
        drop(wrong);
        shares
    }
}

/// At least 95 % run, the rest are refused with a reason; everything is finite and the energy balance closes
/// within 0.1 % of the sum of its items.
#[test]
fn ten_thousand_random_doors_run_or_are_refused_with_a_reason() {
    let shares = Shares::of(10_000, random_door);
    assert!(shares.ran.into_inner() >= 9_500);
}

/// Of doors whose parts fit each other every one runs, and at least 97 % open and close.
#[test]
fn doors_whose_parts_fit_each_other_open_and_close() {
    let shares = Shares::of(1_000, coherent_door);
    assert_eq!(shares.ran.into_inner(), 1_000);
    assert!(shares.finished.into_inner() >= 970);
}
