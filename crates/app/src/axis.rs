//! What charts are drawn over.

/// What charts are drawn over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Axis {
    /// Time since the first command.
    #[default]
    Time,
    /// Clear opening.
    Opening,
}
