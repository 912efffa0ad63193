//! `tautleaf tune`: the settings that a goal asks for.

use std::sync::atomic::Ordering;

use tautleaf_report::{Palette, TuneReport};
use tautleaf_trials::tune::{Goal, MOST_EVALUATIONS, TuneError, Tuning, tune};
use tautleaf_trials::{Effort, Watch};

use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::output::Output;
use crate::run::{put, spare_the_door_file};
use crate::spread::threads;
use crate::stop::{self, Progress};
use crate::tune_args::TuneArgs;

pub(crate) fn run(args: &TuneArgs, output: &mut Output) -> Result<Ended, Failure> {
    if args.json && args.out.as_deref().is_some_and(is_dash) {
        return Err(Failure::TwoAnswers);
    }
    if let Some(out) = &args.out {
        spare_the_door_file(&args.file, out)?;
    }
    let scenario = input::scenario(&args.file)?;
    // refuses spreads that cannot be drawn
    let study = scenario.study(args.sure.seed, Default::default(), Effort::AsJudged)?;
    let door = scenario.door()?;
    let reserve = args.reserve.or_of(&study.bench.criteria);
    let goal = args.goal.unwrap_or_else(|| Goal::first(&study.bench.criteria.limits));
    let tuning = Tuning {
        goal,
        reserve,
        probability: args.sure.probability,
        runs: args.sure.runs,
        seed: args.sure.seed,
        threads: threads(args.threads),
        most_evaluations: MOST_EVALUATIONS,
    };
    let stop = stop::on_ctrl_c()?;
    let progress = Progress::of_a_whole("stops and keeps the best so far");
    let watch = Watch { stop: &stop, tell: &|share| progress.share(share) };
    let tuned =
        tune(&door, &study.bench, &scenario.spreads, &tuning, &watch).map_err(|error| match error {
            TuneError::Door(problems) => Failure::Read(scenario.refusal(&problems)),
            other => Failure::Tune(other),
        })?;
    drop(progress);
    let stopped = stop.load(Ordering::Relaxed);
    if stopped {
        output.note("stopped: what stands here is the best that was found until then");
    }
    let warnings = scenario.warnings(&door);
    let keeps = tuned.keeps;
    let report = TuneReport {
        scenario: &scenario,
        door,
        bench: study.bench,
        tuning,
        goal_asked: args.goal.is_some(),
        tuned,
        warnings,
    };
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        if !args.out.as_deref().is_some_and(is_dash) {
            output.answer(&report.text(&Palette::TERMINAL))?;
        }
        output.warn(&report.warnings);
    }
    match (&args.out, report.door_file()) {
        (Some(out), Some(text)) => put(output, out, text.as_bytes())?,
        (Some(out), None) => output.complain(&Failure::NothingTuned { path: out.clone() }.to_string()),
        (None, _) => {}
    }
    Ok(match (stopped, keeps) {
        (true, _) => Ended::Stopped,
        (false, true) => Ended::Well,
        (false, false) => Ended::OverALimit,
    })
}
