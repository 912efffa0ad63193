//! One number of the door at many values: the margin of each limit, or a figure, over it.

use eframe::egui::{
    Align2, Color32, ComboBox, Grid, Label, RichText, Role, ScrollArea, Ui, WidgetInfo, pos2,
};
use egui_plot::{FilledArea, HLine, Line, LineStyle, PlotPoint, PlotTransform, PlotUi, VLine};
use tautleaf_physics::{Figure, Judge, Rule};
use tautleaf_report::notes_on_runs;

use super::{begin_row, noted, out_of_date, part_head, room};
use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{Palette, plain_at, size, space, strong_at};
use crate::trials::Trial;
use crate::trials::sweeping::{Asked, Swept};
use crate::widgets::{Icon, belt_caution, end_letters, link, named, trial_plot, typed};
use crate::words;

/// Width of the chart, beside the limits.
const CHART: f32 = 570.0;
/// Height of the chart at least and at most, and of what stands around it.
const PLOT: (f32, f32) = (220.0, 460.0);
const AROUND: f32 = 106.0;
/// Margins beyond this lie on the edge of the chart, %.
const MOST: f64 = 100.0;
/// Room for letters behind the curves, as a part of the chart.
const BEHIND: f64 = 0.04;

/// Draws it.
pub(super) fn sweep_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let asked = &ctx.state.trials.sweep_asked;
    begin_row(ui, ctx, Trial::Sweep, "Sweep it", |ui| fields(ui, ctx, asked));
    if ctx.state.trials.going(Trial::Sweep).is_none() {
        offered(ui, ctx, asked);
    }
    let Some(found) = &ctx.state.trials.sweep.found else { return };
    if !found.made.is_current(&ctx.state.document) {
        out_of_date(ui, ctx);
    }
    let (done, wanted) = (found.rows.len(), found.sweep.trials());
    if (done as u64) < wanted {
        noted(ui, ctx, Icon::Close, &format!("Stopped after {done} of {wanted} values; those are kept."));
    }
    if done == 0 {
        return;
    }
    let height = (room(ui) - AROUND).clamp(PLOT.0, PLOT.1);
    ScrollArea::vertical().max_height(room(ui)).auto_shrink([false, true]).show(ui, |ui| {
        let all = in_words(ctx, found, &found.all_kept());
        ui.add(Label::new(RichText::new(format!("All limits together: {all}.")).strong()).wrap());
        ui.add_space(space::TIGHT);
        if found.settable().key().ends_with("tension") {
            belt_caution(ui, ctx.palette);
        }
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(CHART);
                which(ui, ctx, found);
                match ctx.state.trials.sweep_shown.filter(|figure| found.figures().contains(figure)) {
                    Some(figure) => figure_chart(ui, ctx, found, figure, height),
                    None => margins_chart(ui, ctx, found, height),
                }
            });
            ui.add_space(space::PART);
            ui.vertical(|ui| limits_ui(ui, ctx, found));
        });
        for note in notes_on_runs(&found.rows) {
            ui.label(RichText::new(note).small().color(ctx.palette.soft));
        }
    });
}

/// Which number, between which values, how many.
fn fields(ui: &mut Ui, ctx: &ViewContext<'_>, asked: &Asked) {
    if let Some(what) = typed(ui, "Setting", &asked.what, 190.0, ctx.palette) {
        ctx.send(Action::AskSweep(Asked { what, ..asked.clone() }));
    }
    if let Some(from) = typed(ui, "From", &asked.from, 84.0, ctx.palette) {
        ctx.send(Action::AskSweep(Asked { from, ..asked.clone() }));
    }
    if let Some(to) = typed(ui, "To", &asked.to, 84.0, ctx.palette) {
        ctx.send(Action::AskSweep(Asked { to, ..asked.clone() }));
    }
    if let Some(values) = typed(ui, "Values", &asked.values, 44.0, ctx.palette) {
        ctx.send(Action::AskSweep(Asked { values, ..asked.clone() }));
    }
}

/// Settings that may be meant.
fn offered(ui: &mut Ui, ctx: &ViewContext<'_>, asked: &Asked) {
    let keys = asked.offered(&ctx.state.document.scenario().parameters);
    if keys.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Perhaps").small().color(ctx.palette.soft));
        for key in keys {
            let name = words::name_of(&key);
            let offer =
                link(ui, &name, ctx.palette).accessible_name(format!("Sweep {}", name.to_lowercase()));
            if offer.on_hover_text(format!("In a door file: {key}")).clicked() {
                ctx.send(Action::AskSweep(Asked { what: name, ..asked.clone() }));
            }
        }
    });
    ui.add_space(space::ROW);
}

/// A value of the number that was varied.
fn say(ctx: &ViewContext<'_>, found: &Swept, value: f64) -> String {
    words::value(found.settable().quantity(), value, ctx.units())
}

/// Between which values something is kept.
fn in_words(ctx: &ViewContext<'_>, found: &Swept, stretches: &[(f64, f64)]) -> String {
    let ends =
        found.rows.first().zip(found.rows.last()).map(|(first, last)| (first.values[0], last.values[0]));
    let one = |&(from, to): &(f64, f64)| match from == to {
        true => format!("at {}", say(ctx, found, from)),
        false => format!("from {} to {}", say(ctx, found, from), say(ctx, found, to)),
    };
    match stretches {
        [] => "kept at none of these values".to_owned(),
        [whole] if Some(*whole) == ends => "kept at every value".to_owned(),
        some => format!("kept {}", some.iter().map(one).collect::<Vec<_>>().join(" and ")),
    }
}

/// What is drawn: the margins, or a figure.
fn which(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept) {
    const MARGINS: &str = "Margin of each limit";
    let shown = ctx.state.trials.sweep_shown;
    let name = shown.map_or(MARGINS, Figure::label);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Over it").font(strong_at(size::HEAD)));
        let list = ComboBox::from_id_salt("figure that is swept").width(240.0).selected_text(name);
        let list = list.show_ui(ui, |ui| {
            if ui.selectable_label(shown.is_none(), MARGINS).clicked() {
                ctx.send(Action::ShowSweepOf(None));
            }
            for figure in found.figures() {
                if ui.selectable_label(shown == Some(figure), figure.label()).clicked() {
                    ctx.send(Action::ShowSweepOf(Some(figure)));
                }
            }
        });
        list.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, format!("Shown: {name}")));
    });
}

/// How the curve of the limit with this place among the judged ones looks, and its letter.
fn look(n: usize, palette: &Palette) -> (char, Color32, LineStyle) {
    const STYLES: [LineStyle; 3] =
        [LineStyle::Solid, LineStyle::Dashed { length: 8.0 }, LineStyle::Dotted { spacing: 5.0 }];
    let letter = ('A'..='Z').nth(n).unwrap_or('*');
    (letter, palette.strands[n % 4], STYLES[(n / 4) % STYLES.len()])
}

/// Each limit with its letter, and where it is kept.
fn limits_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept) {
    part_head(ui, "Where each limit is kept");
    let judged = found.judged();
    if judged.is_empty() {
        let text = "No limit judges this door: section [limits] of the door file sets them.";
        ui.add(Label::new(text).wrap());
    }
    Grid::new("limits swept").num_columns(2).min_col_width(12.0).spacing([10.0, 5.0]).show(ui, |ui| {
        for (n, place) in judged.into_iter().enumerate() {
            let limit = &found.sweep.bench.limits[place];
            let (letter, colour, _) = look(n, ctx.palette);
            ui.label(RichText::new(letter.to_string()).font(strong_at(size::BODY)).color(colour));
            let advisory = if limit.judge == Judge::Advisory { ", advisory" } else { "" };
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                ui.label(format!("{}{advisory}", words::limit_label(limit)));
                let kept = in_words(ctx, found, &found.kept(place));
                ui.add(Label::new(RichText::new(kept).small().color(ctx.palette.soft)).wrap());
            });
            ui.end_row();
        }
    });
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
        let across = if unit.is_empty() { name } else { format!("{name}, {unit}") };
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
fn margins_chart(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept, height: f32) {
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
        let label = words::limit_label(&found.sweep.bench.limits[place]);
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
fn figure_chart(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept, figure: Figure, height: f32) {
    let chart = Chart::new(ctx, found, height);
    let quantity = words::quantity_shown(figure);
    let shown = |value| words::to_shown(quantity, value, ctx.units());
    let curves = chart.curves(|n| found.rows[n].trial.get(figure).map(shown));
    let values = || curves.iter().flatten().map(|point| point[1]);
    let (low, high) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
    let limits = found.sweep.bench.limits.iter().filter(|limit| limit.figure == Some(figure));
    let allowed = limits.filter_map(|limit| match limit.rule {
        Rule::AtMost(value) | Rule::AtLeast(value) => Some(shown(value)),
        _ => None,
    });
    let allowed: Vec<f64> = allowed.collect();
    let reach = allowed
        .iter()
        .copied()
        .filter(|at| (low - 2.0 * (high - low)..=high + 2.0 * (high - low)).contains(at));
    let (bottom, top) = reach.fold((low, high), |(low, high), at| (low.min(at), high.max(at)));
    let edge = 0.08 * (top - bottom).max(1e-3 * top.abs()).max(1e-9);
    let unit = words::unit(quantity, ctx.units());
    let up = if unit.is_empty() { figure.label().to_owned() } else { format!("{}, {unit}", figure.label()) };
    let say = |value: f64| format!("{} {unit}", words::number(value));
    let ends = |which: fn(&[[f64; 2]]) -> Option<&[f64; 2]>, curve: Option<&Vec<[f64; 2]>>| {
        curve.and_then(|curve| which(curve)).map_or_else(String::new, |point| say(point[1]))
    };
    let first = ends(|points| points.first(), curves.first());
    let last = ends(|points| points.last(), curves.last());
    let spoken = format!("{}: from {first} at the first value to {last} at the last", figure.label());
    chart.show(ui, &up, (bottom - edge, top + edge), &spoken, |plot| {
        for (n, at) in allowed.iter().enumerate() {
            let line = HLine::new(format!("limit {n}"), *at).color(ctx.palette.limit).width(2.0);
            plot.hline(line.style(LineStyle::Dashed { length: 9.0 }).allow_hover(false));
        }
        for (m, points) in curves.iter().enumerate() {
            let line = Line::new(figure.label(), points.clone()).id(("swept", m));
            plot.line(line.color(ctx.palette.door).width(2.0).allow_hover(false));
        }
    });
    if !allowed.is_empty() {
        ui.label(RichText::new("Dashed: the limit.").small().color(ctx.palette.soft));
    }
}
