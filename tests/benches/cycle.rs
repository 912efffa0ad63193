//! What the reference scenario costs on one core: its whole cycle, with the force test at three gaps, and judged.
//!
//! `cargo bench -p tautleaf-tests`. Promised: at most 4 ms for the cycle and 15 ms with the force test.

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use tautleaf_physics::{CycleOptions, DEFAULT_GAPS_M, Door, ForceTest, cycle};

fn reference() -> Door {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/reference-glass.toml");
    Door::try_from(tautleaf_scenario::read(&file).unwrap().parameters).unwrap()
}

fn bench(c: &mut Criterion) {
    let door = reference();
    let plain = CycleOptions::default();
    let tested = CycleOptions { force: ForceTest::at(&DEFAULT_GAPS_M), ..plain.clone() };
    let mut group = c.benchmark_group("reference");
    group.bench_function("cycle", |b| b.iter(|| cycle(black_box(&door), black_box(&plain))));
    group.bench_function("cycle and force test", |b| b.iter(|| cycle(black_box(&door), black_box(&tested))));
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
