//! What went wrong, across the window: why a door cannot be run, why a file was not opened.

use std::time::Duration;

use eframe::egui::{
    self, Align, Align2, Area, CollapsingHeader, Frame, Id, Key, Layout, Margin, Order, RichText, ScrollArea,
    Stroke, Ui,
};

use crate::action::Action;
use crate::context::ViewContext;
use crate::state::Notice;
use crate::theme::{size, space, strong_at};
use crate::widgets::{Icon, icon};
use crate::words;

/// Most height of the lines of one message.
const MOST_HEIGHT: f32 = 140.0;

/// Widest notice, how far it stands above the lower edge of the window, and how long one is told.
const NOTICE_WIDTH: f32 = 560.0;
const NOTICE_ABOVE: f32 = 44.0;
const TOLD_FOR_S: f64 = 8.0;

/// Whether there is anything to say across the window.
pub fn has_messages(ctx: &ViewContext<'_>) -> bool {
    ctx.state.view.pointers || !ctx.state.refused.is_empty()
}

/// What someone needs to know who sees the window for the first time.
const POINTERS: [&str; 3] = [
    "Move a slider on the left: door, curves and verdicts follow at once.",
    "Click a verdict on the right to go to the moment at which it was worst.",
    "Hold this run, then change one thing: the old curves stay behind the new ones.",
];

fn pointers(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let palette = ctx.palette;
    let frame = Frame::new().fill(palette.door_wash).corner_radius(space::CORNER);
    frame.inner_margin(Margin::symmetric(12, 6)).outer_margin(Margin::symmetric(0, 3)).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if ui.button("Understood, do not show again").clicked() {
                    ctx.send(Action::PointersRead);
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.horizontal_wrapped(|ui| {
                        for (n, pointer) in POINTERS.iter().enumerate() {
                            ui.label(
                                RichText::new(format!("{}", n + 1))
                                    .font(strong_at(size::HEAD))
                                    .color(palette.door),
                            );
                            ui.label(*pointer);
                        }
                    });
                });
            });
        });
    });
}

/// Draws the messages.
pub fn messages_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    if ctx.state.view.pointers {
        pointers(ui, ctx);
    }
    if !ctx.state.refused.is_empty() {
        let lines: Vec<String> = ctx.state.refused.iter().map(words::problem).collect();
        let head = "This door cannot be run. The charts show the last one that could.";
        message(ui, ctx, "refused", true, head, &lines, false);
    }
}

/// Draws what there is to tell, over the foot of the charts: nothing moves away under the pointer.
pub fn notice_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(notice) = &ctx.state.view.notice else { return };
    let area = Area::new(Id::unique("notice"))
        .order(Order::Middle)
        .anchor(Align2::CENTER_BOTTOM, [0.0, -NOTICE_ABOVE]);
    area.show(ui, |ui| {
        ui.set_max_width(NOTICE_WIDTH);
        message(ui, ctx, "notice", notice.wrong, &notice.head, &notice.lines, true);
    });
    let typing = ui.egui_wants_keyboard_input() || ctx.state.view.popup.is_some();
    if !typing && ui.input(|input| input.key_pressed(Key::Escape)) {
        ctx.send(Action::Dismiss);
    }
    fade(ui, ctx, notice);
}

/// What went well is told for a while; what went wrong stays until it is dismissed, or something is put right.
fn fade(ui: &Ui, ctx: &ViewContext<'_>, notice: &Notice) {
    let id = Id::unique("notice told");
    let now = ui.input(|input| input.time);
    let (told, since) = ui.data_mut(|data| {
        let told: &mut (Notice, f64) = data.get_temp_mut_or_insert_with(id, || (notice.clone(), now));
        if told.0 != *notice {
            *told = (notice.clone(), now);
        }
        told.clone()
    });
    if told.wrong {
        return;
    }
    if now - since >= TOLD_FOR_S {
        ui.data_mut(|data| data.remove::<(Notice, f64)>(id));
        ctx.send(Action::Dismiss);
    } else {
        ui.request_repaint_after(Duration::from_secs_f64(TOLD_FOR_S - (now - since) + 0.02));
    }
}

fn message(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    id: &str,
    wrong: bool,
    head: &str,
    lines: &[String],
    can_go: bool,
) {
    let palette = ctx.palette;
    let (sign, colour, ground) = if wrong {
        (Icon::Over, palette.limit, palette.limit_wash)
    } else {
        (Icon::Within, palette.door, palette.door_wash)
    };
    let frame = Frame::new().fill(ground).stroke(Stroke::new(1.0, colour)).corner_radius(space::CORNER);
    frame.inner_margin(Margin::symmetric(12, 8)).outer_margin(Margin::symmetric(0, 3)).show(ui, |ui| {
        ui.horizontal(|ui| {
            icon(ui, sign, colour, 15.0);
            let head = RichText::new(head).font(strong_at(size::BODY)).color(palette.ink);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if can_go && ui.button("Dismiss").clicked() {
                    ctx.send(Action::Dismiss);
                }
                // What is left of the line is for the words.
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(egui::Label::new(head).wrap())
                });
            });
        });
        if lines.is_empty() {
            return;
        }
        // The first one says where to begin; the others would push the door off the screen.
        ui.label(RichText::new(&lines[0]).color(palette.ink));
        let rest = &lines[1..];
        if rest.is_empty() {
            return;
        }
        let name = if rest.len() == 1 { "One more".to_owned() } else { format!("{} more", rest.len()) };
        CollapsingHeader::new(RichText::new(name).small()).id_salt(id).show(ui, |ui| {
            let area = ScrollArea::vertical().id_salt(id).max_height(MOST_HEIGHT);
            area.min_scrolled_height(MOST_HEIGHT).show(ui, |ui| {
                ui.set_width(ui.available_width());
                for line in rest {
                    ui.label(RichText::new(line).color(palette.ink));
                }
            });
        });
    });
}
