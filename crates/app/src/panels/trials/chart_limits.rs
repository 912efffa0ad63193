//! What the charts of trials are titled, and which limits they draw.

use tautleaf_physics::{Figure, Limit, Rule};

/// How far a limit may lie from what is drawn, over the height or width of that.
const NEAR: f64 = 2.0;

/// A name and its unit, where it has one.
pub(super) fn titled(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") }
}

/// What the limits on a figure allow, where that is one number, as shown, and so near to what is drawn that it does not
/// press it together.
pub(super) fn limits_near(
    limits: &[Limit],
    figure: Figure,
    shown: impl Fn(f64) -> f64,
    (low, high): (f64, f64),
) -> Vec<f64> {
    let reach = NEAR * (high - low);
    let allowed =
        limits.iter().filter(|limit| limit.figure == Some(figure)).filter_map(|limit| match limit.rule {
            Rule::AtMost(value) | Rule::AtLeast(value) => Some(shown(value)),
            _ => None,
        });
    allowed.filter(|at| (low - reach..=high + reach).contains(at)).collect()
}
