//! What leaves, belt and motor do along the run, as curves.

use std::ops::Range;

use egui_plot::PlotPoint;
use tautleaf_physics::{Felt, Figure, Sample, wheel_heights};

use crate::axis::Axis;
use crate::chart_parts::Curve;
use crate::curves::{thin, within};
use crate::kind::{Kind, Look};
use crate::scales::Scales;
use crate::slack::strand;

/// What a course stands at.
type Height = dyn Fn(usize, &Sample) -> f64;

/// One thing to draw along the run, and the limits that hold for it on the way open and closed.
struct Course {
    name: String,
    look: Look,
    /// Its height at a sample, which is the n-th of the run, SI.
    height: Box<Height>,
    opening: &'static [Figure],
    closing: &'static [Figure],
    both: &'static [Figure],
}

impl Course {
    /// One that no limit holds for.
    fn free(name: impl Into<String>, look: Look, height: impl Fn(&Sample) -> f64 + 'static) -> Self {
        let (opening, closing, both) = (&[], &[], &[]);
        Self { name: name.into(), look, height: Box::new(move |_, at| height(at)), opening, closing, both }
    }

    /// One with a height for each sample.
    fn heights(name: impl Into<String>, look: Look, heights: Vec<f64>) -> Self {
        let height = move |n: usize, _: &Sample| heights.get(n).copied().unwrap_or(0.0);
        Self { height: Box::new(height), ..Self::free(name, look, |_| 0.0) }
    }

    /// The same limits either way.
    fn judged_by(self, figures: &'static [Figure]) -> Self {
        Self { opening: figures, closing: figures, both: figures, ..self }
    }
}

/// Fastest leaf, m/s.
pub(crate) fn speed(sample: &Sample) -> f64 {
    sample.leaf_speed_m_per_s.iter().fold(0.0, |most, speed| speed.abs().max(most))
}

/// What is drawn along the run, the most important last.
fn courses(kind: Kind, scales: &Scales<'_>) -> Vec<Course> {
    match kind {
        Kind::Speed => speeds(),
        Kind::Energy => energies(scales.live.door.leaves()),
        Kind::Tension => tensions(scales),
        Kind::Hanger => hangers(scales.live.door.leaves()),
        Kind::Current => {
            let current = Course::free("winding current", Look::Main, |sample: &Sample| sample.current_a);
            vec![current.judged_by(&[Figure::PeakCurrent])]
        }
        Kind::Power => {
            let drawn = |sample: &Sample| sample.voltage_v * sample.current_a;
            let copper = Course::free("into the motor", Look::Main, drawn);
            vec![copper]
        }
        Kind::Acceleration => felt(scales, |felt| felt.acceleration_m_per_s2, &[Figure::PeakAcceleration]),
        Kind::Jerk => felt(scales, |felt| felt.jerk_m_per_s3, &[Figure::PeakJerk]),
        Kind::Winding => {
            let temperatures = scales.live.winding().to_vec();
            let winding = Course::heights("once warm", Look::Main, temperatures);
            vec![winding.judged_by(&[Figure::WindingTemperature])]
        }
        Kind::Rail => wheels(scales),
        Kind::Force => Vec::new(),
    }
}

/// Acceleration or jerk of each leaf.
fn felt(scales: &Scales<'_>, of: fn(&Felt) -> f64, judged_by: &'static [Figure]) -> Vec<Course> {
    let live = scales.live;
    let leaf = |leaf: usize| {
        let name = if live.door.leaves() > 1 { format!("leaf {}", leaf + 1) } else { "leaf".to_owned() };
        let look = if leaf == 0 { Look::Main } else { Look::Second };
        Course::heights(name, look, live.felt(leaf).iter().map(of).collect()).judged_by(judged_by)
    };
    (0..live.door.leaves()).rev().map(leaf).collect()
}

/// How high the wheels of the first leaf stand on the rail.
fn wheels(scales: &Scales<'_>) -> Vec<Course> {
    let places: Vec<f64> = scales.live.run.samples.iter().map(|sample| sample.leaf_position_m[0]).collect();
    let [leading, trailing] = wheel_heights(&scales.live.door, 0, &places);
    vec![
        Course::heights("trailing wheel", Look::Strand(1), trailing),
        Course::heights("leading wheel", Look::Strand(0), leading),
    ]
}

fn speeds() -> Vec<Course> {
    use Figure::*;
    let set = |sample: &Sample| sample.wanted_speed_m_per_s.abs();
    vec![
        Course::free("set speed", Look::Second, set),
        Course {
            opening: &[TopSpeedOpening],
            closing: &[TopSpeedClosing, TopSpeedBeforeCheck],
            both: &[TopSpeedOpening, TopSpeedClosing, TopSpeedBeforeCheck],
            ..Course::free("leaf", Look::Main, speed)
        },
    ]
}

fn energies(leaves: usize) -> Vec<Course> {
    use Figure::*;
    let coupled = |sample: &Sample| sample.energy_coupled_j;
    let mut courses = vec![Course {
        opening: &[PeakEnergyCoupled],
        closing: &[PeakEnergyCoupled, PeakEnergyCoupledClosing],
        both: &[PeakEnergyCoupled, PeakEnergyCoupledClosing],
        ..Course::free("with belt and drive", Look::Second, coupled)
    }];
    if leaves > 1 {
        let both = Course::free("all leaves", Look::Thin, |sample: &Sample| sample.energy_leaves_j);
        courses.push(both.judged_by(&[PeakEnergyLeaves]));
    }
    let alone: &[Figure] = &[PeakEnergyLeaf, PeakEnergyLeaves];
    let one = Course::free("one leaf", Look::Main, |sample: &Sample| sample.energy_leaf_j);
    let one = one.judged_by(if leaves > 1 { &alone[..1] } else { alone });
    let shut: &[Figure] = &[PeakEnergyLeaf, PeakEnergyLeafClosing, PeakEnergyLeaves];
    let shut = if leaves > 1 { &shut[..2] } else { shut };
    courses.push(Course { closing: shut, both: shut, ..one });
    courses
}

/// The last strand first: what runs onto the drive pulley lies on top.
fn tensions(scales: &Scales<'_>) -> Vec<Course> {
    let door = &scales.live.door;
    let tension = |span: usize| {
        let tension = move |sample: &Sample| sample.tension_n[span];
        let course = Course::free(strand(door, span), Look::Strand(span), tension);
        course.judged_by(&[Figure::LeastTension, Figure::GreatestTension])
    };
    (0..door.ring().spans.len()).rev().map(tension).collect()
}

/// The leading hanger, which is at the closing edge, on top.
fn hangers(leaves: usize) -> Vec<Course> {
    let name = |leaf: usize, hanger: usize| {
        let which = ["leading", "trailing"][hanger];
        if leaves > 1 { format!("leaf {} {which}", leaf + 1) } else { which.to_owned() }
    };
    let hanger = |(leaf, hanger): (usize, usize)| {
        let load = move |sample: &Sample| sample.hanger_load_n[leaf][hanger];
        let course = Course::free(name(leaf, hanger), Look::Strand(2 * leaf + hanger), load);
        course.judged_by(&[Figure::LeastHangerLoad, Figure::GreatestHangerLoad])
    };
    let mut all: Vec<(usize, usize)> = (0..leaves).flat_map(|leaf| [(leaf, 0), (leaf, 1)]).collect();
    all.reverse();
    all.into_iter().map(hanger).collect()
}

/// The courses as curves: over time both ways, over the opening the way open dashed, and only of the main thing.
pub(crate) fn travel_curves(scales: &Scales<'_>, kind: Kind, range: (f64, f64)) -> Vec<Curve> {
    let all = &scales.live.run.samples[..];
    let (way_open, way_closed) = (0..scales.live.closing_from(), scales.live.closing_from()..all.len());
    let drawn = kind.drawn(scales.system);
    let curve = |name: &str, look, way: Range<usize>, course: &Course, judged_by| {
        let point = |(n, sample): (usize, &Sample)| {
            let height = drawn((course.height)(n, sample));
            PlotPoint::new(scales.place(sample.t_s, sample.clear_opening_m), height)
        };
        let points: Vec<PlotPoint> = way.clone().zip(&all[way]).map(point).collect();
        let points = thin(if scales.is_closer { within(&points, scales.part) } else { points });
        Curve { name: name.to_owned(), look, points, judged_by, gap: None }
    };
    let mut curves = Vec::new();
    if kind == Kind::Tension {
        let height = kind.shown(scales.live.door.parameters().belt.tension_n, scales.system);
        let points = [range.0, range.1].map(|x| PlotPoint::new(x, height)).to_vec();
        let (name, look) = ("installed".to_owned(), Look::Reference);
        curves.push(Curve { name, look, points, judged_by: &[], gap: None });
    }
    for course in courses(kind, scales) {
        let name = &course.name;
        match (scales.axis, course.look) {
            // The lines of the limits end where their way ends, so both ways may be asked at once.
            (Axis::Time, look) => curves.push(curve(name, look, 0..all.len(), &course, course.both)),
            (Axis::Opening, Look::Main) => {
                curves.push(curve("opening", Look::Dashed, way_open.clone(), &course, course.opening));
                curves.push(curve("closing", Look::Main, way_closed.clone(), &course, course.closing));
            }
            (Axis::Opening, look)
                if matches!(kind, Kind::Energy | Kind::Tension | Kind::Hanger | Kind::Rail) =>
            {
                curves.push(curve(name, look, way_closed.clone(), &course, course.closing));
            }
            (Axis::Opening, _) => {}
        }
    }
    curves
}
