//! Every range and cross-check, once. All problems are found, not the first.

use serde::Serialize;

use crate::belt;
use crate::fields::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Quantity, TELESCOPE_FIELDS, WHOLE_NUMBERS,
    field,
};
use crate::parameters::{Arrangement, FaultKind, Parameters, Supply, SupplyKind};

/// One thing that is wrong with a door, or unusual about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// Dotted key of the number, as in a door file.
    pub key: String,
    /// What was found, SI.
    pub found: String,
    /// What would do.
    pub would_do: String,
}

impl Problem {
    pub(crate) fn new(key: &str, found: impl Into<String>, would_do: impl Into<String>) -> Self {
        Self { key: key.to_owned(), found: found.into(), would_do: would_do.into() }
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}; {}", self.key, self.found, self.would_do)
    }
}

/// Everything that keeps a door from being run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
pub struct Problems(pub Vec<Problem>);

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

fn with_unit(value: f64, quantity: Quantity) -> String {
    format!("{value} {}", si_unit(quantity)).trim_end().to_owned()
}

/// Ranges of one table: what is impossible, and what is unusual.
fn ranges<T>(what: &T, fields: &[Field<T>], wrong: &mut Vec<Problem>, unusual: &mut Vec<Problem>) {
    for field in fields {
        let Some(value) = (field.get)(what) else { continue };
        let spoken = |(low, high): (f64, f64)| {
            format!("between {} and {}", with_unit(low, field.quantity), with_unit(high, field.quantity))
        };
        let (low, high) = field.possible;
        if !(low..=high).contains(&value) {
            let would_do = format!("{}: possible is {}", field.says, spoken(field.possible));
            wrong.push(Problem::new(
                field.key,
                format!("found {}", with_unit(value, field.quantity)),
                would_do,
            ));
            continue;
        }
        let (low, high) = field.usual;
        if !(low..=high).contains(&value) {
            let would_do = format!("{}: usual is {}", field.says, spoken(field.usual));
            unusual.push(Problem::new(
                field.key,
                format!("{} is unusual", with_unit(value, field.quantity)),
                would_do,
            ));
        }
    }
}

/// Checks every number by itself: (impossible, unusual).
pub(crate) fn check_ranges(parameters: &Parameters) -> (Vec<Problem>, Vec<Problem>) {
    let (mut wrong, mut unusual) = (Vec::new(), Vec::new());
    ranges(parameters, FIELDS, &mut wrong, &mut unusual);
    if let Some(obstacle) = &parameters.obstacle {
        ranges(obstacle, OBSTACLE_FIELDS, &mut wrong, &mut unusual);
    }
    for force in &parameters.forces {
        ranges(force, FORCE_FIELDS, &mut wrong, &mut unusual);
    }
    if let Some(telescope) = &parameters.telescope {
        ranges(telescope, TELESCOPE_FIELDS, &mut wrong, &mut unusual);
    }
    for fault in &parameters.faults {
        ranges(fault, FAULT_FIELDS, &mut wrong, &mut unusual);
    }
    (wrong, unusual)
}

/// Checks what only goes wrong together. Runs on resolved parameters with every number in its range.
pub(crate) fn check_together(p: &Parameters) -> Vec<Problem> {
    let mut wrong = Vec::new();
    let stroke = p.leaf.stroke_m;
    let travel = p.leaf.partial_opening_m.unwrap_or(stroke);
    let centre = p.belt.centre_distance_m.unwrap_or(f64::NAN);
    let need = stroke + p.belt.clamp_m + 0.005;
    if centre < need {
        let found = format!("{centre} m between the pulleys leaves no belt ahead of the open leaf");
        wrong.push(Problem::new(
            "belt.centre_distance",
            found,
            format!("stroke and clamp need at least {need} m"),
        ));
    }
    let radii =
        belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth) + p.pulleys.return_radius_m.unwrap_or(0.0);
    if centre < radii {
        let found = format!("{centre} m between the axes, but the pitch radii add up to {radii} m");
        wrong.push(Problem::new(
            "belt.centre_distance",
            found,
            "move the pulleys apart or make them smaller",
        ));
    }
    for key in WHOLE_NUMBERS {
        let value = field(key).and_then(|field| (field.get)(p)).unwrap_or(0.0);
        if value.fract() != 0.0 {
            wrong.push(Problem::new(key, format!("found {value}"), "write a whole number"));
        }
    }
    for (key, motion) in [("opening", &p.opening), ("closing", &p.closing)] {
        if motion.creep_distance_m > travel {
            let found = format!("{} m is longer than the travel", motion.creep_distance_m);
            wrong.push(Problem::new(&format!("{key}.creep_distance"), found, format!("at most {travel} m")));
        }
    }
    if p.controller.stop_distance_m >= travel / 2.0 {
        let found = format!("{} m is half the travel or more", p.controller.stop_distance_m);
        wrong.push(Problem::new("controller.stop_distance", found, format!("less than {} m", travel / 2.0)));
    }
    if travel > stroke {
        let found = format!("{travel} m is more than the stroke");
        wrong.push(Problem::new("leaf.partial_opening", found, format!("at most {stroke} m")));
    }
    if p.seal.end_length_m > stroke {
        let found = format!("{} m is longer than the stroke", p.seal.end_length_m);
        wrong.push(Problem::new("seal.end_length", found, format!("at most {stroke} m")));
    }
    if p.leaf.second_mass_kg.is_some() && p.arrangement != Arrangement::BiParting {
        wrong.push(Problem::new(
            "leaf.second_mass",
            "there is only one leaf",
            "leave it out, or write arrangement = \"bi-parting\"",
        ));
    }
    let edges = if p.arrangement == Arrangement::BiParting { 2 } else { 1 };
    let leaves = if p.telescope.is_some() { 2 * edges } else { edges };
    if let Some(obstacle) = &p.obstacle
        && obstacle.gap_m >= travel * edges as f64
    {
        let found = format!("{} m is as wide as the open door", obstacle.gap_m);
        wrong.push(Problem::new("obstacle.gap", found, format!("less than {} m", travel * edges as f64)));
    }
    if edges == 2 && p.obstacle.is_some_and(|obstacle| obstacle.mass_kg.is_some()) {
        let found = "two leaves squeeze the obstacle between them: there is nowhere to push it";
        wrong.push(Problem::new("obstacle.mass", found, "leave it out: it floats between the edges"));
    }
    supply(p, &mut wrong);
    let (needs, opens) = (p.timeline.shoulder_width_m, travel * leaves as f64);
    if p.timeline.activation_depth_m.is_some() && needs >= opens {
        let found = format!("{needs} m is more than this door opens");
        wrong.push(Problem::new("timeline.shoulder_width", found, format!("less than {opens} m")));
    }
    for force in &p.forces {
        if force.leaf.is_some_and(|leaf| leaf == 0 || leaf > leaves) {
            let found = format!("\"{}\" acts on leaf {}", force.name, force.leaf.unwrap_or(0));
            wrong.push(Problem::new("force.leaf", found, format!("this door has {leaves}")));
        }
        for (key, from, to) in
            [("force.to", force.from_m, force.to_m), ("force.end", force.start_s, force.end_s)]
        {
            if to < from {
                let found = format!("\"{}\" ends at {to} before it begins at {from}", force.name);
                wrong.push(Problem::new(key, found, "write the larger value last"));
            }
        }
    }
    for fault in &p.faults {
        let radius = p.rollers.diameter_m / 2.0;
        if fault.height_m.abs() > radius / 2.0 && fault.kind != FaultKind::Sag {
            let found =
                format!("\"{}\" is {} m high, the roller's radius is {radius} m", fault.name, fault.height_m);
            wrong.push(Problem::new("fault.height", found, "at most half the radius: no roller climbs more"));
        }
        if fault.height_m < 0.0 && fault.kind != FaultKind::Step {
            let found = format!("\"{}\" is {} m high", fault.name, fault.height_m);
            wrong.push(Problem::new("fault.height", found, "0 or more; only a step may go down"));
        }
        if fault.leaf == 0 || fault.leaf > leaves {
            let found = format!("\"{}\" is on leaf {}", fault.name, fault.leaf);
            wrong.push(Problem::new("fault.leaf", found, format!("this door has {leaves}")));
        }
    }
    wrong
}

/// What cannot be together in the supply.
fn supply(p: &Parameters, wrong: &mut Vec<Problem>) {
    let Supply { voltage_v: volts, capacitance_f, kind, .. } = p.supply;
    if p.supply.clamp_voltage_v.is_some_and(|clamp| clamp < volts) {
        let found = format!("{} V is below the bus voltage", p.supply.clamp_voltage_v.unwrap_or_default());
        wrong.push(Problem::new("supply.clamp_voltage", found, format!("at least {volts} V")));
    }
    if kind == SupplyKind::Battery && p.supply.current_limit_a.is_some() {
        let found = "a battery is limited by its inner resistance";
        wrong.push(Problem::new("supply.current_limit", found, "leave it out, or write kind = \"mains\""));
    }
    // the bus has to last a tick at the most that the controller asks for
    let most = p.opening.current_limit_a.max(p.closing.current_limit_a);
    let needed = 2.0 * most * p.controller.tick_s / volts;
    if p.supply.current_limit_a.is_some() && capacitance_f < needed {
        let found = format!("{capacitance_f} F does not carry the bus through one tick at {most} A");
        wrong.push(Problem::new("supply.capacitance", found, format!("at least {needed:.2e} F")));
    }
}

/// What is worth a word although the door can be run. Runs on resolved parameters.
pub(crate) fn remarks(p: &Parameters) -> Vec<Problem> {
    let mut remarks = Vec::new();
    let belt_mass = p.belt.specific_mass_kg_per_m2 * p.belt.width_m;
    let longest = p.belt.centre_distance_m.unwrap_or(0.0);
    let sagging = belt::sag_tension_n(belt_mass, longest, 0.02);
    if p.belt.tension_n < sagging {
        let found = format!(
            "at {} N the longest strand sags more than 2 % of its span and is softer than computed",
            p.belt.tension_n
        );
        remarks.push(Problem::new("belt.tension", found, format!("at least {sagging:.0} N")));
    }
    let strain = p.belt.tension_n / (p.belt.specific_stiffness_n_per_m * p.belt.width_m);
    if strain > belt::ALLOWABLE_STRAIN {
        let most = belt::ALLOWABLE_STRAIN * p.belt.specific_stiffness_n_per_m * p.belt.width_m;
        let found = format!("{} N strains the belt by {:.2} %", p.belt.tension_n, 100.0 * strain);
        remarks.push(Problem::new(
            "belt.tension",
            found,
            format!("makers' tables allow about 0.4 %: {most:.0} N; follow the maker of the belt"),
        ));
    }
    if p.gear.efficiency <= 0.5 {
        let found = format!(
            "efficiency {} locks itself: the leaf cannot be moved by hand with the power off",
            p.gear.efficiency
        );
        remarks.push(Problem::new("gear.efficiency", found, "above 0.5, or a release"));
    }
    if p.gear.backlash_m > 0.0 && p.gear.mesh_stiffness_n_per_m.is_none() {
        let found =
            format!("a play of {} m does nothing while rotor and pulley are rigid", p.gear.backlash_m);
        let would_do = "set gear.mesh_stiffness too, 2000 N/mm for a stiff gear";
        remarks.push(Problem::new("gear.backlash", found, would_do));
    }
    if p.stoppers.behind_open_m < 0.005 {
        let found = format!(
            "the open stop is {} m behind fully open and is hit at every opening",
            p.stoppers.behind_open_m
        );
        remarks.push(Problem::new("stoppers.behind_open", found, "0.005 m or more"));
    }
    remarks
}
