//! What a data sheet cannot say. Numbers are SI, in the conventions of the data sheet; the words for it are made where it is read.

use tautleaf_physics::Quantity;

use super::catalogue::WorkedOut;

/// What a data sheet cannot say: at which key, and what.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refusal {
    /// A word is missing or does not suit the motor.
    Word {
        /// The key.
        key: &'static str,
        /// What was found.
        found: &'static str,
        /// What would do.
        would_do: &'static str,
    },
    /// A key makes one value of a number, where another key, or what it was worked out from, makes another.
    Contradicts {
        /// The key.
        key: &'static str,
        /// The number that both make, in words.
        of: &'static str,
        /// Its quantity.
        quantity: Quantity,
        /// What the key makes of it.
        makes: f64,
        /// How; empty: the key says it as it is.
        by: &'static str,
        /// What the other makes of it.
        is: f64,
        /// The other.
        other: &'static str,
        /// By which share they may differ.
        share: f64,
    },
    /// A value has to be less than another.
    NotBelow {
        /// The key.
        key: &'static str,
        /// Quantity of both.
        quantity: Quantity,
        /// Its value.
        value: f64,
        /// The other.
        most: f64,
        /// What the other is.
        other: &'static str,
    },
    /// A number that was worked out cannot be.
    Impossible {
        /// The number.
        worked: WorkedOut,
    },
    /// At the rated current the winding warms without end.
    Burns {
        /// The key.
        key: &'static str,
        /// Loss of the cold winding at the rated current, W.
        loss_w: f64,
        /// Thermal resistance to ambient, K/W.
        k_per_w: f64,
        /// From which on the loss grows faster than the heat that leaves, K/W.
        most_k_per_w: f64,
    },
    /// The insulation does not bear the rated rise.
    Insulation {
        /// Rated rise above 40 C, K.
        rise_k: f64,
        /// Temperature of the class, C.
        bears_c: f64,
    },
}

impl Refusal {
    /// The key at which it is.
    pub fn key(&self) -> &'static str {
        match self {
            Self::Word { key, .. } | Self::Contradicts { key, .. } => key,
            Self::NotBelow { key, .. } | Self::Burns { key, .. } => key,
            Self::Impossible { worked } => worked.key,
            Self::Insulation { .. } => "drive.insulation",
        }
    }
}
