//! Time: play, pause, step, scrub.

use eframe::egui::{Slider, SliderClamping, Ui};

use crate::action::Action;
use crate::context::ViewContext;
use crate::theme::space;
use crate::widgets::{Icon, choice, icon_button};

/// How fast time can run, over that of the door.
const RATES: [(f32, &str); 3] = [(1.0, "1x"), (0.25, "1/4"), (0.05, "1/20")];

/// Draws the row of a window that has the room for one.
pub fn transport_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(live) = &ctx.state.live else { return };
    let end = live.end().t_s;
    let mut t_s = ctx.state.view.cursor.map_or(0.0, |moment| moment.t_s);
    ui.horizontal(|ui| {
        ui.set_height(space::TRANSPORT);
        buttons(ui, ctx);
        if let Some(rate) = choice(ui, "Speed of time", ctx.state.view.rate, &RATES) {
            ctx.send(Action::SetRate(rate));
        }
        ui.add_space(space::TIGHT);
        ui.spacing_mut().slider_width = (ui.available_width() - space::TIGHT).max(60.0);
        let slider = Slider::new(&mut t_s, 0.0..=end).show_value(false).clamping(SliderClamping::Edits);
        if ui.add(slider).accessible_name("Time").changed() {
            ctx.send(Action::PointAtTime(t_s));
        }
    });
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
        ctx.send(Action::Step(-1));
    }
    if icon_button(ui, Icon::StepOn, "Step on", 20.0).clicked() {
        ctx.send(Action::Step(1));
    }
}
