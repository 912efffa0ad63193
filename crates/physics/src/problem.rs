//! What is wrong with a door, or unusual about it, as values. The words are made where units are known.

use crate::fields::Quantity;
use crate::place::Place;

/// One thing that is wrong with a door, or unusual about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The number that is to be changed.
    pub place: Place,
    /// What it is, with the numbers that tell it.
    pub kind: ProblemKind,
}

/// A number that is outside a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfRange {
    /// The number, SI.
    pub value: f64,
    /// The range, both ends within it, SI.
    pub range: (f64, f64),
    /// What kind of quantity it is.
    pub quantity: Quantity,
    /// What it means, in a short sentence.
    pub says: &'static str,
}

/// What can be wrong with a door, or unusual about it. All numbers are in SI.
#[derive(Clone, Debug, PartialEq)]
pub enum ProblemKind {
    /// A number outside its possible range.
    Impossible(OutOfRange),
    /// A number outside its usual range.
    Unusual(OutOfRange),
    /// A number that counts things has a fraction.
    NotWhole {
        /// The number.
        value: f64,
    },
    /// No belt is left between the clamp of the open leaf and the pulley.
    NoBeltAhead {
        /// Distance of the pulleys, m.
        distance_m: f64,
        /// What stroke and clamp need, m.
        least_m: f64,
    },
    /// The two pulleys would overlap.
    PulleysOverlap {
        /// Distance of their axes, m.
        distance_m: f64,
        /// Sum of their pitch radii, m.
        radii_m: f64,
    },
    /// The last stretch is longer than the whole travel.
    CreepTooLong {
        /// Its length, m.
        creep_m: f64,
        /// The travel, m.
        travel_m: f64,
    },
    /// The stretch in which the wanted speed is zero is half the travel or more.
    StopsTooEarly {
        /// Its length, m.
        distance_m: f64,
        /// Half the travel, m.
        half_m: f64,
    },
    /// The partial opening is more than the stroke.
    PartialBeyondStroke {
        /// The partial opening, m.
        opening_m: f64,
        /// The stroke, m.
        stroke_m: f64,
    },
    /// The end seal is longer than the stroke.
    EndSealTooLong {
        /// Its length, m.
        length_m: f64,
        /// The stroke, m.
        stroke_m: f64,
    },
    /// A second leaf has a mass, but the door has only one.
    NoSecondLeaf,
    /// The obstacle is as wide as the open door.
    ObstacleTooWide {
        /// Clear opening at which it is touched, m.
        gap_m: f64,
        /// How far the door opens, m.
        width_m: f64,
    },
    /// An obstacle between two leaves cannot be pushed along.
    NowhereToPush,
    /// A person needs more than the door opens.
    PersonTooWide {
        /// Clear opening that the person needs, m.
        needs_m: f64,
        /// How far the door opens, m.
        opens_m: f64,
    },
    /// The supply would clamp its bus below the bus voltage.
    ClampBelowBus {
        /// Voltage of the clamp, V.
        clamp_v: f64,
        /// Bus voltage, V.
        bus_v: f64,
    },
    /// A battery has a current limit.
    BatteryWithCurrentLimit,
    /// The bus would not last a tick at the most that the controller asks for.
    BusTooSmall {
        /// Its capacitance, F.
        capacitance_f: f64,
        /// What it needs, F.
        least_f: f64,
        /// The most that the controller asks for, A.
        current_a: f64,
    },
    /// A force acts on a leaf that the door does not have.
    ForceOnNoLeaf {
        /// Name of the force.
        name: String,
        /// Its leaf, from 1.
        leaf: usize,
        /// How many leaves the door has.
        leaves: usize,
    },
    /// A fault is on a leaf that the door does not have.
    FaultOnNoLeaf {
        /// Name of the fault.
        name: String,
        /// Its leaf, from 1.
        leaf: usize,
        /// How many leaves the door has.
        leaves: usize,
    },
    /// A force ends before it begins.
    EndsBeforeItBegins {
        /// Name of the force.
        name: String,
        /// Where or when it begins, SI.
        from: f64,
        /// Where or when it ends, SI.
        to: f64,
        /// A length or a time.
        quantity: Quantity,
    },
    /// No roller climbs a fault as high as this.
    TooHighToClimb {
        /// Name of the fault.
        name: String,
        /// Its height, m.
        height_m: f64,
        /// Radius of the rollers, m.
        radius_m: f64,
    },
    /// A fault that is no step goes down.
    OnlyAStepGoesDown {
        /// Name of the fault.
        name: String,
        /// Its height, below zero, m.
        height_m: f64,
    },
    /// The steps that the door needs are too many to be computed.
    TooSlowToFollow,
    /// The longest strand hangs through so far that it is softer than computed.
    StrandSags {
        /// Installed tension, N.
        tension_n: f64,
        /// Tension from which it does not, N.
        least_n: f64,
        /// Sag that it has then, a fraction of the span.
        sag: f64,
    },
    /// The installed tension strains the belt by more than is allowed.
    StrainsTheBelt {
        /// Installed tension, N.
        tension_n: f64,
        /// Strain of it, a plain number.
        strain: f64,
        /// About what makers' tables allow, a plain number.
        allowable_strain: f64,
        /// Tension of that strain, N.
        most_n: f64,
    },
    /// The gear cannot be driven backwards.
    LocksItself {
        /// Its efficiency.
        efficiency: f64,
    },
    /// A backlash between rigid parts does nothing.
    BacklashBetweenRigidParts {
        /// The backlash at the belt, m.
        backlash_m: f64,
    },
    /// The open stop is so near that each opening hits it.
    OpenStopIsHit {
        /// Its distance behind the open position, m.
        behind_m: f64,
        /// Distance from which it is not, m.
        least_m: f64,
    },
}

/// In SI and in the terms of this crate; what a user reads is made where units are known.
impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {:?}", self.place, self.kind)
    }
}

/// Everything that keeps a door from being run; at least one.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
pub struct Problems(pub Vec<Problem>);
