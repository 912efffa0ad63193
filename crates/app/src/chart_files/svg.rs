//! A chart as a drawing: dark ink on paper, whatever the window looks like.

use std::fmt::Write;

use eframe::egui::Color32;
use egui_plot::PlotPoint;

use crate::charts::{Chart, Charts, Curve, Look, MarkKind};
use crate::theme::LIGHT;
use crate::words;

const WIDTH: f64 = 960.0;
const HEIGHT: f64 = 420.0;
/// Left, top, right and bottom edge of what is drawn.
const FRAME: (f64, f64, f64, f64) = (70.0, 64.0, 930.0, 370.0);

struct Drawing<'a> {
    out: String,
    chart: &'a Chart,
    charts: &'a Charts,
}

/// The drawing.
pub(super) fn drawing(chart: &Chart, charts: &Charts, axis: &str, title: &str) -> String {
    let mut drawing = Drawing { out: String::new(), chart, charts };
    drawing.head(title);
    drawing.grid(axis);
    drawing.beyond();
    for curve in &chart.curves {
        drawing.curve(curve);
    }
    drawing.limits();
    drawing.marks();
    drawing.out.push_str("</svg>\n");
    drawing.out
}

fn hex(colour: Color32) -> String {
    format!("#{:02x}{:02x}{:02x}", colour.r(), colour.g(), colour.b())
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Colour, width and dashes of a curve.
fn pen(look: Look) -> (Color32, f64, &'static str) {
    match look {
        Look::Main | Look::Circles => (LIGHT.door, 2.2, ""),
        Look::Second | Look::Diamonds => (LIGHT.second, 1.4, ""),
        Look::Thin => (LIGHT.door, 1.2, ""),
        Look::Dashed => (LIGHT.door, 1.5, "6 4"),
        Look::Strand(n) => (LIGHT.strands[n % LIGHT.strands.len()], 2.0, if n % 2 == 0 { "" } else { "7 4" }),
        Look::Reference => (LIGHT.soft, 1.2, "1.5 4"),
    }
}

impl Drawing<'_> {
    fn put(&mut self, text: &str) {
        // Writing to a text cannot fail.
        let _ = writeln!(self.out, "{text}");
    }

    fn x(&self, x: f64) -> f64 {
        let (low, high) = self.charts.range;
        FRAME.0 + (x - low) / (high - low) * (FRAME.2 - FRAME.0)
    }

    fn y(&self, y: f64) -> f64 {
        let (low, high) = (self.chart.bottom, self.chart.top);
        FRAME.3 - (y - low) / (high - low) * (FRAME.3 - FRAME.1)
    }

    fn text(&mut self, (x, y): (f64, f64), anchor: &str, look: (Color32, bool), text: &str) {
        let weight = if look.1 { " font-weight=\"600\"" } else { "" };
        self.put(&format!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" fill=\"{}\"{weight}>{}</text>",
            hex(look.0),
            escaped(text)
        ));
    }

    fn line(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), colour: Color32, more: &str) {
        self.put(&format!(
            "<line x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\" stroke=\"{}\" {more}/>",
            hex(colour)
        ));
    }

    fn head(&mut self, title: &str) {
        self.put(&format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" \
             height=\"{HEIGHT}\" font-family=\"Inter, sans-serif\" font-size=\"12\">"
        ));
        self.put(&format!("<title>{}</title>", escaped(&format!("{}: {title}", self.chart.kind.title()))));
        let (width, height) = (FRAME.2 - FRAME.0, FRAME.3 - FRAME.1);
        self.put(&format!(
            "<clipPath id=\"frame\"><rect x=\"{}\" y=\"{}\" width=\"{width}\" height=\"{height}\"/></clipPath>",
            FRAME.0, FRAME.1
        ));
        self.put(&format!("<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"{}\"/>", hex(LIGHT.raised)));
        let heading = format!("{} in {}: {title}", self.chart.kind.title(), self.chart.unit);
        self.text((FRAME.0, 24.0), "start", (LIGHT.ink, true), &heading);
        let mut x = FRAME.0;
        let mut listed: Vec<&str> = Vec::new();
        for curve in self.chart.curves.iter().rev() {
            if listed.contains(&curve.name.as_str()) || curve.points.is_empty() {
                continue;
            }
            listed.push(&curve.name);
            let (colour, width, dash) = pen(curve.look);
            let more = format!("stroke-width=\"{width}\" stroke-dasharray=\"{dash}\"");
            self.line((x, 44.0), (x + 22.0, 44.0), colour, &more);
            self.text((x + 28.0, 48.0), "start", (LIGHT.soft, false), &curve.name);
            x += 46.0 + 6.6 * curve.name.chars().count() as f64;
        }
    }

    fn grid(&mut self, axis: &str) {
        let (low, high) = self.charts.range;
        for x in steps(low, high, 8.0) {
            let at = self.x(x.0);
            self.line((at, FRAME.1), (at, FRAME.3), LIGHT.line, "");
            self.text((at, FRAME.3 + 18.0), "middle", (LIGHT.soft, false), &words::mark(x.0, x.1));
        }
        for y in steps(self.chart.bottom, self.chart.top, 5.0) {
            let at = self.y(y.0);
            self.line((FRAME.0, at), (FRAME.2, at), LIGHT.line, "");
            self.text((FRAME.0 - 8.0, at + 4.0), "end", (LIGHT.soft, false), &words::mark(y.0, y.1));
        }
        let axis = format!("{axis} in {}", self.charts.axis_unit);
        self.text((FRAME.2, FRAME.3 + 38.0), "end", (LIGHT.soft, false), &axis);
    }

    fn points(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        points.map(|(x, y)| format!("{:.1},{:.1}", self.x(x), self.y(y))).collect::<Vec<_>>().join(" ")
    }

    /// What lies beyond limits, and where strands are slack.
    fn beyond(&mut self) {
        let wash = hex(LIGHT.limit_wash);
        for part in &self.chart.over {
            let there = part.iter().map(|row| (row[0], row[1]));
            let back = part.iter().rev().map(|row| (row[0], row[2]));
            let points = self.points(there.chain(back));
            self.put(&format!("<polygon clip-path=\"url(#frame)\" points=\"{points}\" fill=\"{wash}\"/>"));
        }
        for slack in &self.chart.slack {
            let (left, right) = (self.x(slack.across.0), self.x(slack.across.1));
            let (width, height) = ((right - left).max(1.0), FRAME.3 - FRAME.1);
            self.put(&format!(
                "<rect clip-path=\"url(#frame)\" x=\"{left:.1}\" y=\"{}\" width=\"{width:.1}\" height=\"{height}\" fill=\"{wash}\"/>",
                FRAME.1
            ));
            self.text((left - 4.0, FRAME.1 + 14.0), "end", (LIGHT.limit, true), &slack.text);
        }
    }

    fn curve(&mut self, curve: &Curve) {
        let (colour, width, dash) = pen(curve.look);
        if curve.look.is_line() {
            let points = self.points(curve.points.iter().map(|point| (point.x, point.y)));
            self.put(&format!(
                "<polyline clip-path=\"url(#frame)\" points=\"{points}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{width}\" \
                 stroke-dasharray=\"{dash}\"/>",
                hex(colour)
            ));
        } else {
            for point in &curve.points {
                self.dot(*point, colour, 3.6);
            }
        }
    }

    fn dot(&mut self, at: PlotPoint, colour: Color32, radius: f64) {
        let (x, y) = (self.x(at.x), self.y(at.y));
        self.put(&format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius}\" fill=\"{}\"/>", hex(colour)));
    }

    fn limits(&mut self) {
        for limit in &self.chart.limits {
            let points = self.points(limit.points.iter().map(|point| (point.x, point.y)));
            let dash = if limit.is_stall() { "1.5 5" } else { "9 6" };
            let width = if limit.over { 2.4 } else { 1.6 };
            self.put(&format!(
                "<polyline clip-path=\"url(#frame)\" points=\"{points}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{width}\" \
                 stroke-dasharray=\"{dash}\"/>",
                hex(LIGHT.limit)
            ));
            if let Some(last) = limit.points.last().filter(|_| !limit.label.is_empty()) {
                let at = (self.x(last.x) - 4.0, self.y(last.y) - 5.0);
                self.text(at, "end", (LIGHT.limit, false), &limit.label);
            }
        }
    }

    fn marks(&mut self) {
        for mark in &self.chart.marks {
            let colour = match mark.kind {
                MarkKind::Over => LIGHT.limit,
                MarkKind::Peak => LIGHT.door,
                MarkKind::Event => LIGHT.ink,
            };
            self.dot(mark.at, colour, 3.6);
            let (x, y) = (self.x(mark.at.x), self.y(mark.at.y));
            let (x, anchor) = if x > FRAME.2 - 110.0 { (x - 7.0, "end") } else { (x + 7.0, "start") };
            self.text((x, y - 4.0), anchor, (colour, true), &mark.text);
        }
    }
}

/// Places at 1, 2 or 5 times a power of ten, about `wanted` of them, each with the step between them.
fn steps(low: f64, high: f64, wanted: f64) -> Vec<(f64, f64)> {
    let rough = (high - low) / wanted;
    if !(rough.is_finite() && rough > 0.0) {
        return Vec::new();
    }
    let power = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0].into_iter().map(|n| n * power).find(|step| *step >= rough * 0.99);
    let step = step.unwrap_or(10.0 * power);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|n| (n as f64 * step, step)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::Axis;
    use crate::charts::Kind;
    use crate::live::Live;
    use tautleaf_scenario::UnitSystem;

    #[test]
    fn a_drawing_of_every_chart_is_closed_and_escapes_what_a_user_wrote() {
        let live = Live::of(&crate::example::scenario()).expect("a door");
        for axis in [Axis::Time, Axis::Opening] {
            let charts = Charts::of(&live, UnitSystem::Si, axis, &Kind::ALL);
            for chart in &charts.charts {
                let drawn = drawing(chart, &charts, "time", "<script> & co");
                assert!(drawn.starts_with("<svg") && drawn.ends_with("</svg>\n"));
                assert!(!drawn.contains("<script>") && drawn.contains("&lt;script&gt; &amp; co"));
                assert!(!drawn.contains("NaN") && !drawn.contains("inf"), "{:?}", chart.kind);
                let lines = chart.curves.iter().filter(|curve| curve.look.is_line()).count();
                assert_eq!(drawn.matches("<polyline").count(), lines + chart.limits.len());
            }
        }
    }
}
