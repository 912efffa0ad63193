//! Drives for the door: which do, what they have left, why the others do not, and one to take.

use eframe::egui::{Grid, Label, ProgressBar, RichText, ScrollArea, Ui};
use tautleaf_report::{bound_label, rank_in_words, reason_in_words};
use tautleaf_scenario::{LEAF_WORK, NOT_PROOF, catalogue};
use tautleaf_trials::choose::{Rank, Tried};

use crate::action::Action;
use crate::choosing::Found;
use crate::context::ViewContext;
use crate::state::Popup;
use crate::theme::{size, space, strong_at};
use crate::widgets::{belt_caution, choice};
use crate::words;

/// Width of the popup.
pub const WIDTH: f32 = 760.0;
/// What the window keeps beside the list, and the least height of the list.
const BESIDE: f32 = 330.0;
const LEAST: f32 = 140.0;

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
        ctx.send(Action::Show(Popup::Drives));
    }
    ui.add_space(space::TIGHT);
}

/// Draws the popup.
pub fn choose_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.label(RichText::new("Choose a drive").font(strong_at(size::TITLE)));
    let what = "Each drive of the catalogue with each belt, as fast, as often and within the limits that this door asks for. All of \
                them are invented and generic.";
    ui.label(RichText::new(what).small().color(ctx.palette.soft));
    ui.add_space(space::ROW);
    belt_caution(ui, ctx.palette);
    ui.label(RichText::new(LEAF_WORK).small().color(ctx.palette.soft));
    ui.add_space(space::ROW);
    search_ui(ui, ctx);
    ui.add_space(space::ROW);
    if let Some(found) = &ctx.state.choosing.found {
        found_ui(ui, ctx, found);
    }
    ui.add_space(space::ROW);
    ui.label(RichText::new(NOT_PROOF).small().color(ctx.palette.soft));
    if ui.button("Close").clicked() {
        ctx.send(Action::HidePopup);
    }
}

/// The button that begins it, or how far it is and the one that stops it.
fn search_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let choosing = &ctx.state.choosing;
    ui.horizontal(|ui| match choosing.progress() {
        Some((done, all)) => {
            let part = done as f32 / all.max(1) as f32;
            let bar = ProgressBar::new(part).desired_width(320.0).text(format!("{done} of {all} drives"));
            ui.add(bar);
            if ui.button("Stop").clicked() {
                ctx.send(Action::StopFinding);
            }
        }
        None => {
            let possible = ctx.state.refused.is_empty();
            if ui.add_enabled(possible, eframe::egui::Button::new("Try every drive")).clicked() {
                ctx.send(Action::FindDrives);
            }
            if let Some(rank) = choice(ui, "Ranked by", choosing.rank, RANKS) {
                ctx.send(Action::RankDrives(rank));
            }
        }
    });
}

fn found_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Found) {
    let current = found.revision == ctx.state.document.revision();
    let best = found.choice.best_of_each();
    let doing = best.iter().filter(|(tried, _)| tried.does()).count();
    let mut head =
        format!("{doing} of {} drives do, ranked by {}.", best.len(), rank_in_words(found.choice.rank));
    if found.choice.stopped {
        head.push_str(" Stopped before all had been tried.");
    }
    if !current {
        head.push_str(" The door has changed since: try again before taking one.");
    }
    ui.label(head);
    ui.add_space(space::TIGHT);
    let list = (ui.input(|input| input.content_rect().height()) - BESIDE).max(LEAST);
    ScrollArea::vertical().max_height(list).auto_shrink([false, true]).show(ui, |ui| {
        Grid::new("drives that do").num_columns(5).spacing([16.0, 5.0]).striped(true).show(ui, |ui| {
            for (tried, belts) in best.iter().filter(|(tried, _)| tried.does()) {
                row(ui, ctx, found, (tried, *belts), current);
            }
        });
        for (tried, _) in best.iter().filter(|(tried, _)| !tried.does()) {
            let Some(check) = tried.reason() else { continue };
            let why = reason_in_words(check, &found.limits, ctx.units());
            let text = format!("Not {}: {why}", catalogue().drives[tried.drive].name);
            ui.add(Label::new(RichText::new(text).small().color(ctx.palette.soft)).wrap());
        }
    });
}

/// One drive that does.
fn row(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Found, (tried, belts): (&Tried, usize), current: bool) {
    let (drive, belt) = (&catalogue().drives[tried.drive].name, &catalogue().belts[tried.belt].name);
    let named = format!("Take {drive}");
    let button = ui.add_enabled(current, eframe::egui::Button::new("Take").small());
    button.widget_info(|| eframe::egui::WidgetInfo::labeled(eframe::egui::Role::Button, current, &named));
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
