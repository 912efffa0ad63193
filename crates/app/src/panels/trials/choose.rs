//! Drives for the door: which do, what they have left, why the others do not, and one to take.

use eframe::egui::{Button, Grid, Label, RichText, Role, ScrollArea, Ui, WidgetInfo};
use tautleaf_report::{bound_label, rank_in_words, reason_in_words};
use tautleaf_scenario::{LEAF_WORK, catalogue};
use tautleaf_trials::choose::{Rank, Tried};

use super::{begin_row, out_of_date, room};
use crate::action::Action;
use crate::context::ViewContext;
use crate::state::Popup;
use crate::theme::space;
use crate::trials::Trial;
use crate::trials::choosing::Chosen;
use crate::widgets::{belt_caution, choice};
use crate::words;

const RANKS: &[(Rank, &str)] = &[
    (Rank::Smallest, "Smallest"),
    (Rank::Margin, "Most to spare"),
    (Rank::Energy, "Least energy"),
    (Rank::Cool, "Coolest"),
];

/// The way in, among the sliders of the drive.
pub fn choose_button(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let hint = "Tries every drive and belt of the catalogue on this door";
    if ui.button("Choose a drive").on_hover_text(hint).clicked() {
        ctx.send(Action::Show(Popup::Trial(Trial::Choose)));
    }
    ui.add_space(space::TIGHT);
}

/// Draws it.
pub(super) fn choose_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    belt_caution(ui, ctx.palette);
    ui.label(RichText::new(LEAF_WORK).small().color(ctx.palette.soft));
    ui.add_space(space::ROW);
    begin_row(ui, ctx, Trial::Choose, "Try every drive", |ui| {
        if let Some(rank) = choice(ui, "Ranked by", ctx.state.trials.rank, RANKS) {
            ctx.send(Action::RankDrives(rank));
        }
    });
    if let Some(found) = &ctx.state.trials.drives.found {
        found_ui(ui, ctx, found);
    }
}

fn found_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Chosen) {
    let current = found.made.is_current(&ctx.state.document);
    let best = found.choice.best_of_each();
    let doing = best.iter().filter(|(tried, _)| tried.does()).count();
    let mut head = match doing {
        0 => format!("None of {} drives does: what each lacks first is said below.", best.len()),
        _ => format!("{doing} of {} drives do, ranked by {}.", best.len(), rank_in_words(found.choice.rank)),
    };
    if found.choice.stopped {
        head.push_str(" Stopped before all had been tried.");
    }
    ui.label(head);
    if !current {
        out_of_date(ui, ctx);
    }
    ui.add_space(space::TIGHT);
    ScrollArea::vertical().max_height(room(ui)).auto_shrink([false, true]).show(ui, |ui| {
        Grid::new("drives that do").num_columns(5).spacing([16.0, 5.0]).striped(true).show(ui, |ui| {
            let heads = ["", "drive", "belt", "least that is left", "energy"];
            for head in heads.iter().take(if doing > 0 { heads.len() } else { 0 }) {
                ui.label(RichText::new(*head).small().color(ctx.palette.soft));
            }
            ui.end_row();
            for (tried, belts) in best.iter().filter(|(tried, _)| tried.does()) {
                row(ui, ctx, found, (tried, *belts), current);
            }
        });
        ui.add_space(space::TIGHT);
        for (why, drives) in reasons(ctx, found, &best) {
            let text = match drives.len() {
                1 => format!("Not {}: {why}.", drives[0]),
                n => format!("Not these {n}: {why}."),
            };
            ui.add(Label::new(RichText::new(text).small().color(ctx.palette.ink)).wrap());
            if drives.len() > 1 {
                ui.add(Label::new(RichText::new(drives.join("; ")).small().color(ctx.palette.soft)).wrap());
                ui.add_space(space::TIGHT);
            }
        }
    });
}

/// Why drives do not do, each reason once, with the drives that it holds for.
fn reasons(
    ctx: &ViewContext<'_>,
    found: &Chosen,
    best: &[(&Tried, usize)],
) -> Vec<(String, Vec<&'static str>)> {
    let mut reasons: Vec<(String, Vec<&'static str>)> = Vec::new();
    for (tried, _) in best.iter().filter(|(tried, _)| !tried.does()) {
        let Some(check) = tried.reason() else { continue };
        let why = reason_in_words(check, &found.limits, ctx.units());
        let drive = catalogue().drives[tried.drive].name.as_str();
        match reasons.iter_mut().find(|(other, _)| *other == why) {
            Some((_, drives)) => drives.push(drive),
            None => reasons.push((why, vec![drive])),
        }
    }
    reasons
}

/// One drive that does.
fn row(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Chosen, (tried, belts): (&Tried, usize), current: bool) {
    let (drive, belt) = (&catalogue().drives[tried.drive].name, &catalogue().belts[tried.belt].name);
    let named = format!("Take {drive}");
    let taken = current && found.taken == Some((tried.drive, tried.belt));
    let button = ui.add_enabled(current && !taken, Button::new(if taken { "Taken" } else { "Take" }).small());
    button.widget_info(|| WidgetInfo::labeled(Role::Button, current && !taken, &named));
    if button.on_hover_text("Puts it into the door, with its belt and the settings found for it; undo brings the old one back").clicked() {
        let index = found.choice.tried.iter().position(|other| (other.drive, other.belt) == (tried.drive, tried.belt));
        index.into_iter().for_each(|index| ctx.send(Action::TakeDrive(index)));
    }
    ui.label(RichText::new(drive.as_str()).strong());
    let others = if belts > 1 { format!("{belt}, or {} others", belts - 1) } else { belt.clone() };
    ui.label(RichText::new(others).small());
    let tightest = tried.tightest().map_or_else(String::new, |check| {
        format!("{:.0} % left, {}", 100.0 * check.margin, bound_label(&check.bound, &found.limits))
    });
    ui.label(RichText::new(tightest).small());
    let energy = tried.energy_j.map_or_else(String::new, |joules| {
        words::value(tautleaf_physics::Quantity::Energy, joules.round(), ctx.units())
    });
    ui.label(RichText::new(format!("{energy} a cycle")).small());
    ui.end_row();
}
