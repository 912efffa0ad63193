//! Limits that the user sets.

use eframe::egui::{
    Align, Button, ComboBox, DragValue, Id, Key, Label, Layout, RichText, Role, TextEdit, Ui, WidgetInfo,
    vec2,
};
use tautleaf_physics::{Judge, Limit, Quantity, Rule};
use tautleaf_scenario::{Bound, LIMIT_KEYS, LimitKey, MOST_GAPS, WIDEST_GAP_M, limit_key};

use super::bands::bands_ui;
use super::rows::{NAME, head, reason, refusal, refuse};
use crate::action::Action;
use crate::context::ViewContext;
use crate::limit_edits::{LimitEdit, is_possible, least_of};
use crate::theme::space;
use crate::widgets::{Icon, QuantityField, choice, icon_button, quantity_field, read_quantity};
use crate::words;

/// Draws them.
pub(super) fn own_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let own = &ctx.state.document.scenario().limits.own;
    if own.is_empty() {
        let text = "None yet. One that you set takes the place of a published one on the same figure.";
        ui.add(Label::new(RichText::new(text).small().color(ctx.palette.soft)).wrap());
    }
    for limit in own {
        if let Some(entry) = limit_key(&limit.key) {
            ui.push_id(entry.key, |ui| row(ui, ctx, entry, limit));
        }
    }
    add_row(ui, ctx);
    if let Some(problem) = ui.data(|data| data.get_temp::<String>(refusal())) {
        reason(ui, ctx, &problem);
    }
    ui.add_space(space::PART);
    head(ui, "How it is judged");
    close_margin(ui, ctx);
    gaps(ui, ctx);
}

/// One limit: its name, its value, what going over it means, and the way to let it go.
fn row(ui: &mut Ui, ctx: &ViewContext<'_>, entry: &LimitKey, limit: &Limit) {
    let name = words::limit_label(limit);
    let send = |edit| ctx.send(Action::EditLimits(edit));
    ui.horizontal(|ui| {
        let says = RichText::new(&name).color(ctx.palette.ink);
        let at = Layout::left_to_right(Align::Center);
        let label = ui.allocate_ui_with_layout(vec2(NAME, ui.spacing().interact_size.y), at, |ui| {
            ui.set_min_width(NAME);
            ui.add(Label::new(says).truncate())
        });
        let label = label.inner;
        label.on_hover_text(format!("{name}: {}\nIn a door file: {}", entry.figure.says(), entry.key));
        ui.label(RichText::new(way(entry)).small().color(ctx.palette.soft));
        match &limit.rule {
            Rule::AtMost(value) | Rule::AtLeast(value) => value_field(ui, ctx, entry, *value, &name),
            _ => {
                ui.label(RichText::new("by gap").small().color(ctx.palette.soft));
            }
        }
        ui.add_space(space::TIGHT);
        let what = format!("Over {}", name.to_lowercase());
        let names = [(Judge::Limit, "fails"), (Judge::Advisory, "advises")];
        if let Some(judge) = choice(ui, &what, limit.judge, &names) {
            send(LimitEdit::Judged(entry.key.to_owned(), judge));
        }
        if icon_button(ui, Icon::Clear, &format!("Take away the limit on {}", name.to_lowercase()), 18.0)
            .clicked()
        {
            send(LimitEdit::Remove(entry.key.to_owned()));
        }
    });
    match &limit.rule {
        Rule::AtMostByGap(bands) => bands_ui(ui, ctx, entry, bands),
        Rule::AtMost(most) if entry.by_gap => {
            ui.horizontal(|ui| {
                ui.add_space(NAME);
                let by_gap = crate::widgets::link(ui, "let it differ from gap to gap", ctx.palette);
                if by_gap.clicked() {
                    let all = tautleaf_physics::Band { above_m: 0.0, to_m: f64::INFINITY, at_most: *most };
                    send(LimitEdit::Bands { key: entry.key.to_owned(), bands: vec![all], dragging: false });
                }
            });
        }
        _ => {}
    }
    ui.add_space(space::TIGHT);
}

fn way(entry: &LimitKey) -> &'static str {
    if entry.bound == Bound::Most { "at most" } else { "at least" }
}

fn value_field(ui: &mut Ui, ctx: &ViewContext<'_>, entry: &LimitKey, value: f64, name: &str) {
    let quantity = entry.quantity();
    let field = QuantityField {
        name: &format!("Limit on {}", name.to_lowercase()),
        quantity,
        value,
        possible: (least_of(entry), f64::INFINITY),
        // A hundred points double it.
        per_point: (words::to_shown(quantity, value, ctx.units()).abs() / 100.0).max(1e-3),
    };
    let typed = quantity_field(ui, &field, ctx.units());
    if let Some(value) = typed.value {
        ui.data_mut(|data| data.remove::<String>(refusal()));
        let key = entry.key.to_owned();
        let dragging = typed.response.dragged();
        ctx.send(Action::EditLimits(LimitEdit::Value { key, value, dragging }));
    }
    if let Some(problem) = typed.refused {
        refuse(ui, problem);
    }
    if typed.response.drag_stopped() {
        ctx.send(Action::EndDrag);
    }
}

/// A further limit: on what, and how much. What this door does stands in the field until something is typed.
fn add_row(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let (on, text) = (Id::unique("figure to limit"), Id::unique("limit to add"));
    let own = &ctx.state.document.scenario().limits.own;
    let free = || LIMIT_KEYS.iter().filter(|entry| own.iter().all(|own| own.key != entry.key));
    let chosen: Option<&'static str> = ui.data(|data| data.get_temp(on));
    let chosen = chosen.and_then(limit_key).filter(|chosen| free().any(|entry| entry.key == chosen.key));
    ui.horizontal(|ui| {
        let named = |entry: &LimitKey| entry.figure.label();
        let shown = chosen.map_or("Add a limit on", named);
        let list = ComboBox::from_id_salt("figure to limit")
            .selected_text(shown)
            .width(206.0)
            .height(320.0)
            .truncate();
        let list = list.show_ui(ui, |ui| {
            for entry in free() {
                let row =
                    ui.selectable_label(chosen.is_some_and(|chosen| chosen.key == entry.key), named(entry));
                if row.on_hover_text(entry.figure.says()).clicked() {
                    ui.data_mut(|data| data.insert_temp(on, entry.key));
                }
            }
        });
        list.response
            .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, format!("Figure to limit: {shown}")));
        let Some(entry) = chosen else { return };
        let mut typed = ui.data_mut(|data| data.get_temp_mut_or_default::<String>(text).clone());
        let hint = now(ctx, entry)
            .map_or_else(|| words::unit(entry.quantity(), ctx.units()), |now| format!("now {now}"));
        ui.label(RichText::new(way(entry)).small().color(ctx.palette.soft));
        let field = ui.add(TextEdit::singleline(&mut typed).desired_width(92.0).hint_text(hint));
        let field = field.accessible_name("Value of the limit to add");
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        ui.data_mut(|data| data.insert_temp(text, typed.clone()));
        let add = ui.add_enabled(!typed.trim().is_empty(), Button::new("Add"));
        if (add.clicked() || entered) && !typed.trim().is_empty() {
            let read = read_quantity(entry.quantity(), typed.trim(), ctx.units());
            match read.and_then(|value| possible(ctx, entry, value)) {
                Ok(value) => {
                    let key = entry.key.to_owned();
                    ctx.send(Action::EditLimits(LimitEdit::Value { key, value, dragging: false }));
                    ui.data_mut(|data| {
                        data.remove::<String>(text);
                        data.remove::<String>(refusal());
                        data.remove::<&'static str>(on);
                    });
                }
                Err(problem) => refuse(ui, problem),
            }
        }
    });
}

fn possible(ctx: &ViewContext<'_>, entry: &LimitKey, value: f64) -> Result<f64, String> {
    if is_possible(entry, value) {
        return Ok(value);
    }
    let say = |value| words::value(entry.quantity(), value, ctx.units());
    Err(format!("{} is not possible; write {} or more", say(value), say(least_of(entry))))
}

/// What this door does, where the run gives it.
fn now(ctx: &ViewContext<'_>, entry: &LimitKey) -> Option<String> {
    let value = ctx.state.live.as_ref()?.run.figures.get(entry.figure)?;
    Some(words::value(entry.quantity(), value, ctx.units()))
}

/// From which margin on a figure counts as close.
fn close_margin(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let mut percent = 100.0 * ctx.state.document.scenario().limits.close_margin;
    ui.horizontal(|ui| {
        let label = ui.label("Close to a limit: less to spare than");
        let drag = DragValue::new(&mut percent).range(0.0..=100.0).speed(0.5).max_decimals(1).suffix(" %");
        let field = ui.add(drag.update_while_editing(false)).labelled_by(label.id);
        if field.changed() {
            ctx.send(Action::EditLimits(LimitEdit::CloseMargin(percent / 100.0)));
        }
    });
}

/// At which gaps the force test is made.
fn gaps(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let id = Id::unique("gaps of the force test");
    let gaps = &ctx.state.document.scenario().limits.gaps_m;
    let listed =
        || gaps.iter().flatten().map(|gap| words::place(*gap, ctx.units())).collect::<Vec<_>>().join(", ");
    let mut text = ui.data(|data| data.get_temp::<String>(id)).unwrap_or_else(listed);
    ui.horizontal(|ui| {
        let label = ui.label("Force test at gaps of");
        let hint = "as the limits need";
        let edit = TextEdit::singleline(&mut text).desired_width(230.0).hint_text(hint);
        let field = ui.add(edit).labelled_by(label.id);
        if field.changed() {
            ui.data_mut(|data| data.insert_temp(id, text.clone()));
        }
        if field.lost_focus() {
            ui.data_mut(|data| data.remove::<String>(id));
            if text == listed() {
                return;
            }
            match read_gaps(&text, ctx) {
                Ok(gaps) => {
                    ui.data_mut(|data| data.remove::<String>(refusal()));
                    ctx.send(Action::EditLimits(LimitEdit::Gaps(gaps)));
                }
                Err(problem) => refuse(ui, problem),
            }
        }
    });
}

/// `None`: the field is empty, and the limits say at which gaps.
fn read_gaps(text: &str, ctx: &ViewContext<'_>) -> Result<Option<Vec<f64>>, String> {
    let parts = text.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
    // One that was left as it stood stays as exact as it was.
    let now = &ctx.state.document.scenario().limits.gaps_m;
    let read = |part: &str| match now.iter().flatten().find(|gap| words::place(**gap, ctx.units()) == part) {
        Some(gap) => Ok(*gap),
        None => read_quantity(Quantity::ShortLength, part, ctx.units()),
    };
    let gaps: Vec<f64> = parts.map(read).collect::<Result<_, _>>()?;
    if gaps.len() > MOST_GAPS {
        return Err(format!("{} gaps are too many: at most {MOST_GAPS}", gaps.len()));
    }
    let widest = ctx.state.live.as_ref().map_or(WIDEST_GAP_M, |live| live.door.clear_width_m());
    if let Some(gap) = gaps.iter().find(|gap| **gap >= widest) {
        let (gap, widest) = (words::place(*gap, ctx.units()), words::place(widest, ctx.units()));
        return Err(format!("{gap} is no gap of this door, which opens {widest} wide"));
    }
    match gaps.iter().find(|gap| !(**gap > 0.0 && **gap <= WIDEST_GAP_M)) {
        Some(gap) => Err(format!(
            "{} is not possible: a gap is wider than nothing and at most 40 m",
            words::place(*gap, ctx.units())
        )),
        None => Ok((!gaps.is_empty()).then_some(gaps)),
    }
}
