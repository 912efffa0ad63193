//! What a drive and a belt of a catalogue are rated for, as a door with them is judged by it.

use tautleaf_physics::Ratings;

use super::catalogue::{BeltKind, Drive};
use super::fit::rounded;
use crate::assess::Criteria;

/// Digits of a rating that is worked out from several numbers of a catalogue.
const DIGITS: usize = 6;

/// The ratings of a drive with a belt. Peak current is the least that motor and gear bear (see [`Drive::most_current_a`]).
pub fn ratings_of(drive: &Drive, belt: &BeltKind) -> Ratings {
    Ratings {
        drive: drive.name.clone(),
        belt: belt.name.clone(),
        shaft_load_n: Some(drive.shaft_load_n),
        allowable_tension_n: Some(rounded(belt.allowable_tension_n(), DIGITS)),
        peak_current_a: Some(rounded(drive.most_current_a(), DIGITS)),
        rated_current_a: Some(drive.rated_current_a),
        maximum_speed_rad_per_s: Some(drive.most_turns_per_min / 60.0 * std::f64::consts::TAU),
        insulation: Some(drive.insulation),
        supply_current_a: drive.supply_current_a,
    }
}

impl Criteria {
    /// The same for a door with another drive and belt: by their ratings, no longer by those of the old ones.
    ///
    /// What a sound door keeps gives way to a rating of the same figure.
    pub fn rated(&self, ratings: &Ratings) -> Self {
        let new = ratings.limits();
        let said = |figure| new.iter().any(|limit| limit.figure == figure);
        let stays = |limit: &&tautleaf_physics::Limit| {
            !(limit.is_rating() || limit.is_of_sound_door() && said(limit.figure))
        };
        let kept: Vec<_> = self.limits.iter().filter(stays).cloned().collect();
        Self { limits: kept.into_iter().chain(new).collect(), ..self.clone() }
    }
}
