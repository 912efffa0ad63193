//! Draws the triangles of a window on the processor: the same picture everywhere, with no graphics card or driver.
use std::collections::HashMap;
use std::sync::Arc;

use eframe::egui;
use egui::epaint::{ImageData, Primitive};
use egui::{Color32, ColorImage, TextureId, TexturesDelta};
use image::{Rgba, RgbaImage};

/// Textures on the processor.
#[derive(Default)]
pub struct SoftRenderer {
    textures: HashMap<TextureId, ColorImage>,
}

impl egui_kittest::TestRenderer for SoftRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, patches) in delta.set.drain() {
            for d in patches {
                let ImageData::Color(img) = d.image;
                if let Some([x0, y0]) = d.pos {
                    let tex = self.textures.get_mut(&id).expect("patch of unknown texture");
                    let [w, h] = img.size;
                    for y in 0..h {
                        let dst = (y0 + y) * tex.size[0] + x0;
                        tex.pixels[dst..dst + w].copy_from_slice(&img.pixels[y * w..(y + 1) * w]);
                    }
                } else {
                    self.textures.insert(id, Arc::unwrap_or_clone(img));
                }
            }
        }
        for id in delta.free.drain() {
            self.textures.remove(&id);
        }
    }

    fn render(&mut self, ctx: &egui::Context, out: &egui::FullOutput) -> Result<RgbaImage, String> {
        let ppp = ctx.pixels_per_point();
        let size = ctx.content_rect().size() * ppp;
        let (w, h) = (size.x.round() as u32, size.y.round() as u32);
        let mut fb = vec![[0f32; 4]; (w * h) as usize];
        for cp in ctx.tessellate(out.shapes.clone(), ppp) {
            let Primitive::Mesh(mesh) = &cp.primitive else { continue };
            let tex = self.textures.get(&mesh.texture_id).ok_or("missing texture")?;
            let c = cp.clip_rect * ppp;
            let clip = [
                c.min.x.round().clamp(0.0, w as f32) as i32,
                c.min.y.round().clamp(0.0, h as f32) as i32,
                c.max.x.round().clamp(0.0, w as f32) as i32,
                c.max.y.round().clamp(0.0, h as f32) as i32,
            ];
            for t in mesh.indices.chunks_exact(3) {
                let v = [0, 1, 2].map(|i| mesh.vertices[t[i] as usize]);
                triangle(&mut fb, w as i32, clip, ppp, v, tex);
            }
        }
        let mut img = RgbaImage::new(w, h);
        for (p, c) in img.pixels_mut().zip(&fb) {
            *p = Rgba(c.map(|x| (x.clamp(0.0, 1.0) * 255.0).round() as u8));
        }
        Ok(img)
    }
}

fn rgba(c: Color32) -> [f32; 4] {
    c.to_array().map(|x| f32::from(x) / 255.0)
}

fn sample(tex: &ColorImage, u: f32, v: f32) -> [f32; 4] {
    let [w, h] = tex.size;
    let (x, y) = (u * w as f32 - 0.5, v * h as f32 - 0.5);
    let (fx, fy) = (x - x.floor(), y - y.floor());
    let at = |dx: i32, dy: i32| {
        let xi = (x.floor() as i32 + dx).clamp(0, w as i32 - 1) as usize;
        let yi = (y.floor() as i32 + dy).clamp(0, h as i32 - 1) as usize;
        rgba(tex.pixels[yi * w + xi])
    };
    let (a, b, c, d) = (at(0, 0), at(1, 0), at(0, 1), at(1, 1));
    core::array::from_fn(|i| {
        let top = a[i] + (b[i] - a[i]) * fx;
        let bot = c[i] + (d[i] - c[i]) * fx;
        top + (bot - top) * fy
    })
}

#[allow(clippy::many_single_char_names)]
fn triangle(
    fb: &mut [[f32; 4]],
    w: i32,
    clip: [i32; 4],
    ppp: f32,
    v: [egui::epaint::Vertex; 3],
    tex: &ColorImage,
) {
    // Snap to 1/256 px and use exact integer edge functions with the top-left rule.
    let mut p = v.map(|v| [(v.pos.x * ppp * 256.0).round() as i64, (v.pos.y * ppp * 256.0).round() as i64]);
    let mut v = v;
    let edge =
        |a: [i64; 2], b: [i64; 2], q: [i64; 2]| (b[0] - a[0]) * (q[1] - a[1]) - (b[1] - a[1]) * (q[0] - a[0]);
    let mut area = edge(p[0], p[1], p[2]);
    if area == 0 {
        return;
    }
    if area < 0 {
        p.swap(1, 2);
        v.swap(1, 2);
        area = -area;
    }
    let bias = |a: [i64; 2], b: [i64; 2]| {
        let top_left = (a[1] == b[1] && b[0] > a[0]) || b[1] < a[1];
        if top_left { 0 } else { -1 }
    };
    let b = [bias(p[1], p[2]), bias(p[2], p[0]), bias(p[0], p[1])];
    let xs = p.map(|q| q[0]);
    let ys = p.map(|q| q[1]);
    let x0 = ((xs.iter().min().unwrap() >> 8) as i32).max(clip[0]);
    let x1 = ((xs.iter().max().unwrap() >> 8) as i32 + 1).min(clip[2]);
    let y0 = ((ys.iter().min().unwrap() >> 8) as i32).max(clip[1]);
    let y1 = ((ys.iter().max().unwrap() >> 8) as i32 + 1).min(clip[3]);
    let col = v.map(|v| rgba(v.color));
    let uniform = v[0].uv == v[1].uv && v[1].uv == v[2].uv;
    let t0 = sample(tex, v[0].uv.x, v[0].uv.y);
    for y in y0..y1 {
        for x in x0..x1 {
            let q = [i64::from(x) * 256 + 128, i64::from(y) * 256 + 128];
            let e = [edge(p[1], p[2], q), edge(p[2], p[0], q), edge(p[0], p[1], q)];
            if (0..3).any(|i| e[i] + b[i] < 0) {
                continue;
            }
            let l = e.map(|e| e as f32 / area as f32);
            let t = if uniform {
                t0
            } else {
                let u = l[0] * v[0].uv.x + l[1] * v[1].uv.x + l[2] * v[2].uv.x;
                let vv = l[0] * v[0].uv.y + l[1] * v[1].uv.y + l[2] * v[2].uv.y;
                sample(tex, u, vv)
            };
            let dst = &mut fb[(y * w + x) as usize];
            let s: [f32; 4] =
                core::array::from_fn(|i| (l[0] * col[0][i] + l[1] * col[1][i] + l[2] * col[2][i]) * t[i]);
            for i in 0..4 {
                dst[i] = s[i] + dst[i] * (1.0 - s[3]);
            }
        }
    }
}
