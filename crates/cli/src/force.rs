//! `tautleaf force`: the closing force at each gap.

use tautleaf_report::{Judged, Palette, json, table};

use crate::args::ForceArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;

pub(crate) fn run(args: &ForceArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let judged = Judged::force_test(&scenario, args.gaps.as_deref())?;
    if args.json {
        output.data((json::force(&judged)? + "\n").as_bytes())?;
    } else {
        output.answer(&table::force(&judged, &Palette::TERMINAL))?;
        output.warn(&judged.warnings);
    }
    Ok(if judged.fails() { Ended::OverALimit } else { Ended::Well })
}
