//! The bar across the top: which door this is, trials, files, undo, units, colours.

use eframe::egui::{Align, CursorIcon, Label, Layout, RichText, Role, Sense, Ui, WidgetInfo};
use tautleaf_scenario::UnitSystem;

use crate::action::Action;
use crate::context::ViewContext;
use crate::panels::trials::trials_menu;
use crate::state::Popup;
use crate::theme::{size, strong_at};
use crate::widgets::{Icon, choice, icon, icon_button, quiet_button, quietly};

/// Draws the bar.
pub fn top_bar_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.horizontal_centered(|ui| {
        icon(ui, Icon::Mark, ctx.palette.door, 30.0);
        ui.add_space(2.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            looks(ui, ctx);
            ui.separator();
            history(ui, ctx);
            ui.separator();
            files(ui, ctx);
            ui.separator();
            quietly(ui, |ui| trials_menu(ui, ctx));
            limits(ui, ctx);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| title(ui, ctx));
        });
    });
}

fn limits(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let button = quiet_button(ui, "Limits", true);
    if button.on_hover_text("What this door is judged by\nF7").clicked() {
        ctx.send(Action::Show(Popup::Limits));
    }
}

fn title(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let document = &ctx.state.document;
    let title = &document.scenario().title;
    let title = if title.is_empty() { "Untitled door" } else { title };
    let file = document.path().and_then(|path| path.file_name());
    let file = file.map_or_else(|| "example".into(), |name| name.to_string_lossy());
    let saved = if document.is_dirty() { "changed" } else { "saved" };
    let saved = if document.path().is_none() && !document.is_dirty() { "unchanged" } else { saved };
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.add_space(6.0);
        let heading = RichText::new(title).font(strong_at(size::TITLE)).color(ctx.palette.ink);
        let heading = ui.add(Label::new(heading).truncate().selectable(false).sense(Sense::click()));
        heading.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("{title}: give it another name"))
        });
        let shows = &document.scenario().shows;
        let hint = if shows.is_empty() {
            "Click to name it".to_owned()
        } else {
            format!("{shows}\nClick to rename it")
        };
        let heading = heading.on_hover_text(hint).on_hover_cursor(CursorIcon::PointingHand);
        if heading.clicked() {
            ctx.send(Action::Show(Popup::Name));
        }
        let second = RichText::new(format!("{file}, {saved}")).small().color(ctx.palette.soft);
        let second = ui.add(Label::new(second).truncate());
        if let Some(path) = document.path() {
            second.on_hover_text(path.display().to_string());
        }
    });
}

fn looks(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let dark = ctx.state.view.dark;
    let name = if dark { "Light colours" } else { "Dark colours" };
    if icon_button(ui, Icon::Contrast, name, 28.0).clicked() {
        ctx.send(Action::SetDark(!dark));
    }
    // Laid out from the right, so the last comes first.
    let names = [(UnitSystem::Us, "US"), (UnitSystem::Si, "SI")];
    if let Some(units) = choice(ui, "Units", ctx.units(), &names) {
        ctx.send(Action::SetUnits(units));
    }
}

fn history(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let document = &ctx.state.document;
    let (undo, redo) = (document.undoable(), document.redoable());
    let hint = |what: &str, step: Option<&str>, keys: &str| match step {
        Some(step) => format!("{what}: {step}\n{keys}"),
        None => format!("{what}\n{keys}"),
    };
    let button = quiet_button(ui, "Redo", redo.is_some());
    if button.on_hover_text(hint("Redo", redo, "Ctrl+Shift+Z")).clicked() {
        ctx.send(Action::Redo);
    }
    let button = quiet_button(ui, "Undo", undo.is_some());
    if button.on_hover_text(hint("Undo", undo, "Ctrl+Z")).clicked() {
        ctx.send(Action::Undo);
    }
}

fn files(ui: &mut Ui, ctx: &ViewContext<'_>) {
    if quiet_button(ui, "Save as", true).on_hover_text("Ctrl+Shift+S").clicked() {
        ctx.send(Action::Show(Popup::SaveAs));
    }
    let document = &ctx.state.document;
    let unsaved = document.is_dirty() || document.path().is_none() || ctx.state.document.held().is_unsaved();
    if quiet_button(ui, "Save", unsaved).on_hover_text("Ctrl+S").clicked() {
        ctx.send(Action::Save);
    }
    if quiet_button(ui, "Open", true).on_hover_text("Ctrl+O, or drop a file on the window").clicked() {
        ctx.send(Action::Show(Popup::Open));
    }
}
