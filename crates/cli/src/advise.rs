//! `tautleaf advise`: what to turn on site.

use tautleaf_report::{AdviceReport, Palette};
use tautleaf_trials::Watch;

use crate::args::AdviseArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;
use crate::stop::{self, Progress};

pub(crate) fn run(args: &AdviseArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let stop = stop::on_ctrl_c()?;
    let progress = Progress::of_a_whole("stops and keeps what is worked out");
    let watch = Watch { stop: &stop, tell: &|share| progress.share(share) };
    let reserve = args.reserve.or_of(&scenario.criteria());
    let report = match args.sure.wanted() {
        Some(wanted) => AdviceReport::surely(&scenario, reserve, wanted, &watch)?,
        None => AdviceReport::of(&scenario, reserve, &watch)?,
    };
    drop(progress);
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        output.answer(&report.text(&Palette::TERMINAL))?;
        output.warn(&report.warnings);
    }
    if report.advice.stopped {
        return Ok(Ended::Stopped);
    }
    Ok(if report.fails() { Ended::OverALimit } else { Ended::Well })
}
