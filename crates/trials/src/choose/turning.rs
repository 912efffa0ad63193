//! What is turned when a cycle shows that something is over.

use tautleaf_physics::{EventKind, Figure, Verdict};

use super::bounds::{Bound, Check, Judged};
use super::wanted::KAPPAS;

/// What can be turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turned {
    /// Index of the kappa on the way open and closed.
    pub kappa: (usize, usize),
    /// Share of the time due that the ideal gait is given.
    pub pace: (f64, f64),
    /// Share of the closing current that speeding up needs and the limit on closing force leaves, by their formulas.
    pub force_share: f64,
    /// Times the tension by the formula.
    pub tension_share: f64,
    /// Length of creep on the way open and closed beyond what the door or its limits ask for, m.
    pub creep_m: (f64, f64),
}

impl Turned {
    pub const fn at(kappa: (usize, usize)) -> Self {
        Self { kappa, pace: (1.0, 1.0), force_share: 1.0, tension_share: 1.0, creep_m: (0.0, 0.0) }
    }
}

/// What to turn next, by what has not its reserve left; `None`: nothing that is known to help.
pub(super) fn turn(made: &[Check], judged: &Judged, now: Turned) -> Option<Turned> {
    let mut next = now;
    let closes_at = judged.run.events.iter().find(|event| event.kind == EventKind::CommandClose);
    let opening = |verdict: &Verdict| match (verdict.at, closes_at) {
        (Some(at), Some(close)) => at.t_s < close.at.t_s,
        _ => true,
    };
    let short = made.iter().chain(&judged.checks).filter(|check| !check.has_reserve());
    for check in short {
        match &check.bound {
            // less speed leaves more of it; where a drive gives none at all a formula has said so before
            Bound::SpeedAtTorque | Bound::RotorSpeed if check.reserve > 0.0 => {
                for kappa in [&mut next.kappa.0, &mut next.kappa.1] {
                    *kappa = (*kappa + 1).min(KAPPAS.len() - 1);
                }
            }
            Bound::Time { opening } => faster(&mut next, *opening, check),
            Bound::Limit(key) => {
                let verdict = judged.verdicts.iter().find(|verdict| verdict.limit.key == *key)?;
                react(&mut next, verdict.limit.figure?, opening(verdict), check);
            }
            _ => {}
        }
    }
    (next != now).then_some(next)
}

/// Length that creep is made longer by beyond what is short of it, m.
const MORE_CREEP_M: f64 = 0.002;

/// Less time for the ideal gait, by as much as the real one was late.
fn faster(next: &mut Turned, opening: bool, check: &Check) {
    const LEAST: f64 = 0.75;
    let pace = if opening { &mut next.pace.0 } else { &mut next.pace.1 };
    *pace = (*pace * (check.aim() / check.value - 0.004).max(0.85)).max(LEAST);
}

/// Turns what acts on a figure.
fn react(next: &mut Turned, figure: Figure, opening: bool, check: &Check) {
    let steeper = |kappa: &mut usize| *kappa = (*kappa + 1).min(KAPPAS.len() - 1);
    match figure {
        Figure::OpeningTime | Figure::OpeningTime80 | Figure::OpeningAtPerson | Figure::PersonWaits => {
            faster(next, true, check);
        }
        Figure::ClosingTime => faster(next, false, check),
        Figure::StallForceGreatest
        | Figure::StallForceLast50
        | Figure::ResidualForce
        | Figure::ForceAfter750 => {
            next.force_share *= (check.aim() / check.value - 0.01).max(0.5);
        }
        Figure::LeastTension | Figure::SlackTime => next.tension_share = (1.2 * next.tension_share).min(4.0),
        Figure::LatchCheck => next.creep_m.1 += (check.aim() - check.value).max(0.0) + MORE_CREEP_M,
        Figure::StopSpeed => {
            let creep = if opening { &mut next.creep_m.0 } else { &mut next.creep_m.1 };
            *creep += 5.0 * MORE_CREEP_M;
        }
        Figure::PeakAcceleration => {
            let kappa = if opening { &mut next.kappa.0 } else { &mut next.kappa.1 };
            *kappa = kappa.saturating_sub(1);
        }
        Figure::ImpactForce
        | Figure::TimeAbove150
        | Figure::TopSpeedClosing
        | Figure::TopSpeedBeforeCheck
        | Figure::ClosingLeastTime90
        | Figure::AverageEnergyClosing
        | Figure::PeakEnergyCoupledClosing
        | Figure::PeakEnergyLeafClosing
        | Figure::PeakEnergyLeafCoupledClosing
        | Figure::StoppingDistance => steeper(&mut next.kappa.1),
        Figure::TopSpeedOpening => steeper(&mut next.kappa.0),
        Figure::PeakEnergyLeaf
        | Figure::PeakEnergyLeaves
        | Figure::PeakEnergyCoupled
        | Figure::TopMotorSpeed => {
            steeper(if opening { &mut next.kappa.0 } else { &mut next.kappa.1 });
        }
        _ => {}
    }
}
