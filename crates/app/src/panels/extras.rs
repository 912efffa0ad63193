//! Sliders of the parts that a door may have or not, with the buttons that add them and take them away.

use eframe::egui::{RichText, Ui};
use tautleaf_physics::numbers;
use tautleaf_physics::parameters::{FaultKind, Hanger};

use crate::action::Action;
use crate::context::ViewContext;
use crate::extras::{Choice, Extra};
use crate::panels::fold::fold;
use crate::theme::space;
use crate::widgets::{choice, quantity_slider, quiet_button, quietly};

const FAULT_KINDS: &[(FaultKind, &str)] = &[
    (FaultKind::Sag, "Sag"),
    (FaultKind::Step, "Joint step"),
    (FaultKind::Bump, "Bump"),
    (FaultKind::Flat, "Flat roller"),
];
const HANGERS: &[(Hanger, &str)] = &[(Hanger::Leading, "Leading"), (Hanger::Trailing, "Trailing")];

/// Draws those that the door has.
pub fn extras_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let p = &ctx.state.document.scenario().parameters;
    for extra in Extra::of(p) {
        let head = extra.head(p);
        fold(ui, ctx, &head, extra.name(), false, |ui| one(ui, ctx, extra, &head));
    }
}

fn one(ui: &mut Ui, ctx: &ViewContext<'_>, extra: Extra, head: &str) {
    let p = &ctx.state.document.scenario().parameters;
    let fault = match extra {
        Extra::Fault(index) => p.faults.get(index).map(|fault| (index, fault)),
        _ => None,
    };
    if let Some((index, fault)) = fault {
        if let Some(kind) = one_of(ui, "Kind of fault", fault.kind, FAULT_KINDS) {
            ctx.send(Action::Choose(Choice::FaultKind(index, kind)));
        }
        if fault.kind == FaultKind::Flat
            && let Some(hanger) = one_of(ui, "Roller with the flat", fault.hanger, HANGERS)
        {
            ctx.send(Action::Choose(Choice::FaultHanger(index, hanger)));
        }
        ui.add_space(space::TIGHT);
    }
    let listed = match extra {
        Extra::Force(index) | Extra::Fault(index) => Some(index),
        _ => None,
    };
    for number in numbers(p) {
        let section = number.table_key.split('.').next().unwrap_or_default();
        // only a sag has a length of its own
        let idle = number.table_key == "fault.length" && fault.is_some_and(|(_, f)| f.kind != FaultKind::Sag);
        if section == extra.section() && number.index() == listed && !idle {
            quantity_slider(ui, ctx, number);
        }
    }
    if quiet_button(ui, format!("Take away {}", head.to_lowercase()), true).clicked() {
        ctx.send(Action::Remove(extra));
    }
}

/// A choice across the width of the sliders.
pub(super) fn one_of<T: PartialEq + Copy>(ui: &mut Ui, what: &str, now: T, names: &[(T, &str)]) -> Option<T> {
    ui.horizontal_wrapped(|ui| choice(ui, what, now, names)).inner
}

/// Draws the buttons that add one.
pub fn add_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.label(RichText::new("Add to the door").color(ctx.palette.soft));
    let buttons = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        for extra in Extra::addable(&ctx.state.document.scenario().parameters) {
            if ui.button(format!("+ {}", extra.name())).clicked() {
                ctx.send(Action::Add(extra));
            }
        }
    };
    quietly(ui, |ui| ui.horizontal_wrapped(buttons));
}
