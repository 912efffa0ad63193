//! What stands beside the numbers wherever they are shown.

/// What stands beside every verdict and picture, in one line.
pub const NOT_PROOF: &str = "A simulation is not proof: only a force test on the installed door, by a competent person, shows that it \
     conforms.";

/// What stands beside the tension of the belt.
pub const BELT_WORK: &str = "Before work on the belt isolate the mains and the battery and block the leaf. A tight belt stores energy: keep \
     fingers off the pulleys, and follow the tension that the maker of the belt gives.";

/// What stands beside the hanging of a leaf.
pub const LEAF_WORK: &str = "Earth the controller and work earthed. Heavy glass, derailing and tipping leaves: use lifting aids and enough \
     people, and check anti-lift and end stops.";

/// What stands where a leaf is handled with the power off.
pub const POWER_OFF: &str = "Isolate the mains and the battery and block the leaf before you work on it: a slope, a cord, a spring or a \
     weight moves it once the power is off.";

/// What stands where the work is up in the opening.
pub const IN_THE_OPENING: &str =
    "Never bypass a safety device for a test. Barrier the opening, and work safely at height.";

/// The cautions, most general first.
pub const CAUTIONS: &[&str] = &[
    "A simulation proves nothing about an installed door. Only a force test on that door, with a calibrated \
     instrument and by a competent person, shows that it conforms, and again after every change.",
    "The edition adopted where the door hangs, the local code and the authority decide; where the law asks for \
     licensed practice, a licensed person signs.",
    "Being within a limit is not the end of it: risk assessment, sensors, guarding, the escape function, signs and \
     maintenance remain.",
    "Low energy is not safe for every group of users. Where contact cannot be accepted, no limit of force helps.",
    "Impact force depends on edge stiffness, belt, dead time of the controller and friction in the cold: read it with \
     its margin, as a band and not as a point.",
    BELT_WORK,
    LEAF_WORK,
    POWER_OFF,
    IN_THE_OPENING,
];
