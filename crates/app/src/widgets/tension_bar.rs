//! The tension window as a picture under the slider of the tension, on the slider's own scale.

use eframe::egui::{
    Color32, Label, Painter, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use tautleaf_physics::Quantity;

use crate::action::Action;
use crate::context::ViewContext;
use crate::slack::strand;
use crate::state::Popup;
use crate::tension_window::{Bound, Side, Singing, TensionWindow};
use crate::theme::{plain_at, size, space, strong_at};
use crate::words;

const BAND: f32 = 11.0;
const ROW: f32 = 15.0;
/// The handle of the slider keeps the ends of its rail this far away.
const INSET: f32 = 8.0;

/// Draws the window of tensions between `low_n` and `high_n`, the ends of the slider, which is logarithmic.
pub fn tension_bar(ui: &mut Ui, ctx: &ViewContext<'_>, (low_n, high_n): (f64, f64)) {
    let Some(window) = &ctx.state.tension_window else { return };
    let rows = window.bounds.len();
    let size = vec2(ui.available_width() - 4.0, BAND + 6.0 + ROW * rows as f32);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let standing = window.standing(ctx.units());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, spoken(ctx, window)));
    let place = |newtons: f64| {
        let part = (newtons.max(low_n) / low_n).ln() / (high_n / low_n).ln();
        rect.left() + INSET + (part.clamp(0.0, 1.0) as f32) * (rect.width() - 2.0 * INSET)
    };
    let band = Rect::from_min_size(rect.min, vec2(rect.width(), BAND));
    paint_band(ui.painter(), ctx, window, band, &place);
    let row = |n: usize| band.bottom() + 6.0 + ROW * (n as f32 + 0.5);
    for (n, bound) in window.bounds.iter().enumerate() {
        let (x, colour) = (place(bound.at_n), colour_of(ctx, bound));
        ui.painter().line_segment([pos2(x, band.top()), pos2(x, row(n))], Stroke::new(1.2, colour));
    }
    for (n, bound) in window.bounds.iter().enumerate() {
        paint_bound(ui.painter(), ctx, bound, (place(bound.at_n), row(n)), band);
    }
    if response.clicked() {
        ctx.send(Action::Show(Popup::Tension));
    }
    response.on_hover_ui(|ui| {
        ui.label(standing);
        for bound in &window.bounds {
            ui.label(format!("{}: {}", name(ctx, bound), bound.why));
        }
        let say = |newtons| words::value(Quantity::Force, newtons, ctx.units());
        let (rest, most) = window.shaft_load_n;
        ui.label(format!("Load on a pulley's shaft: {} at rest, {} at most.", say(rest), say(most)));
        let pull = window.work.full_pull;
        ui.label(format!(
            "At full pull of the drive, {}: slack below {}, ratcheting reserve 1 at {}; turned round at full current: slack below {}.",
            say(pull.pull_n),
            say(pull.slack_below_n.max(0.0)),
            say(pull.seated_from_n.max(0.0)),
            window.work.full_braking.map_or_else(|| "the gear locks".to_owned(), |it| say(it.slack_below_n.max(0.0)))
        ));
        let (low, high) = window.tones_hz;
        ui.label(format!(
            "First tones of the strands: {low:.0} to {high:.0} Hz, door closed. Teeth mesh at up to {:.0} Hz: where \
             the two meet, the door sings.",
            window.meshing_hz
        ));
        let within = |singing: &&Singing| (low_n..=high_n).contains(&singing.at_n);
        for Singing { at_n, order, speed_m_per_s } in window.singing.iter().filter(within) {
            let speed = words::value(Quantity::Speed, *speed_m_per_s, ctx.units());
            ui.label(format!("Notch at {}: tone {order} of the long strand at {speed}.", say(*at_n)));
        }
    });
}

fn paint_band(
    painter: &Painter,
    ctx: &ViewContext<'_>,
    window: &TensionWindow,
    band: Rect,
    place: &impl Fn(f64) -> f32,
) {
    let palette = ctx.palette;
    let (low, high) = window.ends();
    let (from, to) = (place(low), place(high.min(1e9)));
    painter.rect_filled(band, 2.0, palette.limit_wash);
    if low < high {
        let inside = Rect::from_x_y_ranges(from..=to, band.y_range());
        painter.rect_filled(inside, 1.0, palette.door_wash);
        painter.rect_stroke(inside, 1.0, Stroke::new(1.0, palette.door), eframe::egui::StrokeKind::Inside);
    }
    // Where it sings, as notches in the band: not a bound, but not a place to stay.
    for singing in window.singing.iter().filter(|singing| place(singing.at_n) < band.right() - INSET) {
        let x = place(singing.at_n);
        painter.line_segment(
            [pos2(x, band.bottom() - 4.0), pos2(x, band.bottom())],
            Stroke::new(2.0, palette.close),
        );
    }
    let outside = !(low..=high).contains(&window.now_n);
    let colour: Color32 = if outside { palette.limit } else { palette.door };
    let x = place(window.now_n);
    painter.line_segment([pos2(x, band.top() - 2.0), pos2(x, band.bottom() + 2.0)], Stroke::new(3.5, colour));
}

fn paint_bound(painter: &Painter, ctx: &ViewContext<'_>, bound: &Bound, (x, y): (f32, f32), band: Rect) {
    let colour = colour_of(ctx, bound);
    painter.circle_filled(pos2(x, y), 2.0, colour);
    let font = if bound.binds { strong_at(size::SMALL) } else { plain_at(size::SMALL) };
    let galley = painter.layout_no_wrap(name(ctx, bound), font, colour);
    let width = galley.size().x;
    let left = if x + 6.0 + width <= band.right() { x + 6.0 } else { x - 6.0 - width };
    let corner = pos2(left.max(band.left()), y - galley.size().y / 2.0);
    painter.rect_filled(Rect::from_min_size(corner, galley.size()), 1.0, ctx.palette.panel);
    painter.galley(corner, galley, colour);
}

fn colour_of(ctx: &ViewContext<'_>, bound: &Bound) -> Color32 {
    if bound.binds { ctx.palette.limit } else { ctx.palette.soft }
}

/// `slack below 137 N`.
fn name(ctx: &ViewContext<'_>, bound: &Bound) -> String {
    let at = words::value(Quantity::Force, bound.at_n.max(0.0), ctx.units());
    let way = if bound.side == Side::Lower { "below" } else { "above" };
    format!("{} {way} {at}", bound.name)
}

fn spoken(ctx: &ViewContext<'_>, window: &TensionWindow) -> String {
    let bounds: Vec<String> = window.bounds.iter().map(|bound| name(ctx, bound)).collect();
    format!("Tension window: {} {}", window.standing(ctx.units()), bounds.join(", "))
}

/// How a hand gets to the tension: what the adjuster takes up, and the tone that tells it.
pub fn belt_work_line(ui: &mut Ui, ctx: &ViewContext<'_>) {
    let (Some(window), Some(live)) = (&ctx.state.tension_window, &ctx.state.live) else { return };
    let work = &window.work;
    let say = |quantity, value| words::value(quantity, value, ctx.units());
    let mut text = format!(
        "{} is {} of take-up, {} turns of the nut",
        say(Quantity::Force, work.wanted.tension_n),
        say(Quantity::ShortLength, work.wanted.take_up_m),
        words::number(work.wanted.turns)
    );
    if let (Some(pluck), Some(tone)) = (&work.to_pluck, work.wanted.tone_hz) {
        let strand = strand(&live.door, pluck.span);
        let where_ = match pluck.leaf_at_m {
            at if at.abs() < 1e-6 => "closed".to_owned(),
            at => format!("{} open", say(Quantity::Length, at)),
        };
        let tone = words::number(tone);
        text.push_str(&format!("; with the leaf {where_} the strand {strand} sounds at {tone} Hz"));
    }
    ui.add(Label::new(RichText::new(text + ".").small().color(ctx.palette.soft)).wrap());
    ui.add_space(space::TIGHT);
}
