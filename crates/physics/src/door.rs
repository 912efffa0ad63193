//! A checked door: what every equation needs, worked out once.

use serde::Serialize;

use crate::belt;
use crate::checks;
use crate::edge::Edge;
use crate::modes;
use crate::motor;
use crate::parameters::{Arrangement, ClosingEdge, Parameters};
use crate::patience;
use crate::place::Place;
use crate::problem::{Problem, ProblemKind, Problems};
use crate::ring::{self, Ring, RingLeaf};
use crate::substeps;
use crate::supply;
use crate::weather;

/// Bandwidth of the speed loop from which the default gain follows, rad/s.
const SPEED_LOOP_RAD_PER_S: f64 = 30.0;
/// Most of the same for the drive's own mass: the delay of tick and filter, about 4.5 ms, allows no more.
const DRIVE_LOOP_RAD_PER_S: f64 = 250.0;
/// Integral gain over speed gain by default, 1/s.
const INTEGRAL_RATE_PER_S: f64 = 3.3;

/// A door that can be run. Nothing below this type checks its input again.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    given: Parameters,
    parameters: Parameters,
    ring: Ring,
    derived: Derived,
    unusual: Vec<Problem>,
    remarks: Vec<Problem>,
}

/// What follows from the parameters, for whoever wants to recompute a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Derived {
    /// The loop: masses, rows, lengths.
    pub ring: Ring,
    /// Free length of the whole loop, m.
    pub free_loop_m: f64,
    /// Drive and rotor as a mass at the rim, without belt, kg.
    pub reflected_drive_mass_kg: f64,
    /// Encoder counts for one metre of belt.
    pub counts_per_m: f64,
    /// Winding resistance in this run, ohm.
    pub resistance_ohm: f64,
    /// Torque constant in this run, N m/A.
    pub torque_constant_n_m_per_a: f64,
    /// Gear loss lambda = 1/eta - 1.
    pub gear_loss: f64,
    /// Efficiency when the leaf drives the motor, 2 - 1/eta; 0 or less: locks itself.
    pub back_driving_efficiency: f64,
    /// Pull at the rim for one ampere, before gear loss, N/A.
    pub pull_per_ampere_n: f64,
    /// Damping ratio of the belt in the first mode with the drive locked at mid-stroke, tau_b w_1 / 2.
    pub belt_damping_ratio: f64,
    /// How far the adjuster moves the return pulley for the installed tension, T_0 l/(2 EA) with the pitch length l, m.
    pub take_up_m: f64,
    /// Load on each pulley shaft at rest, 2 T_0, N.
    pub shaft_load_n: f64,
    /// Tension at 0.4 % strain, about what makers' tables allow, N.
    pub allowable_tension_n: f64,
    /// First tone of each strand with the door closed, at rest, Hz.
    pub strand_tones_closed_hz: Vec<f64>,
    /// Teeth in mesh on the drive pulley.
    pub teeth_in_mesh: f64,
    /// Sideways load of each leaf on its floor guide, N.
    pub guide_load_n: Vec<f64>,
    /// How far the bottom of a leaf swings towards its higher hanger, H dh/s_h, m: positive, the closing edge touches
    /// first at the top.
    pub lean_m: f64,
}

impl TryFrom<Parameters> for Door {
    type Error = Problems;

    /// Checks everything at once and works out what follows.
    ///
    /// # Errors
    /// Every number that is not finite or not possible, and every combination that cannot be built.
    fn try_from(given: Parameters) -> Result<Self, Problems> {
        let (wrong, unusual) = checks::check_ranges(&given);
        if !wrong.is_empty() {
            return Err(Problems(wrong));
        }
        let (parameters, ring) = resolve(given.clone());
        let wrong = checks::check_together(&parameters);
        if !wrong.is_empty() {
            return Err(Problems(wrong));
        }
        let derived = derive(&parameters, &ring);
        let substeps = f64::from(substeps::substeps_needed(&parameters, &ring));
        if substeps * patience::longest_run_s(&parameters) / parameters.controller.tick_s
            > substeps::MOST_WORK
        {
            let place = Place::of("belt.specific_stiffness");
            return Err(Problems(vec![Problem { place, kind: ProblemKind::TooSlowToFollow }]));
        }
        let remarks = checks::remarks(&parameters);
        Ok(Self { given, parameters, ring, derived, unusual, remarks })
    }
}

impl Door {
    /// The parameters, with all that is worked out from others filled in.
    pub fn parameters(&self) -> &Parameters {
        &self.parameters
    }

    /// The parameters as they were given: what a changed door is built from, so that all that is worked out follows.
    pub fn given(&self) -> &Parameters {
        &self.given
    }

    /// The belt loop.
    pub fn ring(&self) -> &Ring {
        &self.ring
    }

    /// What follows from the parameters.
    pub fn derived(&self) -> &Derived {
        &self.derived
    }

    /// Numbers of it that are outside their usual range.
    pub fn unusual(&self) -> &[Problem] {
        &self.unusual
    }

    /// What is worth a word about more than one number's usual range.
    pub fn remarks(&self) -> &[Problem] {
        &self.remarks
    }

    /// Number of leaves, the slow ones of a telescopic door included.
    pub fn leaves(&self) -> usize {
        self.ring.leaves.len()
    }

    /// Number of leaves with a closing edge.
    pub fn edges(&self) -> usize {
        self.ring.edges()
    }

    /// How far a leaf goes: its stroke, or less in partial opening, m.
    pub fn travel_m(&self) -> f64 {
        let leaf = &self.parameters.leaf;
        leaf.partial_opening_m.unwrap_or(leaf.stroke_m)
    }

    /// Clear opening of the open door: what its leaves travel, m.
    pub fn clear_width_m(&self) -> f64 {
        self.travel_m() * self.edges() as f64
    }

    /// Closing speed of a leaf above which its edge is pressed flat while it is pushed by `pushed_n`, m/s, leaves, belt and drive being
    /// rigid; `None`: an edge without end.
    pub(crate) fn edge_flat_speed_m_per_s(&self, pushed_n: f64) -> Option<f64> {
        let (p, ring, edges) = (&self.parameters, &self.ring, self.edges() as f64);
        // what goes slower than the leaves with an edge counts by the square of that
        let slower = |leaf: &RingLeaf| (1.0 - leaf.ratio * leaf.ratio) * ring.masses_kg[leaf.body];
        let moving_kg = ring.masses_kg.iter().sum::<f64>() + ring.rotor_kg.unwrap_or(0.0)
            - ring.leaves.iter().map(slower).sum::<f64>();
        let edge = Edge::closing(&p.edge, edges, p.duty.ambient_c);
        edge.flat_speed_m_per_s(moving_kg / edges, pushed_n, p.tester.stiffness_n_per_m)
    }

    /// Mass of the heaviest leaf, kg.
    pub fn heaviest_leaf_kg(&self) -> f64 {
        self.ring.leaves.iter().map(|leaf| leaf.mass_kg).fold(0.0, f64::max)
    }
}

/// Fills in what is worked out from other numbers.
fn resolve(mut p: Parameters) -> (Parameters, Ring) {
    hang(&mut p);
    let radius = belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
    p.supply.clamp_voltage_v.get_or_insert(supply::CLAMP_OVER_VOLTAGE * p.supply.voltage_v);
    let centre = *p.belt.centre_distance_m.get_or_insert(p.leaf.stroke_m + 1.4);
    let return_radius = *p.pulleys.return_radius_m.get_or_insert(radius);
    if p.arrangement == Arrangement::BiParting {
        p.leaf.second_mass_kg.get_or_insert(p.leaf.mass_kg);
    }
    if let Some(telescope) = &mut p.telescope {
        telescope.belt_length_m.get_or_insert(p.leaf.width_m);
        telescope.mass_kg.get_or_insert(p.leaf.mass_kg);
    }
    let ring = ring::build(&p, centre, return_radius);
    let leaves: f64 = ring.leaves.iter().map(|leaf| leaf.ratio * leaf.ratio * leaf.mass_kg).sum();
    let pull = p.gear.ratio * p.motor.torque_constant_n_m_per_a / radius;
    let drive = reflected_drive_mass(&p, radius);
    let wanted = SPEED_LOOP_RAD_PER_S * (leaves / p.gear.efficiency + drive);
    let gain = wanted.min(DRIVE_LOOP_RAD_PER_S * drive) / pull;
    let proportional = *p.controller.proportional_gain_a_s_per_m.get_or_insert(gain);
    p.controller.integral_gain_a_per_m.get_or_insert(INTEGRAL_RATE_PER_S * proportional);
    (p, ring)
}

/// Density of float glass, kg/m3 (EN 572-1).
const GLASS_KG_PER_M3: f64 = 2500.0;

/// Mass from its make-up, and where along its height and width a leaf hangs and meets things.
fn hang(p: &mut Parameters) {
    let leaf = &mut p.leaf;
    let (width, height) = (leaf.width_m, leaf.height_m);
    if let Some(thickness) = leaf.glass_thickness_m {
        let glass = GLASS_KG_PER_M3 * thickness * width * height;
        leaf.mass_kg = glass + leaf.frame_mass_kg_per_m * 2.0 * (width + height) + leaf.fittings_mass_kg;
    }
    leaf.hanger_spacing_m.get_or_insert((width - 0.2).max(width / 2.0));
    leaf.gravity_depth_m.get_or_insert(height / 2.0);
    p.edge.contact_depth_m.get_or_insert(height / 2.0);
    p.edge.travel_m.get_or_insert(ClosingEdge::USUAL_TRAVEL_M);
    p.rear.depth_m.get_or_insert(height / 2.0);
    p.guide.depth_m.get_or_insert(height + 0.05);
    for force in &mut p.forces {
        force.depth_m.get_or_insert(height / 2.0);
    }
}

/// (J_pulley + N^2 J_rotor) / r^2, kg.
fn reflected_drive_mass(p: &Parameters, radius_m: f64) -> f64 {
    (p.pulleys.drive_inertia_kg_m2 + p.gear.ratio.powi(2) * p.motor.rotor_inertia_kg_m2) / radius_m.powi(2)
}

/// Pitch length of the belt that just touches both pulleys, m.
fn pitch_length_m(p: &Parameters, ring: &Ring) -> f64 {
    let (drive, back) = (2.0 * ring.radius_m, 2.0 * p.pulleys.return_radius_m.unwrap_or(ring.radius_m));
    let centre = p.belt.centre_distance_m.unwrap_or(f64::NAN);
    belt::two_pulley_length(drive.min(back), drive.max(back), centre)
}

fn derive(p: &Parameters, ring: &Ring) -> Derived {
    let radius = ring.radius_m;
    let mid = vec![p.leaf.stroke_m / 2.0; ring.leaves.len()];
    let free_loop_m: f64 = ring.spans[..ring.bodies].iter().map(|span| span.length_m(&mid)).sum();
    let first_mode = modes::first_locked_mode(ring, &mid);
    let gear_loss = 1.0 / p.gear.efficiency - 1.0;
    let torque_constant_n_m_per_a = motor::torque_constant(&p.motor);
    Derived {
        ring: ring.clone(),
        free_loop_m,
        reflected_drive_mass_kg: reflected_drive_mass(p, radius),
        counts_per_m: p.gear.ratio * p.controller.counts_per_turn / (2.0 * std::f64::consts::PI * radius),
        resistance_ohm: motor::resistance(&p.motor),
        torque_constant_n_m_per_a,
        gear_loss,
        back_driving_efficiency: 1.0 - gear_loss,
        pull_per_ampere_n: p.gear.ratio * torque_constant_n_m_per_a / radius,
        belt_damping_ratio: p.belt.damping_time_s * first_mode / 2.0,
        take_up_m: belt::take_up_m(p.belt.tension_n, pitch_length_m(p, ring), ring.ea_n),
        shaft_load_n: 2.0 * p.belt.tension_n,
        allowable_tension_n: belt::ALLOWABLE_STRAIN * ring.ea_n,
        strand_tones_closed_hz: ring.spans[..ring.bodies]
            .iter()
            .map(|span| {
                belt::span_tone_hz(1, span.closed_length_m, p.belt.tension_n, ring.belt_mass_kg_per_m)
            })
            .collect(),
        guide_load_n: ring.leaves.iter().map(|leaf| weather::guide_load_n(p, leaf.mass_kg)).collect(),
        lean_m: p.leaf.height_m * p.leaf.hanger_height_difference_m
            / p.leaf.hanger_spacing_m.unwrap_or(p.leaf.width_m),
        teeth_in_mesh: belt::teeth_in_mesh(p.pulleys.teeth, std::f64::consts::PI),
    }
}
