//! Which charts there are, and how curves are drawn.

use tautleaf_physics::Quantity;
use tautleaf_scenario::UnitSystem;

use crate::words;

/// Which chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Speed of the leaf.
    Speed,
    /// Kinetic energy.
    Energy,
    /// Force against the tester.
    Force,
    /// Tension of each strand of the belt.
    Tension,
    /// Load of each hanger.
    Hanger,
    /// Winding current.
    Current,
    /// Power drawn from the bus.
    Power,
    /// Acceleration of the leaf.
    Acceleration,
    /// Jerk of the leaf.
    Jerk,
    /// Temperature of the winding.
    Winding,
    /// Height of the wheels on the rail.
    Rail,
}

impl Kind {
    /// Every chart, in the order in which they stand.
    pub const ALL: [Kind; 11] = [
        Kind::Speed,
        Kind::Energy,
        Kind::Force,
        Kind::Tension,
        Kind::Hanger,
        Kind::Current,
        Kind::Power,
        Kind::Acceleration,
        Kind::Jerk,
        Kind::Winding,
        Kind::Rail,
    ];
    /// What is shown at first.
    pub const FIRST: [Kind; 4] = [Kind::Speed, Kind::Energy, Kind::Force, Kind::Tension];

    /// Quantity of its height; power, which no setting has, is in watts everywhere.
    fn quantity(self) -> Option<Quantity> {
        match self {
            Kind::Speed => Some(Quantity::Speed),
            Kind::Energy => Some(Quantity::Energy),
            Kind::Force | Kind::Tension | Kind::Hanger => Some(Quantity::Force),
            Kind::Current => Some(Quantity::Current),
            Kind::Power => None,
            Kind::Acceleration => Some(Quantity::Acceleration),
            Kind::Jerk => Some(Quantity::Jerk),
            Kind::Winding => Some(Quantity::Temperature),
            Kind::Rail => Some(Quantity::ShortLength),
        }
    }

    /// Unit of its height.
    pub fn unit(self, system: UnitSystem) -> String {
        self.quantity().map_or_else(|| "W".to_owned(), |quantity| words::unit(quantity, system))
    }

    /// A height in SI on the screen.
    pub fn shown(self, si: f64, system: UnitSystem) -> f64 {
        self.quantity().map_or(si, |quantity| words::to_shown(quantity, si, system))
    }

    /// The same for the many points of a curve: near enough to be drawn, and without a way through digits for each.
    pub fn drawn(self, system: UnitSystem) -> impl Fn(f64) -> f64 {
        let (zero, one) = (self.shown(0.0, system), self.shown(1.0, system));
        move |si| zero + si * (one - zero)
    }

    /// A height on the screen in SI, to the digits that are shown.
    pub fn si(self, shown: f64, system: UnitSystem) -> f64 {
        // A limit is dragged to a number that can be read, not to a pixel.
        let digits = 10f64.powf(2.0 - shown.abs().max(f64::MIN_POSITIVE).log10().floor());
        let shown = (shown * digits).round() / digits;
        self.quantity().map_or(shown, |quantity| words::from_shown(quantity, shown, system))
    }

    /// A height of a curve that reaches as far as this, SI: next to nothing is nothing.
    pub fn say_beside(self, si: f64, reach: f64, system: UnitSystem) -> String {
        self.say(if si.abs() < 1e-3 * reach { 0.0 } else { si }, system)
    }

    /// A height in SI in words.
    pub fn say(self, si: f64, system: UnitSystem) -> String {
        format!("{} {}", words::number(self.shown(si, system)), self.unit(system))
    }

    /// Its name.
    pub fn title(self) -> &'static str {
        match self {
            Kind::Speed => "Speed",
            Kind::Energy => "Kinetic energy",
            Kind::Force => "Closing force",
            Kind::Tension => "Strand tension",
            Kind::Hanger => "Hanger load",
            Kind::Current => "Current",
            Kind::Power => "Power",
            Kind::Acceleration => "Acceleration",
            Kind::Jerk => "Jerk",
            Kind::Winding => "Winding temperature",
            Kind::Rail => "Rail under the wheels",
        }
    }

    /// Its name where there is little room.
    pub fn short(self) -> &'static str {
        match self {
            Kind::Energy => "Energy",
            Kind::Force => "Force",
            Kind::Tension => "Tension",
            Kind::Hanger => "Hangers",
            Kind::Winding => "Winding",
            Kind::Rail => "Rail",
            other => other.title(),
        }
    }
}

/// How a curve is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// What the chart is about.
    Main,
    /// A second thing beside it.
    Second,
    /// A sum of several main things.
    Thin,
    /// The same on the way open, where the chart is about the way closed.
    Dashed,
    /// One of several that belong together: strands of the belt, counted from the drive pulley in the direction of
    /// opening, or hangers, the leading one first.
    Strand(usize),
    /// A value to compare with, dotted.
    Reference,
    /// Single points, diamonds.
    Diamonds,
    /// Single points, circles.
    Circles,
}

impl Look {
    /// Whether it is drawn as a line.
    pub fn is_line(self) -> bool {
        !matches!(self, Look::Diamonds | Look::Circles)
    }
}
