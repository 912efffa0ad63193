//! How far something long is, as a bar with the time left, and the button that stops it.

use std::time::Duration;

use eframe::egui::{ProgressBar, Role, Ui, WidgetInfo};

use crate::progress::Progress;

/// Width of the bar.
const WIDE: f32 = 380.0;
/// The time left is told anew at least so often.
const OFTEN: Duration = Duration::from_millis(500);

/// Draws bar and button; whether that was pressed.
pub fn progress_row(ui: &mut Ui, progress: &Progress) -> bool {
    let now_s = ui.input(|input| input.time);
    let said = progress.in_words(now_s);
    let bar = ui.add(ProgressBar::new(progress.share() as f32).desired_width(WIDE).text(&said));
    bar.widget_info(|| WidgetInfo::labeled(Role::ProgressIndicator, true, &said));
    ui.request_repaint_after(OFTEN);
    let stop = ui.add_enabled(!progress.is_stopped(), eframe::egui::Button::new("Stop"));
    stop.on_hover_text("Ends it now and keeps what is done").clicked()
}
