//! The physics of a belt-driven sliding door: parameters -> door -> cycle -> figures -> verdicts.
//!
//! No files, no clock, no printing, no text units. SI inside, always.
//!
//! ```
//! use tautleaf_physics::{CycleOptions, Door, Figure, Parameters, cycle};
//!
//! let door = Door::try_from(Parameters::default())?;
//! let run = cycle(&door, &CycleOptions::default());
//! assert!(run.figures.get(Figure::OpeningTime).is_some_and(|seconds| seconds < 4.0));
//! # Ok::<(), tautleaf_physics::Problems>(())
//! ```

pub mod belt;
mod by_gap;
pub mod checks;
mod constants;
mod contact;
mod controller;
mod course;
mod crossing;
mod cycle;
mod decay;
mod door;
mod edge;
mod energy;
mod faults_met;
pub mod fields;
mod figure_row;
mod figure_table;
mod figures;
mod force_test;
mod hanging;
mod jerk;
mod judge;
mod levers;
pub mod limits;
pub mod manual;
mod mesh;
mod modes;
mod moment;
pub mod motor;
mod numbers;
mod options;
pub mod parameters;
mod patience;
mod peaks;
mod place;
mod plant;
mod problem;
mod progress;
mod rail;
mod rated_limits;
mod ratings;
mod reading;
mod rear_test;
mod result;
mod ring;
mod run;
mod sim;
mod step;
mod substeps;
mod supply;
mod tester_force;
mod thermal;
mod timeline;
mod travel;
mod warm;
pub mod weather;
mod why_absent;
mod winding_course;
pub mod workbench;

pub use constants::Constants;
pub use cycle::cycle;
pub use door::{Derived, Door};
pub use energy::EnergyBalance;
pub use fields::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Quantity, RATING_FIELDS, TELESCOPE_FIELDS,
    WHOLE_NUMBERS, field,
};
pub use figure_row::{Group, LimitName, Needs};
pub use figures::{Figure, Figures};
pub use hanging::wheel_heights;
pub use jerk::{Felt, felt};
pub use judge::judge;
pub use levers::{Levers, Setting, Turn};
pub use limits::{Band, Judge, Known, Limit, Outcome, Rule, Verdict};
pub use moment::{Moment, Reading};
pub use numbers::{Number, number, numbers};
pub use options::{AFTER_CLOSED_S, CycleOptions, DEFAULT_GAPS_M, ForceTest, Plan, Start};
pub use parameters::Parameters;
pub use peaks::LATCH_CHECK_M;
pub use place::Place;
pub use problem::{OutOfRange, Problem, ProblemKind, Problems};
pub use ratings::Ratings;
pub use reading::phases::DONE_M;
pub use reading::slack::{SlackTime, slack_times};
pub use rear_test::REAR_GAPS_M;
pub use result::Run;
pub use ring::{Ring, RingLeaf, Span};
pub use run::{
    AtGap, Event, EventKind, FastestPlace, GapForce, GapRange, MAX_LEAVES, MAX_SPANS, RearForce, Sample,
    State,
};
pub use warm::{WarmRun, warm_run};
pub use winding_course::winding_temperatures;
