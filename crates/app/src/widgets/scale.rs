//! Marks of a scale: round numbers, about so many of them.

use egui_plot::{GridInput, GridMark};

/// Marks at 1, 2 or 5 times a power of ten, about `wanted` of them.
pub fn marks(input: GridInput, wanted: f64) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let rough = (high - low) / wanted;
    if !(rough.is_finite() && rough > 0.0) {
        return Vec::new();
    }
    let power = 10f64.powf(rough.log10().floor());
    let steps = [0.5, 1.0, 2.0, 5.0, 10.0].map(|n| n * power);
    let index = steps.iter().position(|step| *step >= rough * 0.99).unwrap_or(steps.len() - 1);
    // One number alone is no scale.
    let alone = (high / steps[index]).floor() - (low / steps[index]).ceil() < 1.0;
    let step = steps[if alone { index.saturating_sub(1) } else { index }];
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|n| GridMark { value: n as f64 * step, step_size: step }).collect()
}
