//! `tautleaf hang`: how the leaf hangs, and what each tolerance costs.

use tautleaf_report::{HangReport, Palette};

use crate::args::HangArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;

pub(crate) fn run(args: &HangArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let report = HangReport::of(&scenario)?;
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        output.answer(&report.text(&Palette::TERMINAL))?;
        output.warn(&report.warnings);
    }
    Ok(Ended::Well)
}
