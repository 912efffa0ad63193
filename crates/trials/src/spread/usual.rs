//! What is never known on site, and how it spreads unless the door file says otherwise.

use tautleaf_physics::Door;

use super::distribution::Shape;

/// A number that spreads by default.
pub(super) struct UsualSpread {
    pub key: &'static str,
    /// Keys of which any, listed in the door file, takes its place.
    pub beside: &'static [&'static str],
    /// Whether it spreads too where the door works it out.
    pub of_worked_out: bool,
    /// Shape with least and most, about the value that the door has; `None` where that leaves nothing to spread.
    pub shape: fn(f64, &Door) -> Option<Truncated>,
    /// Where the spread is from.
    pub source: &'static str,
}

/// A shape with its least and most.
pub(super) type Truncated = (Shape, f64, f64);

const OPEN: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// Likeliest at the value of the door, between two multiples of it.
fn multiples(value: f64, low: f64, high: f64) -> Option<Truncated> {
    (value > 0.0).then_some((
        Shape::Triangular { from: low * value, peak: value, to: high * value },
        OPEN.0,
        OPEN.1,
    ))
}

/// Efficiency that no gear is drawn beyond.
const BEST_GEAR: f64 = 0.97;

/// Normal about the value of the door, 2 % of it, at most three times that off.
fn two_percent(value: f64) -> Option<Truncated> {
    normal(value, 0.02)
}

/// Normal about the value of the door, a share of it as standard deviation, at most three times that off.
fn normal(value: f64, share: f64) -> Option<Truncated> {
    let deviation = share * value;
    (deviation > 0.0).then_some((
        Shape::Normal { mean: value, deviation },
        value - 3.0 * deviation,
        value + 3.0 * deviation,
    ))
}

const MASS_SOURCE: &str = "judgement: 2 % for glass, fittings and what is glued on; float glass alone varies by 3 % of 10 mm \
                           (EN 572-2, from memory)";

/// Everything that spreads by default.
pub(super) static USUAL_SPREADS: &[UsualSpread] = &[
    UsualSpread {
        key: "rollers.resistance",
        beside: &["rollers.resistance"],
        of_worked_out: false,
        shape: |value, _| multiples(value, 0.5, 2.0),
        source: "judgement: half to double; wheel lever arms of 0.1 to 0.5 mm span a factor of five (from memory), dirt and \
                 cold come on top",
    },
    UsualSpread {
        key: "seal.brush",
        beside: &["seal.brush"],
        of_worked_out: false,
        shape: |value, _| multiples(value, 0.3, 2.5),
        source: "judgement: a third to two and a half times; how far the brush is pressed in is set by eye",
    },
    UsualSpread {
        key: "belt.tension",
        beside: &["belt.tension"],
        of_worked_out: false,
        shape: |value, _| multiples(value, 0.6, 1.5),
        source: "judgement: set by feel, three fifths to one and a half times what was wanted",
    },
    UsualSpread {
        key: "edge.stiffness",
        beside: &["edge.stiffness"],
        of_worked_out: false,
        shape: |value, _| multiples(value, 0.7, 1.5),
        source: "judgement: rubber profiles are made to +-5 Shore A, about a quarter of their stiffness (from memory), and \
                 stiffen in the cold",
    },
    UsualSpread {
        key: "edge.travel",
        beside: &["edge.travel"],
        of_worked_out: true,
        shape: |value, _| multiples(value, 0.6, 1.4),
        source: "judgement: three fifths to seven fifths; where it is hard at its ends and in its corners it gives less",
    },
    UsualSpread {
        key: "edge.hard_stiffness",
        beside: &["edge.hard_stiffness"],
        of_worked_out: false,
        shape: |value, _| multiples(value, 0.5, 2.0),
        source: "judgement: half to double",
    },
    UsualSpread {
        key: "rear.stiffness",
        beside: &["rear.stiffness"],
        of_worked_out: false,
        shape: |value, door| {
            door.parameters().rear.clearance_m?; // nothing is tested behind the leaf
            multiples(value, 0.5, 2.0)
        },
        source: "judgement: half to double",
    },
    UsualSpread {
        key: "closing.current_limit",
        beside: &["closing.current_limit"],
        of_worked_out: false,
        shape: |value, _| Some((Shape::Uniform { from: 0.9 * value, to: 1.1 * value }, OPEN.0, OPEN.1)),
        source: "judgement: 10 % either way for the shunt that measures it and how it is trimmed",
    },
    UsualSpread {
        key: "motor.torque_constant",
        beside: &["motor.torque_constant"],
        of_worked_out: false,
        shape: |value, _| normal(value, 0.05),
        source: "two deviations are the 10 % that catalogues give as tolerance (from memory)",
    },
    UsualSpread {
        key: "gear.efficiency",
        beside: &["gear.efficiency"],
        of_worked_out: false,
        shape: |value, _| {
            let (shape, least, _) = multiples(value, 0.85, 1.1)?;
            (value < BEST_GEAR).then_some((shape, least, BEST_GEAR))
        },
        source: "judgement: 0.85 to 1.1 of what is given, at most 0.97; grease, load and running in",
    },
    UsualSpread {
        key: "tester.reads",
        beside: &["tester.reads"],
        of_worked_out: false,
        shape: |value, door| {
            let tester = door.parameters().tester;
            normal(value, tester.repeatability / tester.readings.sqrt())
        },
        source: "tester.repeatability over the root of tester.readings, cut at three deviations",
    },
    UsualSpread {
        key: "rail.slope",
        beside: &["rail.slope"],
        of_worked_out: false,
        shape: |value, door| {
            let p = door.parameters();
            let tolerance = p.workbench.frame_tolerance_m / (p.leaf.stroke_m + p.leaf.width_m);
            let shape = Shape::Normal { mean: value, deviation: tolerance / 2.0 };
            (tolerance > 0.0).then_some((shape, value - 2.0 * tolerance, value + 2.0 * tolerance))
        },
        source: "workbench.frame_tolerance over the length of the rail is two deviations (common practice: under 2 mm), at \
                 most twice that; the shape is judgement",
    },
    UsualSpread {
        key: "leaf.mass",
        beside: &["leaf.mass", "leaf.glass_thickness", "leaf.frame_mass", "leaf.fittings_mass"],
        of_worked_out: true,
        shape: |value, _| two_percent(value),
        source: MASS_SOURCE,
    },
    UsualSpread {
        key: "leaf.second_mass",
        beside: &["leaf.second_mass"],
        of_worked_out: false,
        shape: |value, _| two_percent(value),
        source: MASS_SOURCE,
    },
    UsualSpread {
        key: "telescope.mass",
        beside: &["telescope.mass"],
        of_worked_out: false,
        shape: |value, _| two_percent(value),
        source: MASS_SOURCE,
    },
    UsualSpread {
        key: "motor.winding_temperature",
        beside: &["motor.winding_temperature"],
        of_worked_out: false,
        shape: |value, _| Some((Shape::Uniform { from: value - 20.0, to: value + 40.0 }, OPEN.0, OPEN.1)),
        source: "judgement: from a cold morning, 20 K below, to well used, 40 K above",
    },
    UsualSpread {
        key: "duty.ambient",
        beside: &["duty.ambient"],
        of_worked_out: false,
        shape: |value, _| Some((Shape::Uniform { from: value - 10.0, to: value + 15.0 }, OPEN.0, OPEN.1)),
        source: "judgement: the housing over the drive, winter to summer",
    },
];

/// Keys of what spreads by default, where the door has it and the door file does not say otherwise.
pub fn usual_keys() -> impl Iterator<Item = &'static str> {
    USUAL_SPREADS.iter().map(|usual| usual.key)
}
