//! What a panel may see, and how it answers.

use std::cell::RefCell;

use tautleaf_scenario::UnitSystem;

use crate::action::Action;
use crate::state::State;
use crate::theme::Palette;

/// A read-only view of everything, and the way for actions out.
#[derive(Clone, Copy)]
pub struct ViewContext<'a> {
    /// Everything that the window knows.
    pub state: &'a State,
    /// Colours.
    pub palette: &'a Palette,
    /// Where actions go.
    pub actions: &'a Actions,
}

impl ViewContext<'_> {
    /// Units in which everything is shown.
    pub fn units(&self) -> UnitSystem {
        self.state.units()
    }

    /// Sends an action.
    pub fn send(&self, action: Action) {
        self.actions.send(action);
    }
}

/// Actions on their way.
#[derive(Default)]
pub struct Actions(RefCell<Vec<Action>>);

impl Actions {
    /// Sends an action.
    pub fn send(&self, action: Action) {
        self.0.borrow_mut().push(action);
    }

    /// Takes all that were sent.
    pub fn take(&self) -> Vec<Action> {
        self.0.take()
    }

    /// Whether none is waiting.
    pub fn is_empty(&self) -> bool {
        self.0.borrow().is_empty()
    }
}
