//! Paints the doorway. Horizontally, and in all its parts, to scale; the middle of a tall leaf is cut out.

use eframe::egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};

use crate::drawing::elevation::{Elevation, LeafPlace, SpanPlace};
use crate::theme::{Palette, plain_at, size, strong_at, tension_colour};

/// Depth of the header, and what lies below its upper edge, m.
const PULLEY_M: f64 = 0.085;
const RAIL_M: f64 = 0.19;
const WHEEL_M: f64 = 0.022;
const LEAF_TOP_M: f64 = 0.235;
/// Least radius at which a pulley can be seen, in points.
const LEAST_RADIUS: f32 = 4.5;
/// How far a slack strand is drawn hanging, in points.
const HANG: f32 = 7.0;

/// Metres to points.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// Where everything is drawn.
    pub rect: Rect,
    left_m: f64,
    /// Points for each metre.
    pub per_m: f32,
    header: f32,
}

impl Scale {
    /// A scale at which `extent_m` fills the width of `rect`.
    pub fn new(rect: Rect, extent_m: (f64, f64)) -> Self {
        const MARGIN_M: f64 = 0.14;
        let width = extent_m.1 - extent_m.0 + 2.0 * MARGIN_M;
        let per_m = (rect.width() as f64 / width).min(400.0);
        let left_m = (extent_m.0 + extent_m.1) / 2.0 - f64::from(rect.width()) / per_m / 2.0;
        // Never so small that the numbers of the strands do not fit in.
        let header = (per_m as f32).clamp(228.0, 290.0);
        Self { rect, left_m, per_m: per_m as f32, header }
    }

    /// Place of a distance from the closed closing edge.
    pub fn x(&self, x_m: f64) -> f32 {
        self.rect.left() + (x_m - self.left_m) as f32 * self.per_m
    }

    /// Distance from the closed closing edge of a place.
    pub fn metres(&self, x: f32) -> f64 {
        self.left_m + f64::from((x - self.rect.left()) / self.per_m)
    }

    fn below_top(&self, y_m: f64) -> f32 {
        self.rect.top() + 2.0 + y_m as f32 * self.header
    }

    /// Height of the pulleys' axes.
    pub fn pulleys(&self) -> f32 {
        self.below_top(PULLEY_M)
    }

    /// Height of the rail.
    pub fn rail(&self) -> f32 {
        self.below_top(RAIL_M)
    }

    /// Upper edge of the leaves.
    pub fn leaf_top(&self) -> f32 {
        self.below_top(LEAF_TOP_M)
    }

    /// The floor.
    pub fn floor(&self) -> f32 {
        self.rect.bottom() - 5.0
    }

    /// Radius of a pulley as it is drawn.
    pub fn radius(&self, radius_m: f64) -> f32 {
        (radius_m as f32 * self.per_m).max(LEAST_RADIUS)
    }
}

/// What is painted beside the geometry.
pub struct Scene<'a> {
    /// The door at this moment.
    pub now: &'a Elevation,
    /// From where to where the header reaches, m.
    pub header_m: (f64, f64),
    /// Pitch radii of drive and return pulley, m.
    pub radii_m: (f64, f64),
    /// Height of a leaf, m.
    pub leaf_height_m: f64,
    /// Tension of each span and what it says: `288 N`.
    pub strands: Vec<(f64, String)>,
    /// Greatest tension of the whole run, N: the end of the colour scale.
    pub greatest_n: f64,
    /// What each leaf says, and what its hangers carry, N.
    pub leaves: Vec<(String, [f64; 2])>,
    /// Faults of the rail: where, m.
    pub faults_m: Vec<f64>,
    /// Something in the way: from where to where it stands, m.
    pub obstacle_m: Option<(f64, f64)>,
    /// Gaps of the force test, m.
    pub gaps_m: Vec<f64>,
    /// Clear opening in words, and its ends, m.
    pub opening: (String, (f64, f64)),
    /// Part of the door whose sliders are asked for, or that the pointer is on.
    pub lit: Option<&'static str>,
}

/// Paints the doorway.
pub fn doorway(painter: &Painter, scale: &Scale, scene: &Scene<'_>, palette: &Palette) {
    header(painter, scale, scene, palette);
    floor(painter, scale, scene, palette);
    // The slow leaves, listed last, hang behind the others.
    for (place, says) in scene.now.leaves.iter().zip(&scene.leaves).rev() {
        leaf(painter, scale, scene, place, says, palette);
    }
    if let Some(obstacle) = scene.obstacle_m {
        self::obstacle(painter, scale, obstacle, palette);
    }
    belt(painter, scale, scene, palette);
    opening(painter, scale, scene, palette);
}

fn header(painter: &Painter, scale: &Scale, scene: &Scene<'_>, palette: &Palette) {
    let (left, right) = (scale.x(scene.header_m.0), scale.x(scene.header_m.1));
    let case = Rect::from_min_max(pos2(left, scale.rect.top() + 1.0), pos2(right, scale.rail() + 3.0));
    painter.rect_filled(case, 3.0, palette.raised);
    painter.rect_stroke(case, 3.0, Stroke::new(1.0, palette.edge), StrokeKind::Inside);
    let rail = Rect::from_min_max(pos2(left + 4.0, scale.rail()), pos2(right - 4.0, scale.rail() + 2.5));
    let lit = scene.lit == Some("Rollers and rail");
    painter.rect_filled(rail, 1.0, if lit { palette.door } else { palette.second });
    for fault in &scene.faults_m {
        let at = pos2(scale.x(*fault), scale.rail() + 1.0);
        let corners = vec![at, at + vec2(-4.0, 7.0), at + vec2(4.0, 7.0)];
        painter.add(Shape::convex_polygon(corners, palette.limit, Stroke::NONE));
    }
}

fn floor(painter: &Painter, scale: &Scale, scene: &Scene<'_>, palette: &Palette) {
    let y = scale.floor();
    painter.hline(scale.rect.x_range(), y, Stroke::new(1.4, palette.second));
    for gap in &scene.gaps_m {
        let x = scale.x(scene.opening.1.0 + gap);
        painter.line_segment([pos2(x, y), pos2(x, y + 4.0)], Stroke::new(1.2, palette.soft));
    }
}

fn leaf(
    painter: &Painter,
    scale: &Scale,
    scene: &Scene<'_>,
    place: &LeafPlace,
    (says, loads): &(String, [f64; 2]),
    palette: &Palette,
) {
    let (left, right) = (scale.x(place.across.0), scale.x(place.across.1));
    let (top, bottom) = (scale.leaf_top(), scale.floor() - 3.0);
    let lit = scene.lit == Some("Leaf");
    let stroke = Stroke::new(if lit { 2.2 } else { 1.4 }, palette.door);
    let body = Rect::from_min_max(pos2(left, top), pos2(right, bottom));
    painter.rect_filled(body, 1.0, palette.door_wash.gamma_multiply(0.9));
    painter.rect_stroke(body, 1.0, stroke, StrokeKind::Inside);
    // The closing edge is the soft one.
    let edge = scale.x(place.closing_edge_m);
    painter.vline(edge, top..=bottom, Stroke::new(3.5, palette.door));
    if scene.leaf_height_m as f32 * scale.per_m > body.height() + 6.0 {
        cut(painter, body, palette);
    }
    for (x_m, load) in place.hangers_m.iter().zip(loads) {
        hanger(painter, scale, scale.x(*x_m), *load, palette);
    }
    if place.ratio == 1.0 {
        bracket(painter, scale, place, palette);
    }
    let middle = pos2((left + right) / 2.0, (top + bottom) / 2.0 - 9.0);
    painter.text(middle, Align2::CENTER_CENTER, says, strong_at(size::SMALL), palette.door);
}

/// A wheel on the rail; one that has lifted stands off it, in the colour of what is wrong, with a word.
fn hanger(painter: &Painter, scale: &Scale, x: f32, load: f64, palette: &Palette) {
    let radius = (WHEEL_M as f32 * scale.per_m).max(3.0);
    let lifted = load < 0.0;
    let (colour, off) = if lifted { (palette.limit, 4.0) } else { (palette.second, 0.0) };
    painter.line_segment([pos2(x, scale.rail()), pos2(x, scale.leaf_top())], Stroke::new(3.0, colour));
    let wheel = pos2(x, scale.rail() - radius - off);
    painter.circle(wheel, radius, palette.raised, Stroke::new(1.8, colour));
    if lifted {
        let at = pos2(x + radius + 4.0, scale.rail() - 2.0);
        painter.text(at, Align2::LEFT_BOTTOM, "lifted", strong_at(size::SMALL), palette.limit);
    }
}

/// From the leaf up to the strand that it is clamped to.
fn bracket(painter: &Painter, scale: &Scale, place: &LeafPlace, palette: &Palette) {
    let x = scale.x(place.clamp_m);
    let strand = scale.pulleys() + if place.upper { -LEAST_RADIUS } else { LEAST_RADIUS };
    let top = scale.leaf_top();
    let on_leaf = x.clamp(scale.x(place.across.0) + 3.0, scale.x(place.across.1) - 3.0);
    let arm = Stroke::new(2.0, palette.ink);
    let bend = scale.rail() + 6.0;
    painter
        .add(Shape::line(vec![pos2(x, strand), pos2(x, bend), pos2(on_leaf, bend), pos2(on_leaf, top)], arm));
    painter.rect_filled(Rect::from_center_size(pos2(x, strand), vec2(9.0, 7.0)), 1.0, palette.ink);
}

/// Two wavy lines: what lies between them is cut out.
fn cut(painter: &Painter, body: Rect, palette: &Palette) {
    let middle = body.center().y + 9.0;
    let wave = |dy: f32| -> Vec<Pos2> {
        let steps = (body.width() / 4.0).ceil() as i32;
        let at = |n: i32| {
            let part = n as f32 / steps as f32;
            let x = body.left() - 3.0 + part * (body.width() + 6.0);
            pos2(x, middle + dy + 2.2 * (part * body.width() / 9.0).sin())
        };
        (0..=steps).map(at).collect()
    };
    let gap = Rect::from_center_size(pos2(body.center().x, middle), vec2(body.width() + 6.0, 4.5));
    painter.rect_filled(gap, 0.0, palette.page);
    for dy in [-3.0, 3.0] {
        painter.add(Shape::line(wave(dy), Stroke::new(1.0, palette.door)));
    }
}

fn obstacle(painter: &Painter, scale: &Scale, across: (f64, f64), palette: &Palette) {
    let (left, right) = (scale.x(across.0), scale.x(across.1).max(scale.x(across.0) + 5.0));
    let height = (scale.floor() - scale.leaf_top()) * 0.62;
    let body = Rect::from_min_max(pos2(left, scale.floor() - height), pos2(right, scale.floor()));
    painter.rect_filled(body, 2.0, palette.limit_wash);
    painter.rect_stroke(body, 2.0, Stroke::new(1.6, palette.limit), StrokeKind::Inside);
    painter.text(body.center(), Align2::CENTER_CENTER, "in the way", plain_at(size::SMALL), palette.limit);
}

fn belt(painter: &Painter, scale: &Scale, scene: &Scene<'_>, palette: &Palette) {
    let axis = scale.pulleys();
    let lit = scene.lit == Some("Belt");
    // Wheels and brackets below the lower strand.
    let hung =
        |leaf: &LeafPlace| [scale.x(leaf.hangers_m[0]), scale.x(leaf.hangers_m[1]), scale.x(leaf.clamp_m)];
    let blocked: Vec<f32> = scene.now.leaves.iter().flat_map(hung).collect();
    for (place, (tension, says)) in scene.now.spans.iter().zip(&scene.strands) {
        let look = Strand { tension: *tension, says, greatest: scene.greatest_n, lit };
        strand(painter, scale, place, &look, if place.upper { &[] } else { &blocked }, palette);
    }
    let (drive, back) = (pos2(scale.x(scene.now.drive_m), axis), pos2(scale.x(scene.now.return_m), axis));
    let lit = scene.lit == Some("Drive");
    let stroke = Stroke::new(if lit { 2.6 } else { 1.6 }, palette.ink);
    painter.circle(back, scale.radius(scene.radii_m.1), palette.raised, Stroke::new(1.6, palette.ink));
    painter.circle_filled(back, 1.5, palette.ink);
    // The motor sits behind the drive pulley.
    let outward = if drive.x < back.x { -1.0 } else { 1.0 };
    let radius = scale.radius(scene.radii_m.0);
    let motor = Rect::from_center_size(pos2(drive.x + outward * 2.0, axis), vec2(26.0, 2.0 * radius + 10.0));
    painter.rect_stroke(motor, 4.0, stroke, StrokeKind::Inside);
    painter.circle(drive, radius, palette.ink, stroke);
    painter.circle_filled(drive, 1.8, palette.raised);
}

/// How a span looks.
struct Strand<'a> {
    tension: f64,
    says: &'a str,
    greatest: f64,
    lit: bool,
}

/// A span in the colour of its tension, with its number; a slack one hangs and is dashed.
fn strand(
    painter: &Painter,
    scale: &Scale,
    place: &SpanPlace,
    &Strand { tension, says, greatest, lit }: &Strand<'_>,
    blocked: &[f32],
    palette: &Palette,
) {
    let (left, right) = (scale.x(place.across.0), scale.x(place.across.1));
    let side = if place.upper { -1.0 } else { 1.0 };
    let y = scale.pulleys() + side * LEAST_RADIUS;
    let slack = tension <= 0.0;
    let colour = if slack { palette.limit } else { tension_colour(palette, (tension / greatest) as f32) };
    let stroke = Stroke::new(if lit { 4.2 } else { 3.0 }, colour);
    let ends = [pos2(left, y), pos2(right, y)];
    if slack {
        let hang = |n: i32| {
            let part = n as f32 / 24.0;
            pos2(left + part * (right - left), y + HANG * 4.0 * part * (1.0 - part))
        };
        let points: Vec<Pos2> = (0..=24).map(hang).collect();
        painter.extend(Shape::dashed_line(&points, stroke, 6.0, 3.0));
    } else {
        painter.line_segment(ends, stroke);
    }
    let says = Says { text: says, slack };
    label(painter, (left, right), y + side * 10.5, &says, blocked, palette);
}

/// What is written at a strand.
struct Says<'a> {
    text: &'a str,
    slack: bool,
}

/// Writes at the middle of a strand, or where no wheel and no bracket is in the way.
fn label(
    painter: &Painter,
    (left, right): (f32, f32),
    y: f32,
    says: &Says<'_>,
    blocked: &[f32],
    palette: &Palette,
) {
    let colour: Color32 = if says.slack { palette.limit } else { palette.ink };
    let galley = painter.layout_no_wrap(says.text.to_owned(), strong_at(size::SMALL), colour);
    let half = galley.size().x / 2.0 + 7.0;
    if 2.0 * half > right - left {
        return;
    }
    // As near to the middle as the text is free; where it nowhere is, as far from all of it as can be.
    let clearance = |x: f32| {
        let nearest = blocked.iter().map(|at| (at - x).abs()).fold(f32::INFINITY, f32::min);
        nearest.min(half) - 1e-3 * (x - (left + right) / 2.0).abs()
    };
    let places = (0..=40).map(|n| left + half + (right - left - 2.0 * half) * n as f32 / 40.0);
    let x = places.max_by(|a, b| clearance(*a).total_cmp(&clearance(*b))).unwrap_or(left + half);
    let corner = pos2(x, y) - galley.size() / 2.0;
    let ground = Rect::from_min_size(corner, galley.size()).expand2(vec2(2.0, -2.0));
    painter.rect_filled(ground, 2.0, palette.raised.gamma_multiply(0.8));
    painter.galley(corner, galley, colour);
}

/// The clear opening as a dimension line.
fn opening(painter: &Painter, scale: &Scale, scene: &Scene<'_>, palette: &Palette) {
    let (says, (from, to)) = &scene.opening;
    let (left, right) = (scale.x(*from), scale.x(*to));
    let y = scale.floor() - 12.0;
    let stroke = Stroke::new(1.0, palette.soft);
    if right - left > 8.0 {
        painter.hline(left..=right, y, stroke);
        for x in [left, right] {
            painter.vline(x, y - 4.0..=y + 4.0, stroke);
        }
    }
    let galley = painter.layout_no_wrap(says.clone(), plain_at(size::SMALL), palette.ink);
    if galley.size().x + 10.0 < right - left {
        let at = pos2((left + right) / 2.0, y) - galley.size() / 2.0;
        let ground = Rect::from_min_size(at, galley.size()).expand(2.0);
        painter.rect_filled(ground, 2.0, palette.page);
        painter.galley(at, galley, palette.ink);
    }
}
