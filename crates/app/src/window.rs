//! The window: applies actions and collects finished work, then draws.

use eframe::egui::{self, CentralPanel, Frame, Margin, Panel, Theme, ViewportCommand};

use crate::action::{self, Action};
use crate::apply;
use crate::context::{Actions, ViewContext};
use crate::document::Document;
use crate::outside::store::Store;
use crate::panels::{
    charts, doorway, figures, foot, messages, popups, sliders, top_bar, transport, verdicts,
};
use crate::settle;
use crate::state::{Popup, State};
use crate::theme::{self, space};

/// Opacity of charts that show an older door.
const STALE: f32 = 0.45;

/// Height of the doorway over that of the middle of the window, and its bounds.
const DOORWAY_PART: f32 = 0.2;
const DOORWAY_HEIGHT: (f32, f32) = (108.0, 260.0);

/// The window on one door.
pub struct Window {
    state: State,
    actions: Actions,
    title: String,
}

impl Window {
    /// A window on a document; gives the context its looks.
    pub fn new(ctx: &egui::Context, document: Document, dark: bool) -> Self {
        theme::install(ctx);
        Self { state: State::new(document, dark), actions: Actions::default(), title: String::new() }
    }

    /// The same, keeping unsaved work in a folder.
    pub fn keeping(mut self, store: Store) -> Self {
        self.state.keep_in(store);
        self
    }

    /// Everything that the window knows.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Does something as if the user had done it.
    pub fn send(&self, action: Action) {
        self.actions.send(action);
    }

    /// Actions that come from outside the panels: keys, dropped files, the window's own close button.
    fn take_input(&self, ctx: &egui::Context) {
        let typing = ctx.egui_wants_keyboard_input() || self.state.view.popup.is_some();
        let focused = ctx.memory(|memory| memory.focused().is_some());
        for action in ctx.input_mut(|input| action::pressed(input, typing, focused)) {
            self.actions.send(action);
        }
        let dropped = ctx.input(|input| input.raw.dropped_files.clone());
        if let Some(path) = dropped.first().map(|file| file.path().to_owned()) {
            self.actions.send(Action::Open(path));
        }
        let closing = ctx.input(|input| input.viewport().close_requested());
        // What was held of a door that is only looked at is nobody's work yet.
        let held = self.state.document.held().is_unsaved() && self.state.document.path().is_some();
        let unsaved = self.state.document.is_dirty() || held;
        if closing && unsaved && !self.state.view.may_close {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.actions.send(Action::Show(Popup::Unsaved));
        }
    }

    fn name_window(&mut self, ctx: &egui::Context) {
        let document = &self.state.document;
        let changed = if document.is_dirty() { " (changed)" } else { "" };
        let title = format!("{}{changed} - Tautleaf", document.scenario().title);
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.take_input(ctx);
        for action in self.actions.take() {
            apply::apply(&mut self.state, action, ctx);
        }
        for report in self.state.jobs.poll(ctx) {
            apply::take_in(&mut self.state, report, ctx);
        }
        settle::settle(&mut self.state, ctx);
        settle::pass_time(&mut self.state, ctx.input(|input| input.stable_dt), ctx);
        let theme = if self.state.view.dark { Theme::Dark } else { Theme::Light };
        if ctx.theme() != theme {
            ctx.set_theme(theme);
        }
        settle::keep(&mut self.state, ctx.input(|input| input.time), ctx);
        self.name_window(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let theme = if self.state.view.dark { Theme::Dark } else { Theme::Light };
        let palette = theme::palette(theme);
        let ctx = ViewContext { state: &self.state, palette: &palette, actions: &self.actions };
        draw(ui, &ctx);
        if !self.actions.is_empty() {
            // Draw again at once with what the actions change: the answer is there in the same frame.
            ui.request_discard("an action changes what is shown");
            ui.request_repaint();
        }
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}

/// A window that ends as it should leaves nothing behind: what is not saved by now is not wanted.
impl Drop for Window {
    fn drop(&mut self) {
        let wanted = self.state.document.is_dirty() && !self.state.view.may_close;
        if let Some(store) = self.state.store.as_ref().filter(|_| !wanted && !std::thread::panicking()) {
            store.forget();
        }
    }
}

fn draw(ui: &mut egui::Ui, ctx: &ViewContext<'_>) {
    let palette = ctx.palette;
    let bar = |fill: egui::Color32, margin: Margin| Frame::new().fill(fill).inner_margin(margin);
    let sides = Margin::symmetric(space::PANEL, 0);
    let top = Panel::top("top bar").exact_size(space::TOP_BAR).frame(bar(palette.raised, sides));
    top.show(ui, |ui| top_bar::top_bar_ui(ui, ctx));
    let foot = Panel::bottom("foot").exact_size(space::FOOT).frame(bar(palette.panel, sides));
    foot.show(ui, |ui| foot::foot_ui(ui, ctx));
    if messages::has_messages(ctx) {
        let strip = Panel::top("messages").frame(bar(palette.page, Margin::symmetric(space::PANEL, 4)));
        strip.show_separator_line(false).show(ui, |ui| messages::messages_ui(ui, ctx));
    }
    let inside = Margin { left: space::PANEL, right: 5, top: 12, bottom: 8 };
    let left = Panel::left("sliders").exact_size(space::SLIDERS).frame(bar(palette.panel, inside));
    left.resizable(false).show(ui, |ui| sliders::sliders_ui(ui, ctx));
    let stale = if ctx.state.refused.is_empty() { 1.0 } else { STALE };
    let right = Panel::right("results").exact_size(space::VERDICTS).resizable(false);
    right.frame(bar(palette.panel, Margin::ZERO)).show(ui, |ui| {
        ui.multiply_opacity(stale);
        let below = Panel::bottom("figures").frame(bar(palette.panel, Margin::same(space::PANEL)));
        below.show(ui, |ui| figures::figures_ui(ui, ctx));
        let inside = bar(palette.panel, inside);
        CentralPanel::default().frame(inside).show(ui, |ui| verdicts::verdicts_ui(ui, ctx));
    });
    let page = bar(palette.page, Margin { left: 12, right: 12, top: 8, bottom: 4 });
    CentralPanel::default().frame(page).show(ui, |ui| {
        ui.multiply_opacity(stale);
        let height = DOORWAY_PART * ui.available_height();
        doorway::doorway_ui(ui, ctx, height.clamp(DOORWAY_HEIGHT.0, DOORWAY_HEIGHT.1));
        if theme::is_roomy(ui) {
            transport::transport_ui(ui, ctx);
        }
        charts::charts_ui(ui, ctx);
    });
    messages::notice_ui(ui, ctx);
    popups::popup_ui(ui, ctx);
}
