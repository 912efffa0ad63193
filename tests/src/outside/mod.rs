//! Where the program's numbers meet something that nobody here wrote.
//!
//! Each group is a function that gives its checks; tests and the table of `outside-checks` call the same ones, so
//! that no number is written twice. *Expected* comes from the source named, *ours* from the program, never the one
//! from the other.

use std::io::Write;

pub mod belts;
pub mod edges;
pub mod gears;
pub mod hanging;
pub mod impact;
pub mod measured;
pub mod motors;
pub mod moves;
pub mod presets;
pub mod resistance;
pub mod ring;
mod runs;

/// How an expected number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The text, or a public reproduction of it, was read.
    Published,
    /// From memory, and recomputed.
    Memory,
    /// A closed form that anyone can redo.
    Derived,
    /// Recomputed from an open measurement that has no published parameters.
    Measured,
}

impl Standing {
    /// In one word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Memory => "memory",
            Self::Derived => "derived",
            Self::Measured => "measured",
        }
    }
}

/// Where an expected number comes from.
#[derive(Clone, Copy, Debug)]
pub struct Source {
    /// Author, title, place.
    pub text: &'static str,
    /// How it is known.
    pub standing: Standing,
}

/// How far ours may be from what is expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// In the unit of the number.
    By(f64),
    /// As a share of what is expected.
    Share(f64),
}

/// One number of ours beside one of somebody else's.
#[derive(Clone, Debug)]
pub struct Check {
    /// What is compared.
    pub fact: String,
    /// Where the expected number comes from.
    pub source: Source,
    /// Unit of both numbers; empty where they have none.
    pub unit: &'static str,
    /// What the source says.
    pub expected: f64,
    /// What the program gives.
    pub ours: f64,
    /// Greatest difference, in the unit.
    pub tolerance: f64,
    /// Why there is a difference at all, or how the number was printed.
    pub because: &'static str,
}

impl Source {
    /// A source and its standing.
    pub const fn new(standing: Standing, text: &'static str) -> Self {
        Self { text, standing }
    }

    /// Compares one number with what this source says.
    pub fn check(
        self,
        fact: impl Into<String>,
        unit: &'static str,
        (expected, ours): (f64, f64),
        tolerance: Tolerance,
        because: &'static str,
    ) -> Check {
        let tolerance = match tolerance {
            Tolerance::By(difference) => difference,
            Tolerance::Share(share) => share * expected.abs(),
        };
        Check { fact: fact.into(), source: self, unit, expected, ours, tolerance, because }
    }
}

impl Check {
    /// Ours less expected.
    pub fn difference(&self) -> f64 {
        self.ours - self.expected
    }

    /// Whether it is within the tolerance; what is no number is not.
    pub fn holds(&self) -> bool {
        self.difference().abs() <= self.tolerance
    }
}

/// Why a group of checks was not made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Skipped(pub String);

/// What a group gives.
pub type Outcome = Result<Vec<Check>, Skipped>;

/// A group of checks with its name.
pub type Group = (&'static str, fn() -> Outcome);

/// Every group, in the order of the table.
pub const GROUPS: &[Group] = &[
    ("Belt drive of a design guide", || Ok(belts::guide_drive())),
    ("Allowable tensions", || Ok(belts::allowable_tensions())),
    ("Belt lengths", || Ok(belts::lengths())),
    ("Strands under a steady pull, whole model", || Ok(belts::strands())),
    ("Ring as a linear system", || Ok(ring::printer_drive())),
    ("Rigid motor and slide, whole model", || Ok(motors::traction_drive())),
    ("Motor step, whole model", || Ok(motors::motor_step())),
    ("Copper", || Ok(motors::copper())),
    ("Friction at creeping speed, whole model", || Ok(resistance::steady_curve())),
    ("Wheel resistance, whole model", || Ok(resistance::wheel())),
    ("Worm gears, whole model", || Ok(gears::worms())),
    ("Gears driven backwards, whole model", || Ok(gears::backwards())),
    ("Least RMS force for a move, whole model", || Ok(moves::least_rms_force())),
    ("Impact, whole model", || Ok(impact::forces())),
    ("Edges that end, whole model", || Ok(edges::forces())),
    ("Hanger loads and air", || Ok(hanging::loads_and_air())),
    ("Limits of standards", || Ok(presets::limits())),
    ("Measured axis", measured::emps::axis),
    ("Measured two-mass resonance", measured::two_mass::resonance),
];

/// For tests: every check of a group holds.
///
/// # Panics
/// With every check that does not hold; where the group was skipped it says so and returns.
pub fn hold(outcome: Outcome) {
    match outcome {
        Ok(checks) => {
            assert!(!checks.is_empty());
            let out: Vec<String> = checks
                .iter()
                .filter(|check| !check.holds())
                .map(|check| {
                    format!(
                        "{}: {} instead of {} +- {} {} ({})",
                        check.fact,
                        check.ours,
                        check.expected,
                        check.tolerance,
                        check.unit,
                        check.source.text
                    )
                })
                .collect();
            assert!(out.is_empty(), "{}", out.join("\n"));
        }
        // past the test harness, which keeps the words of a test that passes to itself
        Err(Skipped(why)) => {
            let _ = writeln!(std::io::stderr(), "SKIPPED: {why}");
        }
    }
}
