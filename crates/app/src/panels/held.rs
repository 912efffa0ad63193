//! Hold one, change one: which run the present one is compared with.

use eframe::egui::{ComboBox, Key, PopupCloseBehavior, RichText, Role, TextEdit, Ui, WidgetInfo};
use tautleaf_physics::numbers;

use crate::action::Action;
use crate::context::ViewContext;
use crate::held::Held;
use crate::theme::space;
use crate::widgets::{Icon, icon_button};
use crate::words;

/// Draws the row above the figures.
pub fn held_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let held = ctx.state.document.held();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        let hint = "Keeps this run: its curves stay behind the new ones, and the figures show the difference";
        if ui.button("Hold this run").on_hover_text(hint).clicked() {
            ctx.send(Action::Hold);
        }
        if held.all().is_empty() {
            let text = RichText::new("then change one thing").small().color(ctx.palette.soft);
            ui.label(text);
            return;
        }
        let name = held.compared().map_or("compare with", |held| held.name.as_str());
        // It stays open while another name is typed in it.
        let list = ComboBox::from_id_salt("held").close_behavior(PopupCloseBehavior::CloseOnClickOutside);
        let list = list.width(96.0).truncate().selected_text(name).show_ui(ui, |ui| {
            let choice = |ui: &mut Ui, index: Option<usize>, name: &str| {
                if ui.selectable_label(held.index() == index, name).clicked() {
                    ctx.send(Action::Compare(index));
                    ui.close();
                }
            };
            choice(ui, None, "compare with none");
            for (index, held) in held.all().iter().enumerate() {
                choice(ui, Some(index), &held.name);
            }
            if let Some(index) = held.index() {
                rename(ui, ctx, index, name);
            }
        });
        let says = format!("Compared with {name}");
        list.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &says));
        list.response.on_hover_ui(|ui| {
            ui.label(says.as_str());
            if let Some(held) = held.compared() {
                changes(ui, ctx, held);
            }
        });
        let Some(index) = held.index() else { return };
        if icon_button(ui, Icon::Reset, &format!("Back to {name}"), 18.0).clicked() {
            ctx.send(Action::TakeHeld(index));
        }
        if icon_button(ui, Icon::Clear, &format!("Let go of {name}"), 18.0).clicked() {
            ctx.send(Action::Release(index));
        }
    });
    ui.add_space(space::TIGHT);
}

/// Which settings differ, and by what.
fn changes(ui: &mut Ui, ctx: &ViewContext<'_>, held: &Held) {
    let now = &ctx.state.document.scenario().parameters;
    let then = &held.scenario.parameters;
    let mut all = numbers(now);
    all.extend(numbers(then).into_iter().filter(|number| !all.contains(number)).collect::<Vec<_>>());
    let mut any = false;
    for number in all.iter().filter(|number| number.get(now) != number.get(then)) {
        let say = |value: Option<f64>| {
            value.map_or_else(
                || "worked out".to_owned(),
                |value| words::value(number.quantity, value, ctx.units()),
            )
        };
        let (before, after) = (say(number.get(then)), say(number.get(now)));
        ui.label(format!("{}: {before} -> {after}", words::name_of(&number.key())));
        any = true;
    }
    if !any {
        ui.label("No number differs.");
    }
}

/// Another name, taken when it is entered.
fn rename(ui: &mut Ui, ctx: &ViewContext<'_>, index: usize, name: &str) {
    ui.separator();
    let label = ui.label(RichText::new("Name").small().color(ctx.palette.soft));
    let id = ui.scope_id().with(eframe::egui::IdSalt::new(("name of held run", index)));
    let mut text = ui.data_mut(|data| data.get_temp_mut_or_insert_with(id, || name.to_owned()).clone());
    let field = ui.add(TextEdit::singleline(&mut text).desired_width(120.0)).labelled_by(label.id);
    ui.data_mut(|data| data.insert_temp(id, text.clone()));
    let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if entered && !text.trim().is_empty() {
        ctx.send(Action::RenameHeld(index, text.trim().to_owned()));
        ui.close();
    }
}
