//! Speed and energy of the leaves along the run, as curves.

use egui_plot::PlotPoint;
use tautleaf_physics::{Figure, Sample};

use crate::charts::{Curve, Kind, Look, Scales};
use crate::curves::thin;
use crate::state::Axis;

/// One thing to draw along the run, and the limits that hold for it on the way open and closed.
struct Course {
    name: &'static str,
    look: Look,
    height: fn(&Sample) -> f64,
    opening: &'static [Figure],
    closing: &'static [Figure],
    both: &'static [Figure],
}

/// Speed or energy of the leaves along the run, the most important last.
fn courses(kind: Kind, leaves: usize) -> Vec<Course> {
    use Figure::*;
    if kind == Kind::Speed {
        let wanted: fn(&Sample) -> f64 = |sample| sample.wanted_speed_m_per_s.abs();
        return vec![
            Course {
                name: "wanted",
                look: Look::Second,
                height: wanted,
                opening: &[],
                closing: &[],
                both: &[],
            },
            Course {
                name: "leaf",
                look: Look::Main,
                height: |sample| {
                    sample.leaf_speed_m_per_s.iter().fold(0.0, |most, speed| speed.abs().max(most))
                },
                opening: &[TopSpeedOpening],
                closing: &[TopSpeedClosing, TopSpeedBeforeCheck],
                both: &[TopSpeedOpening, TopSpeedClosing, TopSpeedBeforeCheck],
            },
        ];
    }
    let mut courses = vec![Course {
        name: "with belt and drive",
        look: Look::Second,
        height: |sample| sample.energy_coupled_j,
        opening: &[PeakEnergyCoupled],
        closing: &[PeakEnergyCoupled, PeakEnergyCoupledClosing],
        both: &[PeakEnergyCoupled, PeakEnergyCoupledClosing],
    }];
    if leaves > 1 {
        courses.push(Course {
            name: "both leaves",
            look: Look::Thin,
            height: |sample| sample.energy_leaves_j,
            opening: &[PeakEnergyLeaves],
            closing: &[PeakEnergyLeaves],
            both: &[PeakEnergyLeaves],
        });
    }
    let alone: &[Figure] = &[PeakEnergyLeaf, PeakEnergyLeaves];
    let judged_by = if leaves > 1 { &alone[..1] } else { alone };
    courses.push(Course {
        name: "one leaf",
        look: Look::Main,
        height: |sample| sample.energy_leaf_j,
        opening: judged_by,
        closing: judged_by,
        both: judged_by,
    });
    courses
}

/// The courses as curves: over time both ways, over the opening the way open dashed, and only of the main thing.
pub(crate) fn travel_curves(scales: &Scales<'_>, kind: Kind) -> Vec<Curve> {
    let unit = scales.per_si(kind.quantity());
    let curve = |name: &str, look, samples: &[Sample], course: &Course, judged_by| {
        let point = |sample: &Sample| {
            let height = (course.height)(sample) * unit;
            PlotPoint::new(scales.place(sample.t_s, sample.clear_opening_m), height)
        };
        let points = thin(samples.iter().map(point).collect());
        Curve { name: name.to_owned(), look, points, judged_by, gap: None }
    };
    let all = &scales.live.run.samples[..];
    let (way_open, way_closed) = all.split_at(scales.live.closing_from());
    let mut curves = Vec::new();
    for course in courses(kind, scales.live.door.leaves()) {
        match (scales.axis, course.look) {
            // The lines of the limits end where their way ends, so both ways may be asked at once.
            (Axis::Time, _) => {
                let judged_by = course.both;
                curves.push(curve(course.name, course.look, all, &course, judged_by));
            }
            (Axis::Opening, Look::Main) => {
                curves.push(curve("opening", Look::Dashed, way_open, &course, course.opening));
                curves.push(curve("closing", Look::Main, way_closed, &course, course.closing));
            }
            (Axis::Opening, look) if kind == Kind::Energy => {
                curves.push(curve(course.name, look, way_closed, &course, course.closing));
            }
            (Axis::Opening, _) => {}
        }
    }
    curves
}
