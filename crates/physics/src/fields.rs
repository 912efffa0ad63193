//! Every number of a door in one table: its key, its quantity, how far a slider goes, what is possible at all,
//! what it means and where its default is from. Files, checks, sliders and the resolved listing all read it.

use crate::parameters::{Fault, LeafForce, Obstacle, Parameters, Telescope};
use crate::ratings::Ratings;

/// What kind of quantity a number is. The SI unit of each is in its description.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// kg
    Mass,
    /// m, spoken of in metres or feet
    Length,
    /// m, spoken of in millimetres or inches
    ShortLength,
    /// m/s
    Speed,
    /// m/s2
    Acceleration,
    /// m/s3
    Jerk,
    /// N
    Force,
    /// N m
    Torque,
    /// J
    Energy,
    /// N/m, spoken of in N/mm
    Stiffness,
    /// N/m, spoken of in N/m: a drag for each metre of seal
    LineDrag,
    /// N/m: force per unit strain and width, spoken of in kN/mm
    SpecificStiffness,
    /// kg/m2: mass per length and width, spoken of in g/m/mm
    SpecificMass,
    /// N s/m
    Damping,
    /// s
    Time,
    /// s, spoken of in milliseconds
    ShortTime,
    /// kg m2
    Inertia,
    /// A
    Current,
    /// V
    Voltage,
    /// ohm
    Resistance,
    /// H, spoken of in mH
    Inductance,
    /// F, spoken of in mF
    Capacitance,
    /// A s, spoken of in Ah
    Charge,
    /// N m/A
    TorqueConstant,
    /// A s/m
    SpeedGain,
    /// A/m
    PositionGain,
    /// C
    Temperature,
    /// K: a difference of temperatures
    TemperatureRise,
    /// 1/K
    PerKelvin,
    /// 1/h
    PerHour,
    /// rad/s, spoken of in 1/min
    RotationalSpeed,
    /// W
    Power,
    /// rad, spoken of in arcmin
    Angle,
    /// K/W
    ThermalResistance,
    /// m/m, spoken of in mm/m
    Slope,
    /// kg/m
    LineMass,
    /// Pa
    Pressure,
    /// a plain number
    Number,
}

/// One number of `T`.
pub struct Field<T: 'static> {
    /// Dotted key, as in a door file: `leaf.mass`.
    pub key: &'static str,
    /// What kind of quantity it is.
    pub quantity: Quantity,
    /// Usual range, in SI: outside it a file is warned of.
    pub usual: (f64, f64),
    /// Possible range, in SI: outside it a file is refused.
    pub possible: (f64, f64),
    /// What it means, in a short sentence.
    pub says: &'static str,
    /// Where its default is from: a source, or "judgement".
    pub source: &'static str,
    /// Reads it; `None` where it is worked out from the others.
    pub get: fn(&T) -> Option<f64>,
    /// Writes it; `None` brings the default back.
    pub set: fn(&mut T, Option<f64>),
}

macro_rules! field {
    ($t:ty; opt $($p:ident).+, $key:literal, $q:ident, $usual:expr, $possible:expr, $says:literal, $source:literal) => {
        Field::<$t> { key: $key, quantity: Quantity::$q, usual: $usual, possible: $possible, says: $says, source: $source,
            get: |t| t.$($p).+, set: |t, v| t.$($p).+ = v }
    };
    ($t:ty; $($p:ident).+, $key:literal, $q:ident, $usual:expr, $possible:expr, $says:literal, $source:literal) => {
        Field::<$t> { key: $key, quantity: Quantity::$q, usual: $usual, possible: $possible, says: $says, source: $source,
            get: |t| Some(t.$($p).+), set: |t, v| t.$($p).+ = v.unwrap_or_else(|| <$t>::default().$($p).+) }
    };
}

type P = Parameters;

/// Every number of a door, in the order of a door file.
#[rustfmt::skip]
pub static FIELDS: &[Field<Parameters>] = &[
    Field::<P> { set: |p, v| { p.leaf.mass_kg = v.unwrap_or(80.0); p.leaf.glass_thickness_m = None; },
        ..field!(P; leaf.mass_kg, "leaf.mass", Mass, (20.0, 400.0), (0.1, 5000.0), "mass of one leaf with its hangers, without belt", "judgement; heavy: lead-lined, hermetic") },
    field!(P; opt leaf.second_mass_kg, "leaf.second_mass", Mass, (20.0, 400.0), (0.1, 5000.0), "mass of the second leaf of a pair; left out: as the first", "worked out"),
    field!(P; leaf.width_m, "leaf.width", Length, (0.4, 2.5), (0.05, 10.0), "width of one leaf", "judgement"),
    field!(P; leaf.height_m, "leaf.height", Length, (1.8, 4.0), (0.05, 20.0), "height of one leaf", "judgement"),
    field!(P; leaf.stroke_m, "leaf.stroke", Length, (0.4, 3.0), (0.05, 20.0), "travel of one leaf from closed to fully open", "judgement"),
    Field::<P> { set: |p, v| { if v.is_some() { p.leaf.mass_kg = 80.0; } p.leaf.glass_thickness_m = v; },
        ..field!(P; opt leaf.glass_thickness_m, "leaf.glass_thickness", ShortLength, (0.006, 0.05), (0.001, 0.2), "glass of all panes together; with it the mass is worked out, 2500 kg/m3 over the whole leaf and the frame", "worked out; density: EN 572-1") },
    field!(P; leaf.frame_mass_kg_per_m, "leaf.frame_mass", LineMass, (0.0, 5.0), (0.0, 100.0), "frame profile for each metre of circumference; counts with the glass", "judgement: frameless"),
    field!(P; leaf.fittings_mass_kg, "leaf.fittings_mass", Mass, (0.0, 20.0), (0.0, 500.0), "hangers, clamps and lock of one leaf; count with the glass", "judgement"),
    field!(P; opt leaf.hanger_spacing_m, "leaf.hanger_spacing", Length, (0.3, 2.0), (0.05, 10.0), "between the two hangers; left out: width - 0.2 m", "judgement"),
    field!(P; leaf.belt_height_m, "leaf.belt_height", ShortLength, (0.0, 0.2), (-1.0, 1.0), "height of the belt clamp above the rail", "judgement"),
    field!(P; opt leaf.gravity_depth_m, "leaf.gravity_depth", Length, (0.7, 2.2), (0.0, 20.0), "depth of the centre of gravity below the rail; left out: half the height", "judgement"),
    field!(P; leaf.gravity_offset_m, "leaf.gravity_offset", ShortLength, (-0.2, 0.2), (-5.0, 5.0), "centre of gravity off the middle of the hangers, towards the closing edge", "judgement: none"),
    field!(P; leaf.hanger_height_difference_m, "leaf.hanger_height_difference", ShortLength, (-0.005, 0.005), (-0.1, 0.1), "how much higher the trailing hanger sits than the leading one", "judgement: none"),
    field!(P; opt leaf.partial_opening_m, "leaf.partial_opening", Length, (0.3, 2.0), (0.05, 20.0), "travel of one leaf in partial opening, as in winter; left out: the whole stroke", "judgement: off"),
    field!(P; edge.stiffness_n_per_m, "edge.stiffness", Stiffness, (2e3, 500e3), (1.0, 1e15), "stiffness of the closing edge of one leaf", "judgement: 2 J within 400 N needs 40 N/mm or less"),
    field!(P; edge.damping_n_s_per_m, "edge.damping", Damping, (0.0, 2000.0), (0.0, 1e6), "damping of the closing edge of one leaf", "judgement"),
    field!(P; opt edge.contact_depth_m, "edge.contact_depth", Length, (0.2, 2.2), (0.0, 20.0), "depth below the rail at which the edge meets things; left out: half the height", "judgement"),
    field!(P; opt edge.travel_m, "edge.travel", ShortLength, (0.002, 0.06), (0.0, 10.0), "how far one edge gives until it is pressed flat; left out: 10 mm", "judgement: rubber nosing; measure force and travel of a short piece in a vice"),
    field!(P; edge.hard_stiffness_n_per_m, "edge.hard_stiffness", Stiffness, (100e3, 1e6), (1.0, 1e15), "stiffness of one edge that is pressed flat, with leaf and hangers", "judgement"),
    field!(P; edge.cold_factor_per_k, "edge.cold_factor", PerKelvin, (0.0, 0.03), (0.0, 0.2), "how much stiffer the edge is for each kelvin that the ambient of the duty is below 20 C", "judgement: rubber stiffens in the cold"),
    field!(P; opt rear.clearance_m, "rear.clearance", Length, (0.0, 2.0), (0.0, 20.0), "from the rear edge of the fully open leaf to the next fixed part behind it; left out: not measured", "measured on site"),
    field!(P; rear.stiffness_n_per_m, "rear.stiffness", Stiffness, (50e3, 5e6), (1.0, 1e15), "stiffness of the rear edge with leaf and hangers", "judgement: bare profile or glass on its hangers"),
    field!(P; rear.damping_n_s_per_m, "rear.damping", Damping, (0.0, 2000.0), (0.0, 1e6), "damping of the rear edge", "judgement"),
    field!(P; opt rear.depth_m, "rear.depth", Length, (0.2, 2.2), (0.0, 20.0), "depth below the rail at which the rear edge meets things; left out: half the height", "judgement"),
    field!(P; rollers.resistance, "rollers.resistance", Number, (0.002, 0.03), (0.0, 1.0), "running resistance over load, c_rr", "wheel lever arm 0.1 to 0.5 mm, from memory; a measured axis has 0.022 (Janot, Gautier, Brunot 2019)"),
    field!(P; rollers.breakaway, "rollers.breakaway", Number, (1.0, 2.0), (1.0, 10.0), "breakaway over running resistance", "from memory"),
    field!(P; rollers.fade_speed_m_per_s, "rollers.fade_speed", Speed, (0.001, 0.07), (1e-5, 1.0), "speed over which breakaway fades", "from memory"),
    field!(P; rollers.viscous_n_s_per_m, "rollers.viscous", Damping, (0.0, 200.0), (0.0, 1e5), "rolling resistance that grows with speed, each leaf", "from memory"),
    field!(P; rollers.diameter_m, "rollers.diameter", ShortLength, (0.015, 0.08), (0.004, 1.0), "diameter of a hanger roller", "judgement"),
    field!(P; seal.brush_n_per_m, "seal.brush", LineDrag, (0.0, 30.0), (0.0, 1e4), "drag of the brush seal for each metre of leaf height", "judgement"),
    field!(P; seal.end_stiffness_n_per_m, "seal.end_stiffness", Stiffness, (0.0, 10e3), (0.0, 1e7), "stiffness of the compression seal before closed", "judgement"),
    field!(P; seal.end_length_m, "seal.end_length", ShortLength, (0.0, 0.02), (0.0, 1.0), "travel over which the compression seal acts", "judgement"),
    field!(P; rail.slope, "rail.slope", Slope, (-0.005, 0.005), (-0.5, 0.5), "rise of the rail, uphill positive while leaf 1 opens", "judgement: level"),
    field!(P; guide.friction, "guide.friction", Number, (0.05, 0.4), (0.0, 2.0), "friction coefficient of the floor guide", "steel on dry nylon 0.3, from memory; judgement: 0.2"),
    field!(P; opt guide.depth_m, "guide.depth", Length, (1.8, 4.1), (0.0, 20.0), "depth of the floor guide below the rail; left out: height of the leaf + 50 mm", "judgement"),
    field!(P; guide.out_of_plumb, "guide.out_of_plumb", Slope, (0.0, 0.002), (0.0, 0.2), "how far the frame is out of plumb across the opening: the leaf hangs against its guide", "common practice: under 2 mm on the height of the frame"),
    field!(P; weather.wind_m_per_s, "weather.wind", Speed, (0.0, 20.0), (0.0, 80.0), "wind on the face of the leaf, 1/2 rho v^2 with rho 1.25 kg/m3", "judgement: none; density: EN 1991-1-4, from memory"),
    field!(P; weather.stack_pressure_pa, "weather.stack_pressure", Pressure, (-50.0, 50.0), (-5000.0, 5000.0), "pressure across the door from stack effect or ventilation", "judgement: none"),
    field!(P; opt belt.centre_distance_m, "belt.centre_distance", Length, (0.8, 8.0), (0.1, 60.0), "between the pulley axes; left out: stroke + 1.4 m", "judgement"),
    field!(P; belt.clamp_m, "belt.clamp", Length, (0.05, 1.0), (0.005, 20.0), "free belt between the clamp of the closed leaf and its nearer pulley", "judgement"),
    field!(P; belt.pitch_m, "belt.pitch", ShortLength, (0.002032, 0.014), (0.0005, 0.05), "tooth pitch: XL 5.080, L 9.525, H 12.700 (ISO 5296); 5M, 8M (ISO 13050); T5, T10 (ISO 17396)", "judgement: 5 mm"),
    field!(P; belt.width_m, "belt.width", ShortLength, (0.006, 0.030), (0.001, 0.5), "belt width", "judgement"),
    field!(P; belt.specific_stiffness_n_per_m, "belt.specific_stiffness", SpecificStiffness, (2e6, 35e6), (1e-2, 1e12), "force for each unit of strain and width", "makers' tables for steel cord: T5 9, AT5 14 to 17, 5M 22 to 25, 8M 35 kN/mm; glass 2 to 10 from memory"),
    field!(P; belt.specific_mass_kg_per_m2, "belt.specific_mass", SpecificMass, (1.1, 6.4), (1e-6, 100.0), "mass for each length and width", "makers' tables: T5 2.1, AT5 3 to 4, 5M 4.7 to 5.0, 8M 6.3 g/m/mm"),
    field!(P; belt.tension_n, "belt.tension", Force, (20.0, 1500.0), (0.0, 1e5), "installed tension of each strand at rest", "common practice: at least the pull, at most 0.4 % strain"),
    field!(P; belt.damping_time_s, "belt.damping_time", ShortTime, (0.0001, 0.005), (0.0, 0.05), "damping over stiffness of the belt", "from memory"),
    field!(P; pulleys.teeth, "pulleys.teeth", Number, (12.0, 48.0), (6.0, 400.0), "teeth of the drive pulley", "judgement"),
    field!(P; pulleys.drive_inertia_kg_m2, "pulleys.drive_inertia", Inertia, (1e-6, 2e-3), (0.0, 10.0), "inertia of the drive pulley", "judgement"),
    field!(P; pulleys.return_inertia_kg_m2, "pulleys.return_inertia", Inertia, (1e-6, 2e-3), (0.0, 10.0), "inertia of the return pulley", "judgement"),
    field!(P; opt pulleys.return_radius_m, "pulleys.return_radius", ShortLength, (0.005, 0.1), (0.001, 1.0), "pitch radius of the return pulley; left out: as the drive pulley", "worked out"),
    field!(P; pulleys.bearing_friction, "pulleys.bearing_friction", Number, (0.0, 0.1), (0.0, 1.0), "friction coefficient of each pulley bearing", "rolling to plain bearing, handbook"),
    field!(P; pulleys.bearing_diameter_ratio, "pulleys.bearing_diameter_ratio", Number, (0.1, 0.6), (0.0, 1.0), "bearing diameter over pitch diameter", "judgement"),
    field!(P; pulleys.drag_n, "pulleys.drag", Force, (0.0, 10.0), (0.0, 1000.0), "drag of each pulley at its rim, at any tension", "judgement"),
    field!(P; gear.ratio, "gear.ratio", Number, (1.0, 60.0), (0.01, 10_000.0), "turns of the rotor for one turn of the drive pulley", "judgement"),
    field!(P; gear.efficiency, "gear.efficiency", Number, (0.25, 0.97), (0.05, 1.0), "efficiency when the motor drives; 0.5 or less locks itself", "textbook worm relation to planetary"),
    field!(P; opt gear.rotor_teeth, "gear.rotor_teeth", Number, (1.0, 30.0), (1.0, 1000.0), "teeth that come into mesh in one turn of the rotor: of its pinion, or starts of its worm; left out: no gear tone", "judgement: unknown"),
    field!(P; opt gear.mesh_stiffness_n_per_m, "gear.mesh_stiffness", Stiffness, (100e3, 20e6), (1e3, 1e9), "stiffness between rotor and drive pulley, at the rim; left out: rigid and without play", "judgement"),
    field!(P; gear.backlash_m, "gear.backlash", ShortLength, (0.0, 0.002), (0.0, 0.1), "play between rotor and drive pulley, at the rim: what the belt can be moved with the rotor held; counts with the mesh stiffness", "judgement: none"),
    field!(P; gear.mesh_damping_ratio, "gear.mesh_damping_ratio", Number, (0.02, 0.5), (0.0, 2.0), "damping ratio of rotor and pulley against each other", "judgement"),
    field!(P; motor.resistance_ohm, "motor.resistance", Resistance, (0.1, 20.0), (1e-3, 1e4), "winding resistance at 25 C", "judgement: textbook motors"),
    field!(P; motor.torque_constant_n_m_per_a, "motor.torque_constant", TorqueConstant, (0.01, 0.6), (1e-4, 100.0), "torque for each ampere at 25 C", "judgement: textbook motors"),
    field!(P; motor.inductance_h, "motor.inductance", Inductance, (0.05e-3, 20e-3), (0.0, 10.0), "winding inductance", "judgement: textbook motors"),
    field!(P; motor.rotor_inertia_kg_m2, "motor.rotor_inertia", Inertia, (1e-6, 5e-4), (0.0, 10.0), "rotor inertia", "judgement: textbook motors"),
    field!(P; motor.rotor_friction_n_m, "motor.rotor_friction", Torque, (0.0, 0.05), (0.0, 100.0), "friction at the rotor", "judgement"),
    field!(P; motor.magnet_coefficient_per_k, "motor.magnet_coefficient", PerKelvin, (-0.002, 0.0), (-0.004, 0.0), "change of the torque constant with temperature", "ferrite -0.002, rare earth -0.001, from memory"),
    field!(P; motor.winding_temperature_c, "motor.winding_temperature", Temperature, (-20.0, 130.0), (-60.0, 250.0), "temperature of winding and magnet in this run", "judgement: a cold motor is the strongest"),
    field!(P; motor.rated_current_a, "motor.rated_current", Current, (0.5, 15.0), (0.01, 1000.0), "current that the motor bears without a break", "judgement: read it off the plate"),
    field!(P; motor.rated_rise_k, "motor.rated_rise", TemperatureRise, (40.0, 125.0), (1.0, 300.0), "how much warmer than 40 C the winding gets at that current", "class B rise by resistance, IEC 60034-1"),
    field!(P; motor.inner_rise_share, "motor.inner_rise_share", Number, (0.2, 0.6), (0.01, 0.99), "share of that rise between winding and housing; the rest lies between housing and ambient", "judgement"),
    field!(P; motor.winding_time_s, "motor.winding_time", Time, (5.0, 120.0), (0.5, 3600.0), "thermal time constant of the winding against the housing", "46 s: one data sheet of a small motor, from memory; a weak source"),
    field!(P; motor.housing_time_s, "motor.housing_time", Time, (100.0, 3000.0), (1.0, 100_000.0), "thermal time constant of the housing against ambient", "500 s: one data sheet of a small motor, from memory; a weak source"),
    field!(P; opt motor.pole_pairs, "motor.pole_pairs", Number, (1.0, 14.0), (1.0, 200.0), "pole pairs of a brushless motor; left out: no tone of its commutation", "judgement: unknown"),
    field!(P; opt motor.commutator_bars, "motor.commutator_bars", Number, (3.0, 36.0), (2.0, 500.0), "bars of the commutator of a motor with brushes; left out: no tone of it", "judgement: unknown"),
    field!(P; supply.voltage_v, "supply.voltage", Voltage, (12.0, 325.0), (0.1, 1000.0), "bus voltage; of a battery the open-circuit voltage", "judgement: extra-low voltage"),
    field!(P; opt supply.current_limit_a, "supply.current_limit", Current, (2.0, 30.0), (0.1, 1000.0), "most current that mains gives; left out: no limit", "judgement: none"),
    field!(P; supply.resistance_ohm, "supply.resistance", Resistance, (0.01, 1.0), (0.0, 100.0), "inner resistance of a battery", "judgement: two 12 V blocks of a few Ah"),
    field!(P; opt supply.capacity_a_s, "supply.capacity", Charge, (3600.0, 72e3), (36.0, 3.6e6), "what a full battery holds", "judgement: none"),
    field!(P; supply.capacitance_f, "supply.capacitance", Capacitance, (1e-3, 0.1), (1e-5, 10.0), "capacitance of the bus, which carries it when the supply is at its limit or takes nothing back", "judgement"),
    field!(P; opt supply.clamp_voltage_v, "supply.clamp_voltage", Voltage, (12.0, 450.0), (0.1, 2000.0), "voltage to which a supply that takes nothing back lets the bus rise; left out: 1.25 times the bus voltage", "judgement"),
    field!(P; opening.speed_m_per_s, "opening.speed", Speed, (0.05, 1.4), (0.005, 10.0), "speed on the way open", "judgement"),
    field!(P; opening.acceleration_m_per_s2, "opening.acceleration", Acceleration, (0.2, 3.0), (0.005, 100.0), "acceleration on the way open", "judgement"),
    field!(P; opening.braking_m_per_s2, "opening.braking", Acceleration, (0.2, 3.0), (0.005, 100.0), "braking on the way open", "judgement"),
    field!(P; opening.creep_speed_m_per_s, "opening.creep_speed", Speed, (0.02, 0.2), (0.005, 10.0), "speed over the last stretch before open", "judgement"),
    field!(P; opening.creep_distance_m, "opening.creep_distance", ShortLength, (0.0, 0.2), (0.0, 20.0), "length of that last stretch", "judgement"),
    field!(P; opening.current_limit_a, "opening.current_limit", Current, (0.5, 30.0), (0.01, 1000.0), "most current on the way open", "judgement"),
    field!(P; closing.speed_m_per_s, "closing.speed", Speed, (0.05, 0.8), (0.005, 10.0), "speed on the way closed", "judgement"),
    field!(P; closing.acceleration_m_per_s2, "closing.acceleration", Acceleration, (0.2, 3.0), (0.005, 100.0), "acceleration on the way closed", "judgement"),
    field!(P; closing.braking_m_per_s2, "closing.braking", Acceleration, (0.2, 3.0), (0.005, 100.0), "braking on the way closed", "judgement"),
    field!(P; closing.creep_speed_m_per_s, "closing.creep_speed", Speed, (0.02, 0.2), (0.005, 10.0), "speed over the last stretch before closed", "judgement"),
    field!(P; closing.creep_distance_m, "closing.creep_distance", ShortLength, (0.0, 0.2), (0.0, 20.0), "length of that last stretch", "judgement"),
    field!(P; closing.current_limit_a, "closing.current_limit", Current, (0.5, 30.0), (0.01, 1000.0), "most current on the way closed: it sets the stall force", "judgement"),
    field!(P; controller.tick_s, "controller.tick", ShortTime, (0.001, 0.001), (1e-4, 0.02), "sampling time", "judgement"),
    field!(P; controller.counts_per_turn, "controller.counts_per_turn", Number, (100.0, 10_000.0), (4.0, 1e7), "encoder counts for one turn of the motor", "judgement"),
    field!(P; controller.speed_filter_s, "controller.speed_filter", ShortTime, (0.0, 0.02), (0.0, 1.0), "time constant of the speed filter", "judgement"),
    field!(P; opt controller.proportional_gain_a_s_per_m, "controller.proportional_gain", SpeedGain, (1.0, 2000.0), (0.0, 1e6), "current for each speed error; left out: 30 rad/s (m/eta + m_d) r/(N K), at most 250 rad/s m_d r/(N K)", "judgement: stable from 20 to 400 kg"),
    field!(P; opt controller.integral_gain_a_per_m, "controller.integral_gain", PositionGain, (1.0, 10_000.0), (0.0, 1e7), "current for each integrated speed error; left out: 3.3/s times the speed gain", "judgement"),
    field!(P; controller.antiwindup_s, "controller.antiwindup", Time, (0.01, 1.0), (0.001, 1000.0), "time in which the integral gives way at a limit", "judgement"),
    field!(P; controller.feed_forward_a, "controller.feed_forward", Current, (0.0, 5.0), (-1000.0, 1000.0), "constant current added while travelling, in the direction of travel", "judgement: none"),
    field!(P; opt controller.jerk_m_per_s3, "controller.jerk", Jerk, (0.5, 50.0), (0.01, 1e6), "most change of the wanted acceleration; left out: no limit", "judgement: none"),
    field!(P; controller.stop_distance_m, "controller.stop_distance", ShortLength, (0.0005, 0.005), (0.0, 1.0), "distance to the end within which the wanted speed is zero", "judgement"),
    field!(P; controller.hold_open_s, "controller.hold_open", Time, (0.0, 60.0), (0.0, 3600.0), "how long the door stays open", "judgement"),
    field!(P; controller.press_current_a, "controller.press_current", Current, (0.0, 5.0), (0.0, 1000.0), "current towards closed while the door stands closed", "judgement"),
    field!(P; obstruction.speed_m_per_s, "obstruction.speed", Speed, (0.005, 0.1), (0.0, 10.0), "speed below which the leaf counts as held up", "judgement"),
    field!(P; obstruction.detect_s, "obstruction.detect", ShortTime, (0.02, 0.5), (0.0, 60.0), "how long it must be held up", "judgement"),
    field!(P; obstruction.react_s, "obstruction.react", ShortTime, (0.0, 0.2), (0.0, 60.0), "from noticing to acting", "judgement"),
    field!(P; obstruction.blind_s, "obstruction.blind", Time, (0.0, 1.0), (0.0, 60.0), "how long the controller does not look after a command", "judgement"),
    field!(P; stoppers.behind_closed_m, "stoppers.behind_closed", ShortLength, (0.0, 0.005), (0.0, 1.0), "distance of the closed stop behind the closed position", "judgement"),
    field!(P; stoppers.behind_open_m, "stoppers.behind_open", ShortLength, (0.0, 0.005), (0.0, 1.0), "distance of the open stop behind the open position", "judgement: nearer than 5 mm it is hit at every opening"),
    field!(P; stoppers.stiffness_n_per_m, "stoppers.stiffness", Stiffness, (50e3, 2000e3), (100.0, 1e9), "stiffness of each stop", "judgement"),
    field!(P; stoppers.damping_n_s_per_m, "stoppers.damping", Damping, (0.0, 10_000.0), (0.0, 1e6), "damping of each stop", "judgement"),
    field!(P; opt timeline.activation_depth_m, "timeline.activation_depth", Length, (0.5, 3.0), (0.0, 50.0), "how far before the leaf the activation field begins; left out: no one walks up", "judgement: off; EN 16005 4.5 asks for 1 m, on an escape route 1.5 m"),
    field!(P; timeline.person_speed_m_per_s, "timeline.person_speed", Speed, (0.5, 2.0), (0.05, 10.0), "how fast the person walks", "judgement: an unhurried walk"),
    field!(P; timeline.shoulder_width_m, "timeline.shoulder_width", Length, (0.4, 1.0), (0.05, 10.0), "clear opening that the person needs", "judgement: shoulders and a coat; a wheelchair needs more"),
    field!(P; timeline.sensor_delay_s, "timeline.sensor_delay", ShortTime, (0.02, 0.3), (0.0, 10.0), "from what a sensor sees to what the controller does", "judgement"),
    field!(P; opt timeline.presence_until_s, "timeline.presence_until", Time, (0.0, 60.0), (0.0, 3600.0), "someone stands in the doorway until then, and the hold-open time counts from then; left out: no one", "judgement: off"),
    field!(P; opt timeline.beam_broken_s, "timeline.beam_broken", Time, (0.0, 60.0), (0.0, 3600.0), "when a beam across the doorway is broken, after the first command; left out: never", "judgement: off"),
    field!(P; opt timeline.open_again_s, "timeline.open_again", Time, (0.0, 60.0), (0.0, 3600.0), "when the door is told to open again, after the first command; left out: never", "judgement: off"),
    field!(P; opt timeline.power_lost_s, "timeline.power_lost", Time, (0.0, 60.0), (0.0, 3600.0), "when power is lost, after the first command; left out: never", "judgement: off"),
    field!(P; duty.cycles_per_hour, "duty.cycles_per_hour", PerHour, (1.0, 400.0), (0.001, 3600.0), "whole cycles in an hour", "EN 16005 clause 5 gives 600, 2400 and 4000 a day"),
    field!(P; duty.ambient_c, "duty.ambient", Temperature, (-20.0, 50.0), (-60.0, 100.0), "temperature around the motor", "judgement: 20 C indoors; 40 C is what ratings refer to"),
    field!(P; tester.stiffness_n_per_m, "tester.stiffness", Stiffness, (450e3, 550e3), (100.0, 1e12), "stiffness of the force tester", "EN 12453: 500 +- 50 N/mm"),
    field!(P; tester.uncertainty, "tester.uncertainty", Number, (0.0, 0.1), (0.0, 1.0), "uncertainty of the force tester, a fraction of what it reads; what is within its limit by less is close", "EN 12453:2001, 5.1.1: +-5 %, read in an extract"),
    field!(P; tester.readings, "tester.readings", Number, (1.0, 5.0), (1.0, 100.0), "how many readings are taken, of which the mean is judged", "EN 12453: three readings, their mean; read in an extract"),
    field!(P; tester.repeatability, "tester.repeatability", Number, (0.0, 0.1), (0.0, 1.0), "standard deviation of one reading, a fraction of it; a study draws the mean of the readings with it", "judgement"),
    field!(P; tester.reads, "tester.reads", Number, (0.95, 1.05), (0.5, 2.0), "mean of the readings over the force that is there: limits judge what is read", "judgement: what is there"),
    field!(P; opt workbench.wanted_tension_n, "workbench.wanted_tension", Force, (20.0, 1500.0), (0.0, 1e5), "tension to work to; left out: the installed one", "as belt.tension"),
    field!(P; workbench.cut_short, "workbench.cut_short", Number, (0.0, 3.0), (0.0, 50.0), "pitches by which an open-ended belt is cut shorter than the run that just touches", "common practice: one"),
    field!(P; workbench.clamp_teeth, "workbench.clamp_teeth", Number, (3.0, 12.0), (1.0, 100.0), "teeth of the belt in each side of its clamp", "common practice: three; published guidance for full strength: at least seven"),
    field!(P; workbench.clamp_gap_m, "workbench.clamp_gap", ShortLength, (0.0, 0.2), (0.0, 5.0), "gap between the two ends of the belt in its clamp", "judgement: the ends meet"),
    field!(P; workbench.thread_pitch_m, "workbench.thread_pitch", ShortLength, (0.0005, 0.002), (0.0001, 0.02), "how far one turn of the adjuster moves the return pulley", "judgement: an M6 thread, 1 mm (ISO 261, from memory)"),
    field!(P; workbench.hanger_end_least_m, "workbench.hanger_end_least", ShortLength, (0.04, 0.1), (0.0, 2.0), "least distance of a hanger from its end of the leaf", "common practice: 60 to 100 mm"),
    field!(P; workbench.hanger_end_most_m, "workbench.hanger_end_most", ShortLength, (0.06, 0.3), (0.0, 2.0), "greatest distance of a hanger from its end of the leaf", "common practice: 60 to 100 mm"),
    field!(P; workbench.frame_tolerance_m, "workbench.frame_tolerance", ShortLength, (0.0005, 0.005), (0.0, 0.1), "how far the frame may be out of level on the length of the rail, and out of plumb on its height", "common practice: under 2 mm"),
];

/// Those of them that count things and have no fractions.
pub const WHOLE_NUMBERS: &[&str] = &[
    "pulleys.teeth",
    "gear.rotor_teeth",
    "motor.pole_pairs",
    "motor.commutator_bars",
    "controller.counts_per_turn",
    "workbench.cut_short",
    "workbench.clamp_teeth",
    "tester.readings",
];

/// Every number of an obstacle.
#[rustfmt::skip]
pub static OBSTACLE_FIELDS: &[Field<Obstacle>] = &[
    field!(Obstacle; gap_m, "obstacle.gap", Length, (0.02, 2.5), (0.001, 40.0), "clear opening at which it is touched", "judgement"),
    field!(Obstacle; stiffness_n_per_m, "obstacle.stiffness", Stiffness, (5e3, 500e3), (100.0, 1e12), "its stiffness", "EN 12453 tester: 500 N/mm"),
    field!(Obstacle; opt mass_kg, "obstacle.mass", Mass, (2.0, 120.0), (0.01, 5000.0), "its mass, if one leaf may push it along; left out: it stands fast", "judgement"),
    field!(Obstacle; depth_m, "obstacle.depth", Length, (0.0, 1.0), (0.0, 20.0), "its depth along the travel: pushed along it comes to stand against the jamb", "judgement: a person from front to back"),
    field!(Obstacle; stays_s, "obstacle.stays", Time, (0.0, 10.0), (0.0, 1000.0), "how long it stays after it was first touched", "judgement"),
];

/// Every number of one more force.
#[rustfmt::skip]
pub static FORCE_FIELDS: &[Field<LeafForce>] = &[
    field!(LeafForce; constant_n, "force.constant", Force, (-200.0, 200.0), (-1e5, 1e5), "constant part, positive opens", "judgement: none"),
    field!(LeafForce; stiffness_n_per_m, "force.stiffness", Stiffness, (0.0, 10e3), (0.0, 1e7), "spring rate", "judgement: none"),
    field!(LeafForce; rest_m, "force.rest", Length, (-5.0, 5.0), (-100.0, 100.0), "opening at which the spring is at rest", "judgement"),
    field!(LeafForce; damping_n_s_per_m, "force.damping", Damping, (0.0, 2000.0), (0.0, 1e6), "damping", "judgement: none"),
    field!(LeafForce; drag_n, "force.drag", Force, (0.0, 200.0), (0.0, 1e5), "friction that also holds at rest", "judgement: none"),
    field!(LeafForce; opt depth_m, "force.depth", Length, (-0.2, 2.2), (-5.0, 20.0), "depth below the rail at which it acts; left out: half the height of the leaf", "judgement"),
    field!(LeafForce; from_m, "force.from", Length, (-1.0, 100.0), (-100.0, 100.0), "acts from this opening of the leaf", "judgement: everywhere"),
    field!(LeafForce; to_m, "force.to", Length, (-1.0, 100.0), (-100.0, 100.0), "up to this opening", "judgement: everywhere"),
    field!(LeafForce; start_s, "force.start", Time, (0.0, 1e6), (0.0, 1e6), "acts from this time after the first command", "judgement: always"),
    field!(LeafForce; end_s, "force.end", Time, (0.0, 1e6), (0.0, 1e6), "up to this time", "judgement: always"),
];

/// Every number of a telescopic door's second loop.
#[rustfmt::skip]
pub static TELESCOPE_FIELDS: &[Field<Telescope>] = &[
    field!(Telescope; opt mass_kg, "telescope.mass", Mass, (20.0, 400.0), (0.1, 5000.0), "mass of the slow leaf with its hangers; left out: as the leaf in front", "worked out"),
    field!(Telescope; opt belt_length_m, "telescope.belt_length", Length, (0.4, 2.5), (0.05, 20.0), "each of the two lengths of the second belt between frame and fast leaf; left out: as the leaf is wide", "judgement"),
    field!(Telescope; belt_width_m, "telescope.belt_width", ShortLength, (0.006, 0.030), (0.001, 0.5), "width of the second belt", "judgement"),
    field!(Telescope; tension_n, "telescope.tension", Force, (20.0, 1500.0), (0.0, 1e5), "installed tension of the second belt", "judgement"),
];

/// Every number of a fault of rail or roller.
#[rustfmt::skip]
pub static FAULT_FIELDS: &[Field<Fault>] = &[
    field!(Fault; at_m, "fault.at", Length, (-4.0, 4.0), (-100.0, 100.0), "where along the rail from the closing edge of the closed leaf, in the direction in which leaf 1 opens; for a flat: rolled distance at which it first comes down", "judgement"),
    field!(Fault; height_m, "fault.height", ShortLength, (-0.001, 0.003), (-0.05, 0.05), "height of a step or bump, depth of a sag or flat", "judgement: a joint that can be felt with a fingernail"),
    field!(Fault; length_m, "fault.length", Length, (0.2, 1.5), (0.01, 50.0), "length of a sag", "judgement: between two fixings"),
];

/// Every number of the ratings of drive and belt; what is left out is not judged.
#[rustfmt::skip]
pub static RATING_FIELDS: &[Field<Ratings>] = &[
    field!(Ratings; opt shaft_load_n, "ratings.shaft_load", Force, (50.0, 5000.0), (1.0, 1e6), "radial load that the shaft of the drive bears, both strands together", "data sheet of the drive"),
    field!(Ratings; opt allowable_tension_n, "ratings.allowable_tension", Force, (100.0, 20_000.0), (1.0, 1e6), "allowable tension of the belt", "data sheet of the belt"),
    field!(Ratings; opt peak_current_a, "ratings.peak_current", Current, (0.5, 60.0), (0.01, 10_000.0), "most current of the winding, for a few seconds", "data sheet of the drive"),
    field!(Ratings; opt rated_current_a, "ratings.rated_current", Current, (0.2, 20.0), (0.01, 1000.0), "RMS current of the winding over the duty; motor.rated_current follows where it is left out", "data sheet of the drive"),
    field!(Ratings; opt maximum_speed_rad_per_s, "ratings.maximum_speed", RotationalSpeed, (10.0, 1100.0), (0.1, 1e5), "maximum speed of the motor", "data sheet of the drive"),
    field!(Ratings; opt supply_current_a, "ratings.supply_current", Current, (0.5, 60.0), (0.01, 10_000.0), "most current that the supply of the drive gives", "data sheet of the drive"),
];

/// The entry for a dotted key.
pub fn field(key: &str) -> Option<&'static Field<Parameters>> {
    FIELDS.iter().find(|field| field.key == key)
}
