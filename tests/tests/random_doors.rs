//! Ten thousand doors drawn from the usual ranges.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use tautleaf_physics::{CycleOptions, Door, ForceTest, Run, cycle};
use tautleaf_tests::random_door;

const DOORS: u64 = 10_000;
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

/// At least 95 % run, the rest are refused with a reason; everything is finite and the energy balance closes
/// within 0.1 % of the sum of its items.
#[test]
fn ten_thousand_random_doors_run_or_are_refused_with_a_reason() {
    let (next, ran, finished) = (AtomicU64::new(0), AtomicU64::new(0), AtomicU64::new(0));
    let wrong = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(2, usize::from) {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    if index >= DOORS {
                        return;
                    }
                    match Door::try_from(random_door(SEED, index)) {
                        Ok(door) => {
                            let force =
                                ForceTest { gaps_m: vec![0.3], stall: false, impact: true, whole: false };
                            let run = cycle(&door, &CycleOptions { force, ..CycleOptions::default() });
                            ran.fetch_add(1, Ordering::Relaxed);
                            finished.fetch_add(u64::from(run.finished), Ordering::Relaxed);
                            let faults = faults(&run);
                            if !faults.is_empty() {
                                wrong.lock().unwrap().push((index, faults));
                            }
                        }
                        Err(problems) => assert!(!problems.0.is_empty() && !problems.to_string().is_empty()),
                    }
                }
            });
        }
    });
    let (ran, finished) = (ran.into_inner(), finished.into_inner());
    println!("{ran} of {DOORS} ran, {finished} of them opened and closed");
    let wrong = wrong.into_inner().unwrap();
    assert!(wrong.is_empty(), "{} faulty, first {:?}", wrong.len(), &wrong[..wrong.len().min(5)]);
    assert!(ran * 100 >= DOORS * 95, "only {ran} of {DOORS} ran");
}
