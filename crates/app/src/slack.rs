//! Names of strands, short enough for a chart.

use tautleaf_physics::Door;

/// A strand by what it joins: `leaf to return pulley`.
pub(crate) fn strand(door: &Door, span: usize) -> String {
    let ring = door.ring();
    if span >= ring.bodies {
        return format!("second belt, length {}", 1 + (span - ring.bodies) % 2);
    }
    let body = |body: usize| match ring.leaves.iter().position(|leaf| leaf.body == body) {
        Some(leaf) if ring.leaves.len() > 1 => format!("leaf {}", leaf + 1),
        Some(_) => "leaf".to_owned(),
        None if body == ring.return_body => "return".to_owned(),
        None => "drive".to_owned(),
    };
    format!("{} to {}", body(span), body((span + 1) % ring.bodies.max(1)))
}
