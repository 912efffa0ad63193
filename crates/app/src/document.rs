//! The scenario being edited: undo, redo, and whether it is saved.

use std::path::{Path, PathBuf};

use tautleaf_scenario::Scenario;

use crate::held::HeldRuns;

/// Most steps that can be undone.
const MOST_STEPS: usize = 200;

/// A scenario with its history.
#[derive(Clone)]
pub struct Document {
    scenario: Scenario,
    held: HeldRuns,
    file: File,
    undo: Vec<Step>,
    redo: Vec<Step>,
    /// What is being dragged: all its changes make one step.
    gesture: Option<String>,
    revision: u64,
}

/// Where a document is saved, and what was saved there last.
#[derive(Clone, Debug)]
struct File {
    path: Option<PathBuf>,
    saved: Scenario,
}

/// One step: the scenario on its other side, its file and what is held where they change too, and what it is called.
#[derive(Clone)]
struct Step {
    scenario: Scenario,
    file: Option<Box<File>>,
    held: Option<HeldRuns>,
    name: String,
}

impl Document {
    /// A document as it was read, from a file or from the examples.
    pub fn new(scenario: Scenario, path: Option<PathBuf>) -> Self {
        Self {
            file: File { path, saved: scenario.clone() },
            scenario,
            held: HeldRuns::default(),
            undo: Vec::new(),
            redo: Vec::new(),
            gesture: None,
            revision: 0,
        }
    }

    /// The scenario as it is now.
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// The runs that are kept to compare with.
    pub fn held(&self) -> &HeldRuns {
        &self.held
    }

    /// The file that it is saved in.
    pub fn path(&self) -> Option<&Path> {
        self.file.path.as_deref()
    }

    /// Whether it differs from what is saved.
    pub fn is_dirty(&self) -> bool {
        self.scenario != self.file.saved
    }

    /// Counts the changes: what was worked out for an older revision is out of date.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether something is being dragged.
    pub fn in_gesture(&self) -> bool {
        self.gesture.is_some()
    }

    /// Name of the step that undo takes back.
    pub fn undoable(&self) -> Option<&str> {
        self.undo.last().map(|step| step.name.as_str())
    }

    /// Name of the step that redo brings back.
    pub fn redoable(&self) -> Option<&str> {
        self.redo.last().map(|step| step.name.as_str())
    }

    /// Changes the scenario in one step that can be undone. All changes of one `gesture` are one step.
    pub fn edit(&mut self, name: &str, gesture: Option<&str>, change: impl FnOnce(&mut Scenario)) {
        let before = self.scenario.clone();
        change(&mut self.scenario);
        if self.scenario == before {
            return;
        }
        self.revision += 1;
        let goes_on = gesture.is_some() && self.gesture.as_deref() == gesture;
        self.gesture = gesture.map(str::to_owned);
        if !goes_on {
            self.push(Step { scenario: before, file: None, held: None, name: name.to_owned() });
        }
        self.redo.clear();
    }

    /// Changes what is held in one step that can be undone.
    pub fn edit_held(&mut self, name: &str, change: impl FnOnce(&mut HeldRuns)) {
        let held = Some(self.held.clone());
        change(&mut self.held);
        self.gesture = None;
        self.push(Step { scenario: self.scenario.clone(), file: None, held, name: name.to_owned() });
        self.redo.clear();
    }

    /// Compares with a held run, or with none: a matter of looking, no step.
    pub fn compare(&mut self, index: Option<usize>) {
        self.held.compare(index);
    }

    fn push(&mut self, step: Step) {
        self.undo.push(step);
        let too_many = self.undo.len().saturating_sub(MOST_STEPS);
        self.undo.drain(..too_many);
    }

    /// The slider was let go: its next drag is a new step.
    pub fn end_gesture(&mut self) {
        self.gesture = None;
    }

    /// Takes the last step back.
    pub fn undo(&mut self) {
        if let Some(step) = self.undo.pop() {
            let back = self.swap(step);
            self.redo.push(back);
        }
    }

    /// Brings the step that was taken back again.
    pub fn redo(&mut self) {
        if let Some(step) = self.redo.pop() {
            let back = self.swap(step);
            self.undo.push(back);
        }
    }

    fn swap(&mut self, step: Step) -> Step {
        self.gesture = None;
        self.revision += 1;
        let with_file = step.file.is_some();
        let file = step.file.map(|mut file| {
            std::mem::swap(&mut *file, &mut self.file);
            file
        });
        let held = step.held.map(|held| {
            // With its own file comes what lies beside it.
            let unsaved = !with_file || held.is_unsaved();
            let held = held.instead_of(&self.held, unsaved);
            std::mem::replace(&mut self.held, held)
        });
        Step { scenario: std::mem::replace(&mut self.scenario, step.scenario), file, held, name: step.name }
    }

    /// Puts the scenario of another file, or an example, in its place, with the runs that were held with it. Undo brings back what was
    /// there, saved or not.
    pub fn open(&mut self, scenario: Scenario, path: Option<PathBuf>, held: Vec<(String, Scenario)>) {
        // An example that nobody has touched is nothing to go back to.
        if self.file.path.is_none() && !self.is_dirty() && self.undo.is_empty() && self.held.all().is_empty()
        {
            let revision = self.revision + 1;
            *self = Self { revision, ..Self::new(scenario, path) };
            self.held.replace(held);
            return;
        }
        let held_before = Some(self.held.clone());
        self.held.replace(held);
        let file = File { path, saved: scenario.clone() };
        let file = Some(Box::new(std::mem::replace(&mut self.file, file)));
        let before = std::mem::replace(&mut self.scenario, scenario);
        self.push(Step { scenario: before, file, held: held_before, name: "Open".to_owned() });
        self.redo.clear();
        self.gesture = None;
        self.revision += 1;
    }

    /// Puts work in its place that was never saved. Undo brings back what was there.
    pub fn recover(&mut self, scenario: Scenario, path: Option<PathBuf>, held: Vec<(String, Scenario)>) {
        let held_before = Some(self.held.clone());
        self.held.replace(held);
        // Nothing equals what was saved there, so it counts as changed until it is saved.
        let saved = Scenario { title: "\u{0}".to_owned(), ..scenario.clone() };
        let file = Some(Box::new(std::mem::replace(&mut self.file, File { path, saved })));
        let before = std::mem::replace(&mut self.scenario, scenario);
        self.push(Step { scenario: before, file, held: held_before, name: "Take back".to_owned() });
        self.redo.clear();
        self.gesture = None;
        self.revision += 1;
    }

    /// `scenario`, which may be a moment old, is now saved in `path`.
    pub fn saved(&mut self, path: PathBuf, scenario: Scenario) {
        self.file = File { path: Some(path), saved: scenario };
        self.held.set_saved();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mass(document: &Document) -> f64 {
        document.scenario().parameters.leaf.mass_kg
    }

    fn set_mass(document: &mut Document, kg: f64, gesture: Option<&str>) {
        document.edit("Leaf mass", gesture, |scenario| scenario.parameters.leaf.mass_kg = kg);
    }

    #[test]
    fn a_whole_drag_is_one_step() {
        let mut document = Document::new(Scenario::default(), None);
        let before = mass(&document);
        for kg in [90.0, 95.0, 101.0] {
            set_mass(&mut document, kg, Some("leaf.mass"));
        }
        document.end_gesture();
        set_mass(&mut document, 120.0, Some("leaf.mass"));
        document.undo();
        assert_eq!(mass(&document), 101.0);
        document.undo();
        assert_eq!(mass(&document), before);
        assert_eq!(document.undoable(), None);
        document.redo();
        assert_eq!(mass(&document), 101.0);
    }

    #[test]
    fn a_change_that_changes_nothing_is_no_step() {
        let mut document = Document::new(Scenario::default(), None);
        let same = mass(&document);
        set_mass(&mut document, same, None);
        assert_eq!((document.undoable(), document.revision(), document.is_dirty()), (None, 0, false));
    }

    #[test]
    fn undone_to_what_is_saved_is_not_dirty() {
        let mut document = Document::new(Scenario::default(), None);
        set_mass(&mut document, 100.0, None);
        assert!(document.is_dirty());
        document.undo();
        assert!(!document.is_dirty());
    }

    #[test]
    fn opening_another_file_loses_nothing() {
        let mut document = Document::new(Scenario::default(), None);
        set_mass(&mut document, 123.0, None);
        document.open(Scenario::default(), Some(PathBuf::from("other.toml")), Vec::new());
        assert!(!document.is_dirty());
        assert_eq!(document.path(), Some(Path::new("other.toml")));
        document.undo();
        assert_eq!((mass(&document), document.path(), document.is_dirty()), (123.0, None, true));
        document.redo();
        assert_eq!(document.path(), Some(Path::new("other.toml")));
    }

    #[test]
    fn a_new_change_ends_what_could_be_redone() {
        let mut document = Document::new(Scenario::default(), None);
        set_mass(&mut document, 100.0, None);
        document.undo();
        set_mass(&mut document, 110.0, None);
        assert_eq!(document.redoable(), None);
    }
}
