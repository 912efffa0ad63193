//! What trials of the reference door cost: beside a plain loop over the same cycles, per trial and for twice as many.
//!
//! `cargo bench -p tautleaf-tests --bench spread`. Promised on two cores: ten thousand cycles within 20 s without the
//! force test, within 40 s judged with the impact at three gaps, and cost in proportion to their number.

use std::hint::black_box;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use tautleaf_physics::{CycleOptions, Door, Figure, ForceTest, cycle, judge};
use tautleaf_trials::Effort;
use tautleaf_trials::spread::{Sampling, Study, Tally};

/// The reference door, judged by what needs peaks only: stall and residual force are another test.
fn study(effort: Effort) -> Study {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/reference-glass.toml");
    let mut scenario = tautleaf_scenario::read(&file).unwrap();
    let needs_more = |figure| figure == Some(Figure::StallForceGreatest);
    scenario.limits.own.retain(|limit| !needs_more(limit.figure));
    scenario.study(1, Sampling::Random, effort).unwrap()
}

/// So many trials with everything that a study does to them.
fn trials(study: &Study, runs: u64, threads: usize) -> u64 {
    let mut tally = Tally::new(study);
    study.run(0..runs, threads, &AtomicBool::new(false), |row| {
        tally.add(study, &row);
        ControlFlow::Continue(())
    });
    tally.findings().trials
}

/// The same doors in a plain loop over the engine, on one thread.
fn plain_loop(study: &Study, runs: u64, options: &CycleOptions) -> usize {
    let kept = |index| {
        let door = Door::try_from(study.drawn(index).0).ok()?;
        let run = cycle(&door, options);
        Some(judge(&door, &run, &study.bench.criteria.limits, study.bench.criteria.close_margin).len())
    };
    (0..runs).filter_map(kept).sum()
}

fn bench(c: &mut Criterion) {
    for (name, effort) in
        [("cycle", Effort::NoForceTest), ("judged, impact at three gaps", Effort::WithImpact)]
    {
        let study = study(effort);
        let mut group = c.benchmark_group(name);
        group.sample_size(10).measurement_time(Duration::from_secs(3));
        for runs in [64, 128, 256] {
            group.throughput(Throughput::Elements(runs));
            for threads in [1, 2] {
                let id = BenchmarkId::new(format!("{threads} threads"), runs);
                group.bench_function(id, |b| b.iter(|| trials(black_box(&study), runs, threads)));
            }
        }
        group.throughput(Throughput::Elements(64));
        let door = Door::try_from(study.drawn(0).0).unwrap();
        let options = study.bench.criteria.options(&door, effort);
        group.bench_function("plain loop/64", |b| b.iter(|| plain_loop(black_box(&study), 64, &options)));
        if effort == Effort::WithImpact {
            let force = ForceTest { stall: true, whole: true, ..options.force.clone() };
            let whole = CycleOptions { force, ..options };
            group.bench_function("plain loop, whole force test/64", |b| {
                b.iter(|| plain_loop(black_box(&study), 64, &whole));
            });
        }
        group.finish();
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
