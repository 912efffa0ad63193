use tautleaf_physics::*;
fn main() {
    let mut p = Parameters::default();
    p.leaf.mass_kg = 95.0;
    let door = Door::try_from(p).unwrap();
    for (name, o) in [
        ("cycle", CycleOptions::default()),
        ("force", CycleOptions { force: ForceTest::at(&DEFAULT_GAPS_M), ..Default::default() }),
    ] {
        let mut best = f64::MAX;
        for _ in 0..200 {
            let t = std::time::Instant::now();
            std::hint::black_box(cycle(&door, &o));
            best = best.min(t.elapsed().as_secs_f64());
        }
        println!("{name} best {:.3} ms", best * 1e3);
    }
}
