//! Many cycles of the door: what can be asked, what is under way, and what came of it last.

pub mod advising;
pub mod choosing;
mod made;
pub mod spreading;
pub mod sweeping;
pub mod tuning;

use std::sync::Arc;

use eframe::egui::{Key, KeyboardShortcut, Modifiers};
use tautleaf_physics::Figure;
use tautleaf_scenario::catalogue;
use tautleaf_trials::Reserve;
use tautleaf_trials::choose::{Choosing, Rank, Restriction};

use crate::document::Document;
use crate::progress::Progress;
use advising::Advised;
use choosing::Chosen;
use spreading::Spread;
use sweeping::Swept;
use tuning::Settings;

pub use made::Made;

/// What can be asked about many cycles of a door.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trial {
    /// What to turn on site.
    Advise,
    /// Settings for a goal.
    Tune,
    /// Drives for the door.
    Choose,
    /// How sure it keeps its limits.
    Spread,
    /// One number at many values.
    Sweep,
}

impl Trial {
    /// Every one, in the order in which they are listed.
    pub const ALL: [Self; 5] = [Self::Advise, Self::Tune, Self::Choose, Self::Spread, Self::Sweep];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Advise => "What to turn",
            Self::Tune => "Tune the settings",
            Self::Choose => "Choose a drive",
            Self::Spread => "How sure",
            Self::Sweep => "Sweep a setting",
        }
    }

    /// The key that opens it.
    pub const fn shortcut(self) -> KeyboardShortcut {
        let key = match self {
            Self::Advise => Key::F2,
            Self::Tune => Key::F3,
            Self::Choose => Key::F4,
            Self::Spread => Key::F5,
            Self::Sweep => Key::F6,
        };
        KeyboardShortcut::new(Modifiers::NONE, key)
    }

    /// What it does, in a sentence or two.
    pub fn says(self) -> &'static str {
        match self {
            Self::Advise => {
                "Each setting that can be turned on site, one step down and up: what that does to the margin of each limit. And the \
                 least that brings every limit back."
            }
            Self::Tune => {
                "Speeds, ramps, current limits and belt tension for the shortest, calmest or coolest cycle that keeps every limit: what \
                 holds it back, and what more margin costs."
            }
            Self::Choose => {
                "Each drive of the catalogue with each belt, as fast, as often and within the limits that this door asks for. All \
                 of them are invented and generic."
            }
            Self::Spread => {
                "The door drawn many times, with what is never known on site as it may be: how likely each limit is kept, how far \
                 each figure spreads, and what that depends on."
            }
            Self::Sweep => {
                "One number of the door at many values, everything else as it is: between which of them each limit is kept, and with \
                 how much margin. Against a second one: a map of both."
            }
        }
    }
}

/// One kind of trial.
pub struct Under<T> {
    /// What came of it last; `None`: nothing yet.
    pub found: Option<T>,
    /// The one under way.
    pub going: Option<Arc<Progress>>,
    /// Why the last one could not begin.
    pub refused: Option<String>,
}

impl<T> Default for Under<T> {
    fn default() -> Self {
        Self { found: None, going: None, refused: None }
    }
}

impl<T> Under<T> {
    /// Takes in what came of it.
    pub fn end(&mut self, found: T) {
        self.going = None;
        self.found = Some(found);
    }

    /// The same, or why nothing could come of it.
    pub fn end_or_refuse(&mut self, found: Result<T, String>) {
        match found {
            Ok(found) => self.end(found),
            Err(why) => (self.going, self.refused) = (None, Some(why)),
        }
    }
}

/// What came of a trial.
pub enum Tried {
    /// What to turn.
    Advice(Box<Advised>),
    /// Settings for a goal, or why there can be none.
    Tuned(Box<Result<Settings, String>>),
    /// Drives for the door.
    Drives(Box<Chosen>),
    /// How sure it keeps its limits.
    Spread(Box<Spread>),
    /// One number at many values.
    Sweep(Box<Swept>),
}

/// All trials of the window.
#[derive(Default)]
pub struct Trials {
    /// What is to be left of each limit by what is proposed; `None`: what goes with the limits of the door.
    pub reserve: Option<Reserve>,
    /// What to turn.
    pub advice: Under<Advised>,
    /// Settings for a goal.
    pub tuned: Under<Settings>,
    /// Which goal.
    pub tune_asked: tuning::Asked,
    /// Drives for the door.
    pub drives: Under<Chosen>,
    /// By what they are ranked.
    pub rank: Rank,
    /// Which are tried.
    pub only: Restriction,
    /// How sure it keeps its limits.
    pub spread: Under<Spread>,
    /// How many doors are drawn for that.
    pub spread_asked: spreading::Asked,
    /// The figure of it that is looked at.
    pub spread_shown: Option<Figure>,
    /// One number at many values.
    pub sweep: Under<Swept>,
    /// Which number, and which values.
    pub sweep_asked: sweeping::Asked,
    /// The figure of it that is looked at; `None`: the margins.
    pub sweep_shown: Option<Figure>,
}

impl Trials {
    /// What is to be left of each limit of a door.
    pub fn reserve_of(&self, document: &Document) -> Reserve {
        self.reserve.unwrap_or_else(|| document.scenario().criteria().reserve())
    }

    /// How a drive is chosen for a door.
    pub fn choosing(&self, document: &Document) -> Choosing {
        Choosing { rank: self.rank, reserve: self.reserve_of(document), only: self.only.clone() }
    }

    /// Ranks what was found by another rule.
    pub fn rank_by(&mut self, rank: Rank) {
        self.rank = rank;
        if let Some(chosen) = &mut self.drives.found {
            chosen.choice.rank_by(rank, catalogue());
        }
    }

    /// How far a trial is that is under way.
    pub fn going(&self, trial: Trial) -> Option<&Arc<Progress>> {
        match trial {
            Trial::Advise => self.advice.going.as_ref(),
            Trial::Tune => self.tuned.going.as_ref(),
            Trial::Choose => self.drives.going.as_ref(),
            Trial::Spread => self.spread.going.as_ref(),
            Trial::Sweep => self.sweep.going.as_ref(),
        }
    }

    /// A trial ended without a result.
    pub fn break_off(&mut self, trial: Trial) {
        match trial {
            Trial::Advise => self.advice.going = None,
            Trial::Tune => self.tuned.going = None,
            Trial::Choose => self.drives.going = None,
            Trial::Spread => self.spread.going = None,
            Trial::Sweep => self.sweep.going = None,
        }
    }

    /// Why a trial could not begin.
    pub fn refused(&self, trial: Trial) -> Option<&str> {
        match trial {
            Trial::Advise => self.advice.refused.as_deref(),
            Trial::Tune => self.tuned.refused.as_deref(),
            Trial::Choose => self.drives.refused.as_deref(),
            Trial::Spread => self.spread.refused.as_deref(),
            Trial::Sweep => self.sweep.refused.as_deref(),
        }
    }
}
