//! `tautleaf limits`: the published limits that a door file can name.

use tautleaf_report::{Palette, presets};
use tautleaf_scenario::{Preset, preset};

use crate::args::LimitsArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::output::Output;

pub(crate) fn run(args: &LimitsArgs, output: &mut Output) -> Result<Ended, Failure> {
    let all = tautleaf_scenario::presets();
    let named: Vec<&Preset> = args.names.iter().map(|name| named(name)).collect::<Result<_, _>>()?;
    let listed = if named.is_empty() { all.iter().collect() } else { named };
    output.answer(&presets::listing(listed.into_iter(), &Palette::TERMINAL))?;
    Ok(Ended::Well)
}

fn named(name: &str) -> Result<&'static Preset, Failure> {
    preset(name).ok_or_else(|| {
        let known: Vec<&str> =
            tautleaf_scenario::presets().iter().map(|preset| preset.name.as_str()).collect();
        Failure::NoPreset { name: name.to_owned(), known: known.join(", ") }
    })
}
