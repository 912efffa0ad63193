//! Time: play, pause, step, scrub.

use eframe::egui::{Button, Role, Slider, SliderClamping, Ui, WidgetInfo};

use crate::action::{Action, RATES, STEP};
use crate::context::ViewContext;
use crate::theme::space;
use crate::widgets::{Icon, choice, icon_button};

/// Least width of the slider.
pub const LEAST_SCRUB: f32 = 60.0;

/// Draws the row of a window that has the room for one.
pub fn transport_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.horizontal(|ui| {
        ui.set_height(space::TRANSPORT);
        buttons(ui, ctx);
        if let Some(rate) = choice(ui, "Speed of time", ctx.state.view.rate, &RATES) {
            ctx.send(Action::SetRate(rate));
        }
        ui.add_space(space::TIGHT);
        let width = ui.available_width();
        scrub(ui, ctx, width);
    });
}

/// Time as a slider.
pub fn scrub(ui: &mut Ui, ctx: &ViewContext<'_>, width: f32) {
    let Some(live) = &ctx.state.live else { return };
    let mut t_s = ctx.state.view.cursor.map_or(0.0, |moment| moment.t_s);
    ui.spacing_mut().slider_width = (width - space::TIGHT).max(LEAST_SCRUB);
    let range = 0.0..=live.end().t_s;
    let slider = Slider::new(&mut t_s, range).show_value(false).clamping(SliderClamping::Edits);
    if ui.add(slider).accessible_name("Time").changed() {
        ctx.send(Action::PointAtTime(t_s));
    }
}

/// How fast time runs, where there is little room.
pub fn rate_menu(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let now = ctx.state.view.rate;
    let name = RATES.iter().find(|(rate, _)| *rate == now).map_or("1x", |(_, name)| name);
    let menu = ui.menu_button(name, |ui| {
        for (rate, name) in RATES {
            let button = ui.add(Button::selectable(rate == now, name));
            button.widget_info(|| {
                WidgetInfo::selected(Role::RadioButton, true, rate == now, format!("Speed of time: {name}"))
            });
            if button.clicked() {
                ctx.send(Action::SetRate(rate));
                ui.close();
            }
        }
    });
    let says = format!("Speed of time, now {name}");
    menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &says));
    menu.response.on_hover_text(says);
}

/// Play, pause and steps.
pub fn buttons(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.spacing_mut().item_spacing.x = space::TIGHT;
    let playing = ctx.state.view.playing;
    let (sign, name) = if playing { (Icon::Pause, "Pause") } else { (Icon::Play, "Play") };
    if icon_button(ui, sign, name, 24.0).clicked() {
        ctx.send(Action::Play(!playing));
    }
    if icon_button(ui, Icon::StepBack, "Step back", 20.0).clicked() {
        ctx.send(Action::Step(-STEP));
    }
    if icon_button(ui, Icon::StepOn, "Step on", 20.0).clicked() {
        ctx.send(Action::Step(STEP));
    }
}
