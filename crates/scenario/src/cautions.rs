//! What stands beside the numbers wherever they are shown.

/// What stands beside the tension of the belt.
pub const BELT_WORK: &str = "Before work on the belt isolate the mains and the battery and block the leaf. A tight belt stores energy: keep \
     fingers off the pulleys, and follow the tension that the maker of the belt gives.";

/// What stands beside the hanging of a leaf.
pub const LEAF_WORK: &str = "Earth the controller and work earthed. Heavy glass, derailing and tipping leaves: use lifting aids and enough \
     people, and check anti-lift and end stops.";

/// The cautions, most general first.
pub const CAUTIONS: &[&str] = &[
    "A simulation proves nothing about an installed door. Only a force test on that door, with a calibrated \
     instrument and by a competent person, shows that it conforms, and again after every change.",
    "The edition adopted where the door hangs, the local code and the authority decide; where the law asks for \
     licensed practice, a licensed person signs.",
    "Being within a limit is not the end of it: risk assessment, sensors, guarding, the escape function, signs and \
     maintenance remain.",
    "Low energy is not safe for every group of users. Where contact cannot be accepted, no limit of force helps.",
    "Impact force hangs on edge stiffness, belt, dead time of the controller and friction in the cold: read it with \
     its margin, as a band and not as a point.",
    BELT_WORK,
    LEAF_WORK,
    "Never bypass a safety device for a test. Barrier the opening, and work safely at height.",
];
