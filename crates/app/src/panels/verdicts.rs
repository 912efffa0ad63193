//! One line a limit: what became of it, how much of it is used, and the setting that brings it back.

use std::sync::Arc;

use eframe::egui::{
    self, Button, FontId, Galley, Id, Rect, Response, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo,
    pos2, vec2,
};
use tautleaf_physics::{Figure, Judge, Outcome, Quantity, Verdict};
use tautleaf_scenario::{known_in_words, limit_key, unmeasured};
use tautleaf_trials::{Remedy, Standing};

use crate::action::Action;
use crate::context::ViewContext;
use crate::live::Live;
use crate::remarks;
use crate::remedies::Search;
use crate::state::Popup;
use crate::theme::{plain_at, size, space, strong_at};
use crate::trials::Trial;
use crate::widgets::{Icon, belt_caution, icon, icon_at, link, margin_bar, outcome_icon};
use crate::words;

const ROW_HEIGHT: f32 = 42.0;
const BAR_WIDTH: f32 = 92.0;
/// Room for how many limits a remedy spoils.
const SPOILS: f32 = 64.0;
/// Before and behind the text of a row.
const LEFT: f32 = 26.0;
const RIGHT: f32 = 6.0;

/// Draws the verdicts.
pub fn verdicts_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(live) = &ctx.state.live else { return };
    summary(ui, ctx, live);
    ui.add_space(space::TIGHT);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        if live.verdicts.is_empty() {
            no_limits(ui, ctx);
        }
        run_remarks(ui, ctx, live);
        let sections =
            [(Judge::Limit, "Limits"), (Judge::Advisory, "Advisory: worth knowing, fails nothing")];
        for (judge, name) in sections {
            let mine = |(_, verdict): &(usize, &Verdict)| {
                verdict.limit.judge == judge && verdict.outcome != Outcome::NotJudged
            };
            let rows: Vec<_> = live.verdicts.iter().enumerate().filter(mine).collect();
            if rows.is_empty() {
                continue;
            }
            ui.label(RichText::new(name).small().color(ctx.palette.soft));
            for (index, verdict) in rows {
                row(ui, ctx, verdict);
                if verdict.outcome == Outcome::Over {
                    remedy(ui, ctx, index, verdict);
                }
            }
            ui.add_space(space::ROW);
        }
        not_measured(ui, ctx);
        not_judged(ui, ctx, live);
        remarks(ui, ctx, live);
    });
}

/// How it stands, in one line.
fn summary(ui: &mut Ui, ctx: &ViewContext<'_>, live: &Live) {
    let many = |n: usize, what: &str| format!("{n} {what}");
    let standing = Standing::of(&live.door, &live.run, &live.verdicts);
    let text = match standing {
        Standing::Unfinished(_) => "Does not open and close".to_owned(),
        Standing::Over(1) => "Over one limit".to_owned(),
        Standing::Over(n) => format!("Over {n} limits"),
        Standing::NotJudged(0) => "Not judged".to_owned(),
        Standing::NotJudged(1) => "One limit not tested".to_owned(),
        Standing::NotJudged(n) => many(n, "limits not tested"),
        Standing::NoLimits => "No limits set".to_owned(),
        Standing::OverAdvisory(n) => many(n, "over an advisory value"),
        Standing::Unsound(1) => "Within limits, one serious remark".to_owned(),
        Standing::Unsound(n) => format!("Within limits, {n} serious remarks"),
        Standing::Close(n) => many(n, "close to a limit"),
        Standing::Within => "Within all limits".to_owned(),
    };
    let outcome = standing.outcome();
    let (sign, colour) = outcome_icon(outcome, ctx.palette);
    ui.horizontal(|ui| {
        icon(ui, sign, colour, 18.0);
        ui.label(RichText::new(text).font(strong_at(size::TITLE)).color(ctx.palette.ink));
        if !ctx.state.refused.is_empty() {
            ui.label(RichText::new("out of date").small().color(ctx.palette.close));
        }
    });
}

fn no_limits(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let text = "No limits are set, so nothing is judged. Start from published ones, or set your own.";
    ui.add(egui::Label::new(text).wrap());
    ui.add_space(space::TIGHT);
    if ui.button("Set limits").clicked() {
        ctx.send(Action::Show(Popup::Limits));
    }
    ui.add_space(space::ROW);
}

/// What the run shows beside its figures. Click: points at the moment.
fn run_remarks(ui: &mut Ui, ctx: &ViewContext<'_>, live: &Live) {
    for (remark, text) in remarks::remarks(live, ctx.units()) {
        ui.horizontal_top(|ui| {
            ui.add_space(5.0);
            let colour = if remark.serious { ctx.palette.close } else { ctx.palette.soft };
            icon(ui, Icon::Close, colour, 14.0);
            let text = RichText::new(text).small().color(ctx.palette.ink);
            let response = ui.add(egui::Label::new(text).wrap().sense(Sense::click()));
            let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
            if response.clicked() && remark.at.is_some() {
                ctx.send(Action::PointAt(remark.at));
            }
        });
        ui.add_space(space::TIGHT);
    }
}

/// One verdict. Click: points at its worst moment.
fn row(ui: &mut Ui, ctx: &ViewContext<'_>, verdict: &Verdict) {
    let palette = ctx.palette;
    let (sign, colour) = outcome_icon(verdict.outcome, palette);
    let word = words::judged_briefly(verdict);
    let word = ui.painter().layout_no_wrap(word.trim_end().to_owned(), strong_at(size::SMALL), colour);
    let room = ui.available_width() - LEFT - RIGHT - 8.0;
    let (name, beside) = name_of(ui, ctx, verdict, room, room - word.size().x);
    // A name that is too long to stand beside how it was judged stands above it.
    let above = if beside { 0.0 } else { name.size().y };
    let height = vec2(ui.available_width(), ROW_HEIGHT + above);
    let (rect, response) = ui.allocate_exact_size(height, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, in_words(ctx, verdict)));
    let pointed = verdict.at.is_some() && ctx.state.view.cursor == verdict.at;
    if response.hovered() || response.has_focus() || pointed {
        let ground = if pointed { palette.door_wash } else { palette.hover };
        ui.painter().rect_filled(rect, space::CORNER, ground);
    }
    let sign_at = Rect::from_min_size(rect.min + vec2(5.0, 6.0), vec2(14.0, 14.0));
    icon_at(ui.painter(), sign_at, sign, colour, palette.panel);
    let (left, right) = (rect.left() + LEFT, rect.right() - RIGHT);
    let (first, second) = (rect.top() + 13.0 + above, rect.top() + 30.0 + above);
    let centred = |galley: Arc<Galley>, x: f32, y: f32| {
        ui.painter().galley(pos2(x, y - galley.size().y / 2.0), galley, palette.ink);
    };
    centred(name, left, rect.top() + 13.0);
    let word_left = right - word.size().x;
    centred(word, word_left, first);
    let bar = Rect::from_min_max(pos2(right - BAR_WIDTH, second - 5.0), pos2(right, second + 5.0));
    let of = words::of_allowed(verdict, ctx.units());
    let of = one_line(ui, of, plain_at(size::SMALL), palette.soft, bar.left() - 8.0 - left);
    centred(of, left, second);
    margin_bar(ui.painter(), bar, verdict, palette);

    let response = response.on_hover_ui(|ui| standing(ui, ctx, verdict));
    if response.clicked() && verdict.at.is_some() {
        ctx.send(Action::PointAt(verdict.at));
    }
}

/// The name of what is judged, as large as the room beside how it was judged allows; and whether it fits there.
fn name_of(ui: &Ui, ctx: &ViewContext<'_>, verdict: &Verdict, room: f32, beside: f32) -> (Arc<Galley>, bool) {
    let name = words::limit_label(&verdict.limit);
    let laid = |size, width| one_line(ui, name.clone(), plain_at(size), ctx.palette.ink, width);
    let fits = [size::BODY, size::SMALL].map(|size| laid(size, f32::INFINITY)).into_iter();
    match fits.into_iter().find(|galley| galley.size().x <= beside) {
        Some(galley) => (galley, true),
        None => (laid(size::BODY, room), false),
    }
}

/// One line of text, cut off with dots if it is too long.
fn one_line(ui: &Ui, text: String, font: FontId, colour: egui::Color32, width: f32) -> Arc<Galley> {
    let mut job = egui::text::LayoutJob::simple_singleline(text, font, colour);
    job.wrap = egui::text::TextWrapping::truncate_at_width(width);
    ui.fonts_mut(|fonts| fonts.layout_job(job))
}

/// The whole verdict for a screen reader: `Impact force 312 N of 400 N at 300 mm: within, 22 % to spare`.
fn in_words(ctx: &ViewContext<'_>, verdict: &Verdict) -> String {
    let name = words::limit_label(&verdict.limit);
    format!("{name} {}: {}", words::of_allowed(verdict, ctx.units()), words::judged(verdict))
}

/// Where a limit comes from and how well it is known.
fn standing(ui: &mut Ui, ctx: &ViewContext<'_>, verdict: &Verdict) {
    let limit = &verdict.limit;
    ui.label(RichText::new(in_words(ctx, verdict)).strong());
    if let Some(figure) = limit.figure {
        ui.label(RichText::new(figure.says()).weak());
    }
    ui.label(format!("Source: {}", limit.source));
    ui.label(format!("Known: {}", known_in_words(limit.known)));
    if let Some(preset) = &limit.preset {
        ui.label(format!("Preset: {preset}"));
    }
    if let Some(at) = verdict.at {
        let time = words::value(Quantity::Time, at.t_s, ctx.units());
        let open = words::value(Quantity::Length, at.clear_opening_m, ctx.units());
        ui.label(format!("Worst at {time}, {open} open"));
    }
    if let Some(why) = &verdict.why {
        ui.label(why);
    }
}

/// The setting that brings a limit back: one click to try it, one to undo.
fn remedy(ui: &mut Ui, ctx: &ViewContext<'_>, index: usize, verdict: &Verdict) {
    let revision = ctx.state.document.revision();
    let width = ui.available_width();
    ui.horizontal_top(|ui| {
        ui.set_min_height(24.0);
        ui.set_max_width(width);
        ui.add_space(18.0);
        let quiet = |text: &str| RichText::new(text).small().color(ctx.palette.soft);
        match ctx.state.remedies.of(index, revision) {
            Search::Going => ui.label(quiet("looking for the setting that brings it back")),
            Search::Nothing if hangs_on_drive(verdict) => other_drives(ui, ctx),
            Search::Nothing => ui.label(quiet("no single setting brings it back")),
            Search::Found(remedy) => found(ui, ctx, remedy, verdict),
        }
    });
    // Once is enough, beside the first of them.
    let asks_for_belt = |index: usize| matches!(ctx.state.remedies.of(index, revision), Search::Found(remedy) if turns_belt(remedy));
    if asks_for_belt(index) && !(0..index).any(asks_for_belt) {
        ui.horizontal_top(|ui| {
            ui.add_space(18.0);
            belt_caution(ui, ctx.palette);
        });
    }
    ui.add_space(2.0);
}

/// Whether another drive could bring it back.
fn hangs_on_drive(verdict: &Verdict) -> bool {
    use Figure::*;
    let of_drive = [
        OpeningTime,
        OpeningTime80,
        ClosingTime,
        StallForceGreatest,
        PeakCurrent,
        RmsCurrent,
        WindingTemperature,
        WindingRise,
        InsulationMargin,
        HousingTemperature,
        LeastBusVoltage,
    ];
    verdict.limit.figure.is_some_and(|figure| of_drive.contains(&figure))
}

fn other_drives(ui: &mut Ui, ctx: &ViewContext<'_>) -> Response {
    ui.spacing_mut().item_spacing.x = space::TIGHT;
    ui.label(RichText::new("no single setting brings it back;").small().color(ctx.palette.soft));
    let choose = link(ui, "try other drives", ctx.palette);
    if choose.clicked() {
        ctx.send(Action::Show(Popup::Trial(Trial::Choose)));
    }
    choose
}

/// Whether someone has to go to the belt for it.
fn turns_belt(remedy: &Remedy) -> bool {
    remedy.changes.iter().any(|change| change.key.starts_with("belt."))
}

/// What a limit is called, by its key.
fn limit_name(key: &str) -> String {
    limit_key(key).map_or_else(|| words::name_of(key), |entry| entry.figure.label().to_owned())
}

fn found(ui: &mut Ui, ctx: &ViewContext<'_>, remedy: &Remedy, verdict: &Verdict) -> Response {
    let say = |key, value| words::value(words::quantity_of(key), value, ctx.units());
    let turned: Vec<String> = remedy
        .changes
        .iter()
        .map(|change| format!("{} {}", words::name_of(change.key).to_lowercase(), say(change.key, change.to)))
        .collect();
    let text = format!("Try {}", turned.join(", "));
    let spoken = format!("{text} for {}", words::limit_label(&verdict.limit).to_lowercase());
    let button = Button::new(RichText::new(&text).font(plain_at(size::SMALL)).color(ctx.palette.door));
    let spoils = spoils(remedy);
    // What it spoils stands beside it; the button leaves the room for that.
    let most = ui.available_width() - if spoils.is_some() { SPOILS } else { 0.0 };
    let add = |ui: &mut Ui| {
        ui.set_max_width(most);
        ui.add(button.wrap())
    };
    let response = ui.vertical(add).inner.accessible_name(spoken);
    let response = response.on_hover_ui(|ui| {
        for change in &remedy.changes {
            let (from, to) = (say(change.key, change.from), say(change.key, change.to));
            ui.label(format!("{} from {from} to {to}", words::name_of(change.key)));
        }
        ui.label("Found by running the door again.");
        for says in spoils.iter().flat_map(|(_, says)| says) {
            ui.label(says);
        }
    });
    if response.clicked() {
        ctx.send(Action::Turn(remedy.changes.clone()));
    }
    if let Some((briefly, says)) = &spoils {
        let label = ui.label(RichText::new(briefly).small().color(ctx.palette.close));
        label.on_hover_text(says.join("\n"));
    }
    response
}

/// What a remedy does to other limits, briefly and one by one; `None`: nothing that matters.
fn spoils(remedy: &Remedy) -> Option<(String, Vec<String>)> {
    let briefly = match (remedy.breaks.len(), remedy.worsens.len()) {
        (0, 0) => return None,
        (0, worse) => format!("worsens {worse}"),
        (breaks, _) => format!("breaks {breaks}"),
    };
    let breaks = remedy.breaks.iter().map(|key| format!("Then over: {}", limit_name(key)));
    let worsens = remedy.worsens.iter().map(|key| format!("Then further over: {}", limit_name(key)));
    Some((briefly, breaks.chain(worsens).collect()))
}

/// What nobody measured although the verdicts stand and fall with it.
fn not_measured(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let unmeasured = unmeasured(ctx.state.document.scenario());
    if unmeasured.is_empty() {
        return;
    }
    ui.label(RichText::new("Not measured").small().color(ctx.palette.soft));
    for says in unmeasured {
        ui.horizontal_top(|ui| {
            ui.add_space(5.0);
            icon(ui, Icon::NotJudged, ctx.palette.soft, 14.0);
            ui.add(egui::Label::new(RichText::new(says).small().color(ctx.palette.ink)).wrap());
        });
    }
    ui.add_space(space::ROW);
}

/// Limits that this run says nothing about, folded.
fn not_judged(ui: &mut Ui, ctx: &ViewContext<'_>, live: &Live) {
    let count = live.count(Outcome::NotJudged);
    if count == 0 {
        return;
    }
    let head = RichText::new(format!("Not judged ({count})")).small().color(ctx.palette.soft);
    egui::CollapsingHeader::new(head).id_salt("not judged").show(ui, |ui| {
        for verdict in live.verdicts.iter().filter(|verdict| verdict.outcome == Outcome::NotJudged) {
            let why = verdict.why.as_deref().unwrap_or("this run does not give it");
            let text = format!("{}: {why}", words::limit_label(&verdict.limit));
            let label = egui::Label::new(RichText::new(text).small()).wrap();
            ui.add(label).on_hover_ui(|ui| standing(ui, ctx, verdict));
        }
    });
}

/// What is unusual about the door, folded.
fn remarks(ui: &mut Ui, ctx: &ViewContext<'_>, live: &Live) {
    if live.warnings.is_empty() {
        return;
    }
    let head = format!("Worth a word about this door ({})", live.warnings.len());
    let head = RichText::new(head).small().color(ctx.palette.close);
    let part = egui::CollapsingHeader::new(head).id_salt(Id::unique("remarks"));
    part.show(ui, |ui| {
        for warning in &live.warnings {
            ui.add(egui::Label::new(RichText::new(words::problem(warning)).small()).wrap());
        }
    });
}
