//! What lies over the window: which file to open, where to save, the cautions, and what is not saved yet.

use std::path::PathBuf;

use eframe::egui::{Frame, Grid, Id, Key, Modal, RichText, ScrollArea, TextEdit, Ui};
use tautleaf_scenario::CAUTIONS;

use crate::action::{Action, SHORTCUTS};
use crate::chart_files::Format;
use crate::charts::Kind;
use crate::context::ViewContext;
use crate::panels::{limits, tension, trials};
use crate::state::Popup;
use crate::theme::{size, space, strong_at};
use crate::widgets::quiet_button;

/// Draws the popup, if there is one.
pub fn popup_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(popup) = &ctx.state.view.popup else { return };
    let frame = Frame::popup(ui.style()).inner_margin(20);
    let modal = Modal::new(Id::unique("popup")).frame(frame).show(ui, |ui| {
        ui.set_width(match popup {
            Popup::Trial(_) => trials::WIDTH,
            Popup::Limits => limits::WIDTH,
            Popup::Tension => tension::WIDTH,
            _ => 470.0,
        });
        match popup {
            Popup::Open => path_ui(ui, ctx, Asked::Open),
            Popup::SaveAs => path_ui(ui, ctx, Asked::Save),
            Popup::SaveChart(kind, format) => path_ui(ui, ctx, Asked::Chart(*kind, *format)),
            Popup::Cautions => cautions_ui(ui, ctx),
            Popup::Unsaved => unsaved_ui(ui, ctx),
            Popup::Recover => recover_ui(ui, ctx),
            Popup::Keys => keys_ui(ui, ctx),
            Popup::Limits => limits::limits_ui(ui, ctx),
            Popup::Tension => tension::tension_ui(ui, ctx),
            Popup::Trial(trial) => trials::trial_ui(ui, ctx, *trial),
        }
    });
    if modal.should_close() {
        ctx.send(Action::HidePopup);
    }
}

fn head(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_at(size::TITLE)));
    ui.add_space(space::ROW);
}

/// What a path is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Asked {
    Open,
    Save,
    Chart(Kind, Format),
}

impl Asked {
    fn title(self) -> String {
        match self {
            Asked::Open => "Open a door file".to_owned(),
            Asked::Save => "Save the door file".to_owned(),
            Asked::Chart(kind, format) => {
                format!("Save {} as {}", kind.title().to_lowercase(), format.name().0)
            }
        }
    }

    /// What stands in the field at first.
    fn begin(self, ctx: &ViewContext<'_>) -> String {
        match self {
            Asked::Chart(kind, format) => {
                format!("{}.{}", kind.title().to_lowercase().replace(' ', "-"), format.name().1)
            }
            _ => ctx.state.document.path().map_or_else(String::new, |path| path.display().to_string()),
        }
    }

    fn browse(self) -> Action {
        match self {
            Asked::Open => Action::BrowseOpen,
            Asked::Save => Action::BrowseSave,
            Asked::Chart(kind, format) => Action::BrowseChart(kind, format),
        }
    }

    fn done(self, path: PathBuf) -> Action {
        match self {
            Asked::Open => Action::Open(path),
            Asked::Save => Action::SaveAs(path),
            Asked::Chart(kind, format) => Action::SaveChart(kind, format, path),
        }
    }
}

/// A path to type, and the way to the desktop's own dialog.
fn path_ui(ui: &mut Ui, ctx: &ViewContext<'_>, asked: Asked) {
    head(ui, &asked.title());
    let open = asked == Asked::Open;
    let id = Id::unique(("path", asked));
    let begin = || asked.begin(ctx);
    let mut path = ui.data_mut(|data| data.get_temp_mut_or_insert_with(id, begin).clone());
    let label = ui.label("Path");
    let field = ui.add(TextEdit::singleline(&mut path).desired_width(f32::INFINITY).hint_text("door.toml"));
    let field = field.labelled_by(label.id);
    let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.data_mut(|data| data.insert_temp(id, path.clone()));
    ui.add_space(space::ROW);
    ui.horizontal(|ui| {
        let named = !path.trim().is_empty();
        let button = eframe::egui::Button::new(if open { "Open file" } else { "Save file" });
        let pressed = ui.add_enabled(named, button).clicked();
        if named && (pressed || entered) {
            ctx.send(asked.done(PathBuf::from(path.trim())));
            ui.data_mut(|data| data.remove::<String>(id));
        }
        if ui.button("Browse").on_hover_text("The desktop's own dialog, where there is one").clicked() {
            ctx.send(asked.browse());
        }
        if ui.button("Cancel").clicked() {
            ctx.send(Action::HidePopup);
        }
    });
    if open {
        recent(ui, ctx);
        ui.add_space(space::TIGHT);
        ui.label(RichText::new("A file can also be dropped on the window.").small().weak());
        if ctx.state.document.is_dirty() {
            let text = "The door in the window has changes that are not saved; undo will bring it back.";
            ui.label(RichText::new(text).small().color(ctx.palette.ink));
        }
    }
}

/// Files that were opened or saved last.
fn recent(ui: &mut Ui, ctx: &ViewContext<'_>) {
    if ctx.state.recent.is_empty() {
        return;
    }
    ui.add_space(space::ROW);
    ui.label(RichText::new("Recent").small().weak());
    for path in &ctx.state.recent {
        let name = path.file_name().map_or_else(|| path.as_os_str().into(), ToOwned::to_owned);
        let button = quiet_button(ui, name.to_string_lossy(), true);
        if button.on_hover_text(path.display().to_string()).clicked() {
            ctx.send(Action::Open(path.clone()));
        }
    }
}

fn recover_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "Work that was not saved is still here");
    ui.label("A window closed before it was saved.");
    ui.add_space(space::ROW);
    for (index, left) in ctx.state.left_behind.iter().enumerate() {
        let title = if left.scenario.title.is_empty() { "Untitled door" } else { &left.scenario.title };
        ui.label(RichText::new(title).strong());
        let from =
            left.path.as_ref().map_or_else(|| "never saved".to_owned(), |path| path.display().to_string());
        ui.label(RichText::new(from).small().weak());
        ui.horizontal(|ui| {
            let named =
                |what: &str| if index == 0 { what.to_owned() } else { format!("{what} ({})", index + 1) };
            if ui.button(named("Take it back")).clicked() {
                ctx.send(Action::Recover(index));
            }
            if ui.button(named("Throw it away")).clicked() {
                ctx.send(Action::ThrowAway(index));
            }
        });
        ui.add_space(space::ROW);
    }
    if ui.button("Later").clicked() {
        ctx.send(Action::HidePopup);
    }
}

/// What the window keeps around the list of keys.
const AROUND_KEYS: f32 = 170.0;

/// Keys that the toolkit knows.
const OTHER_KEYS: &[(&str, &str)] = &[
    ("Tab, Shift+Tab", "Go to the next control, or back"),
    ("Arrow keys", "Move the slider that is in focus"),
    ("Enter", "Type into the value that is in focus"),
    ("Ctrl + and Ctrl -", "Everything larger, or smaller"),
    ("Escape", "Close what lies over the window"),
];

fn keys_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "Keys");
    let room = ui.input(|input| input.content_rect().height()) - AROUND_KEYS;
    ScrollArea::vertical().max_height(room).show(ui, |ui| {
        let grid = Grid::new("keys").num_columns(2).min_row_height(16.0).spacing([24.0, 5.0]);
        grid.show(ui, |ui| {
            let listed = SHORTCUTS.iter().map(|(keys, what)| (ui.format_shortcut(keys), *what));
            let others = OTHER_KEYS.iter().map(|(keys, what)| ((*keys).to_owned(), *what));
            for (keys, what) in listed.chain(others).collect::<Vec<_>>() {
                ui.label(RichText::new(keys).strong());
                ui.label(what);
                ui.end_row();
            }
        });
    });
    ui.add_space(space::ROW);
    if ui.button("Close").clicked() {
        ctx.send(Action::HidePopup);
    }
}

fn cautions_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "What these numbers do not say");
    ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for caution in CAUTIONS {
            ui.label(*caution);
            ui.add_space(space::TIGHT);
        }
    });
    ui.add_space(space::ROW);
    if ui.button("Understood").clicked() {
        ctx.send(Action::HidePopup);
    }
}

fn unsaved_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "Some changes are not saved");
    ui.label("If the window closes now, they are lost.");
    ui.add_space(space::ROW);
    ui.horizontal(|ui| {
        if ui.button("Save").clicked() {
            ctx.send(Action::HidePopup);
            ctx.send(Action::Save);
        }
        if ui.button("Close without saving").clicked() {
            ctx.send(Action::CloseAnyway);
        }
        if ui.button("Cancel").clicked() {
            ctx.send(Action::HidePopup);
        }
    });
}
