//! The load map of one drive: leaf mass against closing time.

use tautleaf_physics::{Door, Limit};
use tautleaf_scenario::{FileProblem, ReadError, Scenario, limits_of};
use tautleaf_trials::choose::{BeltKind, Bound, Drive, LoadMap, Watch, load_map, own_belt};

use super::bound_words::bound_label;

/// What one drive can do for the leaf of a scenario.
#[derive(Clone, Debug)]
pub struct MapReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// What it is judged by.
    pub limits: Vec<Limit>,
    /// The drive.
    pub drive: &'a Drive,
    /// The belt.
    pub belt: BeltKind,
    /// The map.
    pub map: LoadMap,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> MapReport<'a> {
    /// Draws the map of a drive with a belt, or with the belt of the door.
    ///
    /// # Errors
    /// Why the door cannot be built.
    pub fn of(
        scenario: &'a Scenario,
        drive: &'a Drive,
        belt: Option<&BeltKind>,
        watch: Watch<'_>,
    ) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let limits = limits_of(scenario);
        let belt = belt.cloned().unwrap_or_else(|| own_belt(&door, scenario.ratings.allowable_tension_n));
        let map = load_map(&door, &scenario.criteria(), (drive, &belt), watch);
        let warnings = scenario.warnings(&door);
        Ok(Self { scenario, door, limits, drive, belt, map, warnings })
    }

    /// Whether the drive does at the place of the door.
    pub fn does(&self) -> bool {
        self.map.short_there.is_none()
    }

    /// Name of a bound on this map.
    pub(crate) fn name(&self, bound: &Bound) -> String {
        bound_label(bound, &self.limits)
    }
}
