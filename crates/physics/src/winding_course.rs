//! The temperature of the winding along a run.

use crate::door::Door;
use crate::result::Run;
use crate::thermal::{Network, period};

/// Temperature of the winding at each sample of a run, C, once the duty has been kept up for hours; `None` where the
/// duty asks for more than the door can do, or the winding burns.
pub fn winding_temperatures(door: &Door, run: &Run) -> Option<Vec<f64>> {
    let p = door.parameters();
    let period_s = 3600.0 / p.duty.cycles_per_hour;
    let (first, last) = (run.samples.first()?, run.samples.last()?);
    if period_s < last.t_s || !run.finished {
        return None;
    }
    let square_a2_s = run.energy.copper_j / door.derived().resistance_ohm;
    let losses = period(&run.samples, p.controller.tick_s, square_a2_s, last.current_a, period_s);
    let course = Network::of(p).course(&losses, p.duty.ambient_c)?;
    let ends = losses.iter().filter_map(|block| block.end).map(|end| end.t_s);
    let mut marks: Vec<(f64, f64)> = vec![(first.t_s, course[0])];
    marks.extend(ends.zip(course[1..].iter().copied()));
    let between = |t_s: f64| {
        let n = marks.partition_point(|mark| mark.0 < t_s).clamp(1, marks.len().max(2) - 1);
        let (Some(&(a, low)), Some(&(b, high))) = (marks.get(n - 1), marks.get(n)) else { return course[0] };
        low + ((t_s - a) / (b - a)).clamp(0.0, 1.0) * (high - low)
    };
    Some(run.samples.iter().map(|sample| between(sample.t_s)).collect())
}
