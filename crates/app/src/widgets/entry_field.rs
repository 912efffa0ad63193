//! A text that counts once the field is left. What does not count stays in the field, to be mended, with the reason.

use eframe::egui::{Align, Id, Key, Response, TextEdit, Ui};

/// What stands in the field.
#[derive(Clone, Copy, Debug)]
pub struct EntryField<'a> {
    /// What a screen reader calls it.
    pub name: &'a str,
    /// What it means.
    pub says: &'a str,
    /// What counts now, as text.
    pub text: &'a str,
    /// What an empty field says.
    pub hint: &'a str,
    /// Width of the field.
    pub width: f32,
    /// Revision of the document: a text that was refused goes once something else has changed.
    pub revision: u64,
}

/// What became of it.
pub struct Entered<T> {
    /// What was entered, in the frame in which the field was left.
    pub value: Option<T>,
    /// Why what stands in the field does not count.
    pub refused: Option<String>,
}

/// A text that was begun and does not count yet.
#[derive(Clone)]
struct Begun {
    text: String,
    refused: Option<String>,
    revision: u64,
}

/// Draws the field. Enter, Tab and a click elsewhere leave it, Escape lets what was typed go.
pub fn entry_field<T>(
    ui: &mut Ui,
    field: &EntryField<'_>,
    read: impl FnOnce(&str) -> Result<T, String>,
) -> Entered<T> {
    let id = Id::unique(("entry", field.name));
    let focused = ui.memory(|memory| memory.has_focus(id));
    let begun = ui.data(|data| data.get_temp::<Begun>(id));
    let mut begun = begun.filter(|begun| focused || begun.revision == field.revision);
    let mut text = begun.as_ref().map_or_else(|| field.text.to_owned(), |begun| begun.text.clone());
    let edit = TextEdit::singleline(&mut text).id(id).desired_width(field.width).hint_text(field.hint);
    let response = ui.add(edit).accessible_name(field.name);
    if response.changed() {
        begun = Some(Begun { text, refused: None, revision: field.revision });
    }
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape)) {
        begun = None;
    }
    let mut value = None;
    if let Some(left) = begun.take_if(|begun| begun.refused.is_none() && !response.has_focus()) {
        let text = left.text.trim();
        if text != field.text {
            match read(text) {
                Ok(entered) => value = Some(entered),
                Err(problem) => begun = Some(Begun { refused: Some(problem), ..left }),
            }
        }
    }
    let refused = begun.as_ref().and_then(|begun| begun.refused.clone());
    describe(&response, field.says, refused.as_deref());
    ui.data_mut(|data| {
        data.remove::<Begun>(id);
        begun.map(|begun| data.insert_temp(id, begun));
    });
    Entered { value, refused }
}

/// Has a screen reader say what the pointer is told and why a text does not count, and keeps what the keyboard comes to in view.
fn describe(response: &Response, says: &str, refused: Option<&str>) {
    if response.gained_focus() {
        response.scroll_to_me(Some(Align::Center));
    }
    response.clone().on_hover_text(says);
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_description(refused.map_or_else(|| says.to_owned(), |refused| format!("{refused} {says}")));
        if refused.is_some() {
            node.set_invalid(eframe::egui::accesskit::Invalid::True);
        }
    });
}
