//! A plot of what a trial found: looked at, not moved.

use eframe::egui::{Response, RichText, Role, WidgetInfo};
use egui_plot::{HoverPosition, Plot};

use crate::theme::{Palette, space};
use crate::widgets::scale::marks;
use crate::words;

/// A plot whose axes stay where they are: neither dragged, nor zoomed, nor scrolled.
pub fn still(plot: Plot<'_>) -> Plot<'_> {
    plot.allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
}

/// The plot, with what its axes show.
pub fn trial_plot<'a>(id: &str, (across, up): (&str, &str), height: f32, palette: &Palette) -> Plot<'a> {
    let axis = |name: &str| RichText::new(name).small().color(palette.soft);
    still(Plot::new(("trial", id)))
        .height(height)
        .x_axis_label(axis(across))
        .y_axis_label(axis(up))
        .y_axis_min_width(space::CHART_AXIS)
        .x_axis_formatter(|mark, _| words::mark(mark.value, mark.step_size))
        .y_axis_formatter(|mark, _| words::mark(mark.value, mark.step_size))
        .x_grid_spacer(|input| marks(input, 7.0))
        .y_grid_spacer(|input| marks(input, 5.0))
        .grid_color(palette.line)
        .grid_fade(0.0)
        .cursor_color(palette.second)
        .show_x(false)
        .show_y(false)
        .label_formatter(|at: &HoverPosition<'_>| {
            let (HoverPosition::NearDataPoint { position, .. } | HoverPosition::Elsewhere { position }) = at;
            Some(format!("{}, {}", words::number(position.x), words::number(position.y)))
        })
}

/// Says to a screen reader what a plot shows.
pub fn named(plot: &Response, says: &str) {
    plot.widget_info(|| WidgetInfo::labeled(Role::Image, true, says));
}
