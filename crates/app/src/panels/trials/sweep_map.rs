//! Two numbers that were swept against one another: a cell for each pair of values.

use eframe::egui::{
    Align2, Color32, CursorIcon, Id, Label, Rect, RichText, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo,
    pos2, vec2,
};
use tautleaf_physics::Figure;
use tautleaf_trials::{Change, Row, Settable};

use super::chart_limits::titled;
use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::{plain_at, size, space, strong_at, tension_colour};
use crate::trials::sweeping::{Swept, Tightest};
use crate::words;

/// Room for the numbers beside and below the cells.
const BESIDE: f32 = 76.0;
const BELOW: f32 = 36.0;
/// A number needs a cell as large as this.
const WITH_NUMBER: (f32, f32) = (40.0, 17.0);
/// Margin, as a fraction of what is allowed, at which a cell is as deep as it gets.
const DEEPEST: f64 = 0.5;

/// What a cell says.
struct Cell {
    fill: Color32,
    ink: Color32,
    number: String,
    told: String,
}

/// Draws the map.
pub(super) fn map_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Swept, height: f32) {
    let [across, up] = found.two().map(|(settable, values)| (settable, values.clone()));
    let (columns, rows) = (across.1.len(), up.1.len());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let cells = Rect::from_min_max(rect.min + vec2(BESIDE, 0.0), rect.max - vec2(0.0, BELOW));
    let cell = vec2(cells.width() / columns as f32, cells.height() / rows as f32);
    let at = |i: usize, j: usize| {
        let corner = pos2(cells.left() + i as f32 * cell.x, cells.bottom() - (j + 1) as f32 * cell.y);
        Rect::from_min_size(corner, cell)
    };
    let shown = ctx.state.trials.sweep_shown.filter(|figure| found.figures().contains(figure));
    for row in &found.rows {
        let (i, j) = (row.index as usize / rows, row.index as usize % rows);
        let place = at(i, j).shrink(0.5);
        let says = cell_of(ctx, found, row, shown);
        ui.painter().rect_filled(place, 1.0, says.fill);
        if place.width() >= WITH_NUMBER.0 && place.height() >= WITH_NUMBER.1 {
            let font = plain_at(size::SMALL);
            ui.painter().text(place.center(), Align2::CENTER_CENTER, &says.number, font, says.ink);
        }
        let response = ui.interact(place, Id::unique(("sweep map", row.index)), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{}: set both", says.told)));
        if response.hovered() || response.has_focus() {
            ui.painter().rect_stroke(place, 1.0, Stroke::new(2.0, ctx.palette.ink), StrokeKind::Inside);
        }
        let response = response.on_hover_text(format!("{}\nClick: set both", says.told));
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
            ctx.send(Action::Turn(both(ctx, [across.0, up.0], &row.values)));
        }
    }
    now(ui, ctx, found, (&across, &up), at);
    axes(ui, ctx, (&across, &up), cells, cell);
    legend(ui, ctx, shown);
}

/// A cell by the tightest margin, or by a figure.
fn cell_of(ctx: &ViewContext<'_>, found: &Swept, row: &Row, shown: Option<Figure>) -> Cell {
    let palette = ctx.palette;
    let say = |(settable, _): (Settable, &Vec<f64>), value: f64| {
        format!(
            "{} {}",
            words::name_of(&settable.key()),
            words::value(settable.quantity(), value, ctx.units())
        )
    };
    let [across, up] = found.two();
    let place = format!("{}, {}", say(across, row.values[0]), say(up, row.values[1]));
    if let Some(figure) = shown {
        let quantity = words::quantity_shown(figure);
        let value = row.trial.get(figure);
        let number = value
            .map_or_else(String::new, |value| words::number(words::to_shown(quantity, value, ctx.units())));
        let told =
            value.map_or_else(|| "none".to_owned(), |value| words::value(quantity, value, ctx.units()));
        let part = value.map_or(0.0, |value| found.part_of_range(figure, value));
        let fill = if value.is_some() { tension_colour(palette, part as f32) } else { palette.panel };
        let dark_fill = (part > 0.45) != palette.dark;
        let ink = if dark_fill { Color32::WHITE } else { Color32::BLACK };
        return Cell { fill, ink, number, told: format!("{place}: {} {told}", figure.label()) };
    }
    let percent = |margin: f64| format!("{:.0} %", 100.0 * margin);
    match found.tightest(row) {
        Tightest::Fails => Cell {
            fill: palette.limit,
            ink: palette.on_strong,
            number: "fails".to_owned(),
            told: format!("{place}: does not open and close"),
        },
        Tightest::None => Cell {
            fill: palette.panel,
            ink: palette.ink,
            number: String::new(),
            told: format!("{place}: no limit judges it"),
        },
        Tightest::Margin(place_of_limit, margin) => {
            let name = words::limit_label(&found.sweep.bench.criteria.limits[place_of_limit]);
            let part = (margin.abs() / DEEPEST).clamp(0.12, 1.0) as f32;
            let (strong, word) =
                if margin < 0.0 { (palette.limit, "over") } else { (palette.door, "to spare") };
            // Pale enough for the number on it.
            let fill = palette.raised.lerp_to_gamma(strong, 0.6 * part);
            let number = if margin < 0.0 { percent(margin) } else { format!("+{}", percent(margin)) };
            Cell {
                fill,
                ink: palette.ink,
                number,
                told: format!("{place}: {name} {} {word}", percent(margin.abs())),
            }
        }
    }
}

/// Both numbers as they are in a cell.
fn both(ctx: &ViewContext<'_>, settables: [Settable; 2], values: &[f64]) -> Vec<Change> {
    let p = &ctx.state.document.scenario().parameters;
    let change = |(settable, &to): (Settable, &f64)| {
        let key = tautleaf_physics::number(&settable.key())?.table_key;
        Some(Change { key, from: settable.get(p).unwrap_or(to), to })
    };
    settables.into_iter().zip(values).filter_map(change).collect()
}

type Axis = (Settable, Vec<f64>);

/// Where the door is now, if that lies in the map.
fn now(
    ui: &Ui,
    ctx: &ViewContext<'_>,
    found: &Swept,
    (across, up): (&Axis, &Axis),
    at: impl Fn(usize, usize) -> Rect,
) {
    let p = &found.made.scenario().parameters;
    let place = |(settable, values): &Axis| {
        let now = settable.get(p)?;
        let (first, last) = (*values.first()?, *values.last()?);
        let part = (now - first) / (last - first) * (values.len() - 1) as f64;
        (-0.5..=values.len() as f64 - 0.5).contains(&part).then_some(part)
    };
    let (Some(i), Some(j)) = (place(across), place(up)) else { return };
    let cell = at(0, 0);
    let centre = cell.center() + vec2(i as f32 * cell.width(), -(j as f32) * cell.height());
    ui.painter().circle(centre, 5.0, Color32::TRANSPARENT, Stroke::new(2.5, ctx.palette.raised));
    ui.painter().circle_stroke(centre, 6.5, Stroke::new(2.0, ctx.palette.ink));
}

/// Numbers and names beside and below the cells.
fn axes(ui: &Ui, ctx: &ViewContext<'_>, (across, up): (&Axis, &Axis), cells: Rect, cell: eframe::egui::Vec2) {
    let ink = ctx.palette.ink;
    let shown = |(settable, _): &Axis, value: f64| {
        words::number(words::to_shown(settable.quantity(), value, ctx.units()))
    };
    let every = |room: f32, needs: f32| (needs / room).ceil().max(1.0) as usize;
    for (i, value) in across.1.iter().enumerate().step_by(every(cell.x, 44.0)) {
        let at = pos2(cells.left() + (i as f32 + 0.5) * cell.x, cells.bottom() + 8.0);
        ui.painter().text(at, Align2::CENTER_CENTER, shown(across, *value), plain_at(size::SMALL), ink);
    }
    for (j, value) in up.1.iter().enumerate().step_by(every(cell.y, 15.0)) {
        let at = pos2(cells.left() - 6.0, cells.bottom() - (j as f32 + 0.5) * cell.y);
        ui.painter().text(at, Align2::RIGHT_CENTER, shown(up, *value), plain_at(size::SMALL), ink);
    }
    let name = |(settable, _): &Axis| {
        titled(&words::name_of(&settable.key()), &words::unit(settable.quantity(), ctx.units()))
    };
    let soft = ctx.palette.soft;
    let below = pos2(cells.center().x, cells.bottom() + 24.0);
    ui.painter().text(below, Align2::CENTER_CENTER, name(across), strong_at(size::SMALL), soft);
    let galley = ui.painter().layout_no_wrap(name(up), strong_at(size::SMALL), soft);
    let corner = pos2(cells.left() - BESIDE + 2.0, cells.center().y + galley.size().x / 2.0);
    let upright =
        eframe::egui::epaint::TextShape::new(corner, galley, soft).with_angle(-std::f32::consts::FRAC_PI_2);
    ui.painter().add(upright);
}

fn legend(ui: &mut Ui, ctx: &ViewContext<'_>, shown: Option<Figure>) {
    ui.add_space(space::TIGHT);
    let text = match shown {
        None => {
            "Each cell: what is left of the tightest limit that may fail the door; less than nothing is over. The ring is the door now."
        }
        Some(_) => "Each cell: the figure. The ring is the door now.",
    };
    ui.add(Label::new(RichText::new(text).small().color(ctx.palette.soft)).wrap());
}
