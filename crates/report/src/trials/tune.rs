//! Settings that were tuned: `tautleaf tune` as text and JSON.

use serde::Serialize;
use tautleaf_physics::{Door, Figure, Judge};
use tautleaf_scenario::{BELT_WORK, CAUTIONS, FileProblem, Scenario, presets, to_text};
use tautleaf_trials::spread::Probability;
use tautleaf_trials::tune::{Goal, Tuned, Tuning, bounds_a_hit};
use tautleaf_trials::{Bench, Change, Judged, Reserve, Trial, changed};

use super::change_object::ChangeObject;
use super::in_site_words;
use super::probability::{self, ProbabilityObject, share_and_interval};
use super::reserve_words::{lacking_in_words, percent};
use crate::columns::{Side, aligned, folded};
use crate::json::{RemarkObject, WarningObject, remark_objects, warnings};
use crate::palette::{Palette, paint};
use crate::remark_words::remarks_block;
use crate::table::{SHORT_CAUTIONS, bulleted, headed};
use crate::{PROGRAM, RESULT_SCHEMA, VERSION, words};

/// Figures that are set side by side before and after.
pub const SHOWN: [Figure; 9] = [
    Figure::OpeningTime,
    Figure::ClosingTime,
    Figure::TopSpeedOpening,
    Figure::TopSpeedClosing,
    Figure::PeakEnergyLeaf,
    Figure::ImpactForce,
    Figure::LeastTension,
    Figure::PeakJerk,
    Figure::RmsCurrent,
];

/// A door that was tuned.
#[derive(Clone, Debug)]
pub struct TuneReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// How it was run and judged.
    pub bench: Bench,
    /// How it was tuned.
    pub tuning: Tuning,
    /// Whether its goal was asked for; else it is the first one for such limits.
    pub goal_asked: bool,
    /// What was found.
    pub tuned: Tuned,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

/// How a limit stands: `12 % left`, `3 % over`, `kept`, `not judged`.
pub fn stands(judged: &Judged) -> String {
    let share = judged.margin.map(|margin| words::decimals(100.0 * margin.abs(), 0));
    match (judged.kept, share) {
        (None, _) => "not judged".to_owned(),
        (Some(true), Some(share)) => format!("{share} % left"),
        (Some(true), None) => "kept".to_owned(),
        (Some(false), Some(share)) => format!("{share} % over"),
        (Some(false), None) => "over".to_owned(),
    }
}

/// The advisory values that a door with the settings exceeds, in a sentence: they hold no tuning back, so it may have made them worse.
pub fn over_advice(bench: &Bench, tuned: &Tuned) -> Option<String> {
    let limits = bench.criteria.limits.iter().zip(&tuned.after.judged);
    let over = limits.filter(|(limit, judged)| !limit.may_fail() && judged.kept == Some(false));
    let named: Vec<String> =
        over.map(|(limit, judged)| format!("{} ({})", words::limit_label(limit), stands(judged))).collect();
    (!named.is_empty())
        .then(|| format!("OVER WHAT IS ADVISED, which holds no setting back: {}.", named.join(", ")))
}

/// What is to be known where no limit holds back how hard the door may hit: that a fast cycle may, or why it is not the first
/// goal, and which limits would do.
pub fn hits_hard(bench: &Bench, goal: Goal, asked: bool) -> Option<String> {
    if bench.criteria.limits.iter().any(bounds_a_hit) {
        return None;
    }
    let missing = "No limit on energy, impact force or closing speed that may fail the door is set";
    let does = |preset: &&tautleaf_scenario::Preset| preset.limits.iter().any(bounds_a_hit);
    let named: Vec<String> = presets()
        .iter()
        .filter(does)
        .map(|preset| format!("\"{}\" ({}, {})", preset.name, preset.title, preset.edition))
        .collect();
    let would_do = format!(
        "Set kinetic_energy_max, impact_force_max or closing_speed_max in section [limits], or one of these presets: {}.",
        named.join(", ")
    );
    Some(match (goal, asked) {
        (Goal::Fastest, _) => format!("{missing}: what is fast here may hit hard. {would_do}"),
        (_, false) => format!(
            "{missing}, so it is not tuned for the shortest cycle: that might hit hard. {would_do} To tune for the shortest cycle \
             without, ask for it."
        ),
        _ => return None,
    })
}

/// The limits that are kept with less left than the reserve, in words; `None`: each has it.
pub fn lacking(bench: &Bench, tuned: &Tuned, reserve: Reserve) -> Option<String> {
    let name = |n: &usize| match bench.criteria.limits.get(*n) {
        Some(limit) => (words::limit_label(limit), tuned.after.judged[*n].margin),
        None => ("the slackest strand, of the installed tension".to_owned(), None),
    };
    let lacking: Vec<(String, Option<f64>)> = tuned.lacking.iter().map(name).collect();
    lacking_in_words(&lacking, reserve)
}

/// What is tuned, and how far.
pub const WHAT_IS_TUNED: &str = "Speeds, ramps, current limits and belt tension are tuned, each within its usual range and no further than \
     four times from where it is, speeds and currents twice; no strand may go slack. The rest of the door stays.";

/// How a reserve is shared out where it cannot all be had.
pub const SHARED: &str = "Where not every limit can have its reserve the shortfall is shared out: --reserve with less of it moves all \
     of them evenly.";

/// What a likelihood counts.
pub const KEPT_IN: &str = "Kept in: counted in doors that the tuning did not see, each drawn from what is never known on site and from \
     [[spread]] of the file, with the 95 % interval of Wilson.";

/// `96.5 % (92.9 % to 98.3 %) of 200`.
pub fn likely(found: &Probability) -> String {
    let [share, interval] = share_and_interval(found);
    format!("{share} ({interval}) of {}", found.of)
}

impl TuneReport<'_> {
    /// The door file with the settings that were found; `None`: none are proposed.
    pub fn door_file(&self) -> Option<String> {
        if self.tuned.changes.is_empty() && !self.tuned.keeps {
            return None;
        }
        let parameters = changed(&self.scenario.parameters, &self.tuned.changes);
        Some(to_text(&Scenario { parameters, ..self.scenario.clone() }))
    }

    fn say(&self, change: &Change) -> String {
        in_site_words(change, &self.door, self.scenario.units)
    }

    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = headed(self.scenario, palette);
        lines.extend(folded(&self.head(), "", "").iter().map(|line| paint(palette.faint, line)));
        if let Some(hits_hard) = hits_hard(&self.bench, self.tuning.goal, self.goal_asked) {
            lines.extend(folded(&format!("Caution: {hits_hard}"), "! ", "  "));
        }
        lines.push(String::new());
        lines.extend(self.settings(palette));
        lines.extend(self.figures(palette));
        lines.extend(self.limits(palette));
        if let Some(over) = over_advice(&self.bench, &self.tuned) {
            lines.extend(folded(&over, "  ", "  "));
        }
        lines.extend(self.trade_off(palette));
        let (remarks, units) = (&self.tuned.remarks, self.scenario.units);
        lines.extend(remarks_block(remarks, "Remarks on the door so set", &self.door, units, palette));
        lines.extend(bulleted("Notes", &self.notes(), palette));
        let cautions: Vec<String> = SHORT_CAUTIONS.iter().copied().map(str::to_owned).collect();
        lines.extend(bulleted("Cautions", &cautions, palette));
        lines.join("\n") + "\n"
    }

    /// What is kept with less left than the reserve, where everything is kept.
    fn lacking(&self) -> Option<String> {
        lacking(&self.bench, &self.tuned, self.tuning.reserve).filter(|_| self.tuned.keeps)
    }

    fn head(&self) -> String {
        let goal = match self.tuning.goal {
            Goal::Fastest => "the shortest cycle",
            Goal::Calmest => "the least jerk in no more time",
            Goal::Coolest => "the least RMS current in no more time",
        };
        let sure = self.tuning.probability.map_or_else(
            || "for the door as it is".to_owned(),
            |wanted| format!("with all limits kept in {} % of doors", probability::places(100.0 * wanted)),
        );
        let reserve = match self.tuning.reserve {
            Reserve::NONE => "no reserve asked for".to_owned(),
            reserve => format!("{} of each limit to be left", percent(reserve.share())),
        };
        format!("Tuned for {goal}, {sure}, {reserve}; {} cycles run", self.tuned.cycles)
    }

    fn settings(&self, palette: &Palette) -> Vec<String> {
        let word = match (self.tuned.keeps, self.tuned.changes.is_empty()) {
            (true, _) => "Settings",
            (false, false) => "Settings, LESS SURE THAN WANTED",
            (false, true) => "NO SETTINGS WERE FOUND THAT KEEP EVERY LIMIT",
        };
        let mut lines = vec![paint(palette.heading, word)];
        if let Some(lacking) = self.lacking() {
            let text =
                format!("Every limit is kept, but some {lacking}. No settings were found that leave more.");
            lines.extend(folded(&text, "  ", "  "));
        }
        match (self.tuned.keeps, self.tuned.changes.is_empty()) {
            (true, true) => lines.extend(folded("As they are: nothing better was found.", "  ", "  ")),
            (false, true) => lines.extend(folded(
                "None is proposed. Leaf, drive, belt or what is wanted has to change: what is over stands below.",
                "  ",
                "  ",
            )),
            _ => (),
        }
        if self.tuned.changes.iter().any(|change| change.key.ends_with("tension")) {
            lines.extend(folded(&format!("Caution: {BELT_WORK}"), "  ! ", "    "));
        }
        for (n, change) in self.tuned.changes.iter().enumerate() {
            lines.extend(folded(&self.say(change), &format!("  {} ", n + 1), "    "));
        }
        lines
    }

    fn figures(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        let say = |trial: &Trial, figure: Figure| {
            trial.get(figure).map_or("-".to_owned(), |value| words::figure_value(figure, value, system))
        };
        let rows: Vec<Vec<String>> = SHOWN
            .into_iter()
            .filter(|&figure| self.tuned.after.get(figure).is_some())
            .map(|figure| {
                let (before, after) = (say(&self.tuned.before, figure), say(&self.tuned.after, figure));
                vec![figure.label().to_owned(), before, "->".to_owned(), after]
            })
            .collect();
        let mut lines = vec![String::new(), paint(palette.heading, "What they do")];
        let sides = [Side::Left, Side::Right, Side::Left, Side::Right];
        lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {line}")));
        lines
    }

    fn limits(&self, palette: &Palette) -> Vec<String> {
        let mut rows = Vec::new();
        for (n, limit) in self.bench.criteria.limits.iter().enumerate() {
            if limit.figure.is_none() || limit.judge != Judge::Limit {
                continue;
            }
            let judged = self.tuned.after.judged[n];
            let mut row = vec![words::limit_label(limit), stands(&judged)];
            let word = match (self.tuned.lacking.contains(&n), self.tuned.binding.contains(&n)) {
                (true, _) => "less than asked for",
                (false, true) => "holds it back",
                (false, false) => "",
            };
            row.push(word.to_owned());
            let kept = self.tuned.kept.get(n).filter(|kept| kept.of > 0);
            row.push(kept.map_or(String::new(), |kept| format!("kept in {}", likely(kept))));
            rows.push(row);
        }
        let mut lines = vec![String::new(), paint(palette.heading, "Limits")];
        let sides = [Side::Left, Side::Right, Side::Left, Side::Left];
        lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {}", line.trim_end())));
        if rows.is_empty() {
            lines.extend(folded("None is set that may fail a door.", "  ", "  "));
        }
        if self.tuned.binding.contains(&self.bench.criteria.limits.len()) {
            lines.extend(folded("A strand about to go slack holds it back.", "  ", "  "));
        }
        if !self.tuned.at_an_end.is_empty() {
            let names: Vec<String> =
                self.tuned.at_an_end.iter().map(|key| key.replace(['.', '_'], " ")).collect();
            let text = format!("At the end of where it is looked for: {}.", names.join(", "));
            lines.extend(folded(&text, "  ", "  "));
        }
        if let Some(all) = &self.tuned.all {
            let text = format!("All of them, and no strand slack: {}", likely(all));
            lines.extend(folded(&text, "  ", "  "));
        }
        lines
    }

    fn trade_off(&self, palette: &Palette) -> Vec<String> {
        if self.tuned.trade_off.is_empty() {
            return Vec::new();
        }
        let system = self.scenario.units;
        let rows: Vec<Vec<String>> = self
            .tuned
            .trade_off
            .iter()
            .map(|point| {
                let time = point.time_s.map_or("none found".to_owned(), |time| {
                    words::figure_value(Figure::OpeningTime, time, system)
                });
                vec![format!("{:.0} % more", 100.0 * point.margin), time]
            })
            .collect();
        let title = match self.tuning.goal {
            Goal::Fastest => {
                "More margin of energy and force, and what it costs: opening and closing time together"
            }
            _ => {
                "More margin of energy and force, and the fastest cycle with it: opening and closing time together"
            }
        };
        let mut lines = vec![String::new(), paint(palette.heading, title)];
        lines.extend(aligned(&rows, &[Side::Right, Side::Right]).into_iter().map(|line| format!("  {line}")));
        lines
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = vec![WHAT_IS_TUNED.to_owned()];
        if self.tuned.lacking.len() > 1 && self.tuned.keeps {
            notes.push(SHARED.to_owned());
        }
        notes.extend(self.tuned.all.map(|_| KEPT_IN.to_owned()));
        notes
    }

    /// As one JSON object, SI units in the names.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let goal =
            Goal::WORDS.iter().find(|(_, goal)| *goal == self.tuning.goal).map_or("", |(word, _)| word);
        let change = |change: &Change| ChangeObject::of(change, &self.door, self.scenario.units);
        let limit = |(n, limit): (usize, &tautleaf_physics::Limit)| LimitObject {
            key: limit.key.clone(),
            judge: words::judge(limit.judge),
            margin: self.tuned.after.judged[n].margin,
            binds: self.tuned.binding.contains(&n),
            lacks_reserve: self.tuned.lacking.contains(&n),
            kept: self.tuned.kept.get(n).filter(|kept| kept.of > 0).map(ProbabilityObject::of),
        };
        let figures = |trial: &Trial| {
            let named = Figure::ALL.iter().map(|figure| (figure.name(), trial.get(*figure)));
            named.collect::<std::collections::BTreeMap<_, _>>()
        };
        serde_json::to_string_pretty(&TuneObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            title: &self.scenario.title,
            goal,
            goal_asked: self.goal_asked,
            hits_hard: hits_hard(&self.bench, self.tuning.goal, self.goal_asked),
            reserve: self.tuning.reserve.share(),
            probability: self.tuning.probability,
            seed: self.tuning.seed,
            cycles: self.tuned.cycles,
            keeps: self.tuned.keeps,
            changes: self.tuned.changes.iter().map(change).collect(),
            figures_before: figures(&self.tuned.before),
            figures_after: figures(&self.tuned.after),
            limits: self.bench.criteria.limits.iter().enumerate().map(limit).collect(),
            slack_binds: self.tuned.binding.contains(&self.bench.criteria.limits.len()),
            at_an_end: &self.tuned.at_an_end,
            all_kept: self.tuned.all.as_ref().map(ProbabilityObject::of),
            trade_off: self
                .tuned
                .trade_off
                .iter()
                .map(|point| TradeOffObject { more_margin: point.margin, time_s: point.time_s })
                .collect(),
            remarks: remark_objects(&self.tuned.remarks, &self.door, self.scenario.units),
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }
}

#[derive(Serialize)]
struct TuneObject<'a> {
    schema: u32,
    program: &'static str,
    version: &'static str,
    title: &'a str,
    goal: &'static str,
    goal_asked: bool,
    hits_hard: Option<String>,
    /// Share of each limit that was to be left.
    reserve: f64,
    probability: Option<f64>,
    seed: u64,
    cycles: u64,
    keeps: bool,
    changes: Vec<ChangeObject>,
    figures_before: std::collections::BTreeMap<&'static str, Option<f64>>,
    figures_after: std::collections::BTreeMap<&'static str, Option<f64>>,
    limits: Vec<LimitObject>,
    slack_binds: bool,
    at_an_end: &'a [&'static str],
    all_kept: Option<ProbabilityObject>,
    trade_off: Vec<TradeOffObject>,
    /// Of the door with the settings.
    remarks: Vec<RemarkObject>,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct LimitObject {
    key: String,
    judge: &'static str,
    margin: Option<f64>,
    binds: bool,
    lacks_reserve: bool,
    kept: Option<ProbabilityObject>,
}

#[derive(Serialize)]
struct TradeOffObject {
    more_margin: f64,
    time_s: Option<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use tautleaf_scenario::parse;
    use tautleaf_trials::Effort;

    const FILE: &str =
        "schema = 1\n[ratings]\nshaft_load = \"900 N\"\n[closing]\nspeed = \"0.3 m/s\" # as it was\n";

    /// What is written after tuning with these changes.
    fn written(changes: Vec<Change>, keeps: bool) -> Option<String> {
        let scenario = parse(FILE, "door.toml").expect("a door file");
        let (door, bench) = (scenario.door().expect("a door"), scenario.bench(Effort::NoForceTest));
        let before = bench.run(&door);
        let tuning = Tuning {
            goal: Goal::Fastest,
            probability: None,
            runs: 20,
            seed: 1,
            threads: 1,
            most_evaluations: 1,
            reserve: Reserve::NONE,
        };
        let tuned = Tuned {
            changes,
            after: before.clone(),
            before,
            keeps,
            at_an_end: Vec::new(),
            binding: Vec::new(),
            kept: Vec::new(),
            all: None,
            trade_off: Vec::new(),
            remarks: Vec::new(),
            cycles: 1,
            lacking: Vec::new(),
        };
        let warnings = Vec::new();
        TuneReport { scenario: &scenario, door, bench, tuning, goal_asked: true, tuned, warnings }.door_file()
    }

    #[test]
    fn what_is_proposed_is_written_and_what_is_not_is_not() {
        let faster = || vec![Change { key: "closing.speed", from: 0.3, to: 0.4 }];
        let expected = FILE.replace("0.3 m/s", "0.4 m/s");
        assert_eq!(written(faster(), true).as_deref(), Some(expected.as_str()));
        assert_eq!(written(faster(), false).as_deref(), Some(expected.as_str()));
        assert_eq!(written(Vec::new(), true).as_deref(), Some(FILE));
        assert_eq!(written(Vec::new(), false), None);
    }
}
