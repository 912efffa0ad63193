//! Drives for the door: which do, what they have left, why the others do not, and one to take.

use eframe::egui::{Button, Grid, Label, RichText, Role, ScrollArea, Ui, WidgetInfo};
use tautleaf_physics::Quantity;
use tautleaf_report::reserve_words::percent;
use tautleaf_report::{bound_label, lacking_of, rank_in_words, reason_in_words, restriction_in_words};
use tautleaf_scenario::{LEAF_WORK, catalogue};
use tautleaf_trials::Reserve;
use tautleaf_trials::choose::{GearKind, Rank, Restriction, Tried};

use super::rows::{begin_row, out_of_date, reserve_row, room};
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

const GEAR_KINDS: &[(Option<GearKind>, &str)] = &[
    (None, "any gear"),
    (Some(GearKind::Worm), "worm"),
    (Some(GearKind::Planetary), "planetary"),
    (Some(GearKind::Direct), "direct"),
];
const POWERS: &[(Option<f64>, &str)] =
    &[(None, "any power"), (Some(60.0), "to 60 W"), (Some(100.0), "to 100 W"), (Some(150.0), "to 150 W")];
const LOCKING: &[(Option<bool>, &str)] =
    &[(None, "locking or not"), (Some(false), "not self-locking"), (Some(true), "self-locking")];

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
    asked_ui(ui, ctx);
    if let Some(found) = &ctx.state.trials.drives.found {
        found_ui(ui, ctx, found);
    }
}

/// What is to be left of everything, and which drives are tried.
fn asked_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    reserve_row(ui, ctx);
    let only = &ctx.state.trials.only;
    let restrict = |only: Restriction| ctx.send(Action::AskDrives(only));
    ui.horizontal(|ui| {
        let volts = catalogue().voltages_v();
        let shown: Vec<String> =
            volts.iter().map(|volts| words::value(Quantity::Voltage, *volts, ctx.units())).collect();
        let named = volts.iter().zip(&shown).map(|(volts, shown)| (Some(*volts), shown.as_str()));
        let voltages: Vec<(Option<f64>, &str)> = [(None, "any voltage")].into_iter().chain(named).collect();
        if let Some(chosen) = choice(ui, "Voltage", only.voltages_v.first().copied(), &voltages) {
            restrict(Restriction { voltages_v: chosen.into_iter().collect(), ..only.clone() });
        }
        ui.add_space(space::ROW);
        if let Some(chosen) = choice(ui, "Gear", only.gears.first().copied(), GEAR_KINDS) {
            restrict(Restriction { gears: chosen.into_iter().collect(), ..only.clone() });
        }
    });
    ui.horizontal(|ui| {
        if let Some(most_power_w) = choice(ui, "Rated power", only.most_power_w, POWERS) {
            restrict(Restriction { most_power_w, ..only.clone() });
        }
        ui.add_space(space::ROW);
        if let Some(self_locking) = choice(ui, "Self-locking", only.self_locking, LOCKING) {
            restrict(Restriction { self_locking, ..only.clone() });
        }
    });
    ui.add_space(space::ROW);
}

fn found_ui(ui: &mut Ui, ctx: &ViewContext<'_>, found: &Chosen) {
    let current = found.made.is_current(&ctx.state.document);
    let best = found.choice.best_of_each();
    let choosing = &found.choice.choosing;
    let doing = best.iter().filter(|(tried, _)| tried.does()).count();
    let with_reserve = best.iter().filter(|(tried, _)| tried.has_reserve()).count();
    let ranked = rank_in_words(choosing.rank);
    let mut head = match (doing, choosing.reserve) {
        (0, _) => format!(
            "None of {} drives meets the requirements: what each lacks first is said below.",
            best.len()
        ),
        (_, Reserve::NONE) => {
            format!("{doing} of {} drives meet the requirements, ranked by {ranked}.", best.len())
        }
        (_, reserve) => format!(
            "{doing} of {} drives meet the requirements, ranked by {ranked}; {with_reserve} of them with {} of everything left, the others after them.",
            best.len(),
            percent(reserve.share())
        ),
    };
    if !choosing.only.is_none() {
        head.push_str(&format!(
            " Tried were drives of {}.",
            restriction_in_words(&choosing.only, ctx.units())
        ));
    }
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

/// Why drives do not meet the requirements, each reason once, with the drives that it holds for.
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
    let decisive = tried.lacking().first().copied().or_else(|| tried.tightest());
    let least = decisive.map_or_else(String::new, |check| {
        format!("{} left, {}", percent(check.margin.max(0.0)), bound_label(&check.bound, &found.limits))
    });
    let lacks = !tried.has_reserve();
    let colour = if lacks { ctx.palette.close } else { ctx.palette.ink };
    let hint = lacking_of(tried, &found.limits, found.choice.choosing.reserve);
    let label =
        ui.label(RichText::new(if lacks { format!("only {least}") } else { least }).small().color(colour));
    if let Some(hint) = hint {
        label.on_hover_text(format!("Everything is kept, but some {hint}"));
    }
    let energy = tried
        .energy_j
        .map_or_else(String::new, |joules| words::value(Quantity::Energy, joules.round(), ctx.units()));
    ui.label(RichText::new(format!("{energy} a cycle")).small());
    ui.end_row();
}
