//! Points of the charts that are worth a word: peaks, worst points, and what happens to belt and leaf.

use egui_plot::PlotPoint;
use tautleaf_physics::{Event, EventKind, Figure, Moment, Outcome, Quantity, SlackTime, slack_times};
use tautleaf_trials::{hardest_jolt, stops_met_fast};

use crate::axis::Axis;
use crate::chart_parts::{Mark, MarkKind, Slack};
use crate::force_curves::{is_shown_over_time, peak_at};
use crate::kind::Kind;
use crate::limit_lines::chart_of;
use crate::remarks;
use crate::scales::Scales;
use crate::words;

/// Worst points of what is over a limit, the peaks of the force test, and what happens on the way.
pub(crate) fn of(scales: &Scales<'_>, kind: Kind) -> Vec<Mark> {
    let mut marks = worst(scales, kind);
    if kind == Kind::Force && scales.axis == Axis::Time {
        peaks(scales, &mut marks);
    }
    if kind == Kind::Force && scales.axis == Axis::Opening {
        marks.extend(worst_place(scales, &marks));
    }
    if kind == Kind::Speed {
        marks.extend(events(scales));
    }
    marks.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    marks
}

fn worst(scales: &Scales<'_>, kind: Kind) -> Vec<Mark> {
    let live = scales.live;
    let mut marks: Vec<Mark> = Vec::new();
    for verdict in &live.verdicts {
        let (Some(figure), Some(value), Some(at)) = (verdict.limit.figure, verdict.value, verdict.at) else {
            continue;
        };
        let has_no_place = figure.is_stall() && scales.axis == Axis::Time;
        if verdict.outcome != Outcome::Over || chart_of(figure) != Some(kind) || has_no_place {
            continue;
        }
        let impact = verdict.gap_m.and_then(|gap_m| live.run.force.iter().find(|gap| gap.gap_m == gap_m));
        let t_s = impact.and_then(peak_at).unwrap_or(at.t_s);
        let at = PlotPoint::new(scales.place(t_s, at.clear_opening_m), kind.shown(value, scales.system));
        if marks.iter().all(|mark| mark.at != at) {
            marks.push(Mark { at, text: kind.say(value, scales.system), kind: MarkKind::Over });
        }
    }
    marks
}

/// Where along the travel the impact comes nearest to what is allowed, or is greatest where nothing judges it; nothing where it is
/// over and marked as that.
fn worst_place(scales: &Scales<'_>, marked: &[Mark]) -> Option<Mark> {
    let live = scales.live;
    let judged = live.verdicts.iter().filter(|verdict| verdict.limit.figure == Some(Figure::ImpactForce));
    let nearest = judged.filter_map(|verdict| Some((verdict.margin?, verdict.value?, verdict.gap_m?)));
    let nearest = nearest.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, force, gap_m)| (force, gap_m));
    let tested = live.run.force.iter().filter_map(|gap| Some((gap.impact_force_n?, gap.gap_m)));
    let (force, gap_m) = nearest.or_else(|| tested.max_by(|a, b| a.0.total_cmp(&b.0)))?;
    let at = PlotPoint::new(scales.place(0.0, gap_m), Kind::Force.shown(force, scales.system));
    let where_ = words::place(gap_m, scales.system);
    let text = format!("worst {} at {where_}", Kind::Force.say(force, scales.system));
    marked.iter().all(|mark| mark.at != at).then_some(Mark { at, text, kind: MarkKind::Peak })
}

fn peaks(scales: &Scales<'_>, marks: &mut Vec<Mark>) {
    let force = &scales.live.run.force;
    for gap in force.iter().filter(|gap| is_shown_over_time(force, gap)) {
        let (Some(peak_at), Some(force)) = (peak_at(gap), gap.impact_force_n) else { continue };
        let at = PlotPoint::new(peak_at, Kind::Force.shown(force, scales.system));
        let where_ = words::place(gap.gap_m, scales.system);
        let text = format!("{} at {where_}", Kind::Force.say(force, scales.system));
        match marks.iter_mut().find(|mark| mark.at == at) {
            Some(mark) => mark.text = text,
            None => marks.push(Mark { at, text, kind: MarkKind::Peak }),
        }
    }
}

/// What the leaf itself shows of slack, knocks and obstructions; each kind of thing is named once.
fn events(scales: &Scales<'_>) -> Vec<Mark> {
    let live = scales.live;
    let mut marks = Vec::new();
    let mut mark = |moment: Moment, text: String| {
        if !is_drawn(scales, moment) {
            return;
        }
        let speed = live.sample_at(moment.t_s).map_or(0.0, |sample| {
            sample.leaf_speed_m_per_s.iter().fold(0.0f64, |most, speed| most.max(speed.abs()))
        });
        let at = PlotPoint::new(
            scales.place(moment.t_s, moment.clear_opening_m),
            Kind::Speed.shown(speed, scales.system),
        );
        marks.push(Mark { at, text, kind: MarkKind::Event });
    };
    if let Some(longest) = remarks::longest_snap(live) {
        mark(longest.to, "belt snaps tight".to_owned());
    }
    for (moment, speed) in stops_met_fast(&live.door, &live.run.events) {
        let speed = words::value(Quantity::Speed, speed, scales.system);
        mark(moment, format!("hits the stop at {speed}"));
    }
    if let Some(jolt) = hardest_jolt(&live.run.events) {
        mark(jolt.at, "knocks on the rail".to_owned());
    }
    let noticed = live.run.events.iter().filter(|event| event.kind == EventKind::ObstructionNoticed);
    if let Some(first) = noticed.clone().next() {
        mark(first.at, format!("obstruction noticed{}", remarks::times(noticed.count())));
    }
    marks
}

/// Over the opening only the way closed has its events drawn: the way open would lie on it.
fn is_drawn(scales: &Scales<'_>, moment: Moment) -> bool {
    let samples = &scales.live.run.samples;
    let closing = samples.get(scales.live.closing_from()).map_or(0.0, |sample| sample.t_s);
    scales.axis == Axis::Time || moment.t_s >= closing
}

/// Where a strand is slack, for the chart of tensions.
pub(crate) fn slack(scales: &Scales<'_>) -> Vec<Slack> {
    let all = slack_times(&scales.live.run.events, scales.live.end());
    let longest = remarks::longest_snap(scales.live);
    let drawn = all.into_iter().filter(|stretch| is_drawn(scales, stretch.to));
    let band = |stretch: SlackTime| {
        let place = |at: Moment| scales.place(at.t_s, at.clear_opening_m);
        let (a, b) = (place(stretch.from), place(stretch.to));
        let lasts = remarks::lasting(stretch.lasts_s());
        let text = match stretch.ends {
            true if longest == Some(stretch) => format!("goes slack, snaps tight after {lasts}"),
            true => format!("slack {lasts}"),
            false => "goes slack and stays so".to_owned(),
        };
        Slack { across: (a.min(b), a.max(b)), text }
    };
    drawn.map(band).collect()
}

/// Where a wheel is off the rail, for the chart of hanger loads.
pub(crate) fn lifted(scales: &Scales<'_>) -> Vec<Slack> {
    let live = scales.live;
    let band = |event: &Event| {
        let EventKind::WheelSits { lasted_s, .. } = event.kind else { return None };
        let from = live.moment_at(event.at.t_s - lasted_s)?;
        let place = |at: Moment| scales.place(at.t_s, at.clear_opening_m);
        let (a, b) = (place(from), place(event.at));
        let text = format!("wheel off the rail {}", remarks::lasting(lasted_s));
        is_drawn(scales, event.at).then_some(Slack { across: (a.min(b), a.max(b)), text })
    };
    live.run.events.iter().filter_map(band).collect()
}
