//! Every colour, type size and distance of the window, in one place.
//!
//! Blue is what the door does, orange is what limits it; amber lies between. The three can be told apart with any of
//! the common colour deficiencies, and nothing is said by colour alone.

use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::style::{HandleShape, ScrollStyle, WidgetVisuals};
use eframe::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Shadow, Stroke,
    Style, TextStyle, Theme, Visuals, vec2,
};

use crate::oklab;

/// Colours of one theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// Whether it is the dark one.
    pub dark: bool,
    /// Behind everything.
    pub page: Color32,
    /// Side panels and bars.
    pub panel: Color32,
    /// What lies on a panel: charts, fields, popups.
    pub raised: Color32,
    /// A field under the pointer.
    pub hover: Color32,
    /// Hairlines and grids.
    pub line: Color32,
    /// Edges of what can be operated.
    pub edge: Color32,
    /// Rails of sliders and bars.
    pub rail: Color32,
    /// Text.
    pub ink: Color32,
    /// Second text: units, names of parts.
    pub soft: Color32,
    /// What the door does.
    pub door: Color32,
    /// The same as a wash.
    pub door_wash: Color32,
    /// A second curve beside it.
    pub second: Color32,
    /// The run that is compared with.
    pub held: Color32,
    /// Strands of the belt, counted from the drive pulley. They differ in lightness and in their dashes too.
    pub strands: [Color32; 4],
    /// Colours of no tension and of the greatest one, see [`tension_colour`].
    pub tension: (Color32, Color32),
    /// What limits it, and what is over.
    pub limit: Color32,
    /// The same as a wash.
    pub limit_wash: Color32,
    /// What comes close to a limit.
    pub close: Color32,
    /// Text on `door` and `limit`.
    pub on_strong: Color32,
}

/// Dark ink on paper.
pub const LIGHT: Palette = Palette {
    dark: false,
    page: Color32::from_rgb(0xEC, 0xEA, 0xE4),
    panel: Color32::from_rgb(0xF7, 0xF5, 0xF1),
    raised: Color32::from_rgb(0xFF, 0xFE, 0xFC),
    hover: Color32::from_rgb(0xEA, 0xF1, 0xF5),
    line: Color32::from_rgb(0xE2, 0xDE, 0xD5),
    edge: Color32::from_rgb(0xC9, 0xC6, 0xBC),
    rail: Color32::from_rgb(0xDA, 0xD6, 0xCC),
    ink: Color32::from_rgb(0x1A, 0x28, 0x35),
    soft: Color32::from_rgb(0x58, 0x65, 0x71),
    door: Color32::from_rgb(0x13, 0x5E, 0x8C),
    door_wash: Color32::from_rgb(0xD9, 0xE7, 0xF0),
    second: Color32::from_rgb(0x7B, 0x8B, 0x98),
    held: Color32::from_rgb(0xC2, 0xB2, 0xD6),
    strands: [
        Color32::from_rgb(0x13, 0x5E, 0x8C),
        Color32::from_rgb(0x2C, 0x33, 0x3A),
        Color32::from_rgb(0x4F, 0xA3, 0x8D),
        Color32::from_rgb(0x8A, 0x6B, 0xA8),
    ],
    tension: (Color32::from_rgb(0xF0, 0xC0, 0x60), Color32::from_rgb(0x23, 0x1F, 0x6B)),
    limit: Color32::from_rgb(0xB9, 0x48, 0x06),
    limit_wash: Color32::from_rgb(0xFA, 0xE0, 0xCE),
    close: Color32::from_rgb(0x8A, 0x65, 0x00),
    on_strong: Color32::WHITE,
};

/// Light ink on slate.
pub const DARK: Palette = Palette {
    dark: true,
    page: Color32::from_rgb(0x0E, 0x15, 0x1B),
    panel: Color32::from_rgb(0x14, 0x1D, 0x25),
    raised: Color32::from_rgb(0x1B, 0x26, 0x30),
    hover: Color32::from_rgb(0x24, 0x35, 0x43),
    line: Color32::from_rgb(0x2A, 0x37, 0x42),
    edge: Color32::from_rgb(0x3D, 0x4D, 0x5A),
    rail: Color32::from_rgb(0x34, 0x42, 0x4E),
    ink: Color32::from_rgb(0xE6, 0xEB, 0xEF),
    soft: Color32::from_rgb(0xA2, 0xB0, 0xBC),
    door: Color32::from_rgb(0x66, 0xB5, 0xE6),
    door_wash: Color32::from_rgb(0x1D, 0x3B, 0x50),
    second: Color32::from_rgb(0x7C, 0x8E, 0x9C),
    held: Color32::from_rgb(0x5E, 0x50, 0x78),
    strands: [
        Color32::from_rgb(0x66, 0xB5, 0xE6),
        Color32::from_rgb(0xF0, 0xF3, 0xF5),
        Color32::from_rgb(0x5F, 0xBF, 0xA5),
        Color32::from_rgb(0xB6, 0x9A, 0xD6),
    ],
    tension: (Color32::from_rgb(0x7A, 0x4B, 0x1E), Color32::from_rgb(0xA9, 0xF0, 0xFF)),
    limit: Color32::from_rgb(0xFF, 0x9C, 0x52),
    limit_wash: Color32::from_rgb(0x4A, 0x2E, 0x1B),
    close: Color32::from_rgb(0xE0, 0xC0, 0x55),
    on_strong: Color32::from_rgb(0x0E, 0x15, 0x1B),
};

/// The colours of a theme.
pub fn palette(theme: Theme) -> Palette {
    match theme {
        Theme::Light => LIGHT,
        Theme::Dark => DARK,
    }
}

/// Colour of a tension, `part` of the greatest one: equal steps of tension look equally far apart.
pub fn tension_colour(palette: &Palette, part: f32) -> Color32 {
    oklab::between(palette.tension.0, palette.tension.1, part.clamp(0.0, 1.0))
}

/// Distances, in points.
pub mod space {
    /// Between things that belong together.
    pub const TIGHT: f32 = 4.0;
    /// Between rows.
    pub const ROW: f32 = 8.0;
    /// Around the contents of a panel.
    pub const PANEL: i8 = 14;
    /// Between parts.
    pub const PART: f32 = 16.0;
    /// Width of the sliders' panel.
    pub const SLIDERS: f32 = 280.0;
    /// Width of the verdicts' panel.
    pub const VERDICTS: f32 = 326.0;
    /// Height of the bar across the top.
    pub const TOP_BAR: f32 = 50.0;
    /// Height of the caution at the foot.
    pub const FOOT: f32 = 28.0;
    /// Width kept for the numbers beside a chart.
    pub const CHART_AXIS: f32 = 40.0;
    /// Height of the row with play and pause.
    pub const TRANSPORT: f32 = 26.0;
    /// Corner radius.
    pub const CORNER: u8 = 5;
}

/// Whether the window is high enough for what can also be done without.
pub fn is_roomy(ui: &egui::Ui) -> bool {
    ui.content_rect().height() >= 800.0
}

/// Sizes of text, in points.
pub mod size {
    /// Title of the window.
    pub const TITLE: f32 = 17.0;
    /// Heads of parts and charts.
    pub const HEAD: f32 = 14.0;
    /// Running text.
    pub const BODY: f32 = 13.0;
    /// Units, ticks, second lines.
    pub const SMALL: f32 = 11.5;
    /// A figure to be read from afar.
    pub const FIGURE: f32 = 17.0;
}

/// The heavier cut of the typeface.
pub fn strong() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// The heavier cut at a size.
pub fn strong_at(size: f32) -> FontId {
    FontId::new(size, strong())
}

/// The normal cut at a size.
pub fn plain_at(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Gives a context the typeface and both themes.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    for (theme, palette) in [(Theme::Light, LIGHT), (Theme::Dark, DARK)] {
        ctx.style_mut_of(theme, |style| dress(style, &palette));
    }
}

/// The cuts of the typeface.
pub const TYPEFACES: [(&str, &[u8]); 2] = [
    ("plain", include_bytes!("../fonts/Inter-Regular.otf")),
    ("strong", include_bytes!("../fonts/Inter-SemiBold.otf")),
];

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    for (name, bytes) in TYPEFACES {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    // What the subset lacks comes from the toolkit's own fonts.
    let fall_back = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let with = |first: &str| {
        let mut names = vec![first.to_owned()];
        names.extend(fall_back.iter().cloned());
        names
    };
    fonts.families.insert(FontFamily::Proportional, with("plain"));
    fonts.families.insert(strong(), with("strong"));
    fonts
}

fn dress(style: &mut Style, palette: &Palette) {
    style.text_styles = BTreeMap::from([
        (TextStyle::Heading, strong_at(size::HEAD)),
        (TextStyle::Body, plain_at(size::BODY)),
        (TextStyle::Button, plain_at(size::BODY)),
        (TextStyle::Small, plain_at(size::SMALL)),
        (TextStyle::Monospace, FontId::new(size::SMALL, FontFamily::Monospace)),
    ]);
    let spacing = &mut style.spacing;
    spacing.item_spacing = vec2(space::ROW, space::TIGHT);
    spacing.button_padding = vec2(10.0, 5.0);
    spacing.interact_size = vec2(28.0, 22.0);
    spacing.slider_rail_height = 3.0;
    spacing.icon_width = 14.0;
    spacing.tooltip_width = 320.0;
    spacing.window_margin = Margin::same(space::PANEL);
    spacing.menu_margin = Margin::same(10);
    // The bar has a lane of its own: nothing that can be pressed lies under it.
    spacing.scroll = ScrollStyle { bar_width: 7.0, floating_allocated_width: 9.0, ..ScrollStyle::floating() };
    style.visuals = visuals(palette);
}

fn visuals(palette: &Palette) -> Visuals {
    let mut visuals = if palette.dark { Visuals::dark() } else { Visuals::light() };
    let corner = CornerRadius::same(space::CORNER);
    let widget = |fill: Color32, edge: Color32, ink: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, edge),
        corner_radius: corner,
        fg_stroke: Stroke::new(1.2, ink),
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = widget(palette.panel, palette.line, palette.ink);
    visuals.widgets.inactive = widget(palette.raised, palette.edge, palette.ink);
    visuals.widgets.hovered = widget(palette.hover, palette.door, palette.ink);
    visuals.widgets.active = widget(palette.door_wash, palette.door, palette.ink);
    visuals.widgets.open = widget(palette.hover, palette.edge, palette.ink);
    // Rails of sliders and the ground of what is ticked.
    visuals.widgets.inactive.bg_fill = palette.rail;
    visuals.selection.bg_fill = palette.door_wash;
    visuals.selection.stroke = Stroke::new(1.2, palette.door);
    visuals.hyperlink_color = palette.door;
    visuals.faint_bg_color = palette.hover;
    visuals.extreme_bg_color = palette.raised;
    visuals.code_bg_color = palette.hover;
    visuals.warn_fg_color = palette.close;
    visuals.error_fg_color = palette.limit;
    visuals.weak_text_color = Some(palette.soft);
    visuals.panel_fill = palette.panel;
    visuals.window_fill = palette.raised;
    visuals.window_stroke = Stroke::new(1.0, palette.edge);
    visuals.window_corner_radius = CornerRadius::same(8);
    visuals.menu_corner_radius = CornerRadius::same(8);
    let shade = Color32::from_black_alpha(if palette.dark { 110 } else { 40 });
    let shadow = Shadow { offset: [0, 6], blur: 18, spread: 0, color: shade };
    visuals.window_shadow = shadow;
    visuals.popup_shadow = shadow;
    visuals.slider_trailing_fill = true;
    visuals.handle_shape = HandleShape::Circle;
    visuals
}
