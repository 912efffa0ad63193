//! What runs straight within a sub-step, and crosses zero.

/// Share of a step in which something that runs straight from one value to another is below zero, or at it.
pub(crate) fn share_below_zero(before: f64, after: f64) -> f64 {
    let (low, high) = (before.min(after), before.max(after));
    match (low > 0.0, high > 0.0) {
        (true, _) => 0.0,
        (false, true) => low / (low - high),
        (false, false) => 1.0,
    }
}
