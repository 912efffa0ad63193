//! A part of the door under a head that folds it away.

use eframe::egui::{Align, CollapsingHeader, Id, RichText, Ui};

use crate::context::ViewContext;
use crate::theme::{size, strong_at};

/// A part under its head. One that was asked for elsewhere unfolds and comes into view.
///
/// `called`: by what it is asked for; several forces are all asked for as "Force".
pub(super) fn fold(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    name: &str,
    called: &str,
    unfolded: bool,
    add: impl FnOnce(&mut Ui),
) {
    let id = Id::unique(("part asked for", name));
    let handled = ui.data(|data| data.get_temp::<u64>(id)).unwrap_or(0);
    let asked = ctx.state.view.part.filter(|(part, count)| *part == called && *count > handled);
    let head = RichText::new(name).font(strong_at(size::HEAD)).color(ctx.palette.ink);
    let header = CollapsingHeader::new(head).id_salt(name).default_open(unfolded);
    let response = header.open(asked.map(|_| true)).show_unindented(ui, |ui| {
        ui.add_space(2.0);
        add(ui);
    });
    if let Some((_, count)) = asked {
        response.header_response.scroll_to_me(Some(Align::TOP));
        ui.data_mut(|data| data.insert_temp(id, count));
    }
    ui.add_space(6.0);
}
