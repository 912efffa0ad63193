//! What lies over the window: which file to open, where to save, the cautions, and what is not saved yet.

use std::path::{Path, PathBuf};

use eframe::egui::text::{CCursor, CCursorRange};
use eframe::egui::text_edit::TextEditState;
use eframe::egui::{Frame, Grid, Id, Key, Label, Modal, Response, RichText, ScrollArea, TextEdit, Ui};
use tautleaf_physics::Quantity;
use tautleaf_scenario::CAUTIONS;

use crate::action::{Action, SHORTCUTS};
use crate::chart_files::Format;
use crate::charts::Kind;
use crate::context::ViewContext;
use crate::example::EXAMPLES;
use crate::panels::{large_popup, limits, tension, trials};
use crate::state::{Popup, Written};
use crate::theme::{size, space, strong_at};
use crate::widgets::quiet_button;
use crate::words;

/// Draws the popup, if there is one.
pub fn popup_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let Some(popup) = &ctx.state.view.popup else { return };
    let frame = Frame::popup(ui.style()).inner_margin(20);
    let modal = Modal::new(Id::unique("popup")).frame(frame).show(ui, |ui| {
        ui.set_width(match popup {
            Popup::Trial(_) => trials::WIDTH,
            Popup::Limits | Popup::Ratings | Popup::Tension => large_popup::WIDTH,
            Popup::Keys => KEYS_WIDTH,
            _ => 470.0,
        });
        match popup {
            Popup::Open => path_ui(ui, ctx, Asked::Open),
            Popup::SaveAs => path_ui(ui, ctx, Asked::Save),
            Popup::SaveChart(kind, format) => path_ui(ui, ctx, Asked::Chart(*kind, *format)),
            Popup::Name => name_ui(ui, ctx),
            Popup::Cautions => cautions_ui(ui, ctx),
            Popup::Replace(path, what) => replace_ui(ui, ctx, path, *what),
            Popup::Unsaved => unsaved_ui(ui, ctx),
            Popup::Recover => recover_ui(ui, ctx),
            Popup::Keys => keys_ui(ui, ctx),
            Popup::Limits | Popup::Ratings => limits::limits_ui(ui, ctx),
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

/// What stands around the list of files.
const AROUND_FILES: f32 = 330.0;

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
    begin_typing(ui, &field, &path);
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
        let room = ui.input(|input| input.content_rect().height()) - AROUND_FILES;
        let files = ScrollArea::vertical().id_salt("files").max_height(room.clamp(90.0, 420.0));
        files.show(ui, |ui| {
            ui.set_width(ui.available_width());
            recent(ui, ctx);
            examples(ui, ctx);
        });
        ui.add_space(space::TIGHT);
        ui.label(RichText::new("A file can also be dropped on the window.").small().weak());
        if ctx.state.document.is_dirty() {
            let text = "The door in the window has changes that are not saved; undo will bring it back.";
            ui.label(RichText::new(text).small().color(ctx.palette.ink));
        }
    }
}

/// The doors that are built in.
fn examples(ui: &mut Ui, ctx: &ViewContext<'_>) {
    ui.add_space(space::ROW);
    ui.label(RichText::new("Examples, each showing one thing").small().weak());
    for (index, example) in EXAMPLES.iter().enumerate() {
        let button = quiet_button(ui, &example.scenario.title, true);
        if button.on_hover_text(&example.scenario.shows).clicked() {
            ctx.send(Action::OpenExample(index));
        }
    }
}

/// What the door is called and what it shows.
fn name_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "Name of the door");
    let id = Id::unique("name of the door");
    let scenario = ctx.state.document.scenario();
    let begin = || (scenario.title.clone(), scenario.shows.clone());
    let mut text: (String, String) = ui.data_mut(|data| data.get_temp_mut_or_insert_with(id, begin).clone());
    let label = ui.label("Name");
    let field = ui.add(TextEdit::singleline(&mut text.0).desired_width(f32::INFINITY)).labelled_by(label.id);
    begin_typing(ui, &field, &text.0);
    let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.add_space(space::TIGHT);
    let label = ui.label("What it shows");
    let shows = TextEdit::multiline(&mut text.1).desired_rows(3).desired_width(f32::INFINITY);
    ui.add(shows).labelled_by(label.id);
    ui.data_mut(|data| data.insert_temp(id, text.clone()));
    ui.add_space(space::ROW);
    ui.horizontal(|ui| {
        let done = ui.button("Use this name").clicked() || entered;
        if done {
            let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            ctx.send(Action::SetName { title: one_line(&text.0), shows: one_line(&text.1) });
        }
        let cancelled = ui.button("Cancel").clicked();
        if cancelled {
            ctx.send(Action::HidePopup);
        }
        if done || cancelled {
            ui.data_mut(|data| data.remove::<(String, String)>(id));
        }
    });
}

/// In a popup that has just come up the field is ready to be typed into, what stands in it chosen to be written over.
fn begin_typing(ui: &Ui, field: &Response, text: &str) {
    let (id, now) = (field.id.with("begun"), ui.cumulative_pass_nr());
    let last = ui.data_mut(|data| std::mem::replace(data.get_temp_mut_or_default::<u64>(id), now));
    // It was there in the pass before.
    if last != 0 && last + 2 >= now {
        return;
    }
    field.request_focus();
    if let Some(mut state) = TextEditState::load(ui, field.id) {
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
        state.cursor.set_char_range(Some(all));
        state.store(ui, field.id);
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
        let folder = path.parent().and_then(Path::file_name).map(|folder| folder.to_string_lossy());
        let named = folder.map_or_else(
            || name.to_string_lossy().into_owned(),
            |folder| format!("{}   in {folder}", name.to_string_lossy()),
        );
        let button = quiet_button(ui, named, true).accessible_name(name.to_string_lossy());
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
        let when = left
            .ago
            .map(|ago| format!(", changed {} ago", words::long_time(ago.as_secs())))
            .unwrap_or_default();
        let mass = words::value(Quantity::Mass, left.scenario.parameters.leaf.mass_kg, left.scenario.units);
        ui.label(RichText::new(format!("{from}, leaf of {mass}{when}")).small().weak());
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

/// Width of the list of keys.
const KEYS_WIDTH: f32 = 760.0;
/// What the window keeps around it.
const AROUND_KEYS: f32 = 170.0;

/// Keys that the toolkit knows.
const OTHER_KEYS: &[(&str, &str)] = &[
    ("Tab, Shift+Tab", "Go to the next control, or back"),
    ("Arrow keys", "Move the slider that is in focus"),
    ("Enter", "Type into the value that is in focus"),
    ("Wheel over a chart", "Look closer; sideways: move along"),
    ("Ctrl + and Ctrl -", "Everything larger, or smaller"),
    ("Escape", "Close what lies over the window"),
];

fn keys_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    head(ui, "Keys");
    let room = ui.input(|input| input.content_rect().height()) - AROUND_KEYS;
    ScrollArea::vertical().max_height(room).show(ui, |ui| {
        let listed = SHORTCUTS.iter().map(|(keys, what)| (ui.format_shortcut(keys), *what));
        let others = OTHER_KEYS.iter().map(|(keys, what)| ((*keys).to_owned(), *what));
        let all: Vec<_> = listed.chain(others).collect();
        ui.horizontal_top(|ui| {
            for (n, half) in all.chunks(all.len().div_ceil(2)).enumerate() {
                let grid = Grid::new(("keys", n)).num_columns(2).min_row_height(16.0).spacing([18.0, 5.0]);
                grid.show(ui, |ui| {
                    for (keys, what) in half {
                        ui.label(RichText::new(keys).strong());
                        ui.label(*what);
                        ui.end_row();
                    }
                });
                ui.add_space(space::PART);
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

/// Another file is there already.
fn replace_ui(ui: &mut Ui, ctx: &ViewContext<'_>, path: &Path, what: Written) {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    head(ui, &format!("Replace {name}?"));
    ui.add(
        Label::new(format!("{} is there already. What it holds now would be lost.", path.display())).wrap(),
    );
    ui.add_space(space::ROW);
    ui.horizontal(|ui| {
        if ui.button("Replace it").clicked() {
            ctx.send(Action::Write(path.to_owned(), what));
        }
        if ui.button("Another name").clicked() {
            ctx.send(Action::Show(match what {
                Written::Door => Popup::SaveAs,
                Written::Chart(kind, format) => Popup::SaveChart(kind, format),
            }));
        }
        if ui.button("Cancel").clicked() {
            ctx.send(Action::HidePopup);
        }
    });
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
