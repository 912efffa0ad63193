//! Keys whose value is one word out of a few.

use tautleaf_physics::parameters::{
    BeamAction, Braking, Hold, InsulationClass, ObstructionAction, Parameters, PowerLost, RunKind,
    SupplyKind, Turn,
};

/// A key of a section that takes one word.
pub(crate) struct Choice {
    /// Dotted key, as in a door file.
    pub key: &'static str,
    /// What it decides, and what the words mean.
    pub says: &'static str,
    /// The words that it takes.
    pub words: &'static [&'static str],
    /// Index of the word that holds.
    pub get: fn(&Parameters) -> usize,
    /// Takes the word of an index.
    pub set: fn(&mut Parameters, usize),
}

macro_rules! choice {
    ($key:literal, $($p:ident).+, $says:literal, $($word:literal => $value:expr),+) => {
        Choice {
            key: $key,
            says: $says,
            words: &[$($word),+],
            get: |p| [$($value),+].iter().position(|value| *value == p.$($p).+).unwrap_or_default(),
            set: |p, n| p.$($p).+ = [$($value),+].get(n).copied().unwrap_or_default(),
        }
    };
}

/// Every such key, in the order of a door file.
pub(crate) static CHOICES: &[Choice] = &[
    choice!("motor.insulation", motor.insulation, "insulation class of the winding (IEC 60085): A bears 105 C, E 120, B 130, F 155, H 180",
        "A" => InsulationClass::A, "E" => InsulationClass::E, "B" => InsulationClass::B, "F" => InsulationClass::F,
        "H" => InsulationClass::H),
    choice!("supply.kind", supply.kind, "mains holds its voltage up to its current limit, a battery sags by its inner resistance times its current",
        "mains" => SupplyKind::Mains, "battery" => SupplyKind::Battery),
    choice!("supply.braking", supply.braking, "where braking energy goes: back into the supply, into a resistor, or blocked, so that the bus rises to its clamp",
        "back" => Braking::Back, "resistor" => Braking::Resistor, "blocked" => Braking::Blocked),
    choice!("controller.hold", controller.hold, "what the motor does while the door stands open",
        "zero-current" => Hold::ZeroCurrent, "shorted" => Hold::Shorted, "free" => Hold::Free),
    choice!("obstruction.action", obstruction.action, "what it does then",
        "reverse" => ObstructionAction::Reverse, "stop" => ObstructionAction::Stop),
    choice!("timeline.run", timeline.run, "a whole cycle, or a learning run that finds both ends at creep speed",
        "cycle" => RunKind::Cycle, "learning" => RunKind::Learning),
    choice!("timeline.beam_action", timeline.beam_action, "what the controller does when the beam is broken while it closes",
        "reopen" => BeamAction::Reopen, "stop" => BeamAction::Stop),
    choice!("timeline.power_lost_winding", timeline.power_lost_winding, "what power lost leaves of the winding: open, so that the leaf coasts, or shorted, so that the motor brakes",
        "open" => PowerLost::Open, "shorted" => PowerLost::Shorted),
    choice!("workbench.tightens", workbench.tightens, "which way the nut of the adjuster tightens; common practice: clockwise",
        "clockwise" => Turn::Clockwise, "counter-clockwise" => Turn::CounterClockwise),
];

/// Those of a section.
pub(crate) fn choices_of(section: &str) -> impl Iterator<Item = &'static Choice> {
    CHOICES.iter().filter(move |choice| choice.key.split('.').next() == Some(section))
}
