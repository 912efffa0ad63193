//! Words in a chart: values of peaks, names of limits, what happened where.

use eframe::egui::{Color32, FontId, Pos2, Rect, Ui, Vec2, pos2, vec2};
use egui_plot::{PlotPoint, PlotTransform};

use crate::charts::{Chart, Curve, Look, MarkKind, Slack};
use crate::limit_lines::LimitLine;
use crate::theme::{Palette, plain_at, size, strong_at};
use crate::widgets::chart_around::Around;
use crate::widgets::labels::{Request, along, arrange};
use crate::words;

/// Between a text and what it names.
const GAP: f32 = 5.0;
/// Points of curves are taken this far apart to see whether a word would lie on them.
const STEP: f32 = 4.0;
/// Points closer than this are neighbours.
const NEIGHBOUR: f32 = 110.0;
/// A mark counts as much as so many points of a curve.
const MARK_COUNTS: usize = 6;
/// Most words about slack in one chart: the longest times.
const MOST_SLACK: usize = 2;

struct Word {
    text: String,
    font: FontId,
    colour: Color32,
    /// Where the left top corner of a text of some size may lie, the best place first.
    places: Box<dyn Fn(Vec2) -> Vec<Pos2>>,
    optional: bool,
}

impl Word {
    fn new(
        text: impl Into<String>,
        (font, colour): (FontId, Color32),
        places: impl Fn(Vec2) -> Vec<Pos2> + 'static,
    ) -> Self {
        Self { text: text.into(), font, colour, places: Box::new(places), optional: true }
    }
}

/// Draws the words of a chart over its plot.
pub(super) fn chart_labels(ui: &Ui, chart: &Chart, around: &Around<'_>, transform: &PlotTransform) {
    let palette = around.palette;
    let frame = transform.frame().shrink(1.0);
    let on_screen = |point: &PlotPoint| transform.position_from_point(point);
    let mut words = mark_words(chart, &on_screen, palette);
    words.extend(limit_words(chart, &on_screen, palette));
    words.extend(reference_words(chart, palette, &on_screen));
    words.extend(slack_words(chart, transform, palette));
    words.extend(phase_words(chart, around, transform));

    let curves = drawn_points(chart, &on_screen);
    let galleys: Vec<_> = words
        .iter()
        .map(|word| ui.painter().layout_no_wrap(word.text.clone(), word.font.clone(), word.colour))
        .collect();
    let request = |(word, galley): (&Word, &std::sync::Arc<eframe::egui::Galley>)| Request {
        size: galley.size(),
        places: (word.places)(galley.size()),
        optional: word.optional,
    };
    let requests: Vec<Request> = words.iter().zip(&galleys).map(request).collect();
    let painter = ui.painter().with_clip_rect(frame.expand(1.0).intersect(ui.clip_rect()));
    for (corner, (word, galley)) in
        arrange(frame, &requests, &curves).into_iter().zip(words.iter().zip(galleys))
    {
        let Some(corner) = corner else { continue };
        // So that a line behind it does not strike it through.
        let ground = Rect::from_min_size(corner, galley.size()).expand2(vec2(2.0, -1.0));
        painter.rect_filled(ground, 2.0, palette.raised.gamma_multiply(0.72));
        painter.galley(corner, galley, word.colour);
    }
}

/// Points on everything that is drawn as a line, and on the marks, which no word may hide.
fn drawn_points(chart: &Chart, on_screen: &impl Fn(&PlotPoint) -> Pos2) -> Vec<Pos2> {
    let mut points = Vec::new();
    for curve in chart.curves.iter().filter(|curve| curve.look.is_line()) {
        along(curve.points.iter().map(on_screen), STEP, &mut points);
    }
    for limit in &chart.limits {
        along(limit.points.iter().map(on_screen), STEP, &mut points);
    }
    let marks = chart.marks.iter().map(|mark| on_screen(&mark.at));
    points.extend(marks.flat_map(|mark| std::iter::repeat_n(mark, MARK_COUNTS)));
    points
}

fn mark_words(chart: &Chart, on_screen: &impl Fn(&PlotPoint) -> Pos2, palette: &Palette) -> Vec<Word> {
    let mut words = Vec::new();
    for (n, mark) in chart.marks.iter().enumerate() {
        let style = match mark.kind {
            MarkKind::Over => (strong_at(size::SMALL), palette.limit),
            MarkKind::Peak => (strong_at(size::SMALL), palette.door),
            MarkKind::Event => (plain_at(size::SMALL), palette.ink),
        };
        let at = on_screen(&mark.at);
        // The value of the first of two peaks stands before them, that of the second behind them.
        let next = chart.marks.get(n + 1).map(|next| on_screen(&next.at));
        let crowded = next.is_some_and(|next| (next - at).length() < NEIGHBOUR);
        let word = Word::new(&mark.text, style, move |size| about_a_point(at, size, crowded));
        words.push(Word { optional: mark.kind != MarkKind::Over, ..word });
    }
    words
}

/// Beside, above and below a point.
fn about_a_point(at: Pos2, size: Vec2, left_first: bool) -> Vec<Pos2> {
    let (right, left) = (at.x + GAP + 2.0, at.x - GAP - 2.0 - size.x);
    let (above, level, below) = (at.y - size.y - 1.0, at.y - size.y / 2.0, at.y + 2.0);
    let sides = if left_first { [left, right] } else { [right, left] };
    let mut places: Vec<Pos2> = sides.iter().flat_map(|&x| [pos2(x, above), pos2(x, level)]).collect();
    places.push(pos2(at.x - size.x / 2.0, above - GAP));
    places.extend(sides.map(|x| pos2(x, below)));
    places.push(pos2(at.x - size.x / 2.0, below + GAP));
    places.extend(sides.map(|x| pos2(x + 9.0 * (x - at.x).signum(), above)));
    places.extend(sides.map(|x| pos2(x, above - size.y)));
    places
}

fn limit_words(chart: &Chart, on_screen: &impl Fn(&PlotPoint) -> Pos2, palette: &Palette) -> Vec<Word> {
    let mut words = Vec::new();
    for (n, limit) in chart.limits.iter().enumerate() {
        let (Some(first), Some(last)) = (limit.points.first(), limit.points.last()) else { continue };
        let said_later = |later: &LimitLine| later.label == limit.label && limit.gap.is_some();
        if limit.label.is_empty() || chart.limits.iter().skip(n + 1).any(said_later) {
            continue;
        }
        let (first, last) = (on_screen(first), on_screen(last));
        // A short piece has its name behind it, a long one along it.
        let piece = limit.gap.is_some();
        let places = move |size| {
            let mut places = if piece { about_a_point(last, size, false) } else { Vec::new() };
            places.extend(before_an_end(first.x, last, size));
            places
        };
        let word = Word::new(&limit.label, (plain_at(size::SMALL), palette.limit), places);
        words.push(Word { optional: piece || !limit.over, ..word });
    }
    words
}

/// Along a line that ends at a point, above and below it.
fn before_an_end(begin: f32, end: Pos2, size: Vec2) -> Vec<Pos2> {
    let (above, below) = (end.y - size.y, end.y + 1.0);
    let room = (end.x - begin - size.x).max(0.0);
    let along = |part: f32| end.x - GAP - size.x - part * room;
    [0.0, 0.15, 0.3, 0.5, 0.75]
        .into_iter()
        .flat_map(|part| [pos2(along(part), above), pos2(along(part), below)])
        .collect()
}

/// The name and value of what is only there to compare with, along its line.
fn reference_words(chart: &Chart, palette: &Palette, on_screen: &impl Fn(&PlotPoint) -> Pos2) -> Vec<Word> {
    let word = |curve: &Curve| {
        let (first, last) = (curve.points.first()?, curve.points.last()?);
        let text = format!("{} {} {}", curve.name, words::number(last.y), chart.unit);
        let (begin, end) = (on_screen(first).x, on_screen(last));
        Some(Word::new(text, (plain_at(size::SMALL), palette.soft), move |size| {
            before_an_end(begin, end, size)
        }))
    };
    chart.curves.iter().filter(|curve| curve.look == Look::Reference).filter_map(word).collect()
}

fn slack_words(chart: &Chart, transform: &PlotTransform, palette: &Palette) -> Vec<Word> {
    let mut longest: Vec<&Slack> = chart.slack.iter().collect();
    longest.sort_by(|a, b| (b.across.1 - b.across.0).total_cmp(&(a.across.1 - a.across.0)));
    longest.truncate(MOST_SLACK);
    let word = |slack: &Slack| {
        let middle = PlotPoint::new((slack.across.0 + slack.across.1) / 2.0, chart.top);
        let at = transform.position_from_point(&middle);
        let style = (strong_at(size::SMALL), palette.limit);
        Word::new(&slack.text, style, move |size| under_the_top(at, size))
    };
    longest.into_iter().map(word).collect()
}

/// At the top of the chart, row by row, on either side.
fn under_the_top(at: Pos2, size: Vec2) -> Vec<Pos2> {
    let row = |n: usize| at.y + 2.0 + n as f32 * size.y;
    let xs = [at.x - GAP - 6.0 - size.x, at.x + GAP + 6.0, at.x - size.x / 2.0];
    (0..4).flat_map(|n| xs.map(|x| pos2(x, row(n)))).collect()
}

/// The ways between commands, named at the top of the first chart where there is room.
fn phase_words(chart: &Chart, around: &Around<'_>, transform: &PlotTransform) -> Vec<Word> {
    if around.charts.charts.first().map(|first| first.kind) != Some(chart.kind) {
        return Vec::new();
    }
    let on_screen = |x: f64| transform.position_from_point(&PlotPoint::new(x, chart.top));
    let word = |&(name, from, to): &(&'static str, f64, f64)| {
        let (from, to) = (on_screen(from), on_screen(to));
        let places = move |size: Vec2| {
            let room = (to.x - from.x - size.x - 2.0 * GAP).max(0.0);
            [0.0, 0.25, 0.5, 0.75, 1.0].map(|part| pos2(from.x + GAP + part * room, from.y + 1.0)).to_vec()
        };
        Word::new(name, (plain_at(size::SMALL), around.palette.soft), places)
    };
    around.charts.phases.iter().map(word).collect()
}
