//! Which door a result belongs to.

use tautleaf_scenario::Scenario;

use crate::document::Document;

/// The door that a result was worked out for.
pub struct Made {
    scenario: Scenario,
    revision: u64,
}

impl Made {
    /// For the door as it is now.
    pub fn of(document: &Document) -> Self {
        Self { scenario: document.scenario().clone(), revision: document.revision() }
    }

    /// As it was.
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// Whether the door is still that one, or that one again: what a result depends on, its title and units aside.
    pub fn is_current(&self, document: &Document) -> bool {
        let now = document.scenario();
        self.revision == document.revision()
            || (now.parameters == self.scenario.parameters
                && now.limits == self.scenario.limits
                && now.spreads == self.scenario.spreads)
    }
}

#[cfg(test)]
mod tests {
    use tautleaf_scenario::UnitSystem;

    use super::*;
    use crate::example;

    #[test]
    fn a_result_belongs_to_its_door_until_that_changes_and_again_when_it_is_undone() {
        let mut document = Document::new(example::scenario(), None);
        let made = Made::of(&document);
        document.edit("Units", None, |scenario| scenario.units = UnitSystem::Us);
        assert!(made.is_current(&document), "units are a matter of looking");
        document.edit("Leaf mass", None, |scenario| scenario.parameters.leaf.mass_kg += 1.0);
        assert!(!made.is_current(&document));
        document.undo();
        assert!(made.is_current(&document));
    }
}
