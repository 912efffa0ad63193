//! What to turn on site: `tautleaf advise` as text and JSON.

use serde::Serialize;
use tautleaf_physics::{Door, Outcome, Verdict};
use tautleaf_scenario::{BELT_WORK, CAUTIONS, FileProblem, ReadError, Scenario};
use tautleaf_trials::{Advice, Change, Effect, Reserve, Sure, Watch, advise, advise_surely};

use super::change_object::ChangeObject;
use super::in_site_words;
use super::reserve_words::{lacking_in_words, percent};
use super::surely::{SurelyError, SurelyObject, surely_in_words};
use super::tune::likely;
use crate::columns::{Side, aligned, folded};
use crate::json::{RemarkObject, WarningObject, remark_objects, warnings};
use crate::palette::{Palette, paint};
use crate::remark_words::remarks_block;
use crate::table::{SHORT_CAUTIONS, bulleted, headed};
use crate::{PROGRAM, RESULT_SCHEMA, VERSION, words};

/// Limits in the table of effects; with more of them those with the least margin are shown.
const MOST_COLUMNS: usize = 8;
/// A smaller change of a margin is not shown.
const LEAST_SHOWN: f64 = 0.005;

/// What to turn at a door, worked out.
#[derive(Clone, Debug)]
pub struct AdviceReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// What was worked out.
    pub advice: Advice,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> AdviceReport<'a> {
    /// Works out what to turn at the door of a scenario, with this left of each limit.
    ///
    /// # Errors
    /// Why the door cannot be built.
    pub fn of(scenario: &'a Scenario, reserve: Reserve, watch: &Watch<'_>) -> Result<Self, ReadError> {
        Ok(Self::of_door(scenario, scenario.door()?, reserve, watch))
    }

    /// The same, with more reserve as long as drawn doors do not keep everything as surely as is wanted.
    ///
    /// # Errors
    /// Why the door cannot be built, or what is listed to spread cannot be drawn.
    pub fn surely(
        scenario: &'a Scenario,
        reserve: Reserve,
        wanted: Sure,
        watch: &Watch<'_>,
    ) -> Result<Self, SurelyError> {
        let door = scenario.door()?;
        let wanted = (scenario.spreads.as_slice(), wanted);
        let advice = advise_surely(&door, &scenario.criteria(), reserve, wanted, watch)?;
        let warnings = scenario.warnings(&door);
        Ok(Self { scenario, door, advice, warnings })
    }

    /// The same, of its door that was checked already.
    pub fn of_door(scenario: &'a Scenario, door: Door, reserve: Reserve, watch: &Watch<'_>) -> Self {
        let criteria = scenario.criteria();
        let advice = advise(&door, &criteria, reserve, watch);
        let warnings = scenario.warnings(&door);
        Self { scenario, door, advice, warnings }
    }

    /// Whether the door fails as it is: it does not open and close, or a limit that may fail a door is over
    /// or was not tested.
    pub fn fails(&self) -> bool {
        self.advice.standing.fails()
    }

    fn say(&self, change: &Change) -> String {
        in_site_words(change, &self.door, self.scenario.units)
    }

    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = headed(self.scenario, palette);
        lines.push(String::new());
        lines.extend(self.what_to_turn(palette));
        lines.extend(self.kept_surely(palette));
        lines.extend(self.verdicts(palette));
        lines.extend(self.effects(palette));
        let planned = self.advice.plan.as_ref().is_some_and(|plan| !plan.is_empty());
        let heading = if planned { "Remarks on the door so turned" } else { "Remarks" };
        lines.extend(remarks_block(&self.advice.remarks, heading, &self.door, self.scenario.units, palette));
        lines.extend(bulleted("Notes", &self.notes(), palette));
        lines.extend(bulleted(
            "Cautions",
            &SHORT_CAUTIONS.iter().map(|text| (*text).to_owned()).collect::<Vec<_>>(),
            palette,
        ));
        lines.join("\n") + "\n"
    }

    fn what_to_turn(&self, palette: &Palette) -> Vec<String> {
        let mut lines = vec![paint(palette.heading, "What to turn")];
        let say = |text: &str| folded(text, "  ", "  ");
        match &self.advice.plan {
            _ if !self.advice.runs() => {
                lines.extend(say("The door does not open and close as it is: `tautleaf run` says where it stays. Mend that first."));
            }
            _ if self.advice.has_nothing_to_hold_to() => {
                lines.extend(say("No limits are set: name some in section [limits] of the door file."));
            }
            None if self.advice.stopped => {
                lines.extend(say("It was stopped before that was worked out."));
            }
            Some(plan) if plan.is_empty() && self.advice.standing.fails() => lines.extend(say(
                "Nothing was found to turn, but not every limit was tested where the leaf is fastest: leave limits.gaps out of the door file.",
            )),
            Some(plan) if plan.is_empty() => {
                lines.extend(say(&nothing_to_turn(&self.advice)));
            }
            Some(plan) => {
                if !self.advice.was_over() {
                    lines.extend(say(&turned_for_the_reserve(&self.advice)));
                }
                if plan.iter().any(|change| change.key.ends_with("tension")) {
                    lines.extend(folded(&format!("Caution: {BELT_WORK}"), "  ! ", "    "));
                }
                for (n, change) in plan.iter().enumerate() {
                    lines.extend(folded(&self.say(change), &format!("  {} ", n + 1), "    "));
                }
                if let Some(lacking) = lacking_with_the_plan(&self.advice) {
                    lines.extend(say(&lacking));
                }
            }
            None => lines.extend(say(
                "No setting within its usual range brings every limit back: leaf, drive, belt or what is wanted has to change.",
            )),
        }
        lines
    }

    /// How surely the door so turned keeps everything.
    fn kept_surely(&self, palette: &Palette) -> Vec<String> {
        let Some((wanted, kept)) = &self.advice.surely else { return Vec::new() };
        let heading = format!("Kept in drawn doors, {} asked for", percent(wanted.probability));
        let mut lines = vec![String::new(), paint(palette.heading, &heading), format!("  {}", likely(kept))];
        lines.extend(folded(&surely_in_words(wanted.is_met(kept), self.advice.reserve), "  ", "  "));
        lines
    }

    fn verdicts(&self, palette: &Palette) -> Vec<String> {
        let changes = self.advice.plan.as_ref().is_some_and(|plan| !plan.is_empty());
        let row = |n: usize| {
            let (before, after) = (&self.advice.before[n], &self.advice.after[n]);
            let word = |verdict: &Verdict| words::outcome(verdict.outcome).to_owned();
            let value =
                |verdict: &Verdict| words::value_and_allowed(verdict).0.unwrap_or_else(|| "-".to_owned());
            let mut cells = vec![format!("{}", n + 1), words::limit_label(&before.limit)];
            cells.extend([value(before), word(before)]);
            if changes {
                cells.extend(["->".to_owned(), value(after), word(after)]);
            }
            cells.push(words::value_and_allowed(before).1.map_or(String::new(), |allowed| {
                format!(
                    "{} {allowed}",
                    if words::is_least(&before.limit.rule) { "at least" } else { "at most" }
                )
            }));
            cells
        };
        let rows: Vec<Vec<String>> = self.advice.worth_telling().map(row).collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let mut sides = vec![Side::Right, Side::Left, Side::Right, Side::Left];
        if changes {
            sides.extend([Side::Left, Side::Right, Side::Left]);
        }
        sides.push(Side::Left);
        let mut lines = vec![String::new(), paint(palette.heading, "Limits")];
        lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {line}")));
        lines
    }

    fn effects(&self, palette: &Palette) -> Vec<String> {
        let (columns, effects) = worth_showing(&self.advice);
        if effects.is_empty() {
            return Vec::new();
        }
        let mut rows: Vec<Vec<String>> = vec![vec!["limit".to_owned()]];
        rows[0].extend(columns.iter().map(|n| format!("{}", n + 1)));
        for effect in effects {
            let mut row = vec![self.say(&effect.change)];
            row.extend(columns.iter().map(|&n| more_margin(effect.margins[n])));
            rows.push(row);
        }
        let mut sides = vec![Side::Right; columns.len() + 1];
        sides[0] = Side::Left;
        let mut lines =
            vec![String::new(), paint(palette.heading, "What one step of each setting does to the margins")];
        lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {line}")));
        lines
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = vec![
            "Each line is a run of the door with that setting alone turned one step. A margin is what is left of the allowed value: +10 % \
             means a tenth of it more, +20 x twenty times it."
                .to_owned(),
        ];
        if self.advice.plan.as_ref().is_some_and(|plan| plan.len() > 1) {
            notes.push(
                "The changes belong together. Each is taken back as far as the others allow, and rounded to what can be set.".to_owned(),
            );
        }
        notes
    }

    /// As one JSON object, SI units in the names.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let changes = |plan: &Vec<Change>| plan.iter().map(|change| self.change_object(change)).collect();
        let limit = |(before, after): (&'_ Verdict, &'_ Verdict)| LimitObject {
            key: before.limit.key.clone(),
            label: words::limit_label(&before.limit),
            judge: words::judge(before.limit.judge),
            allowed: before.allowed,
            value_before: before.value,
            outcome_before: before.outcome,
            margin_before: before.share_left(),
            value_after: after.value,
            outcome_after: after.outcome,
            margin_after: after.share_left(),
            lacks_reserve_after: self.advice.reserve.is_lacking(after),
        };
        let effect = |effect: &Effect| EffectObject {
            change: self.change_object(&effect.change),
            more_margin: effect.margins.iter().map(|more| more.filter(|more| more.is_finite())).collect(),
        };
        serde_json::to_string_pretty(&AdviceObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            runs: self.advice.runs(),
            stopped: self.advice.stopped,
            reserve: self.advice.reserve.share(),
            title: &self.scenario.title,
            plan: self.advice.plan.as_ref().map(changes),
            limits: self.advice.before.iter().zip(&self.advice.after).map(limit).collect(),
            effects: self.advice.effects.iter().map(effect).collect(),
            surely: self.advice.surely.as_ref().map(|(wanted, kept)| SurelyObject::of(wanted, &[*kept])),
            remarks: remark_objects(&self.advice.remarks, &self.door, self.scenario.units),
            caution: BELT_WORK,
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }

    fn change_object(&self, change: &Change) -> ChangeObject {
        ChangeObject::of(change, &self.door, self.scenario.units)
    }
}

/// Limits of an advice that are kept with less left than its reserve.
fn lacking(advice: &Advice) -> Option<String> {
    let lacking: Vec<(String, Option<f64>)> =
        advice.lacking().map(|verdict| (words::limit_label(&verdict.limit), verdict.margin)).collect();
    lacking_in_words(&lacking, advice.reserve)
}

/// That nothing has to be turned, and what has less left than the reserve although nothing gives more.
pub fn nothing_to_turn(advice: &Advice) -> String {
    match lacking(advice) {
        None if advice.reserve == Reserve::NONE => "Nothing: no limit is over.".to_owned(),
        None => format!(
            "Nothing: no limit is over, and each has at least {} left.",
            percent(advice.reserve.share())
        ),
        Some(lacking) => format!(
            "Nothing: no limit is over, but some are kept {lacking}. No setting was found that gives more without taking it from another."
        ),
    }
}

/// Why something is to be turned where no limit is over.
pub fn turned_for_the_reserve(advice: &Advice) -> String {
    let short = advice.before.iter().filter(|verdict| advice.reserve.is_lacking(verdict));
    let short: Vec<(String, Option<f64>)> =
        short.map(|verdict| (words::limit_label(&verdict.limit), verdict.margin)).collect();
    let short = lacking_in_words(&short, advice.reserve).unwrap_or_default();
    format!("No limit is over, but some are kept {short}. This leaves more:")
}

/// What the plan keeps with less left than the reserve; `None`: nothing.
pub fn lacking_with_the_plan(advice: &Advice) -> Option<String> {
    lacking(advice).map(|lacking| format!("With it every limit is kept, but some {lacking}."))
}

/// Indices of the limits in the table of effects, and the effects that are worth a line.
pub fn worth_showing(advice: &Advice) -> (Vec<usize>, Vec<&Effect>) {
    let judged = |index: &usize| advice.before[*index].margin.is_some();
    let mut columns: Vec<usize> = advice.worth_telling().filter(judged).collect();
    let margin = |index: &usize| advice.before[*index].margin.unwrap_or(f64::INFINITY);
    columns.sort_by(|a, b| margin(a).total_cmp(&margin(b)));
    columns.truncate(MOST_COLUMNS);
    columns.sort_unstable();
    let moves = |effect: &&Effect| {
        columns.iter().any(|&n| effect.margins[n].is_some_and(|more| more.abs() >= LEAST_SHOWN))
    };
    (columns.clone(), advice.effects.iter().filter(moves).collect())
}

/// How much more of a margin there is: `+10 %`, `-20 x` the allowed value, `0` where next to nothing, `-` not judged.
pub fn more_margin(more: Option<f64>) -> String {
    match more {
        Some(more) if !more.is_finite() => "-".to_owned(),
        // many times what is allowed
        Some(more) if more.abs() >= 10.0 => format!("{more:+.0} x"),
        Some(more) if more.abs() >= LEAST_SHOWN => format!("{:+.0} %", 100.0 * more),
        Some(_) => "0".to_owned(),
        None => "-".to_owned(),
    }
}

#[derive(Serialize)]
struct AdviceObject<'a> {
    schema: u32,
    program: &'static str,
    version: &'static str,
    runs: bool,
    stopped: bool,
    /// Share of each limit that was to be left.
    reserve: f64,
    title: &'a str,
    /// `null`: no setting brings every limit back, or it was stopped.
    plan: Option<Vec<ChangeObject>>,
    limits: Vec<LimitObject>,
    effects: Vec<EffectObject>,
    /// How surely the door with the plan keeps everything; null: nobody asked, or there is no plan.
    surely: Option<SurelyObject>,
    /// Of the door with the plan, or as it is where there is none.
    remarks: Vec<RemarkObject>,
    caution: &'a str,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct LimitObject {
    key: String,
    label: String,
    judge: &'static str,
    allowed: Option<f64>,
    value_before: Option<f64>,
    outcome_before: Outcome,
    margin_before: Option<f64>,
    value_after: Option<f64>,
    outcome_after: Outcome,
    margin_after: Option<f64>,
    lacks_reserve_after: bool,
}

#[derive(Serialize)]
struct EffectObject {
    change: ChangeObject,
    /// One for each limit, a fraction of what is allowed.
    more_margin: Vec<Option<f64>>,
}
