use tautleaf_physics::*;
fn main() {
    let mut p = Parameters::default();
    p.leaf.mass_kg = 95.0;
    let door = Door::try_from(p).unwrap();
    println!("{:?}", door.derived());
    let refine = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(1);
    let options = CycleOptions { force: ForceTest::at(&DEFAULT_GAPS_M), refine, ..Default::default() };
    let run = cycle(&door, &options);
    for e in &run.events {
        println!("{:?}", e);
    }
    for (f, r) in run.figures.iter() {
        println!("{:40} {:.6} {:?}", f.name(), r.value, r.at.map(|a| (a.t_s, a.clear_opening_m)));
    }
    for g in &run.force {
        println!("{:?}", GapForce { force_over_time: vec![], ..g.clone() });
    }
    println!("{:?} residual {} rel {}", run.energy, run.energy.residual_j(), run.energy.relative_residual());
    println!("substeps {} samples {} finished {}", run.substeps, run.samples.len(), run.finished);
    for (name, o) in [("cycle", CycleOptions::default()), ("force", options)] {
        let t = std::time::Instant::now();
        for _ in 0..50 {
            std::hint::black_box(cycle(&door, &o));
        }
        println!("{name} {:?}", t.elapsed() / 50);
    }
}
