//! What a move of a slider costs on the reference door until its new curves can be drawn: one whole frame.
//!
//! `cargo bench -p tautleaf-app`. A frame is the action, the run with the force test at three gaps, the tension window,
//! the curve of impact forces over the travel (over the opening), the curves thinned out, the verdicts, the panels and
//! the triangles; what the graphics card then does is not in it. Promised: within 16.7 ms, a frame at 60 Hz.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use eframe::{App, egui};
use tautleaf_app::action::Action;
use tautleaf_app::axis::Axis;
use tautleaf_app::document::Document;
use tautleaf_app::example;
use tautleaf_app::window::Window;
use tautleaf_physics::number;

struct Bench {
    ctx: egui::Context,
    window: Window,
    frame: eframe::Frame,
    time: f64,
}

impl Bench {
    fn new(axis: Axis) -> Self {
        let ctx = egui::Context::default();
        let window = Window::new(&ctx, Document::new(example::scenario(), None), false);
        let frame = eframe::Frame::_new_kittest();
        let mut bench = Self { ctx, window, frame, time: 0.0 };
        bench.window.send(Action::Over(axis));
        for _ in 0..5 {
            bench.draw();
        }
        bench
    }

    /// One frame: all passes that it takes, and its triangles.
    fn draw(&mut self) -> usize {
        self.time += 1.0 / 60.0;
        let input = egui::RawInput {
            screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1280.0, 720.0))),
            time: Some(self.time),
            ..egui::RawInput::default()
        };
        self.window.logic(&self.ctx, &mut self.frame);
        let output = self.ctx.run_ui(input, |ui| self.window.ui(ui, &mut self.frame));
        self.ctx.tessellate(output.shapes, output.pixels_per_point).len()
    }

    /// The leaf is dragged to another mass.
    fn move_slider(&mut self, kg: f64) -> usize {
        self.window.send(Action::Set {
            number: number("leaf.mass").expect("in the table"),
            value: Some(kg),
            dragging: true,
        });
        self.draw()
    }
}

fn bench(c: &mut Criterion) {
    let mut group = c.benchmark_group("frame");
    for (name, axis) in
        [("slider move, over time", Axis::Time), ("slider move, over the opening", Axis::Opening)]
    {
        let mut bench = Bench::new(axis);
        let mut kg = 90.0;
        group.bench_function(name, |b| {
            b.iter(|| {
                kg = if kg > 130.0 { 90.0 } else { kg + 0.37 };
                black_box(bench.move_slider(kg))
            });
        });
    }
    let mut bench = Bench::new(Axis::Time);
    group.bench_function("nothing changes", |b| b.iter(|| black_box(bench.draw())));
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
