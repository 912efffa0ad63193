//! `tautleaf advise`: what to turn on site.

use tautleaf_report::{AdviceReport, Palette};

use crate::Ended;
use crate::args::AdviseArgs;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;

pub(crate) fn run(args: &AdviseArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let report = AdviceReport::of(&scenario)?;
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        output.answer(&report.text(&Palette::TERMINAL))?;
        output.warn(&report.warnings);
    }
    Ok(if report.fails() { Ended::OverALimit } else { Ended::Well })
}
