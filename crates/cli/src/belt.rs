//! `tautleaf belt`: the belt at the workbench.

use tautleaf_report::{BeltReport, Palette};

use crate::args::BeltArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;

pub(crate) fn run(args: &BeltArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let report = BeltReport::of(&scenario, args.heard)?;
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        output.answer(&report.text(&Palette::TERMINAL))?;
        output.warn(&report.warnings);
    }
    Ok(Ended::Well)
}
