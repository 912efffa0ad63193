//! `tautleaf spread`: how likely each limit is kept.

use std::ops::ControlFlow;
use std::sync::atomic::Ordering;

use tautleaf_report::rows::{Columns, Provenance};
use tautleaf_report::{Palette, SpreadReport};
use tautleaf_scenario::Scenario;
use tautleaf_trials::spread::{Study, Tally, part_of};
use tautleaf_trials::{Effort, cores};

use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::output::Output;
use crate::run::put;
use crate::stop::{self, Progress};
use crate::trial_args::{SpreadArgs, TrialOuts};
use crate::trial_files::TrialFiles;

pub(crate) fn run(args: &SpreadArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let effort = if args.no_force_test { Effort::NoForceTest } else { Effort::WithImpact };
    let study = scenario.study(args.seed, args.sampling, effort)?;
    let from = Provenance::of_spread(&scenario, &study, args.runs, args.part, effort);
    let mut files = TrialFiles::begin(&args.outs, &args.file, &from, &Columns::of_spread(&study))?;
    let (part, parts) = args.part.unwrap_or((1, 1));
    let indices = part_of(args.runs, part, parts);

    let stop = stop::on_ctrl_c()?;
    let mut tally = Tally::new(&study);
    let mut written = Ok(());
    let progress = Progress::of(indices.end - indices.start);
    let end = study.run(indices.clone(), threads(args.threads), &stop, |row| {
        tally.add(&study, &row);
        progress.step();
        files.row(&row).unwrap_or_else(|failure| {
            written = Err(failure);
            ControlFlow::Break(())
        })
    });
    drop(progress);
    written?;
    files.finish()?;
    let stopped = stop.load(Ordering::Relaxed) && end < indices.end;
    if stopped {
        let kept = if args.outs.csv.is_some() { "; those are kept" } else { "" };
        let done = end - indices.start;
        output.note(&format!("stopped after {done} of {} runs{kept}", indices.end - indices.start));
    }
    match (&args.part, &args.outs.csv) {
        (Some((part, parts)), Some(out)) if !args.outs.takes_output() && !stopped => {
            output.note(&format!(
                "wrote part {part}/{parts} to {}; `tautleaf gather` joins the parts",
                out.display()
            ));
        }
        (Some(_), _) => {}
        (None, _) => answer(&args.outs, &scenario, &study, &tally, args.runs, output)?,
    }
    Ok(if stopped { Ended::Stopped } else { Ended::Well })
}

/// What a study found, in the form that was asked for.
pub(crate) fn answer(
    outs: &TrialOuts,
    scenario: &Scenario,
    study: &Study,
    tally: &Tally,
    wanted: u64,
    output: &mut Output,
) -> Result<(), Failure> {
    let report = SpreadReport::new(scenario, study, tally.findings(), wanted);
    if let Some(out) = &outs.json {
        put(output, out, (report.json()? + "\n").as_bytes())?;
    }
    if !outs.takes_output() {
        output.answer(&report.text(&Palette::TERMINAL))?;
    }
    if !outs.json.as_deref().is_some_and(is_dash) {
        output.warn(&report.warnings);
    }
    Ok(())
}

/// Threads to run on: so many, or one for each core.
pub(crate) fn threads(wanted: Option<u16>) -> usize {
    wanted.map_or_else(cores, usize::from)
}
