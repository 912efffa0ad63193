//! `tautleaf tones`: what makes tones, what answers, and where the door sings.

use tautleaf_report::{Palette, TonesReport, svg};

use crate::args::TonesArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::output::Output;
use crate::run::{put, spare_the_door_file};

pub(crate) fn run(args: &TonesArgs, output: &mut Output) -> Result<Ended, Failure> {
    let picture_on_output = args.svg.as_deref().is_some_and(is_dash);
    if picture_on_output && args.json {
        return Err(Failure::TwoAnswers);
    }
    if let Some(out) = &args.svg {
        spare_the_door_file(&args.file, out)?;
    }
    let scenario = input::scenario(&args.file)?;
    let report = TonesReport::of(&scenario)?;
    if let Some(out) = &args.svg {
        put(output, out, svg::tones(&report)?.as_bytes())?;
    }
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        if !picture_on_output {
            output.answer(&report.text(&Palette::TERMINAL))?;
        }
        output.warn(&report.warnings);
    }
    Ok(Ended::Well)
}
