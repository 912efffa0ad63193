//! When a strand sags too much to count as a spring.

use tautleaf_physics::belt;

/// A level strand sags m' g l^2/(8 T) in the middle (derived): 2 % of 2.4 m at 10.6 N for 72 g/m.
#[test]
fn a_strand_sags_two_percent_at_the_tension_that_is_warned_of() {
    let tension = belt::sag_tension_n(0.072, 2.4, 0.02);
    let sag_over_span = 0.072 * belt::G * 2.4 * 2.4 / (8.0 * tension) / 2.4;
    assert!((sag_over_span - 0.02).abs() < 1e-12);
}
