//! `tautleaf choose`: the drive for the leaf.

use std::sync::atomic::Ordering;

use tautleaf_report::{ChooseReport, MapReport, Palette, RANKS, svg};
use tautleaf_scenario::Scenario;
use tautleaf_trials::Surely;
use tautleaf_trials::choose::{Catalogue, Choosing, Rank};

use crate::args::ChooseArgs;
use crate::catalogue::{named, read};
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::output::Output;
use crate::run::{put, spare_the_door_file};
use crate::stop::{self, Progress};
use crate::trial_args::each_its_own;

pub(crate) fn run(args: &ChooseArgs, output: &mut Output) -> Result<Ended, Failure> {
    let outs = [args.svg.as_deref(), args.out.as_deref()];
    let on_output = outs.iter().flatten().filter(|path| is_dash(path)).count() + usize::from(args.json);
    if on_output > 1 {
        return Err(Failure::TwoAnswers);
    }
    each_its_own(outs.into_iter().flatten())?;
    for out in outs.into_iter().flatten() {
        spare_the_door_file(&args.file, out)?;
    }
    let scenario = input::scenario(&args.file)?;
    let catalogue = read(args.catalogue.as_deref())?;
    match &args.map {
        Some(drive) => map(args, &scenario, &catalogue, drive, on_output == 0, output),
        None => choose(args, &scenario, &catalogue, on_output == 0, output),
    }
}

fn choose(
    args: &ChooseArgs,
    scenario: &Scenario,
    catalogue: &Catalogue,
    to_read: bool,
    output: &mut Output,
) -> Result<Ended, Failure> {
    let rank = RANKS.iter().find(|(word, _)| *word == args.rank).map_or(Rank::default(), |(_, rank)| *rank);
    let reserve = args.reserve.or_of(&scenario.criteria());
    let choosing = Choosing { rank, reserve, only: args.only.of(catalogue, scenario.units)? };
    let stop = stop::on_ctrl_c()?;
    let progress = Progress::counting(choosing.only.leaves(catalogue) as u64, "drives");
    let watch = |done, all| {
        progress.at(done, all);
        !stop.load(Ordering::Relaxed)
    };
    let mut report = match args.sure.wanted() {
        Some(wanted) => ChooseReport::surely(scenario, catalogue, &choosing, wanted, &stop, &watch)?,
        None => ChooseReport::of(scenario, catalogue, &choosing, &watch)?,
    };
    drop(progress);
    report.every_pair = args.all;
    report.take = usize::from(args.take);
    if let Some(out) = &args.svg {
        put(output, out, svg::margins(&report)?.as_bytes())?;
    }
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        if to_read {
            output.answer(&report.text(&Palette::TERMINAL))?;
        }
        output.warn(&report.warnings);
    }
    if !report.choice.stopped && report.to_take() > 0 && report.taken().is_none() {
        return Err(Failure::NoSuchNumber { take: report.take, there: report.to_take() });
    }
    match (&args.out, report.door_file()) {
        (Some(out), Some(text)) => put(output, out, text.as_bytes())?,
        (Some(out), None) => {
            let nothing = Failure::NothingToWrite { path: out.clone() };
            output.complain(&nothing.to_string());
        }
        (None, _) => {}
    }
    if report.choice.stopped {
        return Ok(Ended::Stopped);
    }
    let sure = report.choice.surely.as_ref().is_none_or(Surely::is_met);
    Ok(if sure && report.first().is_some() { Ended::Well } else { Ended::OverALimit })
}

fn map(
    args: &ChooseArgs,
    scenario: &Scenario,
    catalogue: &Catalogue,
    drive: &str,
    to_read: bool,
    output: &mut Output,
) -> Result<Ended, Failure> {
    let drive = named("drive", &catalogue.drives, |drive| &drive.name, drive)?;
    let belt = match &args.belt {
        Some(name) => Some(named("belt", &catalogue.belts, |belt| &belt.name, name)?),
        None => None,
    };
    let stop = stop::on_ctrl_c()?;
    let progress = Progress::counting(1, "steps");
    let watch = |done, all| {
        progress.at(done, all);
        !stop.load(Ordering::Relaxed)
    };
    let report = MapReport::of(scenario, drive, belt, &watch)?;
    drop(progress);
    if let Some(out) = &args.svg {
        put(output, out, svg::load_map(&report)?.as_bytes())?;
    }
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        if to_read {
            output.answer(&report.text(&Palette::TERMINAL))?;
        }
        output.warn(&report.warnings);
    }
    if report.map.stopped {
        return Ok(Ended::Stopped);
    }
    Ok(if report.does() { Ended::Well } else { Ended::OverALimit })
}
