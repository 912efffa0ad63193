//! Runs that are kept to compare with: hold one, change one.

use std::rc::Rc;

use tautleaf_physics::Figure;
use tautleaf_scenario::Scenario;

use crate::live::Live;

/// Most runs that are held; the oldest gives way.
pub const MOST_HELD: usize = 8;

/// A run that was kept.
#[derive(Clone)]
pub struct Held {
    /// What the user calls it.
    pub name: String,
    /// Its door.
    pub scenario: Scenario,
    /// What it does.
    pub live: Live,
}

/// The runs that are kept, and the one that the present one is compared with. A copy of it shares the runs.
#[derive(Clone, Default)]
pub struct HeldRuns {
    runs: Vec<Rc<Held>>,
    compared: Option<usize>,
    count: usize,
    changes: u64,
    unsaved: bool,
}

impl HeldRuns {
    /// All of them, oldest first.
    pub fn all(&self) -> &[Rc<Held>] {
        &self.runs
    }

    /// The one that is compared with.
    pub fn compared(&self) -> Option<&Held> {
        self.runs.get(self.compared?).map(Rc::as_ref)
    }

    /// Its index.
    pub fn index(&self) -> Option<usize> {
        self.compared.filter(|index| *index < self.runs.len())
    }

    /// Counts the changes of what is compared with.
    pub fn changes(&self) -> u64 {
        self.changes
    }

    /// Keeps a run and compares with it from now on.
    pub fn hold(&mut self, scenario: Scenario, live: Live) {
        self.count += 1;
        self.unsaved = true;
        self.runs.push(Rc::new(Held { name: format!("Run {}", self.count), scenario, live }));
        let too_many = self.runs.len().saturating_sub(MOST_HELD);
        self.runs.drain(..too_many);
        self.compare(Some(self.runs.len() - 1));
    }

    /// Compares with another one, or with none.
    pub fn compare(&mut self, index: Option<usize>) {
        self.compared = index.filter(|index| *index < self.runs.len());
        self.changes += 1;
    }

    /// Gives one another name.
    pub fn rename(&mut self, index: usize, name: String) {
        if let Some(run) = self.runs.get_mut(index) {
            Rc::make_mut(run).name = name;
            self.unsaved = true;
        }
    }

    /// Lets one go.
    pub fn release(&mut self, index: usize) {
        if index < self.runs.len() {
            self.runs.remove(index);
            self.unsaved = true;
            self.compare(None);
        }
    }

    /// Takes the place of other ones; whether it differs from what was saved with the document.
    pub fn instead_of(self, other: &Self, unsaved: bool) -> Self {
        Self { changes: self.changes.max(other.changes) + 1, unsaved, ..self }
    }

    /// Whether they differ from what was saved with the document.
    pub fn is_unsaved(&self) -> bool {
        self.unsaved
    }

    /// They were saved.
    pub fn set_saved(&mut self) {
        self.unsaved = false;
    }

    /// Names and doors, to be saved.
    pub fn to_save(&self) -> Vec<(String, Scenario)> {
        self.runs.iter().map(|run| (run.name.clone(), run.scenario.clone())).collect()
    }

    /// Takes the place of what was held with the runs of another document. A door that cannot be run is left out.
    pub fn replace(&mut self, saved: Vec<(String, Scenario)>) {
        let run = |(name, scenario): (String, Scenario)| {
            let live = Live::of(&scenario).ok()?;
            Some(Rc::new(Held { name, scenario, live }))
        };
        self.runs = saved.into_iter().filter_map(run).take(MOST_HELD).collect();
        self.count = self.runs.len();
        self.unsaved = false;
        self.compare(None);
    }

    /// How much more a figure is now than it was, SI.
    pub fn difference(&self, live: &Live, figure: Figure) -> Option<f64> {
        let before = self.compared()?.live.run.figures.get(figure)?;
        Some(live.run.figures.get(figure)? - before)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run() -> (Scenario, Live) {
        let scenario = crate::example::scenario();
        let live = Live::of(&scenario).expect("a door");
        (scenario, live)
    }

    #[test]
    fn the_oldest_run_gives_way_and_the_last_one_is_compared_with() {
        let mut held = HeldRuns::default();
        let (scenario, live) = run();
        for _ in 0..MOST_HELD + 2 {
            held.hold(scenario.clone(), live.clone());
        }
        let names: Vec<&str> = held.all().iter().map(|run| run.name.as_str()).collect();
        assert_eq!((names.len(), names[0], names[MOST_HELD - 1]), (MOST_HELD, "Run 3", "Run 10"));
        assert_eq!(held.compared().map(|run| run.name.as_str()), Some("Run 10"));
    }

    #[test]
    fn a_run_compared_with_itself_differs_in_nothing() {
        let mut held = HeldRuns::default();
        let (scenario, live) = run();
        held.hold(scenario, live.clone());
        for &figure in Figure::ALL {
            assert!(
                held.difference(&live, figure).is_none_or(|difference| difference == 0.0),
                "{}",
                figure.name()
            );
        }
        held.release(0);
        assert_eq!(held.difference(&live, Figure::OpeningTime), None);
    }
}
