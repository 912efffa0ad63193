use tautleaf_physics::*;
fn main() {
    let mut p = Parameters::default();
    p.leaf.mass_kg = 95.0;
    let door = Door::try_from(p).unwrap();
    let go = |refine| {
        cycle(&door, &CycleOptions { force: ForceTest::at(&DEFAULT_GAPS_M), refine, ..Default::default() })
    };
    let a = go(1);
    let b = go(32);
    println!("substeps {}", a.substeps);
    for f in Figure::ALL {
        if let (Some(x), Some(y)) = (a.figures.get(*f), b.figures.get(*f)) {
            println!(
                "{:40} {:.6} {:.6} diff {:.2e} rel {:.2e}",
                f.name(),
                x,
                y,
                x - y,
                (x - y) / y.abs().max(1e-12)
            );
        }
    }
    for (x, y) in a.events.iter().zip(&b.events) {
        println!(
            "{:?} {:?} {:.5} {:.5} {:.2e}",
            x.kind,
            y.kind,
            x.at.t_s,
            y.at.t_s,
            x.at.clear_opening_m - y.at.clear_opening_m
        );
    }
    let mut m = (0.0f64, 0.0f64);
    for (x, y) in a.samples.iter().zip(&b.samples) {
        if x.t_s < 3.0 {
            m.0 = m.0.max((x.clear_opening_m - y.clear_opening_m).abs());
            m.1 = m.1.max((x.current_a - y.current_a).abs());
        }
    }
    println!("max dx {:.2e} di {:.2e}", m.0, m.1);
    println!("rel energy {:.2e}", a.energy.relative_residual());
}
