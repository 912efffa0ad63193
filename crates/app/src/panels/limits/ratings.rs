//! What drive and belt are called and what they bear, each rating with what became of it.

use eframe::egui::{Align, Label, Layout, RichText, Ui, vec2};
use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Field, Figure, Quantity, RATING_FIELDS, Ratings};
use tautleaf_scenario::{INSULATION_CLASSES, check_name};

use super::rows::{NAME, reason};
use crate::action::Action;
use crate::context::ViewContext;
use crate::rating_edits::{RatingEdit, spoken};
use crate::theme::space;
use crate::widgets::{EntryField, choice, entry_field, icon, outcome_icon, read_within};
use crate::words;

/// What ratings are.
const SAYS: &str =
    "What drive and belt bear, from their data sheets; judged like limits. Not rated where empty.";
/// Width of a number, and of a name.
const NUMBER: f32 = 104.0;
const TEXT: f32 = 250.0;
/// Key of the insulation class in a door file.
const INSULATION: &str = "ratings.insulation";

/// Draws them: those of the drive, then those of the belt.
pub(super) fn ratings_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.add(Label::new(RichText::new(SAYS).small().color(ctx.palette.soft)).wrap());
    ui.add_space(space::TIGHT);
    let ratings = &ctx.state.document.scenario().ratings;
    name(ui, ctx, "drive", &ratings.drive, RatingEdit::Drive);
    let of_belt = |field: &&Field<Ratings>| figure(field.key).is_some_and(Ratings::is_of_belt);
    RATING_FIELDS.iter().filter(|field| !of_belt(field)).for_each(|field| number(ui, ctx, field, ratings));
    insulation(ui, ctx, ratings.insulation);
    ui.add_space(space::ROW);
    name(ui, ctx, "belt", &ratings.belt, RatingEdit::Belt);
    RATING_FIELDS.iter().filter(of_belt).for_each(|field| number(ui, ctx, field, ratings));
}

fn figure(key: &str) -> Option<Figure> {
    Ratings::of_key(key).map(|(figure, _)| figure)
}

/// A line that begins with a name.
fn row(ui: &mut Ui, ctx: &ViewContext<'_>, name: &str, says: &str, add: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let at = Layout::left_to_right(Align::Center);
        ui.allocate_ui_with_layout(vec2(NAME, ui.spacing().interact_size.y), at, |ui| {
            ui.set_min_width(NAME);
            let name = RichText::new(name).color(ctx.palette.ink);
            ui.add(Label::new(name).truncate()).on_hover_text(says);
        });
        add(ui);
    });
}

/// The name of the drive, or of the belt.
fn name(ui: &mut Ui, ctx: &ViewContext<'_>, what: &str, now: &str, edit: fn(String) -> RatingEdit) {
    let says = format!("Name of the {what}, as a catalogue or you call it.\nIn a door file: ratings.{what}");
    let spoken = format!("Name of the {what}");
    let mut refused = None;
    row(ui, ctx, &spoken, &says, |ui| {
        let field = field(ctx, &spoken, &says, now, "not named", TEXT);
        let read = |text: &str| match check_name(text) {
            Err(would_do) if !text.is_empty() => {
                Err(format!("{} characters do not count; {would_do}", text.chars().count()))
            }
            _ => Ok(text.to_owned()),
        };
        let entered = entry_field(ui, &field, read);
        if let Some(name) = entered.value {
            ctx.send(Action::EditRatings(edit(name)));
        }
        refused = entered.refused;
    });
    why_not(ui, ctx, refused, now, "not named");
}

/// One rating: its value, to type with any unit, and what became of it.
fn number(ui: &mut Ui, ctx: &ViewContext<'_>, rating: &'static Field<Ratings>, ratings: &Ratings) {
    let quantity = rating.quantity;
    let say = |value| words::value(quantity, value, ctx.units());
    let now = (rating.get)(ratings).map_or_else(String::new, say);
    let (low, high) = rating.usual;
    let mut says = words::sentence(rating.says);
    says += &format!(" Usual {} to {}. Source: {}.", say(low), say(high), rating.source);
    says += &format!("\nIn a door file: {}", rating.key);
    let mut refused = None;
    row(ui, ctx, &words::name_within(rating.key), &says, |ui| {
        let spoken = spoken(rating);
        let field = field(ctx, &spoken, &says, &now, "not rated", NUMBER);
        let read = |text: &str| match text.is_empty() {
            true => Ok(None),
            false => read_within(quantity, text, rating.possible, ctx.units()).map(Some),
        };
        let entered = entry_field(ui, &field, read);
        if let Some(value) = entered.value {
            ctx.send(Action::EditRatings(RatingEdit::Number(rating.key, value)));
        }
        refused = entered.refused;
        became(ui, ctx, rating.key, quantity);
    });
    why_not(ui, ctx, refused, &now, "not rated");
}

fn field<'a>(
    ctx: &ViewContext<'_>,
    name: &'a str,
    says: &'a str,
    text: &'a str,
    hint: &'a str,
    width: f32,
) -> EntryField<'a> {
    EntryField { name, says, text, hint, width, revision: ctx.state.document.revision() }
}

/// Why what stands in a field does not count, and what counts instead.
fn why_not(ui: &mut Ui, ctx: &ViewContext<'_>, refused: Option<String>, now: &str, without: &str) {
    let Some(problem) = refused else { return };
    let still = if now.is_empty() { format!("still {without}") } else { format!("{now} still counts") };
    reason(ui, ctx, &format!("{problem}; {still}"));
}

/// What became of the rating with this key; what this door does, where it is not rated.
fn became(ui: &mut Ui, ctx: &ViewContext<'_>, key: &str, quantity: Quantity) {
    let Some(live) = &ctx.state.live else { return };
    let quiet = |text: String| RichText::new(text).small().color(ctx.palette.soft);
    if let Some(verdict) = live.verdicts.iter().find(|verdict| verdict.limit.key == key) {
        let (sign, colour) = outcome_icon(verdict.outcome, ctx.palette);
        icon(ui, sign, colour, 14.0);
        ui.label(quiet(words::judged_briefly(verdict)));
    } else if let Some(value) = figure(key).and_then(|figure| live.run.figures.get(figure)) {
        ui.label(quiet(format!("this door: {}", words::value(quantity, value, ctx.units()))));
    }
}

/// The insulation class of the winding, one of a few.
fn insulation(ui: &mut Ui, ctx: &ViewContext<'_>, now: Option<InsulationClass>) {
    let bears =
        |class: InsulationClass| words::value(Quantity::Temperature, class.temperature_c(), ctx.units());
    let each: Vec<String> =
        INSULATION_CLASSES.iter().map(|(word, class)| format!("{word} {}", bears(*class))).collect();
    let says = format!(
        "Insulation class of the winding (IEC 60085) by the temperature that it bears: {}. motor.insulation follows where \
         it is left out.\nIn a door file: {INSULATION}",
        each.join(", ")
    );
    row(ui, ctx, "Insulation class", &says, |ui| {
        let classes = INSULATION_CLASSES.iter().map(|&(word, class)| (Some(class), word));
        let names: Vec<_> = std::iter::once((None, "not rated")).chain(classes).collect();
        if let Some(class) = choice(ui, "Rating: insulation class", now, &names) {
            ctx.send(Action::EditRatings(RatingEdit::Insulation(class)));
        }
        became(ui, ctx, INSULATION, Quantity::Temperature);
    });
}
