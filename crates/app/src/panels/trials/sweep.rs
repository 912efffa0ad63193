//! One number of the door at many values: the margin of each limit, or a figure, over it.

use eframe::egui::{ComboBox, Grid, Label, RichText, Role, ScrollArea, Ui, WidgetInfo};
use tautleaf_physics::{Figure, Judge};
use tautleaf_report::notes_on_runs;

use super::kept_words::in_words;
use super::rows::{begin_row, noted, out_of_date, part_head, room};
use super::sweep_chart::{figure_chart, look, margins_chart};
use super::sweep_map::map_ui;
use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{size, space, strong_at};
use crate::trials::Trial;
use crate::trials::sweeping::{Asked, Swept};
use crate::widgets::{Icon, belt_caution, link, typed};
use crate::words;

/// Width of the chart, beside the limits.
const CHART: f32 = 570.0;
/// Height of the chart at least and at most, and of what stands around it.
const PLOT: (f32, f32) = (220.0, 460.0);
const AROUND: f32 = 106.0;

/// Draws it.
pub(super) fn sweep_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let asked = &ctx.state.trials.sweep_asked;
    begin_row(ui, ctx, Trial::Sweep, "Sweep it", |ui| fields(ui, ctx, asked));
    if ctx.state.trials.going(Trial::Sweep).is_none() {
        offered(ui, ctx, asked.offered(&ctx.state.document.scenario().parameters), |what| Asked {
            what,
            ..asked.clone()
        });
        second_fields(ui, ctx, asked);
        if !asked.against.trim().is_empty() {
            let keys = asked.second().offered(&ctx.state.document.scenario().parameters);
            offered(ui, ctx, keys, |against| Asked { against, ..asked.clone() });
        }
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
        let all = if found.is_map() {
            format!("kept in {} of {done} pairs of values", found.kept_in())
        } else {
            in_words(ctx, found, &found.all_kept())
        };
        ui.add(Label::new(RichText::new(format!("All limits together: {all}.")).strong()).wrap());
        ui.add_space(space::TIGHT);
        if found.two().iter().any(|(settable, _)| settable.key().ends_with("tension")) {
            belt_caution(ui, ctx.palette);
        }
        if found.is_map() {
            which(ui, ctx, found);
            ui.add_space(space::TIGHT);
            return map_ui(ui, ctx, found, height);
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
        for note in notes_on_runs(&found.sweep.bench.criteria.limits, &found.rows) {
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

/// A second number, where one is wanted.
fn second_fields(ui: &mut Ui, ctx: &ViewContext<'_>, asked: &Asked) {
    ui.horizontal(|ui| {
        if let Some(against) = typed(ui, "Against, if you like", &asked.against, 190.0, ctx.palette) {
            ctx.send(Action::AskSweep(Asked { against, ..asked.clone() }));
        }
        if asked.against.trim().is_empty() {
            return;
        }
        if let Some(against_from) = typed(ui, "from", &asked.against_from, 84.0, ctx.palette) {
            ctx.send(Action::AskSweep(Asked { against_from, ..asked.clone() }));
        }
        if let Some(against_to) = typed(ui, "to", &asked.against_to, 84.0, ctx.palette) {
            ctx.send(Action::AskSweep(Asked { against_to, ..asked.clone() }));
        }
    });
    ui.add_space(space::TIGHT);
}

/// Settings that may be meant.
fn offered(ui: &mut Ui, ctx: &ViewContext<'_>, keys: Vec<String>, asked: impl Fn(String) -> Asked) {
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
                ctx.send(Action::AskSweep(asked(name)));
            }
        }
    });
    ui.add_space(space::ROW);
}

/// What is drawn: the margins, or a figure.
fn which(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept) {
    let margins = if found.is_map() { "Tightest limit" } else { "Margin of each limit" };
    let shown = ctx.state.trials.sweep_shown;
    let name = shown.map_or(margins, Figure::label);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Over it").font(strong_at(size::HEAD)));
        let list = ComboBox::from_id_salt("figure that is swept").width(240.0).selected_text(name);
        let list = list.show_ui(ui, |ui| {
            if ui.selectable_label(shown.is_none(), margins).clicked() {
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

/// Each limit with its letter, and where it is kept.
fn limits_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept) {
    part_head(ui, "Where each limit is kept");
    let judged = found.judged();
    if judged.is_empty() {
        let text = "No limit judges this door: set some under Limits.";
        ui.add(Label::new(text).wrap());
    }
    Grid::new("limits swept").num_columns(2).min_col_width(12.0).spacing([10.0, 5.0]).show(ui, |ui| {
        for (n, place) in judged.into_iter().enumerate() {
            let limit = &found.sweep.bench.criteria.limits[place];
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
