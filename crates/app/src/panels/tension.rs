//! The belt's tension, over the window: between which bounds it lies, and how leaf, ramps and speeds move them.

use eframe::egui::{Color32, RichText, ScrollArea, Sense, Ui};
use egui_plot::{FilledArea, HLine, Line, LineStyle, PlotPoint, PlotUi, Points, VLine};
use tautleaf_physics::{Quantity, number};

use crate::action::Action;
use crate::context::ViewContext;
use crate::panels::large_popup::large_popup;
use crate::tension_map::{At, TensionMap, Varied};
use crate::tension_window::{Bound, Side, ends};
use crate::theme::{size, space, strong_at};
use crate::widgets::{belt_caution, belt_work_line, end_letters, marks, named, tension_bar, trial_plot};
use crate::words;

/// Height of the charts, least and most, and of what stands below them.
const CHART: (f32, f32) = (170.0, 330.0);
const BELOW: f32 = 96.0;
/// The highest tension drawn, over the highest there is.
const HEADROOM: f64 = 1.06;
/// Room behind the curves for their letters, as a part of the chart.
const BEHIND: f64 = 0.08;

const SAYS: &str = "Installed tension lies in every strand. What leaf and drive pull comes on top of it: too little, and \
                    a strand goes slack whenever the leaf is accelerated or braked, and snaps tight; too much, and \
                    belt and bearings pay for it.";

/// Draws the popup.
pub fn tension_ui(ui: &mut Ui, ctx: &ViewContext<'_>) {
    large_popup(ui, ctx, "Belt tension", SAYS, |ui, room| {
        ScrollArea::vertical().max_height(room).auto_shrink([false, false]).show(ui, |ui| {
            if let Some(window) = &ctx.state.tension_window {
                ui.label(RichText::new(window.standing(ctx.units())).strong());
                ui.add_space(space::TIGHT);
            }
            if let Some(tension) = number("belt.tension") {
                tension_bar(ui, ctx, tension.usual);
            }
            ui.add_space(space::TIGHT);
            let chart = (ui.available_height() - BELOW).clamp(CHART.0, CHART.1);
            match &ctx.state.tension_map {
                Some(map) => map_ui(ui, ctx, map, chart),
                None => {
                    ui.label(
                        RichText::new("Running the door with other leaves, ramps and speeds")
                            .color(ctx.palette.soft),
                    );
                }
            }
            belt_work_line(ui, ctx);
            belt_caution(ui, ctx.palette);
        });
    });
}

/// The three charts side by side, and what their letters mean.
fn map_ui(ui: &mut Ui, ctx: &ViewContext<'_>, map: &TensionMap, height: f32) {
    let names = names(map);
    let now_n = ctx.state.document.scenario().parameters.belt.tension_n;
    let all = map.over.iter().flatten().flat_map(|at| &at.bounds).map(|bound| bound.at_n);
    let top = HEADROOM * words::to_shown(Quantity::Force, all.fold(now_n, f64::max), ctx.units());
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        let width = (ui.available_width() - 2.0 * space::ROW) / Varied::ALL.len() as f32;
        for (varied, over) in Varied::ALL.into_iter().zip(&map.over) {
            ui.allocate_ui([width, height].into(), |ui| {
                let chart = Chart { ctx, varied, over, names: &names, now_n, top };
                chart.show(ui, height);
            });
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        for (n, (name, side, binds)) in names.iter().enumerate() {
            let way = if *side == Side::Lower { "below" } else { "above" };
            let colour = if *binds { ctx.palette.limit } else { ctx.palette.soft };
            ui.label(RichText::new(letter(n).to_string()).font(strong_at(size::SMALL)).color(colour));
            ui.label(RichText::new(format!("{way}: {name}")).small().color(ctx.palette.ink));
        }
        let text = "Dotted: the door sings. Click or drag in a chart to set the tension.";
        let sings = ui.label(RichText::new(text).small().color(ctx.palette.soft));
        sings.on_hover_text(
            "A tone of the strand between the pulleys meets the teeth that come into mesh at a set speed.",
        );
    });
    ui.add_space(space::TIGHT);
}

type Named<'a> = (&'a str, Side, bool);

/// The bounds that there are, each once.
fn names(map: &TensionMap) -> Vec<Named<'_>> {
    let mut names: Vec<Named<'_>> = Vec::new();
    for bound in map.over.iter().flatten().flat_map(|at| &at.bounds) {
        let named = (bound.name.as_str(), bound.side, bound.binds);
        if !names.contains(&named) {
            names.push(named);
        }
    }
    names.sort_by_key(|(_, side, _)| *side == Side::Upper);
    names
}

fn letter(n: usize) -> char {
    ('A'..='Z').nth(n).unwrap_or('*')
}

/// Tension over one setting.
struct Chart<'a> {
    ctx: &'a ViewContext<'a>,
    varied: Varied,
    over: &'a [At],
    names: &'a [Named<'a>],
    now_n: f64,
    /// The highest tension drawn, as shown.
    top: f64,
}

impl Chart<'_> {
    fn show(&self, ui: &mut Ui, height: f32) {
        let (ctx, units) = (self.ctx, self.ctx.units());
        let force = words::unit(Quantity::Force, units);
        let up = format!("tension, {force}");
        let across = self.across();
        let plot = trial_plot(&across, (&across, &up), height, ctx.palette).sense(Sense::click_and_drag());
        let plot = plot.x_grid_spacer(|input| marks(input, 4.0));
        let (Some(first), Some(last)) = (self.over.first(), self.over.last()) else { return };
        let (low, high) = (self.x(first.factor), self.x(last.factor));
        let curves: Vec<Vec<[f64; 2]>> = self.names.iter().map(|name| self.curve(name)).collect();
        let shown = plot.show(ui, |plot| {
            plot.set_plot_bounds_x(low - 0.02 * (high - low)..=high + BEHIND * (high - low));
            plot.set_plot_bounds_y(0.0..=self.top);
            self.ground(plot);
            self.sings(plot);
            for (n, points) in curves.iter().enumerate() {
                let (colour, style) = self.look(n);
                let line = Line::new(letter(n).to_string(), points.clone()).allow_hover(false);
                plot.line(line.color(colour).width(if self.names[n].2 { 2.0 } else { 1.3 }).style(style));
            }
            let ink = ctx.palette.ink;
            let here = VLine::new("as set", self.x(1.0)).color(ink).width(1.0).allow_hover(false);
            plot.vline(here.style(LineStyle::Dashed { length: 4.0 }));
            let now = [self.x(1.0), self.force(self.now_n)];
            let level = HLine::new("tension", now[1]).color(ctx.palette.door).width(1.0).allow_hover(false);
            plot.hline(level.style(LineStyle::Dashed { length: 4.0 }));
            plot.points(Points::new("now", vec![now]).radius(5.0).color(ctx.palette.door).allow_hover(false));
            plot.pointer_coordinate()
        });
        named(&shown.response, &self.spoken(&across));
        let ends = curves.iter().enumerate().filter_map(|(n, points)| {
            let [x, y] = *points.last()?;
            let at = shown.transform.position_from_point(&PlotPoint::new(x, y));
            Some((letter(n), at, self.look(n).0))
        });
        let frame = shown.transform.frame();
        end_letters(ui, &ends.collect::<Vec<_>>(), (frame.top() + 7.0, frame.bottom() - 7.0));
        let response = &shown.response;
        if let (Some(at), true) = (shown.inner, response.clicked() || response.dragged()) {
            self.set(at.y, response.dragged());
        }
        if response.drag_stopped() {
            ctx.send(Action::EndDrag);
        }
    }

    /// Sets the tension, as shown, to three digits.
    fn set(&self, shown: f64, dragging: bool) {
        let Some(tension) = number("belt.tension") else { return };
        // Not beyond what is drawn, which would be drawn larger, and so on.
        let shown = shown.clamp(0.0, self.top / HEADROOM);
        let digits = 10f64.powf(shown.max(1.0).log10().floor() - 2.0);
        let wanted = words::from_shown(Quantity::Force, (shown / digits).round() * digits, self.ctx.units());
        let (least, most) = tension.possible;
        let value = Some(wanted.clamp(least.max(1.0), most));
        self.ctx.send(Action::Set { number: tension, value, dragging });
    }

    fn across(&self) -> String {
        let unit = words::unit(Quantity::Mass, self.ctx.units());
        match self.varied {
            Varied::Mass => format!("leaf mass, {unit}"),
            Varied::Ramps => "acceleration and braking, times as set".to_owned(),
            Varied::Speeds => "speeds, times as set".to_owned(),
        }
    }

    fn x(&self, factor: f64) -> f64 {
        let mass = self.ctx.state.document.scenario().parameters.leaf.mass_kg;
        match self.varied {
            Varied::Mass => words::to_shown(Quantity::Mass, factor * mass, self.ctx.units()),
            Varied::Ramps | Varied::Speeds => factor,
        }
    }

    fn force(&self, newtons: f64) -> f64 {
        words::to_shown(Quantity::Force, newtons, self.ctx.units())
    }

    fn look(&self, n: usize) -> (Color32, LineStyle) {
        let styles = [LineStyle::Solid, LineStyle::Dashed { length: 8.0 }, LineStyle::Dashed { length: 3.0 }];
        let (_, side, binds) = self.names[n];
        let of_side = self.names[..n].iter().filter(|(_, other, _)| *other == side).count();
        let colour = if binds { self.ctx.palette.limit } else { self.ctx.palette.soft };
        (colour, styles[of_side % styles.len()])
    }

    fn curve(&self, (name, side, _): &Named<'_>) -> Vec<[f64; 2]> {
        let is_it = |bound: &&Bound| bound.name == *name && bound.side == *side;
        let point =
            |at: &At| Some([self.x(at.factor), self.force(at.bounds.iter().find(is_it)?.at_n.max(0.0))]);
        self.over.iter().filter_map(point).collect()
    }

    /// Where every binding bound is kept, and where one is not.
    fn ground(&self, plot: &mut PlotUi<'_>) {
        let kept: Vec<&At> = self.over.iter().filter(|at| !at.bounds.is_empty()).collect();
        let xs: Vec<f64> = kept.iter().map(|at| self.x(at.factor)).collect();
        let end = |at: &&At| {
            let (low, high) = ends(&at.bounds);
            (self.force(low), self.force(high).min(self.top))
        };
        let (lows, highs): (Vec<f64>, Vec<f64>) =
            kept.iter().map(end).map(|(low, high)| (low, high.max(low))).unzip();
        let nothing = vec![0.0; xs.len()];
        let top = vec![self.top; xs.len()];
        let palette = self.ctx.palette;
        let areas = [
            ("works", &lows, &highs, palette.door_wash),
            ("too loose", &nothing, &lows, palette.limit_wash),
            ("too tight", &highs, &top, palette.limit_wash),
        ];
        for (name, from, to, colour) in areas {
            plot.add(FilledArea::new(name, &xs, from, to).fill_color(colour).allow_hover(false));
        }
    }

    /// Tensions at which the door sings, each tone a dotted course.
    fn sings(&self, plot: &mut PlotUi<'_>) {
        let courses = self.over.iter().map(|at| at.singing.len()).min().unwrap_or(0);
        for n in 0..courses {
            let point = |at: &At| [self.x(at.factor), self.force(at.singing[n].at_n)];
            let points: Vec<[f64; 2]> = self.over.iter().map(point).collect();
            let line = Line::new(format!("sings {n}"), points).color(self.ctx.palette.close).width(1.6);
            plot.line(line.style(LineStyle::Dotted { spacing: 6.0 }).allow_hover(false));
        }
    }

    fn spoken(&self, across: &str) -> String {
        let say = |newtons: f64| words::value(Quantity::Force, newtons, self.ctx.units());
        let told = |at: &At| {
            let (low, high) = ends(&at.bounds);
            let x = words::number(self.x(at.factor));
            match (at.bounds.is_empty() || low >= high, high.is_finite()) {
                (true, _) => format!("at {x} no tension does"),
                (false, true) => format!("at {x} from {} to {}", say(low), say(high)),
                (false, false) => format!("at {x} from {}", say(low)),
            }
        };
        let middle = self.over.iter().find(|at| at.factor == 1.0);
        let places = [self.over.first(), middle, self.over.last()];
        let told: Vec<String> = places.into_iter().flatten().map(told).collect();
        format!("Tension that works over {across}: {}", told.join(", "))
    }
}
