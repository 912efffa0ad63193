//! How far something long is, as a bar with the time left, and the button that stops it.

use std::time::Duration;

use eframe::egui::{Button, ProgressBar, RichText, Role, Ui, WidgetInfo};

use crate::progress::Progress;
use crate::theme::Palette;

/// Width and height of the bar.
const BAR: (f32, f32) = (300.0, 8.0);
/// The time left is told anew at least so often.
const OFTEN: Duration = Duration::from_millis(500);

/// Draws bar, button and words; whether the button was pressed.
pub fn progress_row(ui: &mut Ui, progress: &Progress, palette: &Palette) -> bool {
    let bar = ui.scope(|ui| {
        ui.visuals_mut().extreme_bg_color = palette.rail;
        let bar = ProgressBar::new(progress.share() as f32).desired_width(BAR.0).desired_height(BAR.1);
        ui.add(bar.fill(palette.door))
    });
    bar.inner.widget_info(|| WidgetInfo::labeled(Role::ProgressIndicator, true, "Done"));
    let stop = ui.add_enabled(!progress.is_stopped(), Button::new("Stop"));
    let stop = stop.on_hover_text("Ends it now and keeps what is done");
    let now_s = ui.input(|input| input.time);
    ui.label(RichText::new(progress.in_words(now_s)).color(palette.soft));
    ui.request_repaint_after(OFTEN);
    stop.clicked()
}
