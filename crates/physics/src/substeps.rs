//! How finely a tick is divided: the fastest rate of belt, winding, stoppers, mesh and rail.

use crate::mesh::mesh;
use crate::motor::{QUASI_STATIC_S, resistance, torque_constant};
use crate::parameters::{Fault, FaultKind, Parameters};
use crate::rail::half_chord_m;
use crate::ring::Ring;

/// Most sub-steps that the longest run of a door may need: about a minute of computing.
pub(crate) const MOST_WORK: f64 = 4e8;

/// Largest product of step and fastest rate, chosen so that halving the step changes no figure by more than a
/// tenth of its promised accuracy on the shipped scenarios.
const STEP_TIMES_RATE: f64 = 1.8;

/// How much finer the winding's swing with the drive is followed: a drive that chatters starts it anew at every tick.
const SWING_FINER: f64 = 1.4;

/// How much coarser the winding's decay may be followed, which every step takes exactly: all but its pull on the drive.
const DECAY_COARSER: f64 = 0.6;

/// How much finer a drive is followed while its winding is open: only the belt's own damping quiets it then.
pub(crate) const UNDAMPED_FINER: u32 = 2;

/// Sub-steps of a tick that the fastest rate asks for.
///
/// The belt's fastest mode w_n is an eigenvalue of M^-1 K, the drive's mass divided by 1 + lambda because gear
/// loss adds to what the strands do to it. With damping tau it swings at w_n where tau w_n < 2, else its fast
/// root decays with tau w_n^2/2 + sqrt((tau w_n^2/2)^2 - w_n^2). The winding decays with R/L, which every step takes exactly,
/// and swings with the drive's own mass at N K/r / sqrt(L m_d); without inductance the drive is braked at (N K/r)^2/(R m_d).
pub(crate) fn substeps_needed(p: &Parameters, ring: &Ring) -> u32 {
    let mut fastest: f64 = 0.0;
    let lightened = if ring.rotor_kg.is_some() { 1.0 } else { 1.0 / p.gear.efficiency };
    for at in [0.0, p.leaf.stroke_m] {
        let square = fastest_mode_squared(ring, &vec![at; ring.leaves.len()], lightened);
        fastest = fastest.max(mode_rate(square.sqrt(), p.belt.damping_time_s * square.sqrt() / 2.0));
    }
    let lightest = ring.leaves.iter().map(|leaf| ring.masses_kg[leaf.body]).fold(f64::INFINITY, f64::min);
    let listed: f64 = p.forces.iter().map(|force| force.damping_n_s_per_m).sum();
    let springs: f64 = p.forces.iter().map(|force| force.stiffness_n_per_m).sum();
    let damping = p.stoppers.damping_n_s_per_m.max(p.rollers.viscous_n_s_per_m + listed);
    let stiffness = p.stoppers.stiffness_n_per_m.max(p.seal.end_stiffness_n_per_m + springs);
    fastest = fastest.max(damping / lightest).max(mode_rate((stiffness / lightest).sqrt(), 0.0));

    let driven = ring.rotor_kg.unwrap_or(ring.masses_kg[0]);
    if let Some(rotor) = ring.rotor_kg {
        let square = mesh(p, ring).k * (1.0 / ring.masses_kg[0] + 1.0 / (rotor * p.gear.efficiency));
        fastest = fastest.max(mode_rate(square.sqrt(), p.gear.mesh_damping_ratio));
    }
    let (r, l) = (resistance(&p.motor), p.motor.inductance_h);
    let pull = p.gear.ratio * torque_constant(&p.motor) / ring.radius_m;
    if l / r < QUASI_STATIC_S {
        // every tick's voltage starts such a decay anew: twice as fine
        fastest = fastest.max(2.0 * pull * pull / (r * driven));
    } else {
        let swing = pull / (l * driven).sqrt();
        let damping_ratio = r / (2.0 * l * swing);
        let swings = if damping_ratio < 1.0 { SWING_FINER * mode_rate(swing, damping_ratio) } else { swing };
        fastest = fastest.max(DECAY_COARSER * r / l).max(swings);
    }
    let needed = p.controller.tick_s * (fastest / STEP_TIMES_RATE).max(fault_rate(p));
    let needed = needed.ceil();
    if needed.is_finite() { needed.clamp(1.0, 1e9) as u32 } else { u32::MAX }
}

/// Steps in which a wheel rolls over half the chord by which it bridges a fault.
const STEPS_OVER_A_FAULT: f64 = 8.0;

/// Steps a second that the shortest fault of the rail asks for at the highest speed that is set, 1/s.
fn fault_rate(p: &Parameters) -> f64 {
    let speed = p.opening.speed_m_per_s.max(p.closing.speed_m_per_s);
    let reach = |fault: &Fault| match fault.kind {
        FaultKind::Sag => fault.length_m / 4.0,
        _ => half_chord_m(p.rollers.diameter_m / 2.0, fault.height_m),
    };
    let shortest = p.faults.iter().map(reach).filter(|&reach| reach > 0.0).fold(f64::INFINITY, f64::min);
    STEPS_OVER_A_FAULT * speed / shortest
}

/// Rate of a mode of frequency w, rad/s, and damping ratio zeta, as far as it asks for short steps. A swing that
/// lasts counts fourfold: the method would damp it.
fn mode_rate(w: f64, zeta: f64) -> f64 {
    if zeta > 1.0 {
        w * (zeta + (zeta * zeta - 1.0).sqrt())
    } else if zeta < LASTING_SWING {
        4.0 * w
    } else {
        w
    }
}

/// Damping ratio below which a swing lasts.
const LASTING_SWING: f64 = 0.3;

/// Largest eigenvalue of M^-1 K, (rad/s)^2, by power iteration from the lightest body, a tenth above what it
/// has reached.
fn fastest_mode_squared(ring: &Ring, positions_m: &[f64], drive_lightened_by: f64) -> f64 {
    let bodies = ring.masses_kg.len();
    let mut masses = ring.masses_kg.clone();
    masses[0] /= drive_lightened_by;
    let lightest = (0..bodies).min_by(|&a, &b| masses[a].total_cmp(&masses[b])).unwrap_or(0);
    let mut shape = vec![0.1; bodies];
    shape[lightest] = 1.0;
    let mut square = 0.0;
    for _ in 0..60 {
        let mut force = vec![0.0; bodies];
        for (index, span) in ring.spans.iter().enumerate() {
            let stiffness = ring.ea_of(index) / span.length_m(positions_m);
            let stretch: f64 = span.row.iter().zip(&shape).map(|(a, q)| a * q).sum();
            for (f, a) in force.iter_mut().zip(&span.row) {
                *f += a * stiffness * stretch;
            }
        }
        let next: Vec<f64> = force.iter().zip(&masses).map(|(f, m)| f / m).collect();
        let norm = |x: &[f64]| x.iter().zip(&masses).map(|(x, m)| m * x * x).sum::<f64>().sqrt();
        square = norm(&next) / norm(&shape);
        let scale = next.iter().fold(0.0_f64, |a, x| a.max(x.abs())).max(f64::MIN_POSITIVE);
        shape = next.iter().map(|x| x / scale).collect();
    }
    1.1 * square
}
