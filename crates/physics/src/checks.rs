//! Every range and cross-check, once. All problems are found, not the first.

use crate::belt;
use crate::fields::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Quantity, RATING_FIELDS, TELESCOPE_FIELDS,
    WHOLE_NUMBERS, field,
};
use crate::parameters::{Arrangement, Fault, FaultKind, LeafForce, Parameters, Supply, SupplyKind};
use crate::place::Place;
use crate::problem::{OutOfRange, Problem, ProblemKind};
use crate::ratings::Ratings;

/// Sag of the longest strand, a fraction of its span, from which a remark is made.
const SAG: f64 = 0.02;
/// Belt that a clamp needs beside itself on the way, m.
const BESIDE_THE_CLAMP_M: f64 = 0.005;
/// Least distance of the open stop that an opening does not hit, m.
const CLEAR_OF_THE_STOP_M: f64 = 0.005;

/// Symbol of the SI unit in which a quantity is computed.
pub fn si_unit(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Mass => "kg",
        Quantity::Length | Quantity::ShortLength => "m",
        Quantity::Speed => "m/s",
        Quantity::Acceleration => "m/s2",
        Quantity::Jerk => "m/s3",
        Quantity::Force => "N",
        Quantity::Torque => "N m",
        Quantity::Energy => "J",
        Quantity::Stiffness | Quantity::LineDrag | Quantity::SpecificStiffness => "N/m",
        Quantity::SpecificMass => "kg/m2",
        Quantity::Damping => "N s/m",
        Quantity::Time | Quantity::ShortTime => "s",
        Quantity::Inertia => "kg m2",
        Quantity::Current => "A",
        Quantity::Voltage => "V",
        Quantity::Resistance => "ohm",
        Quantity::Inductance => "H",
        Quantity::Capacitance => "F",
        Quantity::Charge => "A s",
        Quantity::TorqueConstant => "N m/A",
        Quantity::SpeedGain => "A s/m",
        Quantity::PositionGain => "A/m",
        Quantity::Temperature => "C",
        Quantity::TemperatureRise => "K",
        Quantity::PerKelvin => "1/K",
        Quantity::PerHour => "1/h",
        Quantity::RotationalSpeed => "rad/s",
        Quantity::Power => "W",
        Quantity::Angle => "rad",
        Quantity::ThermalResistance => "K/W",
        Quantity::Slope => "m/m",
        Quantity::LineMass => "kg/m",
        Quantity::Pressure => "Pa",
        Quantity::Number => "",
    }
}

/// What is impossible, and what is unusual.
#[derive(Default)]
struct Found {
    wrong: Vec<Problem>,
    unusual: Vec<Problem>,
}

impl Found {
    /// Ranges of one table. `entry`: of which entry of its list.
    fn ranges<T>(&mut self, what: &T, fields: &[Field<T>], entry: Option<usize>) {
        for field in fields {
            let Some(value) = (field.get)(what) else { continue };
            let place = Place { key: field.key, entry };
            let outside = |(low, high): (f64, f64)| {
                let Field { quantity, says, .. } = *field;
                let out = OutOfRange { value, range: (low, high), quantity, says };
                (!(low..=high).contains(&value)).then_some(out)
            };
            if let Some(out) = outside(field.possible) {
                self.wrong.push(Problem { place, kind: ProblemKind::Impossible(out) });
            } else if let Some(out) = outside(field.usual) {
                self.unusual.push(Problem { place, kind: ProblemKind::Unusual(out) });
            }
        }
    }
}

/// Checks every number by itself: (impossible, unusual).
pub(crate) fn check_ranges(parameters: &Parameters) -> (Vec<Problem>, Vec<Problem>) {
    let mut found = Found::default();
    found.ranges(parameters, FIELDS, None);
    if let Some(obstacle) = &parameters.obstacle {
        found.ranges(obstacle, OBSTACLE_FIELDS, None);
    }
    if let Some(telescope) = &parameters.telescope {
        found.ranges(telescope, TELESCOPE_FIELDS, None);
    }
    for (entry, force) in parameters.forces.iter().enumerate() {
        found.ranges(force, FORCE_FIELDS, Some(entry));
    }
    for (entry, fault) in parameters.faults.iter().enumerate() {
        found.ranges(fault, FAULT_FIELDS, Some(entry));
    }
    (found.wrong, found.unusual)
}

/// What is unusual about ratings. No run depends on them, so that no door is refused for them.
pub fn unusual_ratings(ratings: &Ratings) -> Vec<Problem> {
    let mut found = Found::default();
    found.ranges(ratings, RATING_FIELDS, None);
    found.unusual
}

/// Checks what only goes wrong together. Runs on resolved parameters with every number in its range.
pub(crate) fn check_together(p: &Parameters) -> Vec<Problem> {
    let mut wrong = Vec::new();
    belt_and_pulleys(p, &mut wrong);
    whole_numbers(p, &mut wrong);
    travel(p, &mut wrong);
    leaves_and_doorway(p, &mut wrong);
    supply(p, &mut wrong);
    for (entry, force) in p.forces.iter().enumerate() {
        let wrongs = one_force(force, leaves(p));
        wrong.extend(wrongs.map(|(key, kind)| Problem { place: Place::in_entry(key, entry), kind }));
    }
    for (entry, fault) in p.faults.iter().enumerate() {
        let wrongs = one_fault(fault, p.rollers.diameter_m / 2.0, leaves(p));
        wrong.extend(wrongs.map(|(key, kind)| Problem { place: Place::in_entry(key, entry), kind }));
    }
    wrong
}

/// Number of leaves with a closing edge.
fn edges(p: &Parameters) -> usize {
    if p.arrangement == Arrangement::BiParting { 2 } else { 1 }
}

/// Number of leaves, the slow ones of a telescopic door included.
fn leaves(p: &Parameters) -> usize {
    if p.telescope.is_some() { 2 * edges(p) } else { edges(p) }
}

/// How far a leaf travels, m.
fn travel_m(p: &Parameters) -> f64 {
    p.leaf.partial_opening_m.unwrap_or(p.leaf.stroke_m)
}

/// Notes a problem where its condition holds.
fn note(wrong: &mut Vec<Problem>, holds: bool, key: &'static str, kind: ProblemKind) {
    if holds {
        wrong.push(Problem { place: Place::of(key), kind });
    }
}

/// Whether there is belt for the whole travel, and room for the pulleys.
fn belt_and_pulleys(p: &Parameters, wrong: &mut Vec<Problem>) {
    let distance_m = p.belt.centre_distance_m.unwrap_or(f64::NAN);
    let least_m = p.leaf.stroke_m + p.belt.clamp_m + BESIDE_THE_CLAMP_M;
    let kind = ProblemKind::NoBeltAhead { distance_m, least_m };
    note(wrong, distance_m < least_m, "belt.centre_distance", kind);
    let drive_m = belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
    let radii_m = drive_m + p.pulleys.return_radius_m.unwrap_or(0.0);
    let kind = ProblemKind::PulleysOverlap { distance_m, radii_m };
    note(wrong, distance_m < radii_m, "belt.centre_distance", kind);
}

/// What counts things has no fraction.
fn whole_numbers(p: &Parameters, wrong: &mut Vec<Problem>) {
    for key in WHOLE_NUMBERS {
        let value = field(key).and_then(|field| (field.get)(p)).unwrap_or(0.0);
        note(wrong, value.fract() != 0.0, key, ProblemKind::NotWhole { value });
    }
}

/// What has to fit into the travel.
fn travel(p: &Parameters, wrong: &mut Vec<Problem>) {
    let (travel_m, stroke_m) = (travel_m(p), p.leaf.stroke_m);
    for (key, motion) in [("opening.creep_distance", &p.opening), ("closing.creep_distance", &p.closing)] {
        let creep_m = motion.creep_distance_m;
        note(wrong, creep_m > travel_m, key, ProblemKind::CreepTooLong { creep_m, travel_m });
    }
    let (distance_m, half_m) = (p.controller.stop_distance_m, travel_m / 2.0);
    let kind = ProblemKind::StopsTooEarly { distance_m, half_m };
    note(wrong, distance_m >= half_m, "controller.stop_distance", kind);
    let kind = ProblemKind::PartialBeyondStroke { opening_m: travel_m, stroke_m };
    note(wrong, travel_m > stroke_m, "leaf.partial_opening", kind);
    let length_m = p.seal.end_length_m;
    let kind = ProblemKind::EndSealTooLong { length_m, stroke_m };
    note(wrong, length_m > stroke_m, "seal.end_length", kind);
}

/// What depends on how many leaves there are and how far they open together.
fn leaves_and_doorway(p: &Parameters, wrong: &mut Vec<Problem>) {
    let two = edges(p) == 2;
    note(wrong, !two && p.leaf.second_mass_kg.is_some(), "leaf.second_mass", ProblemKind::NoSecondLeaf);
    if let Some(obstacle) = &p.obstacle {
        let (gap_m, width_m) = (obstacle.gap_m, travel_m(p) * edges(p) as f64);
        let kind = ProblemKind::ObstacleTooWide { gap_m, width_m };
        note(wrong, gap_m >= width_m, "obstacle.gap", kind);
        note(wrong, two && obstacle.mass_kg.is_some(), "obstacle.mass", ProblemKind::NowhereToPush);
    }
    let (needs_m, opens_m) = (p.timeline.shoulder_width_m, travel_m(p) * leaves(p) as f64);
    let walks_up = p.timeline.activation_depth_m.is_some();
    let kind = ProblemKind::PersonTooWide { needs_m, opens_m };
    note(wrong, walks_up && needs_m >= opens_m, "timeline.shoulder_width", kind);
}

/// What cannot be together in the supply.
fn supply(p: &Parameters, wrong: &mut Vec<Problem>) {
    let Supply { voltage_v: bus_v, capacitance_f, kind, .. } = p.supply;
    if let Some(clamp_v) = p.supply.clamp_voltage_v {
        let kind = ProblemKind::ClampBelowBus { clamp_v, bus_v };
        note(wrong, clamp_v < bus_v, "supply.clamp_voltage", kind);
    }
    let limited = p.supply.current_limit_a.is_some();
    let battery = kind == SupplyKind::Battery;
    note(wrong, battery && limited, "supply.current_limit", ProblemKind::BatteryWithCurrentLimit);
    // the bus has to last a tick at the most that the controller asks for
    let current_a = p.opening.current_limit_a.max(p.closing.current_limit_a);
    let least_f = 2.0 * current_a * p.controller.tick_s / bus_v;
    let kind = ProblemKind::BusTooSmall { capacitance_f, least_f, current_a };
    note(wrong, limited && capacitance_f < least_f, "supply.capacitance", kind);
}

/// What is wrong with one more force on a door with so many leaves.
fn one_force(force: &LeafForce, leaves: usize) -> impl Iterator<Item = (&'static str, ProblemKind)> {
    let no_leaf = force.leaf.filter(|leaf| *leaf == 0 || *leaf > leaves);
    let no_leaf = no_leaf
        .map(|leaf| ("force.leaf", ProblemKind::ForceOnNoLeaf { name: force.name.clone(), leaf, leaves }));
    let ends = |key, from: f64, to: f64, quantity| {
        let kind = ProblemKind::EndsBeforeItBegins { name: force.name.clone(), from, to, quantity };
        (to < from).then_some((key, kind))
    };
    let there = ends("force.to", force.from_m, force.to_m, Quantity::Length);
    let then = ends("force.end", force.start_s, force.end_s, Quantity::Time);
    [no_leaf, there, then].into_iter().flatten()
}

/// What is wrong with one fault under rollers of this radius, on a door with so many leaves.
fn one_fault(
    fault: &Fault,
    radius_m: f64,
    leaves: usize,
) -> impl Iterator<Item = (&'static str, ProblemKind)> {
    let Fault { height_m, kind, leaf, .. } = *fault;
    let name = || fault.name.clone();
    let high = (height_m.abs() > radius_m / 2.0 && kind != FaultKind::Sag)
        .then(|| ("fault.height", ProblemKind::TooHighToClimb { name: name(), height_m, radius_m }));
    let down = (height_m < 0.0 && kind != FaultKind::Step)
        .then(|| ("fault.height", ProblemKind::OnlyAStepGoesDown { name: name(), height_m }));
    let no_leaf = (leaf == 0 || leaf > leaves)
        .then(|| ("fault.leaf", ProblemKind::FaultOnNoLeaf { name: name(), leaf, leaves }));
    [high, down, no_leaf].into_iter().flatten()
}

/// What is worth a word although the door can be run. Runs on resolved parameters.
pub(crate) fn remarks(p: &Parameters) -> Vec<Problem> {
    let mut remarks = Vec::new();
    let tension_n = p.belt.tension_n;
    let belt_mass = p.belt.specific_mass_kg_per_m2 * p.belt.width_m;
    let least_n = belt::sag_tension_n(belt_mass, p.belt.centre_distance_m.unwrap_or(0.0), SAG);
    let kind = ProblemKind::StrandSags { tension_n, least_n, sag: SAG };
    note(&mut remarks, tension_n < least_n, "belt.tension", kind);
    let stiffness_n = p.belt.specific_stiffness_n_per_m * p.belt.width_m;
    let (strain, allowable_strain) = (tension_n / stiffness_n, belt::ALLOWABLE_STRAIN);
    let most_n = allowable_strain * stiffness_n;
    let kind = ProblemKind::StrainsTheBelt { tension_n, strain, allowable_strain, most_n };
    note(&mut remarks, strain > allowable_strain, "belt.tension", kind);
    let efficiency = p.gear.efficiency;
    note(&mut remarks, efficiency <= 0.5, "gear.efficiency", ProblemKind::LocksItself { efficiency });
    let backlash_m = p.gear.backlash_m;
    let rigid = p.gear.mesh_stiffness_n_per_m.is_none();
    let kind = ProblemKind::BacklashBetweenRigidParts { backlash_m };
    note(&mut remarks, backlash_m > 0.0 && rigid, "gear.backlash", kind);
    let (behind_m, least_m) = (p.stoppers.behind_open_m, CLEAR_OF_THE_STOP_M);
    let kind = ProblemKind::OpenStopIsHit { behind_m, least_m };
    note(&mut remarks, behind_m < least_m, "stoppers.behind_open", kind);
    remarks
}
