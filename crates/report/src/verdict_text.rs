//! The block of verdicts, for a terminal.

use tautleaf_physics::{Judge, Limit, Outcome, Verdict};
use tautleaf_scenario::{UnitSystem, unmeasured};
use tautleaf_trials::Remedy;
use unicode_width::UnicodeWidthStr;

use crate::columns::{Side, WIDTH, aligned, folded};
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::remark_words::remarks_block;
use crate::way_back::WayBack;
use crate::words;
use tautleaf_trials::Standing;

/// The head line and every verdict: limits first, then advice, then what has to be looked at on the door.
pub(crate) fn block(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let mut lines = headline(judged, palette);
    for (judge, title) in
        [(Judge::Limit, "Limits"), (Judge::Advisory, "Advisory: going over does not fail the door")]
    {
        let group: Vec<_> = judged
            .judgements()
            .filter(|(verdict, _)| verdict.limit.judge == judge && verdict.limit.figure.is_some())
            .collect();
        if !group.is_empty() {
            lines.push(String::new());
            lines.push(paint(palette.heading, title));
            lines.extend(rows(judged, &group, palette));
        }
    }
    let on_site: Vec<&Limit> =
        judged.verdicts.iter().map(|verdict| &verdict.limit).filter(|limit| limit.figure.is_none()).collect();
    if !on_site.is_empty() {
        lines.push(String::new());
        lines.push(paint(palette.heading, "Not judged here: look on the door"));
        for limit in on_site {
            lines.extend(folded(&format!("{} ({})", words::asks(limit), limit.source), "  - ", "    "));
        }
    }
    lines.extend(remarks_block(&judged.remarks(), "Remarks", &judged.door, judged.scenario.units, palette));
    let unmeasured = unmeasured(judged.scenario);
    if !unmeasured.is_empty() {
        lines.push(String::new());
        lines.push(paint(palette.heading, "Not measured"));
        lines.extend(unmeasured.iter().flat_map(|says| folded(says, "  - ", "    ")));
    }
    lines
}

/// How the door stands, in a line.
fn headline(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let (outcome, word) = standing(judged);
    let plain = judged.verdicts.is_empty() && !judged.is_unfinished();
    let style = if plain { palette.heading } else { palette.outcome(outcome).bold() };
    let counted = counted(judged);
    let colon = if counted.is_empty() { "" } else { ": " };
    let lines = folded(&format!("{word}{colon}{counted}"), "", "  ");
    lines.iter().map(|line| line.replacen(word, &paint(style, word), 1)).collect()
}

/// How the door stands as a whole.
pub(crate) fn standing(judged: &Judged<'_>) -> (Outcome, &'static str) {
    let standing = judged.standing();
    let words = match standing {
        Standing::Unfinished(0) => "THE DOOR DID NOT OPEN AND CLOSE",
        Standing::Unfinished(_) => "OVER, and THE DOOR DID NOT OPEN AND CLOSE",
        Standing::Over(_) => "OVER",
        Standing::NotJudged(_) => "NOT JUDGED",
        Standing::NoLimits => "NO LIMITS SET",
        Standing::OverAdvisory(_) => "WITHIN THE LIMITS, OVER WHAT IS ADVISED",
        Standing::Unsound(_) => "WITHIN THE LIMITS, BUT NOT A SOUND DOOR",
        Standing::Close(_) => "WITHIN, BUT CLOSE TO A LIMIT",
        Standing::Within => "WITHIN",
    };
    (standing.outcome(), words)
}

/// How many verdicts of each kind: `limits 1 over, 3 within; advisory 2 within; 1 to look at on the door`.
pub(crate) fn counted(judged: &Judged<'_>) -> String {
    let mut parts = Vec::new();
    for judge in [Judge::Limit, Judge::Advisory] {
        let name = if judge == Judge::Limit { "limits" } else { "advisory" };
        let of_kind = |outcome: Outcome| {
            let same = |verdict: &&Verdict| {
                verdict.limit.judge == judge && verdict.outcome == outcome && verdict.limit.figure.is_some()
            };
            (judged.verdicts.iter().filter(same).count(), words::outcome(outcome))
        };
        let counts = [Outcome::Over, Outcome::Close, Outcome::Within, Outcome::NotJudged].map(of_kind);
        let listed: Vec<String> = counts
            .into_iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, word)| format!("{count} {word}"))
            .collect();
        if !listed.is_empty() {
            parts.push(format!("{name} {}", listed.join(", ")));
        }
    }
    let on_site = judged.verdicts.iter().filter(|verdict| verdict.limit.figure.is_none()).count();
    if on_site > 0 {
        parts.push(format!("{on_site} to look at on the door"));
    }
    parts.join("; ")
}

/// Indent of what stands below a verdict.
const BELOW: &str = "              ";

fn rows(judged: &Judged<'_>, group: &[(&Verdict, &WayBack)], palette: &Palette) -> Vec<String> {
    let system = judged.scenario.units;
    let place = |verdict: &Verdict| words::place(verdict, system).unwrap_or_default();
    let table = |with_place: bool| {
        let cells = |(verdict, _): &(&Verdict, &WayBack)| {
            let place = if with_place { place(verdict) } else { String::new() };
            let label = words::limit_label(&verdict.limit);
            vec![label, words::value_of_allowed(verdict), words::margin(verdict), place]
        };
        aligned(&group.iter().map(cells).collect::<Vec<_>>(), &[Side::Left; 4])
    };
    let wide = table(true);
    let fits = wide.iter().all(|row| row.width() + BELOW.len() <= WIDTH);
    let mut lines = Vec::new();
    for ((verdict, way), row) in group.iter().zip(if fits { wide } else { table(false) }) {
        let word = format!("{:<10}", words::outcome(verdict.outcome));
        lines.push(format!("  {}  {row}", paint(palette.outcome(verdict.outcome), &word)));
        if !fits {
            lines.extend(
                Some(place(verdict)).filter(|place| !place.is_empty()).map(|place| BELOW.to_owned() + &place),
            );
        }
        if let Some(why) = verdict.why.as_deref() {
            lines.extend(folded(why, BELOW, BELOW));
        }
        if *way != &WayBack::NotNeeded {
            lines.extend(folded(&way_back(way, system), "           => ", BELOW));
        }
        let source = folded(&words::source(&verdict.limit), BELOW, BELOW);
        lines.extend(source.iter().map(|line| paint(palette.faint, line)));
    }
    lines
}

/// The way back within a limit, in words; empty where none is needed.
fn way_back(way: &WayBack, system: UnitSystem) -> String {
    match way {
        WayBack::NotNeeded => String::new(),
        WayBack::NoSetting => "no setting within its usual range brings it back".to_owned(),
        WayBack::NotSearched => {
            "the setting that brings it back was not looked for: this door takes long to compute".to_owned()
        }
        WayBack::Setting(remedy) => {
            let mut text = format!("{} {} back", words::remedy(remedy, system), brings(remedy));
            if !remedy.breaks.is_empty() {
                text.push_str(&format!(", but then fails {}", remedy.breaks.join(", ")));
            }
            if !remedy.worsens.is_empty() {
                text.push_str(&format!(", and goes further over {}", remedy.worsens.join(", ")));
            }
            text
        }
    }
}

fn brings(remedy: &Remedy) -> &'static str {
    if remedy.changes.len() == 1 { "brings it" } else { "together bring it" }
}
