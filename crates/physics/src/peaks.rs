//! Greatest and least values of a run, all in one pass over its samples.

use crate::door::Door;
use crate::figures::{Figure, Figures, Moment};
use crate::reading::LATCH_CHECK_M;
use crate::run::Sample;

/// The greatest value seen, and when it was first seen.
#[derive(Clone, Copy, Debug)]
struct Peak {
    value: f64,
    at: Option<Moment>,
}

impl Peak {
    const NONE: Self = Self { value: f64::NEG_INFINITY, at: None };

    #[inline(always)]
    fn see(&mut self, value: f64, sample: &Sample) {
        if value > self.value {
            self.value = value;
            self.at = Some(Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m });
        }
    }

    /// The value, with its sign turned back where the least was looked for.
    fn tell(self, figure: Figure, sign: f64, figures: &mut Figures) {
        figures.set_at(figure, self.at.map(|_| sign * self.value), self.at);
    }
}

/// Speed of the fastest leaf towards closed, m/s; negative: all open.
pub(crate) fn fastest_closing(sample: &Sample) -> f64 {
    -sample.leaf_speed_m_per_s.iter().copied().fold(f64::INFINITY, f64::min)
}

/// Speeds, energies, tensions, hanger loads, seat margin and current.
pub(crate) fn read(door: &Door, samples: &[Sample], figures: &mut Figures) {
    let (leaves, spans, bodies) = (door.leaves(), door.ring().spans.len(), door.ring().bodies);
    let teeth = door.derived().teeth_in_mesh;
    let [mut opening, mut closing, mut before_check] = [Peak::NONE; 3];
    let [mut leaf, mut all, mut coupled, mut coupled_closing] = [Peak::NONE; 4];
    let [mut slackest, mut tightest, mut shaft, mut seat] = [Peak::NONE; 4];
    let [mut lightest, mut heaviest, mut current] = [Peak::NONE; 3];
    for sample in samples {
        let speeds = &sample.leaf_speed_m_per_s[..leaves];
        opening.see(speeds.iter().copied().fold(f64::NEG_INFINITY, f64::max), sample);
        leaf.see(sample.energy_leaf_j, sample);
        all.see(sample.energy_leaves_j, sample);
        coupled.see(sample.energy_coupled_j, sample);
        // whatever moves a leaf towards closed counts, also while the door should stand open
        let shutting = -speeds.iter().copied().fold(f64::INFINITY, f64::min);
        if shutting > 0.0 {
            closing.see(shutting, sample);
            coupled_closing.see(sample.energy_coupled_j, sample);
            if sample.clear_opening_m >= LATCH_CHECK_M {
                before_check.see(shutting, sample);
            }
        }
        for &tension in &sample.tension_n[..spans] {
            slackest.see(-tension, sample);
            tightest.see(tension, sample);
        }
        // Both strands of a pulley pull its shaft the same way: F = T_a + T_b.
        let (tension, back) = (&sample.tension_n, door.ring().return_body);
        shaft.see((tension[0] + tension[bodies - 1]).max(tension[back - 1] + tension[back]), sample);
        // Seat margin at the drive pulley: slack-strand tension over the pull on one tooth in mesh (judgement).
        let (ahead, behind) = (sample.tension_n[0], sample.tension_n[bodies - 1]);
        let pull = (ahead - behind).abs();
        if pull >= 1.0 {
            seat.see(-ahead.min(behind) * teeth / pull, sample);
        }
        for &load in sample.hanger_load_n[..leaves].iter().flatten() {
            lightest.see(-load, sample);
            heaviest.see(load, sample);
        }
        current.see(sample.current_a.abs(), sample);
    }
    for (peak, figure, sign) in [
        (opening, Figure::TopSpeedOpening, 1.0),
        (closing, Figure::TopSpeedClosing, 1.0),
        (before_check, Figure::TopSpeedBeforeCheck, 1.0),
        (leaf, Figure::PeakEnergyLeaf, 1.0),
        (all, Figure::PeakEnergyLeaves, 1.0),
        (coupled, Figure::PeakEnergyCoupled, 1.0),
        (coupled_closing, Figure::PeakEnergyCoupledClosing, 1.0),
        (slackest, Figure::LeastTension, -1.0),
        (tightest, Figure::GreatestTension, 1.0),
        (shaft, Figure::ShaftLoad, 1.0),
        (seat, Figure::SeatMargin, -1.0),
        (lightest, Figure::LeastHangerLoad, -1.0),
        (heaviest, Figure::GreatestHangerLoad, 1.0),
        (current, Figure::PeakCurrent, 1.0),
    ] {
        peak.tell(figure, sign, figures);
    }
}
