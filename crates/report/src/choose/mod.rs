//! Drives and belts tried on a door, the load map of one drive, and the catalogue, as text, JSON and pictures.

mod bound_words;
mod catalogue;
mod json;
mod load_map;
mod load_map_text;
mod restriction_words;
mod text;

use std::sync::atomic::AtomicBool;

use tautleaf_physics::{Door, Limit};
use tautleaf_scenario::{FileProblem, ReadError, Scenario, to_text};
use tautleaf_trials::Sure;
use tautleaf_trials::choose::{
    Catalogue, Choice, Choosing, Drive, Rank, Tried, Watch, choose, choose_surely, ratings_of,
};

use crate::trials::surely::SurelyError;

pub use bound_words::{bound_label, in_words, lacking_of, reason};
pub use catalogue::CatalogueReport;
pub use load_map::MapReport;
pub use restriction_words::{nothing_left, restriction_in_words};

/// The words for what those that do are ranked by.
pub const RANKS: &[(&str, Rank)] =
    &[("smallest", Rank::Smallest), ("margin", Rank::Margin), ("energy", Rank::Energy), ("cool", Rank::Cool)];

/// What a word of [`RANKS`] means.
pub fn rank_in_words(rank: Rank) -> &'static str {
    match rank {
        Rank::Smallest => {
            "the smallest rated power, then the narrowest belt, then the most left of what is tightest"
        }
        Rank::Margin => "the most left of what is tightest",
        Rank::Energy => "the least energy a cycle",
        Rank::Cool => "the most left of the winding temperature",
    }
}

/// Drives and belts tried on the door of a scenario.
#[derive(Clone, Debug)]
pub struct ChooseReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door, with the drive that it has.
    pub door: Door,
    /// What it is judged by, what a sound door keeps among it.
    pub limits: Vec<Limit>,
    /// The drives and belts.
    pub catalogue: &'a Catalogue,
    /// What came of it.
    pub choice: Choice,
    /// Which of those that are listed as doing is taken, from 1.
    pub take: usize,
    /// Whether every pair is listed, and not the best belt of each drive alone.
    pub every_pair: bool,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> ChooseReport<'a> {
    /// Tries every drive with every belt.
    ///
    /// # Errors
    /// Why the door cannot be built.
    pub fn of(
        scenario: &'a Scenario,
        catalogue: &'a Catalogue,
        choosing: &Choosing,
        watch: Watch<'_>,
    ) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let criteria = scenario.criteria();
        let choice = choose(&door, &criteria, catalogue, choosing, watch);
        Ok(Self::of_choice(scenario, door, catalogue, choice))
    }

    /// The same, with more reserve as long as drawn doors do not keep everything as surely as is wanted.
    ///
    /// # Errors
    /// Why the door cannot be built, or what is listed to spread cannot be drawn.
    pub fn surely(
        scenario: &'a Scenario,
        catalogue: &'a Catalogue,
        choosing: &Choosing,
        wanted: Sure,
        stop: &AtomicBool,
        watch: Watch<'_>,
    ) -> Result<Self, SurelyError> {
        let door = scenario.door()?;
        let wanted = (scenario.spreads.as_slice(), wanted);
        let choice = choose_surely(&door, &scenario.criteria(), catalogue, choosing, wanted, stop, watch)?;
        Ok(Self::of_choice(scenario, door, catalogue, choice))
    }

    fn of_choice(scenario: &'a Scenario, door: Door, catalogue: &'a Catalogue, choice: Choice) -> Self {
        // what a sound door keeps has its names too
        let limits = scenario.criteria().with_soundness().limits;
        let warnings = scenario.warnings(&door);
        Self { scenario, door, limits, catalogue, choice, take: 1, every_pair: false, warnings }
    }

    /// The one that ranks first; `None`: none does.
    pub fn first(&self) -> Option<&Tried> {
        self.choice.tried.first().filter(|tried| tried.does())
    }

    /// Those that do, as they are listed and numbered.
    fn doing(&self) -> Vec<(&Tried, usize)> {
        self.listed().into_iter().filter(|(tried, _)| tried.does()).collect()
    }

    /// How many are listed as doing: the numbers that can be taken.
    pub fn to_take(&self) -> usize {
        self.doing().len()
    }

    /// The one that is taken; `None`: there are fewer.
    pub fn taken(&self) -> Option<&Tried> {
        self.doing().get(self.take.checked_sub(1)?).map(|(tried, _)| *tried)
    }

    /// The door file with the drive, the belt, their ratings and the settings of the one that is taken; `None`: none is.
    pub fn door_file(&self) -> Option<String> {
        let tried = self.taken()?;
        let parameters = tried.parameters.as_deref()?.clone();
        let ratings = ratings_of(self.drive(tried), &self.catalogue.belts[tried.belt]);
        Some(to_text(&Scenario { parameters, ratings, ..self.scenario.clone() }))
    }

    pub(crate) fn drive(&self, tried: &Tried) -> &Drive {
        &self.catalogue.drives[tried.drive]
    }

    fn belt_name(&self, tried: &Tried) -> &str {
        &self.catalogue.belts[tried.belt].name
    }

    /// What is listed: the best of each drive, or every pair.
    fn listed(&self) -> Vec<(&Tried, usize)> {
        if self.every_pair {
            self.choice.tried.iter().map(|tried| (tried, usize::from(tried.does()))).collect()
        } else {
            self.choice.best_of_each()
        }
    }
}
