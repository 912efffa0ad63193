//! `tautleaf resolve`: every number that the model uses.

use tautleaf_report::{Palette, resolved};

use crate::args::ResolveArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input;
use crate::output::Output;

pub(crate) fn run(args: &ResolveArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    if args.json {
        output.data((resolved::json(&scenario)? + "\n").as_bytes())?;
    } else {
        output.answer(&resolved::text(&scenario, &Palette::TERMINAL)?)?;
    }
    Ok(Ended::Well)
}
