//! A number of the door: its name, its value to type with any unit, a slider, and the way back to its default.

use eframe::egui::{
    Align, Label, Layout, Response, RichText, Role, Sense, Slider, SliderClamping, Stroke, Ui, WidgetInfo,
};
use tautleaf_physics::Number;
use tautleaf_scenario::UnitSystem;

use crate::action::Action;
use crate::context::ViewContext;
use crate::state::Notice;
use crate::theme::space;
use crate::widgets::{Icon, QuantityField, Typed, icon, icon_button, quantity_field};
use crate::words;

/// Ratio of the ends of a range from which on the slider is logarithmic.
const LOGARITHMIC_FROM: f64 = 40.0;

/// Draws the slider of one number. One that the door works out from others is shown with what it comes to.
pub fn quantity_slider(ui: &mut Ui, ctx: &ViewContext<'_>, number: Number) {
    let given = number.get(&ctx.state.document.scenario().parameters);
    let door = ctx.state.live.as_ref().map(|live| live.door.parameters());
    let value = given.or_else(|| door.and_then(|p| number.get(p)));
    let key = number.key();
    let name = words::name_of(&key);
    let default = number.default_value();
    ui.push_id(&key, |ui| {
        ui.horizontal(|ui| {
            let colour = if given.is_some() { ctx.palette.ink } else { ctx.palette.soft };
            let label = RichText::new(words::name_within(&key)).color(colour);
            let label = ui.add(Label::new(label).sense(Sense::hover()).selectable(false).truncate());
            label.on_hover_ui(|ui| explain(ui, ctx, &number, default));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = space::TIGHT;
                let Some(value) = value else { return unset(ui, ctx, number, &name) };
                reset(ui, ctx, number, given, default, &name);
                value_field(ui, ctx, number, value, &name);
                if !(number.usual.0..=number.usual.1).contains(&value) {
                    let sign = icon(ui, Icon::Close, ctx.palette.close, 12.0);
                    sign.on_hover_text("Outside the usual range, and beyond the end of the slider.");
                }
            });
        });
        if let Some(value) = value {
            slider(ui, ctx, number, value, &name);
        }
    });
    ui.add_space(space::TIGHT);
}

/// A number that this door does without, until it is set: to the middle of what is usual.
fn unset(ui: &mut Ui, ctx: &ViewContext<'_>, number: Number, name: &str) {
    let (low, high) = number.usual;
    let button = ui.button("Set");
    describe(&button, ctx, &number);
    let button = button.on_hover_text(format!("{name} is not set"));
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Set {name}")));
    if button.clicked() {
        ctx.send(Action::Set { number, value: Some((low + high) / 2.0), dragging: false });
    }
    ui.label(RichText::new("not set").small().color(ctx.palette.soft));
}

/// Says what a number means and where its default is from.
fn explain(ui: &mut Ui, ctx: &ViewContext<'_>, number: &Number, default: Option<f64>) {
    let [says, others @ ..] = explained(ctx, number, default);
    ui.label(says);
    for other in others {
        ui.label(RichText::new(other).weak());
    }
}

/// The same in sentences.
fn explained(ctx: &ViewContext<'_>, number: &Number, default: Option<f64>) -> [String; 4] {
    let say = |value| words::value(number.quantity, value, ctx.units());
    let default = default.map_or_else(|| "worked out".to_owned(), say);
    let (low, high) = number.usual;
    [
        words::sentence(number.says),
        format!("Usual {} to {}. Default {default}.", say(low), say(high)),
        format!("Source: {}.", number.source),
        format!("In a door file: {}", number.table_key),
    ]
}

/// Has a screen reader say what the pointer is told, and keeps what the keyboard comes to in view.
fn describe(response: &Response, ctx: &ViewContext<'_>, number: &Number) {
    if response.gained_focus() {
        response.scroll_to_me(Some(Align::Center));
    }
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_description(explained(ctx, number, number.default_value()).join(" "));
    });
}

fn reset(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    number: Number,
    given: Option<f64>,
    default: Option<f64>,
    name: &str,
) {
    if default == given {
        ui.add_space(18.0 + space::TIGHT);
        return;
    }
    if icon_button(ui, Icon::Reset, &format!("Reset {name}"), 18.0).clicked() {
        ctx.send(Action::Set { number, value: None, dragging: false });
    }
}

/// The value: drag it, or click and type, with any unit of its quantity.
fn value_field(ui: &mut Ui, ctx: &ViewContext<'_>, number: Number, value: f64, name: &str) {
    let (low, high) = shown_range(&number, ctx.units());
    let field = QuantityField {
        name,
        quantity: number.quantity,
        value,
        possible: number.possible,
        per_point: (high - low) / 400.0,
    };
    let Typed { response, value, refused } = quantity_field(ui, &field, ctx.units());
    describe(&response, ctx, &number);
    if let Some(problem) = refused {
        let head = format!("{name} was not changed.");
        ctx.send(Action::Say(Notice::wrong(head, vec![problem])));
    } else if value.is_some() {
        ctx.send(Action::Set { number, value, dragging: response.dragged() });
    }
    end_drag(ctx, &response);
}

fn slider(ui: &mut Ui, ctx: &ViewContext<'_>, number: Number, value: f64, name: &str) {
    let (quantity, system) = (number.quantity, ctx.units());
    let mut shown = words::to_shown(quantity, value, system);
    let (low, high) = shown_range(&number, system);
    let response = ui.scope(|ui| {
        ui.spacing_mut().slider_width = ui.available_width() - space::TIGHT;
        ui.spacing_mut().interact_size.y = 16.0;
        let visuals = ui.visuals_mut();
        visuals.selection.bg_fill = ctx.palette.door;
        let widgets = &mut visuals.widgets;
        for widget in [&mut widgets.inactive, &mut widgets.hovered, &mut widgets.active] {
            widget.fg_stroke = Stroke::new(2.0, ctx.palette.door);
        }
        widgets.hovered.bg_fill = ctx.palette.door_wash;
        widgets.active.bg_fill = ctx.palette.door;
        ui.add(
            Slider::new(&mut shown, low..=high)
                .clamping(SliderClamping::Edits)
                .logarithmic(low > 0.0 && high / low > LOGARITHMIC_FROM)
                .show_value(false),
        )
    });
    let response = response.inner.accessible_name(name);
    describe(&response, ctx, &number);
    if response.changed() {
        let value = words::from_shown(quantity, shown, system);
        ctx.send(Action::Set { number, value: Some(value), dragging: response.dragged() });
    }
    end_drag(ctx, &response);
}

fn end_drag(ctx: &ViewContext<'_>, response: &Response) {
    if response.drag_stopped() {
        ctx.send(Action::EndDrag);
    }
}

/// Range of the slider on the screen.
fn shown_range(number: &Number, system: UnitSystem) -> (f64, f64) {
    let (low, high) = number.usual;
    (words::to_shown(number.quantity, low, system), words::to_shown(number.quantity, high, system))
}
