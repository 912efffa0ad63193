//! `tautleaf run`: a door file in, a judged cycle out.

use std::path::Path;

use tautleaf_report::{Judged, Palette, json, samples, svg, table};

use crate::args::RunArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::output::Output;

pub(crate) fn run(args: &RunArgs, output: &mut Output) -> Result<Ended, Failure> {
    let outs = [args.csv.as_deref(), args.svg.as_deref()];
    let on_output = outs.iter().flatten().filter(|path| is_dash(path)).count() + usize::from(args.json);
    if on_output > 1 {
        return Err(Failure::TwoAnswers);
    }
    for out in outs.into_iter().flatten() {
        spare_the_door_file(&args.file, out)?;
    }
    let scenario = input::scenario(&args.file)?;
    let judged = Judged::of(&scenario)?;

    if let Some(out) = &args.csv {
        let mut bytes = Vec::new();
        samples::write(&judged, &mut bytes)?;
        put(output, out, &bytes)?;
    }
    if let Some(out) = &args.svg {
        put(output, out, svg::draw(&judged)?.as_bytes())?;
    }
    if args.json {
        output.data((json::run(&judged)? + "\n").as_bytes())?;
    } else {
        if on_output == 0 {
            output.answer(&table::run(&judged, &Palette::TERMINAL))?;
        }
        output.warn(&judged.warnings);
    }
    Ok(if judged.fails() { Ended::OverALimit } else { Ended::Well })
}

pub(crate) fn put(output: &mut Output, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if is_dash(path) { output.data(bytes) } else { output.file(path, bytes) }
}

/// A slip of the keyboard must not cost the door file.
pub(crate) fn spare_the_door_file(file: &Path, out: &Path) -> Result<(), Failure> {
    if is_same(file, out) { Err(Failure::OverTheDoorFile { path: out.to_owned() }) } else { Ok(()) }
}

/// Whether both are one file, which is there.
pub(crate) fn is_same(file: &Path, other: &Path) -> bool {
    matches!((file.canonicalize(), other.canonicalize()), (Ok(file), Ok(other)) if file == other)
}
