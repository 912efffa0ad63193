//! Presets: published numbers, each with its source and how it is known.

use eframe::egui::{Checkbox, Label, RichText, Ui};
use tautleaf_physics::{Judge, Limit, Rule};
use tautleaf_report::words::asks;
use tautleaf_scenario::{Preset, known_in_words, limit_key, presets};

use super::rows::head;
use crate::action::Action;
use crate::context::ViewContext;
use crate::limit_edits::LimitEdit;
use crate::theme::space;
use crate::widgets::link;
use crate::words;

/// Draws them.
pub(super) fn published_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "Published, to start from");
    let chosen = &ctx.state.document.scenario().limits.presets;
    for preset in presets() {
        let mut on = chosen.contains(&preset.name);
        let tick = ui.add(Checkbox::new(&mut on, &preset.title));
        let tick = tick.on_hover_text(format!("{}\nIn a door file: {}", preset.standing(), preset.name));
        if tick.changed() {
            ctx.send(Action::EditLimits(LimitEdit::Preset(preset.name.clone(), on)));
        }
        ui.indent(&preset.name, |ui| {
            let what_for = format!("For {}.", preset.what_for);
            ui.add(Label::new(RichText::new(what_for).small().color(ctx.palette.soft)).wrap());
            if on {
                preset.limits.iter().for_each(|limit| one(ui, ctx, preset, limit));
            }
        });
        ui.add_space(space::TIGHT);
    }
}

/// One limit of a preset that is chosen.
fn one(ui: &mut Ui, ctx: &ViewContext<'_>, preset: &Preset, limit: &Limit) {
    let overridden = ctx.state.document.scenario().limits.own.iter().any(|own| own.key == limit.key);
    let name = words::limit_label(limit);
    let asks = match (&limit.rule, overridden) {
        (_, true) => "yours instead".to_owned(),
        (Rule::OnSite(_), _) => "looked at on site".to_owned(),
        (_, false) => asks(limit),
    };
    let advises = if limit.judge == Judge::Advisory { ", advises" } else { "" };
    ui.horizontal_wrapped(|ui| {
        let text = RichText::new(format!("{name}: {asks}{advises}")).small().color(ctx.palette.ink);
        ui.label(text).on_hover_ui(|ui| {
            if let Rule::OnSite(what) = &limit.rule {
                ui.label(what);
            }
            ui.label(format!("Source: {}", limit.source));
            ui.label(format!("Known: {}", known_in_words(limit.known)));
            ui.label(format!("Preset: {}", preset.title));
        });
        let Some(mine) = as_ones_own(ctx, limit).filter(|_| !overridden) else { return };
        let change = link(ui, "change", ctx.palette);
        let change = change.accessible_name(format!("Change the limit on {}", name.to_lowercase()));
        if change.on_hover_text("Makes it a limit of your own, to be changed beside").clicked() {
            ctx.send(Action::EditLimits(mine));
        }
    });
}

/// The same as a limit of the user, where a door file can hold it.
fn as_ones_own(ctx: &ViewContext<'_>, limit: &Limit) -> Option<LimitEdit> {
    let key = limit_key(&limit.key)?.key.to_owned();
    let allowed = || {
        let live = ctx.state.live.as_ref()?;
        live.verdicts.iter().find(|verdict| verdict.limit == *limit)?.allowed
    };
    match &limit.rule {
        Rule::AtMost(value) | Rule::AtLeast(value) => {
            Some(LimitEdit::Value { key, value: *value, dragging: false })
        }
        Rule::AtMostByGap(bands) => Some(LimitEdit::Bands { key, bands: bands.clone(), dragging: false }),
        Rule::OnSite(_) => None,
        _ => Some(LimitEdit::Value { key, value: allowed()?, dragging: false }),
    }
}
