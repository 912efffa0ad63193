//! Charts over the number that was swept: the margin of each limit, or one figure.

use eframe::egui::{Align2, Color32, RichText, Ui, pos2};
use egui_plot::{FilledArea, HLine, Line, LineStyle, PlotPoint, PlotTransform, PlotUi, VLine};
use tautleaf_physics::Figure;

use super::chart_limits::{limits_near, titled};
use super::kept_words::in_words;
use crate::context::ViewContext;
use crate::theme::{Palette, plain_at, size};
use crate::trials::sweeping::Swept;
use crate::widgets::{end_letters, named, trial_plot};
use crate::words;

/// Margins beyond this lie on the edge of the chart, %.
const MOST: f64 = 100.0;
/// Room for letters behind the curves, as a part of the chart.
const BEHIND: f64 = 0.04;

/// How the curve of the limit with this place among the judged ones looks, and its letter.
pub(super) fn look(n: usize, palette: &Palette) -> (char, Color32, LineStyle) {
    const STYLES: [LineStyle; 3] =
        [LineStyle::Solid, LineStyle::Dashed { length: 8.0 }, LineStyle::Dotted { spacing: 5.0 }];
    let letter = ('A'..='Z').nth(n).unwrap_or('*');
    (letter, palette.strands[n % 4], STYLES[(n / 4) % STYLES.len()])
}

/// A chart over the number, with its present value.
struct Chart<'a> {
    ctx: &'a ViewContext<'a>,
    found: &'a Swept,
    across: (f64, f64),
    now: Option<f64>,
    height: f32,
}

impl<'a> Chart<'a> {
    fn new(ctx: &'a ViewContext<'a>, found: &'a Swept, height: f32) -> Self {
        let quantity = found.settable().quantity();
        let shown = |value| words::to_shown(quantity, value, ctx.units());
        let values = || found.rows.iter().map(|row| shown(row.values[0]));
        let across = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        let now = found.settable().get(&found.made.scenario().parameters).map(shown);
        let now = now.filter(|now| (across.0..=across.1).contains(now));
        Self { ctx, found, across, now, height }
    }

    fn x(&self, value: f64) -> f64 {
        words::to_shown(self.found.settable().quantity(), value, self.ctx.units())
    }

    /// Stretches of points without a gap, of what each run gave.
    fn curves(&self, of: impl Fn(usize) -> Option<f64>) -> Vec<Vec<[f64; 2]>> {
        let point = |n: usize| Some([self.x(self.found.rows[n].values[0]), of(n)?]);
        let points: Vec<Option<[f64; 2]>> = (0..self.found.rows.len()).map(point).collect();
        let whole = points.chunk_by(|a, b| a.is_some() == b.is_some());
        whole
            .map(|some| some.iter().flatten().copied().collect::<Vec<_>>())
            .filter(|some| !some.is_empty())
            .collect()
    }

    fn show(
        &self,
        ui: &mut Ui,
        up: &str,
        range: (f64, f64),
        spoken: &str,
        draw: impl FnOnce(&mut PlotUi<'_>),
    ) -> PlotTransform {
        let settable = self.found.settable();
        let (name, unit) =
            (words::name_of(&settable.key()), words::unit(settable.quantity(), self.ctx.units()));
        let across = titled(&name, &unit);
        let plot = trial_plot("sweep", (&across, up), self.height, self.ctx.palette);
        let (low, high) = self.across;
        let behind = BEHIND * (high - low).max(1e-9);
        let shown = plot.show(ui, |plot| {
            plot.set_plot_bounds_x(low - 0.5 * behind..=high + behind);
            plot.set_plot_bounds_y(range.0..=range.1);
            draw(plot);
            if let Some(now) = self.now {
                let line = VLine::new("now", now).color(self.ctx.palette.ink).width(1.2).allow_hover(false);
                plot.vline(line.style(LineStyle::Dashed { length: 4.0 }));
            }
        });
        named(&shown.response, &format!("{across}. {spoken}"));
        if let Some(now) = self.now {
            let at = shown.transform.position_from_point(&PlotPoint::new(now, range.1));
            let text = format!("now {}", words::number(now));
            let colour = self.ctx.palette.ink;
            ui.painter().text(
                pos2(at.x + 4.0, at.y + 2.0),
                Align2::LEFT_TOP,
                text,
                plain_at(size::SMALL),
                colour,
            );
        }
        shown.transform
    }
}

/// The margin of each limit; below nothing it is over.
pub(super) fn margins_chart(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept, height: f32) {
    let chart = Chart::new(ctx, found, height);
    let judged = found.judged();
    let margin =
        |place: usize, n: usize| found.rows[n].trial.judged[place].margin.map(|margin| 100.0 * margin);
    let all = || judged.iter().flat_map(|&place| (0..found.rows.len()).filter_map(move |n| margin(place, n)));
    let top = 1.05 * all().fold(10.0, f64::max).min(MOST);
    let bottom = 1.05 * all().fold(-10.0, f64::min).max(-MOST);
    let curves: Vec<Vec<Vec<[f64; 2]>>> = judged
        .iter()
        .map(|&place| chart.curves(|n| margin(place, n).map(|margin| margin.clamp(bottom, top))))
        .collect();
    let spoken = judged.iter().map(|&place| {
        let label = words::limit_label(&found.sweep.bench.criteria.limits[place]);
        format!("{label}: {}", in_words(ctx, found, &found.kept(place)))
    });
    let spoken = format!("Margins. {}", spoken.collect::<Vec<_>>().join(". "));
    let transform = chart.show(ui, "margin, %", (bottom, top), &spoken, |plot| {
        let ends = [chart.across.0, chart.across.1];
        let over = FilledArea::new("over", &ends, &[bottom; 2], &[0.0; 2]);
        plot.add(over.fill_color(ctx.palette.limit.gamma_multiply(0.10)).allow_hover(false));
        let limit = HLine::new("limit", 0.0).color(ctx.palette.limit).width(2.0);
        plot.hline(limit.style(LineStyle::Dashed { length: 9.0 }).allow_hover(false));
        for (n, stretches) in curves.iter().enumerate() {
            let (letter, colour, style) = look(n, ctx.palette);
            for (m, points) in stretches.iter().enumerate() {
                let line = Line::new(letter.to_string(), points.clone()).id(("sweep", n, m));
                plot.line(line.color(colour).width(2.0).style(style).allow_hover(false));
            }
        }
    });
    let end = |(n, stretches): (usize, &Vec<Vec<[f64; 2]>>)| {
        let [x, y] = *stretches.last()?.last()?;
        let (letter, colour, _) = look(n, ctx.palette);
        Some((letter, transform.position_from_point(&PlotPoint::new(x, y)), colour))
    };
    let ends: Vec<_> = curves.iter().enumerate().filter_map(end).collect();
    let frame = transform.frame();
    end_letters(ui, &ends, (frame.top() + 7.0, frame.bottom() - 7.0));
    let text = "Below the dashed line a limit is over. What lies on the edge goes on beyond it.";
    ui.label(RichText::new(text).small().color(ctx.palette.soft));
}

/// One figure, with what its limits allow.
pub(super) fn figure_chart(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept, figure: Figure, height: f32) {
    let chart = Chart::new(ctx, found, height);
    let quantity = words::quantity_shown(figure);
    let shown = |value| words::to_shown(quantity, value, ctx.units());
    let curves = chart.curves(|n| found.rows[n].trial.get(figure).map(shown));
    let values = || curves.iter().flatten().map(|point| point[1]);
    let range = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
    let limits = limits_near(&found.sweep.bench.criteria.limits, figure, shown, range);
    let (bottom, top) = limits.iter().fold(range, |(low, high), &at| (low.min(at), high.max(at)));
    let edge = 0.08 * (top - bottom).max(1e-3 * top.abs()).max(1e-9);
    let unit = words::unit(quantity, ctx.units());
    let say = |value: Option<f64>| {
        value.map_or_else(String::new, |value| format!("{} {unit}", words::number(value)))
    };
    let (first, last) = (say(values().next()), say(values().next_back()));
    let spoken = format!("{}: from {first} at the first value to {last} at the last", figure.label());
    chart.show(ui, &titled(figure.label(), &unit), (bottom - edge, top + edge), &spoken, |plot| {
        for (n, at) in limits.iter().enumerate() {
            let line = HLine::new(format!("limit {n}"), *at).color(ctx.palette.limit).width(2.0);
            plot.hline(line.style(LineStyle::Dashed { length: 9.0 }).allow_hover(false));
        }
        for (m, points) in curves.iter().enumerate() {
            let line = Line::new(figure.label(), points.clone()).id(("swept", m));
            plot.line(line.color(ctx.palette.door).width(2.0).allow_hover(false));
        }
    });
    if !limits.is_empty() {
        ui.label(RichText::new("Dashed across: the limit.").small().color(ctx.palette.soft));
    }
}
