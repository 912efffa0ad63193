//! `tautleaf gather`: the parts of a study, joined.

use std::path::Path;

use tautleaf_report::rows::{Columns, Part, PartError, gather};
use tautleaf_trials::spread::Tally;

use crate::ended::Ended;
use crate::failure::Failure;
use crate::output::Output;
use crate::run::is_same;
use crate::spread::answer;
use crate::trial_args::GatherArgs;
use crate::trial_files::TrialFiles;

pub(crate) fn run(args: &GatherArgs, output: &mut Output) -> Result<Ended, Failure> {
    let parts = args.parts.iter().map(|file| Part::open(file)).collect::<Result<Vec<_>, PartError>>()?;
    let whole = gather(parts)?;
    for out in args.outs.all() {
        if args.parts.iter().any(|part| is_same(part, out)) {
            return Err(Failure::OverAPart { path: out.clone() });
        }
    }
    let columns = Columns::of_spread(&whole.study);
    let mut files = TrialFiles::begin(&args.outs, Path::new(&whole.from.file), &whole.from, &columns)?;
    let mut tally = Tally::new(&whole.study);
    whole.rows::<Failure>(|row| {
        tally.add(&whole.study, row);
        files.row(row).map(|_| ())
    })?;
    files.finish()?;
    answer(&args.outs, &whole.scenario, &whole.study, &tally, whole.from.runs, output)?;
    Ok(Ended::Well)
}
