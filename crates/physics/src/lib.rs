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
pub mod checks;
mod constants;
mod contact;
mod controller;
mod course;
mod cycle;
mod decay;
mod door;
mod edge;
mod energy;
mod faults_met;
pub mod fields;
mod figure_table;
mod figures;
mod force_test;
mod hanging;
mod jerk;
mod levers;
pub mod limits;
pub mod manual;
mod modes;
pub mod motor;
mod numbers;
pub mod parameters;
mod peaks;
mod plant;
mod rail;
mod ratings;
mod reading;
mod rear_test;
mod ring;
mod run;
mod sim;
mod step;
mod substeps;
mod supply;
mod thermal;
mod timeline;
mod travel;
mod warm;
pub mod weather;
pub mod workbench;

pub use checks::{Problem, Problems};
pub use constants::Constants;
pub use cycle::{AFTER_CLOSED_S, CycleOptions, DEFAULT_GAPS_M, ForceTest, Plan, Start, cycle};
pub use door::{Derived, Door};
pub use energy::EnergyBalance;
pub use fields::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Quantity, RATING_FIELDS, TELESCOPE_FIELDS,
    WHOLE_NUMBERS, field,
};
pub use figures::{AtGap, Figure, Figures, Group, LimitName, Moment, Needs, Reading};
pub use hanging::wheel_heights;
pub use jerk::{Felt, felt};
pub use levers::{Levers, Setting, Turn};
pub use limits::{Band, Judge, Known, Limit, Outcome, Rule, Verdict, judge};
pub use numbers::{Number, number, numbers};
pub use parameters::Parameters;
pub use ratings::Ratings;
pub use reading::{DONE_M, LATCH_CHECK_M};
pub use rear_test::REAR_GAPS_M;
pub use ring::{Ring, RingLeaf, Span};
pub use run::{
    Event, EventKind, FastestPlace, GapForce, GapRange, MAX_LEAVES, MAX_SPANS, RearForce, Run, Sample, State,
};
pub use thermal::winding_temperatures;
pub use warm::{WarmRun, warm_run};
