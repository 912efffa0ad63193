//! Sliders, by part of the door.

use eframe::egui::{CollapsingHeader, RichText, ScrollArea, Ui};
use tautleaf_physics::field;

use crate::context::ViewContext;
use crate::theme::{size, strong_at};
use crate::widgets::{belt_caution, quantity_slider};

/// Parts of the door: name, whether it is unfolded at first, keys of its numbers.
const PARTS: &[(&str, bool, &[&str])] = &[
    ("Leaf", true, &["leaf.mass", "leaf.second_mass", "leaf.stroke", "edge.stiffness"]),
    (
        "Closing",
        true,
        &[
            "closing.speed",
            "closing.acceleration",
            "closing.braking",
            "closing.creep_speed",
            "closing.creep_distance",
            "closing.current_limit",
        ],
    ),
    ("Belt", true, &["belt.tension", "belt.specific_stiffness", "belt.width"]),
    ("Rollers and rail", true, &["rollers.resistance", "rollers.breakaway", "rail.slope", "seal.brush"]),
    (
        "Opening",
        true,
        &[
            "opening.speed",
            "opening.acceleration",
            "opening.braking",
            "opening.creep_speed",
            "opening.creep_distance",
            "opening.current_limit",
        ],
    ),
    ("Drive", false, &["gear.ratio", "gear.efficiency", "supply.voltage", "motor.winding_temperature"]),
    ("Controller", false, &["controller.hold_open", "obstruction.detect", "obstruction.react"]),
];

/// Draws the sliders.
pub fn sliders_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for (name, unfolded, keys) in PARTS {
            let head = RichText::new(*name).font(strong_at(size::HEAD)).color(ctx.palette.ink);
            let part = CollapsingHeader::new(head).id_salt(name).default_open(*unfolded);
            part.show_unindented(ui, |ui| {
                ui.add_space(2.0);
                for field in keys.iter().filter_map(|key| field(key)) {
                    quantity_slider(ui, ctx, field);
                    if field.key == "belt.tension" {
                        belt_caution(ui, ctx.palette);
                    }
                }
            });
            ui.add_space(6.0);
        }
    });
}
