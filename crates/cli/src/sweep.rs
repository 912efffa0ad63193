//! `tautleaf sweep`: one or two numbers at many values.

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::atomic::Ordering;

use tautleaf_report::rows::{Columns, Provenance};
use tautleaf_report::{Palette, SweepReport, svg};
use tautleaf_scenario::axis;
use tautleaf_trials::{Effort, Sweep, USUAL_VALUES};

use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::output::Output;
use crate::run::{put, spare_the_door_file};
use crate::spread::threads;
use crate::stop::{self, Progress};
use crate::trial_args::SweepArgs;
use crate::trial_args::each_its_own;
use crate::trial_files::TrialFiles;

pub(crate) fn run(args: &SweepArgs, output: &mut Output) -> Result<Ended, Failure> {
    let scenario = input::scenario(&args.file)?;
    let effort = if args.no_force_test { Effort::NoForceTest } else { Effort::WithImpact };
    let door = scenario.door()?;
    let count = USUAL_VALUES.get(args.over.len() - 1).ok_or(Failure::TooManyAxes(args.over.len()))?;
    let axes = args.over.iter().map(|text| axis(text, &door, *count)).collect::<Result<Vec<_>, _>>()?;
    let sweep = Sweep::new(&door, axes, scenario.bench(effort))?;
    let drawn_on_output = args.svg.as_deref().is_some_and(is_dash);
    if drawn_on_output && args.outs.takes_output() {
        return Err(Failure::TwoAnswers);
    }
    if let Some(out) = &args.svg {
        spare_the_door_file(&args.file, out)?;
    }
    each_its_own(args.outs.all().chain(&args.svg).map(PathBuf::as_path))?;
    let from = Provenance::of_sweep(&scenario, &sweep, effort);
    let mut files = TrialFiles::begin(&args.outs, &args.file, &from, &Columns::of_sweep(&sweep))?;

    let stop = stop::on_ctrl_c()?;
    let (mut rows, mut written) = (Vec::new(), Ok(()));
    let progress = Progress::of(sweep.trials());
    sweep.run(threads(args.threads), &stop, |row| {
        let flow = files.row(&row).unwrap_or_else(|failure| {
            written = Err(failure);
            ControlFlow::Break(())
        });
        rows.push(row);
        progress.step();
        flow
    });
    drop(progress);
    written?;
    files.finish()?;

    let report = SweepReport::new(&scenario, &sweep, rows);
    let stopped = stop.load(Ordering::Relaxed) && (report.rows.len() as u64) < sweep.trials();
    if let Some(out) = &args.svg {
        put(output, out, svg::sweep(&report)?.as_bytes())?;
    }
    if let Some(out) = &args.outs.json {
        put(output, out, (report.json()? + "\n").as_bytes())?;
    }
    if !args.outs.takes_output() && !drawn_on_output {
        output.answer(&report.text(&Palette::TERMINAL))?;
    }
    if !args.outs.json.as_deref().is_some_and(is_dash) {
        output.warn(&report.warnings);
    }
    Ok(if stopped { Ended::Stopped } else { Ended::Well })
}
