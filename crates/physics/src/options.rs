//! What a run is to do and to keep.

use crate::run::GapRange;

/// How long a run goes on after the door has arrived closed, s.
pub const AFTER_CLOSED_S: f64 = 1.0;
/// Gaps of the force test, m (EN 12453 measures at 50, 300 and 500 mm).
pub const DEFAULT_GAPS_M: [f64; 3] = [0.05, 0.3, 0.5];

/// What a run is to do and to keep.
#[derive(Clone, Debug, PartialEq)]
pub struct CycleOptions {
    /// What the door is told.
    pub plan: Plan,
    /// Where it starts.
    pub start: Start,
    /// The force test that goes with it.
    pub force: ForceTest,
    /// Multiplies the sub-steps of a tick, 1 to 1000.
    pub refine: u32,
    /// Whether to keep the samples. Figures are read off them either way.
    pub keep_samples: bool,
    /// Whether to break a beam where the leaf closes fastest, for the stopping distance.
    pub stopping: bool,
    /// Whether to pass over the time in which the door stands still.
    pub skip_standing: bool,
}

impl Default for CycleOptions {
    fn default() -> Self {
        Self {
            plan: Plan::OpenAndClose,
            start: Start::Closed,
            force: ForceTest::none(),
            refine: 1,
            keep_samples: true,
            stopping: false,
            skip_standing: true,
        }
    }
}

/// What the door is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Plan {
    /// Open, stay open, close: ends when it has stood closed for a second.
    OpenAndClose,
    /// Open: ends when it has opened.
    Open,
    /// Close: ends when it has stood closed for a second.
    Close,
    /// Find both ends at creep speed, the closed one first.
    Learn,
    /// Power off, winding open.
    Off {
        /// For how long, s, at most a day.
        for_s: f64,
    },
}

/// Where a run starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// At rest, closed.
    Closed,
    /// Every leaf at this opening, belt and drive moving with it.
    At {
        /// Opening of each leaf, m; taken as at the nearer stop where it lies beyond.
        opening_m: f64,
        /// Speed, opening positive, m/s, at most 20 either way.
        speed_m_per_s: f64,
    },
}

/// What to measure against the tester.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceTest {
    /// Clear openings at which the tester stands, m.
    pub gaps_m: Vec<f64>,
    /// Ranges of gaps in each of which the place is looked for at which the opening closes fastest.
    pub ranges: Vec<GapRange>,
    /// Whether the tester stands at those places too, and at 0.8 and 1.25 times as far open where that is in the range.
    pub fastest: bool,
    /// Stall force: closing from rest against it.
    pub stall: bool,
    /// Impact force: forked off the closing run.
    pub impact: bool,
    /// The whole five seconds after touching: residual force and time above 150 N.
    pub whole: bool,
    /// All of it behind the open leaf too, where it is known how far away the next fixed part is.
    pub rear: bool,
}

impl ForceTest {
    /// No force test.
    pub fn none() -> Self {
        Self {
            gaps_m: Vec::new(),
            ranges: Vec::new(),
            fastest: false,
            stall: false,
            impact: false,
            whole: false,
            rear: false,
        }
    }

    /// Everything, at these gaps.
    pub fn at(gaps_m: &[f64]) -> Self {
        Self { gaps_m: gaps_m.to_vec(), stall: true, impact: true, whole: true, ..Self::none() }
    }
}
