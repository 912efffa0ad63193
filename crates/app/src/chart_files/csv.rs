//! A chart as a table: one row for each point of each curve.

use std::fmt::Write;

use crate::charts::{Chart, Charts};

/// The table, with a head that gives names and units.
pub(super) fn table(chart: &Chart, charts: &Charts, axis: &str) -> String {
    let height = chart.kind.title().to_lowercase();
    let mut text = format!("curve,{axis} ({}),{height} ({})\n", charts.axis_unit, chart.unit);
    for (n, curve) in chart.curves.iter().enumerate() {
        let same = chart.curves.iter().filter(|other| other.name == curve.name).count();
        let number = chart.curves[..=n].iter().filter(|other| other.name == curve.name).count();
        let name = if same > 1 { format!("{} {number}", curve.name) } else { curve.name.clone() };
        let name = if name.contains(',') { format!("\"{name}\"") } else { name };
        for point in &curve.points {
            // Writing to a text cannot fail.
            let _ = writeln!(text, "{name},{},{}", point.x, point.y);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::Axis;
    use crate::charts::Kind;
    use crate::live::Live;
    use tautleaf_scenario::UnitSystem;

    #[test]
    fn every_point_of_every_curve_is_a_row_that_reads_back_the_same() {
        let live = Live::of(&crate::example::scenario()).expect("a door");
        let charts = Charts::of(&live, UnitSystem::Si, Axis::Time, &[Kind::Force]);
        let chart = &charts.charts[0];
        let text = table(chart, &charts, "time");
        let mut lines = text.lines();
        assert_eq!(lines.next(), Some("curve,time (s),closing force (N)"));
        let points = chart.curves.iter().flat_map(|curve| &curve.points);
        for (line, point) in lines.by_ref().zip(points) {
            let cells: Vec<&str> = line.split(',').collect();
            assert_eq!(cells[1].parse(), Ok(point.x));
            assert_eq!(cells[2].parse(), Ok(point.y));
        }
        assert_eq!(lines.next(), None);
        assert!(text.contains("against the tester at each gap 3,"), "curves of one name are told apart");
    }
}
