//! One place of a load map: what is left of each bound there, found by choosing's own search.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use tautleaf_physics::Door;
use tautleaf_physics::parameters::Parameters;

use super::bounds::Bound;
use super::catalogue::{BeltKind, Drive};
use super::map::MapPoint;
use super::pair::{MOST_CYCLES, Task, attempt};
use super::undisturbed::undisturbed;
use super::wanted::Wanted;
use crate::assess::{Criteria, Effort};
use crate::reserve::Reserve;

/// Margin of every bound at one place.
pub(super) type Margins = BTreeMap<String, (Bound, f64)>;

/// What a map is drawn of.
pub(super) struct Mapper<'a> {
    pub door: &'a Door,
    /// Without a limit on the closing time, which is an axis of the map.
    pub criteria: Criteria,
    pub drive: &'a Drive,
    pub belt: &'a BeltKind,
    /// Cycles that were run.
    pub cycles: AtomicUsize,
}

impl Mapper<'_> {
    /// Margin of every bound for a leaf of this mass closed in this time. `force`: with the force test.
    pub fn margins(&self, at: MapPoint, force: bool) -> Margins {
        let mut margins = Margins::new();
        let mut note = |bound: Bound, margin: f64| {
            let name = format!("{bound:?}");
            let least = margins.get(&name).map_or(f64::INFINITY, |(_, margin): &(Bound, f64)| *margin);
            margins.insert(name, (bound, margin.min(least)));
        };
        let Ok(door) = Door::try_from(with_mass(self.door, at.mass_kg)) else {
            note(Bound::Fits, -1.0);
            return margins;
        };
        let task = Task {
            door: &door,
            criteria: &self.criteria,
            aims: self.criteria.limits.clone(),
            // what its limits let a leaf of this mass do
            wanted: Wanted::of(&door, &self.criteria.limits).closing_within(at.closing_s),
            effort: if force { Effort::MayFail } else { Effort::NoForceTest },
            // a border is where a limit is just kept
            reserve: Reserve::NONE,
        };
        let tried = attempt(&task, (self.drive, 0), (self.belt, 0), &mut None, MOST_CYCLES);
        self.cycles.fetch_add(tried.cycles, Ordering::Relaxed);
        // a door that is late is so because of something; one that is in time keeps all that could make it late
        let mut late = f64::INFINITY;
        let (causes, others): (Vec<_>, Vec<_>) =
            tried.checks.into_iter().partition(|check| is_cause(&check.bound));
        for check in others {
            match &check.bound {
                Bound::Arrives => late = late.min(check.margin),
                Bound::Limit(key) if key.starts_with("opening_time") => late = late.min(check.margin),
                _ => note(check.bound, check.margin),
            }
        }
        let (times, causes): (Vec<_>, Vec<_>) =
            causes.into_iter().partition(|check| matches!(check.bound, Bound::Time { .. }));
        late = times.iter().map(|check| check.margin).fold(late, f64::min);
        if let Some(worst) = causes.into_iter().min_by(|a, b| a.margin.total_cmp(&b.margin)) {
            note(worst.bound, if late.is_finite() { late } else { worst.margin });
        } else if let Some(time) = times.into_iter().min_by(|a, b| a.margin.total_cmp(&b.margin)) {
            note(time.bound, late);
        }
        margins
    }

    pub fn is_kept(&self, margins: &Margins) -> bool {
        margins.values().all(|(_, margin)| *margin >= 0.0)
    }

    /// The bound that is short by most.
    pub fn shortest(&self, margins: &Margins) -> Option<Bound> {
        let short = margins.values().filter(|(_, margin)| *margin < 0.0);
        short.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(bound, _)| bound.clone())
    }

    /// Margin of one bound; what makes a door late counts as one.
    pub fn margin_of(margins: &Margins, bound: &Bound) -> f64 {
        let mine = |other: &Bound| other == bound || (is_cause(other) && is_cause(bound));
        margins
            .values()
            .filter(|(other, _)| mine(other))
            .map(|(_, margin)| *margin)
            .reduce(f64::min)
            // a bound that this place does not know is kept there
            .unwrap_or(f64::INFINITY)
    }
}

/// Whether a bound, when it is short, shows in a door that is late.
pub(super) fn is_cause(bound: &Bound) -> bool {
    matches!(
        bound,
        Bound::PeakTorque
            | Bound::SpeedAtTorque
            | Bound::SupplyPower
            | Bound::ForceLimit
            | Bound::Time { .. }
    )
}

/// The door with leaves of another mass: a second leaf and a slow one keep their proportion.
pub fn with_mass(door: &Door, mass_kg: f64) -> Parameters {
    let mut p = undisturbed(door.given());
    let times = mass_kg / door.parameters().leaf.mass_kg;
    p.leaf.glass_thickness_m = None;
    p.leaf.mass_kg = mass_kg;
    p.leaf.second_mass_kg = p.leaf.second_mass_kg.map(|mass| times * mass);
    if let Some(telescope) = &mut p.telescope {
        telescope.mass_kg = telescope.mass_kg.map(|mass| times * mass);
    }
    p
}
