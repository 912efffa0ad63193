//! Every flag and its help.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use tautleaf_physics::Quantity;
use tautleaf_scenario::units;

use crate::choose_args::OnlyArgs;
use crate::trial_args::{GatherArgs, ReserveArg, SpreadArgs, SureArgs, SweepArgs};
use crate::tune_args::TuneArgs;

const ABOUT: &str = "Motion and belt-tension simulator for automatic sliding door leaves";

const LONG_ABOUT: &str = "Tautleaf runs an automatic sliding door that exists only as a door file: leaf, belt, drive, speeds and limits. \
It tells how fast the leaf goes, how much energy it carries, how hard it closes on whoever stands in the way and \
whether the belt goes slack, and judges each against your limits. Without a subcommand it opens the window.";

const FIRST_STEPS: &str = "\
First steps:
  tautleaf new shop.toml          write a door file with every key explained
  tautleaf check shop.toml        find what is wrong or unusual in it
  tautleaf run shop.toml          open and close the door, judge it
  tautleaf open shop.toml         the same in the window, with sliders

Exit code: 0 within limits, 1 a limit is over, none was judged or the door did not open and close, 2 could not run.

A simulation is not proof: only a force test on the installed door shows that it conforms.
The edition adopted on site, the local code and the authority govern.";

#[derive(Debug, Parser)]
#[command(name = "tautleaf", version, about = ABOUT, long_about = LONG_ABOUT, after_help = FIRST_STEPS, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Run a door once, open and closed, and judge it by its limits
    Run(RunArgs),
    /// Test the closing force at each gap
    Force(ForceArgs),
    /// Work out the belt: length, cut, nut turns, tone, what it bears
    Belt(BeltArgs),
    /// Find what makes tones, what answers, and where the door sings
    Tones(TonesArgs),
    /// Work out how the leaf hangs, and what each tolerance costs
    Hang(HangArgs),
    /// Say what to turn on site so that every limit is kept
    Advise(AdviseArgs),
    /// Find how likely each limit is kept, when what is never known on site spreads
    Spread(SpreadArgs),
    /// Run a door at many values of one or two of its numbers
    Sweep(SweepArgs),
    /// Find the settings of the shortest, calmest or coolest cycle with every limit kept
    Tune(TuneArgs),
    /// Join the parts of a tolerance study to what one run would have given
    Gather(GatherArgs),
    /// Choose a drive and a belt: which of a catalogue do, with which settings, and why the others do not
    Choose(ChooseArgs),
    /// List the drives and belts that there are to choose from
    Catalogue(CatalogueArgs),
    /// Find everything that is wrong or unusual in door files
    Check(CheckArgs),
    /// Write a door file to start from, with every key explained
    New(NewArgs),
    /// List every number that the model uses, defaults and all that is worked out
    Resolve(ResolveArgs),
    /// List the published limits that a door file can name, with their sources
    Limits(LimitsArgs),
    /// Open the window
    Open(OpenArgs),
}

const RUN_EXAMPLES: &str = "\
Examples:
  tautleaf run shop.toml                        verdicts and figures to read
  tautleaf run shop.toml --svg shop.svg         and speed, energy and force as a picture
  tautleaf run shop.toml --csv shop.csv         and every millisecond as a table
  tautleaf run shop.toml --json                 one JSON object for other programs
  tautleaf run - --json < shop.toml             the door file from standard input

The file's section [limits] says what the door is judged by, and at which gaps its closing force
is tested. With --csv - or --svg - that goes to standard output instead of the table.

Exit code: 0 within limits, 1 a limit is over, none was judged or the door did not open and close, 2 could not run.";

#[derive(Debug, Args)]
#[command(after_help = RUN_EXAMPLES)]
pub(crate) struct RunArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
    /// Write the course of the run, one row a millisecond, SI; contact_force_n is the greatest within it
    #[arg(long, value_name = "OUT")]
    pub csv: Option<PathBuf>,
    /// Write a picture of speed, kinetic energy and closing force with the limits
    #[arg(long, value_name = "OUT")]
    pub svg: Option<PathBuf>,
}

const FORCE_EXAMPLES: &str = "\
Examples:
  tautleaf force shop.toml
  tautleaf force shop.toml --gaps 50mm,300mm
  tautleaf force shop.toml --gaps \"2 in, 12 in, 20 in\" --json

At each gap a force tester stands between the closing edges:
  stall           the leaf closes against it from rest: greatest 50 ms mean within 2 s
  impact          the leaf meets it at speed: greatest force within 0.75 s, and how long after touching
  residual        mean from 4.95 s to 5.00 s after touching
  above 150 N     total time within 5 s of touching
  reverses after  when the controller reverses, or stops if it is set to stop

The limits on closing force judge it, and the ratings of drive and belt.

Exit code: 0 within limits, 1 a limit on closing force or a rating is over, or the door did not open
and close, 2 could not run.";

#[derive(Debug, Args)]
#[command(after_help = FORCE_EXAMPLES)]
pub(crate) struct ForceArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Clear openings at which to test, with units; otherwise those of the file
    #[arg(long, value_name = "GAPS", value_delimiter = ',', value_parser = gap)]
    pub gaps: Option<Vec<f64>>,
    /// Answer with one JSON object, with force over time
    #[arg(long)]
    pub json: bool,
}

fn gap(text: &str) -> Result<f64, String> {
    let gap = units::parse_quantity(Quantity::ShortLength, text.trim()).map_err(|error| error.to_string())?;
    if gap > 0.0 { Ok(gap) } else { Err("a gap is wider than nothing, such as 50 mm or 2 in".to_owned()) }
}

const BELT_EXAMPLES: &str = "\
Examples:
  tautleaf belt shop.toml
  tautleaf belt shop.toml --heard \"31 Hz\"      the tension of a strand that sounds so, and what to turn
  tautleaf belt shop.toml --json

Section [workbench] of the door file says how it is cut, clamped and tightened:
  cut_short, clamp_teeth, clamp_gap, thread_pitch, tightens, wanted_tension

Exit code: 0 done, 2 could not run.";

#[derive(Debug, Args)]
#[command(after_help = BELT_EXAMPLES)]
pub(crate) struct BeltArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Tone of a plucked strand, such as 31 Hz
    #[arg(long, value_name = "TONE", value_parser = tone)]
    pub heard: Option<f64>,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
}

const TONES_EXAMPLES: &str = "\
Examples:
  tautleaf tones shop.toml
  tautleaf tones shop.toml --svg tones.svg     speed against frequency, where they meet
  tautleaf tones shop.toml --json

With gear.rotor_teeth, motor.pole_pairs or motor.commutator_bars in the door file gear and motor
sound too.

Exit code: 0 done, 2 could not run.";

#[derive(Debug, Args)]
#[command(after_help = TONES_EXAMPLES)]
pub(crate) struct TonesArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
    /// Write a picture of the tones over speed
    #[arg(long, value_name = "OUT")]
    pub svg: Option<PathBuf>,
}

const HANG_EXAMPLES: &str = "\
Examples:
  tautleaf hang shop.toml
  tautleaf hang shop.toml --json

Section [workbench] of the door file sets the tolerances: hanger_end_least, hanger_end_most and
frame_tolerance.

Exit code: 0 done, 2 could not run.";

#[derive(Debug, Args)]
#[command(after_help = HANG_EXAMPLES)]
pub(crate) struct HangArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
}

const ADVISE_EXAMPLES: &str = "\
Examples:
  tautleaf advise shop.toml
  tautleaf advise shop.toml --reserve \"5 %\"     leave a twentieth of each limit, not a tenth
  tautleaf advise shop.toml --probability \"95 %\"  as much more of it as 95 of 100 such doors need
  tautleaf advise shop.toml --json

What can be turned on site, one step each: speeds, ramps and currents of the controller, the adjuster of
the belt, the trailing hanger. Each line says what that does to the margin of each limit; above stands the
least that brings all limits within and leaves the reserve of each where that can be.

Exit code: 0 no limit is over, 1 a limit is over as the door is, 2 could not run, 130 stopped with Ctrl-C.";

#[derive(Debug, Args)]
#[command(after_help = ADVISE_EXAMPLES)]
pub(crate) struct AdviseArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    #[command(flatten)]
    pub reserve: ReserveArg,
    #[command(flatten)]
    pub sure: SureArgs,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
}

fn tone(text: &str) -> Result<f64, String> {
    let digits = text.trim().trim_end_matches("Hz").trim_end_matches("hz").trim_end();
    match digits.parse::<f64>() {
        Ok(hz) if hz > 0.0 && hz <= 20_000.0 => Ok(hz),
        _ => Err("write a tone that can be heard, such as 31 Hz".to_owned()),
    }
}

const CHOOSE_EXAMPLES: &str = "\
Examples:
  tautleaf choose shop.toml                          every drive with every belt, the smallest that does first
  tautleaf choose shop.toml --rank energy            ranked by energy a cycle instead
  tautleaf choose shop.toml --voltage \"24 V\" --gear worm,planetary --most-power \"120 W\" --self-locking no
                                                     of such drives alone
  tautleaf choose shop.toml --reserve \"20 %\"         a fifth of everything left, not a tenth
  tautleaf choose shop.toml --probability \"95 %\"     as much more of it as 95 of 100 such doors need
  tautleaf choose shop.toml --catalogue my-drives    with your own files beside the program's
  tautleaf choose shop.toml --out chosen.toml        and the door file with what ranks first
  tautleaf choose shop.toml --out chosen.toml --take 2   with what ranks second
  tautleaf choose shop.toml --map \"worm 15:1, 60 W\" --svg map.svg
                                                     what one drive moves in which closing time

The limits of the door file say what is wanted: opening_time_max, closing_time_max, force, energy,
acceleration, opening by hand; section [duty] how often. Without limits on time the door has to be as
fast as its present settings ask for. Speeds, ramps, currents and tension are worked out, and the length of
creep and the time held open where a limit asks for more. Drives that keep everything with the reserve left
come first, then those that keep everything with less left.

Exit code: 0 some drive does, 1 none does, 2 could not run, 130 stopped with Ctrl-C, what was done is kept.";

#[derive(Debug, Args)]
#[command(after_help = CHOOSE_EXAMPLES)]
pub(crate) struct ChooseArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Folder of catalogue files of your own, beside the drives and belts of the program
    #[arg(long, value_name = "DIR")]
    pub catalogue: Option<PathBuf>,
    /// What those that do are ranked by
    #[arg(long, value_name = "RULE", default_value = "smallest", value_parser = ["smallest", "margin", "energy", "cool"])]
    pub rank: String,
    #[command(flatten)]
    pub reserve: ReserveArg,
    #[command(flatten)]
    pub sure: SureArgs,
    #[command(flatten)]
    pub only: OnlyArgs,
    /// List every pair of drive and belt, not the best belt of each drive alone
    #[arg(long, conflicts_with = "map")]
    pub all: bool,
    /// Map one drive instead: leaf mass against closing time. Its name, or a part that no other has
    #[arg(long, value_name = "DRIVE", conflicts_with = "reserve")]
    pub map: Option<String>,
    /// Belt of the map; otherwise that of the door
    #[arg(long, value_name = "BELT", requires = "map")]
    pub belt: Option<String>,
    /// Answer with one JSON object, SI units in the names
    #[arg(long)]
    pub json: bool,
    /// Write a picture: what each drive has left, or the map
    #[arg(long, value_name = "OUT")]
    pub svg: Option<PathBuf>,
    /// Write the door file with the drive, the belt, their ratings and the settings that rank first, or as --take says
    #[arg(long, value_name = "OUT", conflicts_with = "map")]
    pub out: Option<PathBuf>,
    /// Which one to show and write, by its number in the list
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..), conflicts_with = "map")]
    pub take: u16,
}

const CATALOGUE_EXAMPLES: &str = "\
Examples:
  tautleaf catalogue
  tautleaf catalogue --catalogue my-drives           your own among them, checked
  tautleaf catalogue --json                          every number of each, in SI
  tautleaf catalogue --new my-drives/mine.toml       a commented entry to type a data sheet into
  tautleaf catalogue my-drives/mine.toml             what it says, and what was worked out from that

Exit code: 0 done, 2 a file is wrong.";

#[derive(Debug, Args)]
#[command(after_help = CATALOGUE_EXAMPLES)]
pub(crate) struct CatalogueArgs {
    /// Catalogue file to check and show: what each drive says, and what was worked out from that; `-` for standard input
    #[arg(value_name = "FILE", conflicts_with = "catalogue")]
    pub file: Option<PathBuf>,
    /// Folder of catalogue files of your own, listed beside those of the program
    #[arg(long, value_name = "DIR")]
    pub catalogue: Option<PathBuf>,
    /// Write a commented entry to type a data sheet into; `-` for standard output
    #[arg(long, value_name = "FILE", conflicts_with_all = ["file", "catalogue", "json"])]
    pub new: Option<PathBuf>,
    /// With --new: write over a file that is there already
    #[arg(long, requires = "new")]
    pub force: bool,
    /// Answer with one JSON object, SI units beside the numbers
    #[arg(long)]
    pub json: bool,
}

const CHECK_EXAMPLES: &str = "\
Examples:
  tautleaf check shop.toml
  tautleaf check scenarios/*.toml

What is wrong goes to standard error, as file:line: key: what was found; what would do.
What is only unusual is a warning beside \"fine\".

Exit code: 0 every file can be run, 2 one cannot.";

#[derive(Debug, Args)]
#[command(after_help = CHECK_EXAMPLES)]
pub(crate) struct CheckArgs {
    /// Door files; - reads standard input
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
}

const NEW_EXAMPLES: &str = "\
Examples:
  tautleaf new                 to standard output
  tautleaf new shop.toml       to a file, which must not be there yet";

#[derive(Debug, Args)]
#[command(after_help = NEW_EXAMPLES)]
pub(crate) struct NewArgs {
    /// File to write; left out: standard output
    pub file: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

const RESOLVE_EXAMPLES: &str = "\
Examples:
  tautleaf resolve shop.toml             what the file sets, what is a default, what is worked out
  tautleaf resolve shop.toml --json      all of it in SI, to recompute a run elsewhere";

#[derive(Debug, Args)]
#[command(after_help = RESOLVE_EXAMPLES)]
pub(crate) struct ResolveArgs {
    /// Door file; - reads standard input
    pub file: PathBuf,
    /// Answer with one JSON object in SI
    #[arg(long)]
    pub json: bool,
}

const LIMITS_EXAMPLES: &str = "\
Examples:
  tautleaf limits
  tautleaf limits low-energy-sliding-eu

A door file names presets so:  [limits]  presets = [\"low-energy-sliding-eu\"]";

#[derive(Debug, Args)]
#[command(after_help = LIMITS_EXAMPLES)]
pub(crate) struct LimitsArgs {
    /// Presets to list; left out: all
    #[arg(value_name = "PRESET")]
    pub names: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct OpenArgs {
    /// Door file; left out: the window begins with an example
    pub file: Option<PathBuf>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arguments_are_consistent() {
        use clap::CommandFactory;
        Arguments::command().debug_assert();
    }

    #[test]
    fn gaps_carry_their_unit() {
        assert_eq!(gap("50mm"), Ok(0.05));
        assert_eq!(gap(" 2 in"), Ok(0.0508));
        assert!(gap("50").is_err());
        assert!(gap("0 mm").is_err());
    }

    #[test]
    fn tones_are_in_hertz_with_or_without_saying_so() {
        assert_eq!(tone("31"), Ok(31.0));
        assert_eq!(tone(" 31.5 Hz"), Ok(31.5));
        for wrong in ["0", "-3 Hz", "nan", "31 N", "1e9", ""] {
            assert!(tone(wrong).is_err(), "{wrong}");
        }
    }
}
