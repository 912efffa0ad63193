//! Sliders, by part of the door. Every number of the table of fields is in exactly one part.

use eframe::egui::{CollapsingHeader, RichText, ScrollArea, Ui};
use tautleaf_physics::parameters::{Arrangement, SupplyKind};
use tautleaf_physics::{Number, numbers};

use crate::action::Action;
use crate::context::ViewContext;
use crate::extras::Choice;
use crate::panels::extras::{add_ui, extras_ui, one_of};
use crate::panels::fold::fold;
use crate::panels::trials::choose_button;
use crate::state::Popup;
use crate::theme::space;
use crate::widgets::{belt_caution, belt_work_line, link, quantity_slider, tension_bar};

/// A part of the door.
struct Part {
    name: &'static str,
    /// Whether it is unfolded at first.
    unfolded: bool,
    /// Sections of a door file that it shows.
    sections: &'static [&'static str],
    /// Keys that come first; the others of its sections are a fold further down. Empty: all of them.
    first: &'static [&'static str],
}

const fn part(
    name: &'static str,
    unfolded: bool,
    sections: &'static [&'static str],
    first: &'static [&'static str],
) -> Part {
    Part { name, unfolded, sections, first }
}

/// The parts, in the order in which a door is set up.
const PARTS: &[Part] = &[
    part(
        "Leaf",
        true,
        &["leaf", "edge", "rear"],
        &["leaf.mass", "leaf.second_mass", "leaf.stroke", "edge.stiffness", "edge.travel"],
    ),
    part("Belt", true, &["belt"], &["belt.tension", "belt.specific_stiffness", "belt.width"]),
    part("Closing", true, &["closing"], &[]),
    part("Opening", true, &["opening"], &[]),
    part(
        "Rollers and rail",
        false,
        &["rollers", "rail", "seal", "guide"],
        &["rollers.resistance", "rollers.breakaway", "rail.slope", "seal.brush"],
    ),
    part(
        "Drive",
        false,
        &["gear", "motor", "pulleys", "supply"],
        &["gear.ratio", "gear.efficiency", "supply.voltage", "motor.winding_temperature"],
    ),
    part(
        "Controller",
        false,
        &["controller", "obstruction"],
        &["controller.hold_open", "obstruction.detect", "obstruction.react"],
    ),
    part("Stops", false, &["stoppers"], &[]),
    part("What happens on the way", false, &["timeline"], &[]),
    part("Belt at the workbench", false, &["workbench"], &[]),
    part("Use and surroundings", false, &["duty", "tester", "weather"], &[]),
];

const ARRANGEMENTS: &[(Arrangement, &str)] = &[
    (Arrangement::Away, "Away from drive"),
    (Arrangement::Towards, "Towards"),
    (Arrangement::BiParting, "Pair"),
];
const SUPPLIES: &[(SupplyKind, &str)] = &[(SupplyKind::Mains, "Mains"), (SupplyKind::Battery, "Battery")];

fn section(key: &str) -> &str {
    key.split('.').next().unwrap_or_default()
}

/// Draws the sliders.
pub fn sliders_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let all = numbers(&ctx.state.document.scenario().parameters);
        for part in PARTS {
            part_ui(ui, ctx, part, &all);
        }
        extras_ui(ui, ctx);
        add_ui(ui, ctx);
    });
}

fn part_ui(ui: &mut Ui, ctx: &ViewContext<'_>, part: &Part, all: &[Number]) {
    let leaves = ctx.state.live.as_ref().map_or(1, |live| live.door.edges());
    let mine = |number: &Number| {
        let of_a_pair = number.table_key == "leaf.second_mass";
        part.sections.contains(&section(number.table_key)) && (leaves > 1 || !of_a_pair)
    };
    let is_first = |number: &Number| part.first.is_empty() || part.first.contains(&number.table_key);
    let (first, more): (Vec<Number>, Vec<Number>) =
        all.iter().copied().filter(mine).partition(|number| is_first(number));
    fold(ui, ctx, part.name, part.name, part.unfolded, |ui| {
        if part.name == "Drive" {
            choose_button(ui, ctx);
        }
        choices(ui, ctx, part);
        for key in part.first {
            let Some(&number) = first.iter().find(|number| number.table_key == *key) else { continue };
            quantity_slider(ui, ctx, number);
            if *key == "belt.tension" {
                tension_bar(ui, ctx, number.usual);
                belt_work_line(ui, ctx);
                if link(ui, "How leaf and speeds move these bounds", ctx.palette).clicked() {
                    ctx.send(Action::Show(Popup::Tension));
                }
                belt_caution(ui, ctx.palette);
            }
        }
        for &number in first.iter().filter(|_| part.first.is_empty()) {
            quantity_slider(ui, ctx, number);
        }
        if !more.is_empty() {
            let head =
                RichText::new(format!("More about {}", part.name.to_lowercase())).color(ctx.palette.soft);
            CollapsingHeader::new(head).id_salt((part.name, "more")).show_unindented(ui, |ui| {
                for number in more {
                    quantity_slider(ui, ctx, number);
                }
            });
        }
    });
}

/// What a part has to choose from, above its sliders.
fn choices(ui: &mut Ui, ctx: &ViewContext<'_>, part: &Part) {
    let p = &ctx.state.document.scenario().parameters;
    let chosen = match part.name {
        "Leaf" => one_of(ui, "The leaf opens", p.arrangement, ARRANGEMENTS).map(Choice::Arrangement),
        "Drive" => one_of(ui, "Supply", p.supply.kind, SUPPLIES).map(Choice::Supply),
        _ => return,
    };
    if let Some(choice) = chosen {
        ctx.send(Action::Choose(choice));
    }
    ui.add_space(space::TIGHT);
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::FIELDS;

    use super::*;
    use crate::words;

    #[test]
    fn every_key_that_comes_first_is_in_the_table_and_in_its_part() {
        for part in PARTS {
            for key in part.first {
                let field = FIELDS.iter().find(|field| field.key == *key);
                assert!(field.is_some_and(|field| part.sections.contains(&section(field.key))), "{key}");
            }
        }
    }

    #[test]
    fn every_number_of_the_table_is_in_exactly_one_part() {
        for field in FIELDS {
            let parts = PARTS.iter().filter(|part| part.sections.contains(&section(field.key)));
            assert_eq!(parts.count(), 1, "{}", field.key);
        }
    }

    #[test]
    fn no_two_numbers_have_the_same_name() {
        let mut named: Vec<String> = FIELDS.iter().map(|field| words::name_of(field.key)).collect();
        let count = named.len();
        named.sort();
        named.dedup();
        assert_eq!(named.len(), count);
    }
}
