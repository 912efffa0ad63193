//! The doorway at the moment pointed at: what it shows can be dragged, and clicked to reach its sliders.

use eframe::egui::{CursorIcon, Id, Rect, Response, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use tautleaf_physics::parameters::FaultKind;
use tautleaf_physics::{EventKind, Figure, Moment, Quantity, Sample};

use crate::action::Action;
use crate::context::ViewContext;
use crate::drawing::elevation::Elevation;
use crate::drawing::paint::{Scale, Scene, doorway};
use crate::drawing::person::Person;
use crate::live::Live;
use crate::slack::strand;
use crate::words;

/// Draws the doorway into the height given.
pub fn doorway_ui(ui: &mut Ui, ctx: &ViewContext<'_>, height: f32) {
    let Some(live) = &ctx.state.live else { return };
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let Some(sample) = shown(ctx, live) else { return };
    let now = Elevation::of(&live.door, &sample.leaf_position_m);
    let scale = Scale::new(rect, Elevation::extent(&live.door));
    let lit = parts(ui, ctx, live, &now, &scale, sample);
    let scene = scene(ctx, live, &now, sample, lit);
    let painter = ui.painter().with_clip_rect(rect);
    doorway(&painter, &scale, &scene, ctx.palette);
    if let Some(person) = Person::at(&live.door, sample, ctx.units()) {
        person.paint(&painter, &scale, ctx.palette);
    }
}

/// The sample at the moment pointed at, else the first: the door stands closed.
fn shown<'a>(ctx: &ViewContext<'_>, live: &'a Live) -> Option<&'a Sample> {
    let moment = ctx.state.view.cursor.map_or(0.0, |moment| moment.t_s);
    live.sample_at(moment)
}

fn scene<'a>(
    ctx: &ViewContext<'_>,
    live: &'a Live,
    now: &'a Elevation,
    sample: &Sample,
    lit: Option<&'static str>,
) -> Scene<'a> {
    let parameters = live.door.parameters();
    let say = |quantity, value| words::value(quantity, value, ctx.units());
    let tension = |&tension: &f64| {
        let says = if tension > 0.0 { say(Quantity::Force, tension) } else { "slack".to_owned() };
        (tension, says)
    };
    let leaves = live.door.ring().leaves.iter().enumerate().map(|(n, leaf)| {
        let speed = sample.leaf_speed_m_per_s[n];
        let mass = say(Quantity::Mass, leaf.mass_kg);
        let moving = || format!("{mass}, {}", say(Quantity::Speed, speed.abs()));
        (if speed.abs() < 5e-4 { mass.clone() } else { moving() }, sample.hanger_load_n[n])
    });
    let (low, high) = (now.drive_m.min(now.return_m), now.drive_m.max(now.return_m));
    let return_radius = parameters.pulleys.return_radius_m.unwrap_or(live.door.ring().radius_m);
    let jamb = jamb(now);
    Scene {
        now,
        header_m: (low - 0.09, high + 0.09),
        radii_m: (live.door.ring().radius_m, return_radius),
        leaf_height_m: parameters.leaf.height_m,
        strands: sample.tension_n[..live.door.ring().spans.len()].iter().map(tension).collect(),
        greatest_n: live.run.figures.get(Figure::GreatestTension).unwrap_or(1.0).max(1.0),
        leaves: leaves.collect(),
        faults_m: faults(live),
        obstacle_m: obstacle(live, now).filter(|_| is_there(live, sample)),
        // A pair meets a gap in the middle, wherever that is.
        gaps_m: live.run.force.iter().filter(|_| live.door.edges() == 1).map(|gap| gap.gap_m).collect(),
        opening: (
            say(Quantity::Length, sample.clear_opening_m.max(0.0)),
            (jamb, now.leaves[0].closing_edge_m),
        ),
        lit,
    }
}

/// Faults of the rail itself; a flat goes with its roller.
fn faults(live: &Live) -> Vec<f64> {
    let faults = live.door.parameters().faults.iter();
    faults.filter(|fault| fault.kind != FaultKind::Flat).map(|fault| fault.at_m).collect()
}

/// What the first leaf closes against: the jamb, or the other leaf.
fn jamb(now: &Elevation) -> f64 {
    now.leaves[1..].iter().find(|leaf| leaf.ratio == 1.0).map_or(0.0, |leaf| leaf.closing_edge_m)
}

/// Whether what is in the way is still there: it goes away some time after it was first touched.
fn is_there(live: &Live, sample: &Sample) -> bool {
    let touched = live.run.events.iter().find(|event| matches!(event.kind, EventKind::Touched { .. }));
    let stays = live.door.parameters().obstacle.map_or(0.0, |obstacle| obstacle.stays_s);
    touched.is_none_or(|touched| sample.t_s <= touched.at.t_s + stays)
}

/// Something in the way stands where it is first met, or is pushed along.
fn obstacle(live: &Live, now: &Elevation) -> Option<(f64, f64)> {
    let obstacle = live.door.parameters().obstacle?;
    let jamb = jamb(now);
    let edge = if live.door.edges() == 1 { obstacle.gap_m } else { jamb + obstacle.gap_m };
    let edge = edge.min(now.leaves[0].closing_edge_m.max(jamb));
    let depth = obstacle.depth_m.min(obstacle.gap_m);
    Some(((edge - depth).max(jamb), edge))
}

/// What can be clicked and dragged; gives the part to light up.
fn parts(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    live: &Live,
    now: &Elevation,
    scale: &Scale,
    sample: &Sample,
) -> Option<&'static str> {
    let mut lit = None;
    let (left, right) = (scale.rect.left(), scale.rect.right());
    let row = |top: f32, bottom: f32| Rect::from_min_max(pos2(left, top), pos2(right, bottom));
    let mut part = |ui: &mut Ui, rect: Rect, name: &'static str| {
        let response = named(ui, rect, name, Sense::click(), format!("{name}: show its sliders"));
        if response.hovered() || response.has_focus() {
            lit = Some(name);
        }
        if response.clicked() {
            ctx.send(Action::ShowPart(name));
        }
        response
    };
    let axis = scale.pulleys();
    part(ui, row(scale.rail() - 4.0, scale.leaf_top()), "Rollers and rail");
    let belt = part(ui, row(axis - 18.0, axis + 18.0), "Belt");
    belt.on_hover_ui(|ui| {
        for (span, tension) in sample.tension_n.iter().take(live.door.ring().spans.len()).enumerate() {
            let tension = words::value(Quantity::Force, *tension, ctx.units());
            ui.label(format!("{}: {tension}", strand(&live.door, span)));
        }
    });
    for at_m in faults(live) {
        let there = Rect::from_x_y_ranges(
            scale.x(at_m) - 9.0..=scale.x(at_m) + 9.0,
            scale.rail() - 4.0..=scale.leaf_top(),
        );
        part(ui, there, "Rail fault");
    }
    let motor = Rect::from_center_size(pos2(scale.x(now.drive_m), axis), vec2(34.0, 34.0));
    part(ui, motor, "Drive");
    for (n, leaf) in now.leaves.iter().enumerate() {
        let top = pos2(scale.x(leaf.across.0), scale.leaf_top());
        let rect = Rect::from_min_max(top, pos2(scale.x(leaf.across.1), scale.floor()));
        let says = format!("Leaf {}: drag to move in time, click for its sliders", n + 1);
        let response = named(ui, rect, ("leaf", n), Sense::click_and_drag(), says);
        if response.hovered() || response.dragged() || response.has_focus() {
            lit = Some("Leaf");
        }
        if response.clicked() {
            ctx.send(Action::ShowPart("Leaf"));
        }
        let opens_right = leaf.hangers_m[0] < leaf.hangers_m[1];
        let moved = f64::from(response.drag_delta().x / scale.per_m) * if opens_right { 1.0 } else { -1.0 };
        if response.dragged() && moved != 0.0 {
            ctx.send(Action::PointAt(scrubbed(
                ctx,
                live,
                sample,
                moved * live.door.edges() as f64 / leaf.ratio,
            )));
        }
        response.on_hover_cursor(CursorIcon::ResizeHorizontal);
    }
    drag_obstacle(ui, ctx, live, now, scale);
    lit
}

fn named(
    ui: &mut Ui,
    rect: Rect,
    id: impl std::hash::Hash + std::fmt::Debug,
    sense: Sense,
    says: String,
) -> Response {
    let response = ui.interact(rect, ui.scope_id().with(Id::unique(id)), sense);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &says));
    response
}

/// The moment at which a dragged leaf is where the pointer takes it, on the way that it is on.
fn scrubbed(ctx: &ViewContext<'_>, live: &Live, sample: &Sample, moved_m: f64) -> Option<Moment> {
    let closing_from = live.closing_from();
    let closing_at = live.run.samples.get(closing_from)?.t_s;
    let is_closing = ctx.state.view.cursor.is_some_and(|moment| moment.t_s >= closing_at);
    let way = if is_closing { &live.run.samples[closing_from..] } else { &live.run.samples[..closing_from] };
    let wanted = sample.clear_opening_m + moved_m;
    let away = |sample: &&Sample| (sample.clear_opening_m - wanted).abs();
    let found = way.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
    Some(Moment { t_s: found.t_s, clear_opening_m: found.clear_opening_m })
}

/// What stands in the way can be put elsewhere.
fn drag_obstacle(ui: &mut Ui, ctx: &ViewContext<'_>, live: &Live, now: &Elevation, scale: &Scale) {
    let (Some((from, to)), Some(obstacle)) = (obstacle(live, now), live.door.parameters().obstacle) else {
        return;
    };
    let height = (scale.floor() - scale.leaf_top()) * 0.62;
    let rect = Rect::from_min_max(
        pos2(scale.x(from) - 3.0, scale.floor() - height),
        pos2(scale.x(to) + 3.0, scale.floor()),
    );
    let says = "What is in the way: drag it to another gap".to_owned();
    let response = named(ui, rect, "obstacle", Sense::click_and_drag(), says);
    let moved = f64::from(response.drag_delta().x / scale.per_m);
    if response.dragged() && moved != 0.0 {
        let gap = (obstacle.gap_m + moved).clamp(0.005, live.door.clear_width_m() - 0.005);
        ctx.send(Action::SetObstacleGap { gap_m: gap, dragging: true });
    }
    if response.drag_stopped() {
        ctx.send(Action::EndDrag);
    }
    response.on_hover_cursor(CursorIcon::ResizeHorizontal);
}
