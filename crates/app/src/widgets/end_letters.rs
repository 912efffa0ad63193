//! The letter of each curve behind its end, none on another.

use eframe::egui::{Align2, Color32, Pos2, Ui, pos2};

use crate::theme::{size, strong_at};

/// Least distance of two letters.
const APART: f32 = 13.0;

/// Draws letters at the ends of curves.
pub fn end_letters(ui: &Ui, ends: &[(char, Pos2, Color32)], (top, bottom): (f32, f32)) {
    let heights: Vec<f32> = ends.iter().map(|(_, at, _)| at.y).collect();
    for ((letter, at, colour), y) in ends.iter().zip(apart(&heights, (top, bottom))) {
        let at = pos2(at.x + 5.0, y);
        ui.painter().text(at, Align2::LEFT_CENTER, letter, strong_at(size::SMALL), *colour);
    }
}

/// The same heights, moved so that no two are nearer than they may be, within the frame as far as there is room.
fn apart(heights: &[f32], (top, bottom): (f32, f32)) -> Vec<f32> {
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|&a, &b| heights[a].total_cmp(&heights[b]));
    let mut placed = heights.to_vec();
    let mut least = top;
    for &n in &order {
        placed[n] = placed[n].max(least);
        least = placed[n] + APART;
    }
    let mut most = bottom;
    for &n in order.iter().rev() {
        placed[n] = placed[n].min(most);
        most = placed[n] - APART;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_keep_their_order_and_their_distance_and_stay_in_the_frame() {
        assert_eq!(apart(&[50.0, 20.0], (0.0, 100.0)), [50.0, 20.0], "there is room");
        assert_eq!(apart(&[0.0, 1.0, 2.0], (0.0, 100.0)), [0.0, 13.0, 26.0]);
        assert_eq!(apart(&[99.0, 100.0], (0.0, 100.0)), [87.0, 100.0]);
    }
}
