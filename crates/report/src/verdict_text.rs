//! The block of verdicts, for a terminal.

use tautleaf_physics::{Judge, Limit, Outcome, Verdict};
use tautleaf_trials::Remedy;

use crate::columns::{Side, WIDTH, aligned, folded};
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::words;

/// The head line and every verdict: limits first, then advice, then what has to be looked at on the door.
pub(crate) fn block(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let mut lines = vec![headline(judged, palette)];
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
    lines
}

/// One line that says how the door stands.
fn headline(judged: &Judged<'_>, palette: &Palette) -> String {
    let counts = [Outcome::Over, Outcome::Close, Outcome::Within, Outcome::NotJudged]
        .map(|outcome| (outcome, judged.count(outcome)));
    let listed: Vec<String> = counts
        .iter()
        .filter(|(_, count)| *count > 0)
        .map(|(outcome, count)| format!("{count} {}", words::outcome(*outcome)))
        .collect();
    let counted = listed.join(", ");
    if judged.verdicts.is_empty() {
        return paint(palette.heading, "NO LIMITS SET: nothing is judged; see `tautleaf limits`");
    }
    let (style, word) = if judged.is_over() {
        (palette.over, "OVER A LIMIT")
    } else if judged.is_unfinished() {
        (palette.over, "NOT JUDGED: the door did not open and close")
    } else if judged.count(Outcome::Over) > 0 {
        (palette.close, "WITHIN THE LIMITS, OVER AN ADVISORY ONE")
    } else if judged.count(Outcome::Within) + judged.count(Outcome::Close) == 0 {
        (palette.heading, "NOT JUDGED")
    } else {
        (palette.within, "WITHIN")
    };
    format!("{}: {counted}", paint(style.bold(), word))
}

fn rows(judged: &Judged<'_>, group: &[(&Verdict, Option<&Remedy>)], palette: &Palette) -> Vec<String> {
    let system = judged.scenario.units;
    let cells = |verdict: &Verdict| {
        let place = words::place(verdict, system).unwrap_or_default();
        [words::limit_label(&verdict.limit), words::value_of_allowed(verdict), words::margin(verdict), place]
            .to_vec()
    };
    let table: Vec<Vec<String>> = group.iter().map(|(verdict, _)| cells(verdict)).collect();
    let table = aligned(&table, &[Side::Left, Side::Left, Side::Left, Side::Left]);
    let mut lines = Vec::new();
    for ((verdict, remedy), row) in group.iter().zip(table) {
        let word = format!("{:<10}", words::outcome(verdict.outcome));
        let row = if row.chars().count() + 14 > WIDTH { row.replace("  ", " ") } else { row };
        lines.push(format!("  {}  {row}", paint(palette.outcome(verdict.outcome), &word)));
        let below = "              ";
        if let Some(why) = verdict.why.as_deref() {
            lines.extend(folded(why, below, below));
        }
        if verdict.outcome == Outcome::Over {
            let turn = turn(*remedy, system);
            lines.extend(folded(&turn, &below[2..].replacen("   ", " =>", 1), below));
        }
        let source = folded(&words::standing(&verdict.limit), below, below);
        lines.extend(source.iter().map(|line| paint(palette.faint, line)));
    }
    lines
}

/// The setting that brings a limit back within, in words.
pub(crate) fn turn(remedy: Option<&Remedy>, system: tautleaf_scenario::UnitSystem) -> String {
    match remedy {
        None => "no single setting within its usual range brings it back".to_owned(),
        Some(remedy) if remedy.breaks.is_empty() => {
            format!("{} brings it back", words::remedy(remedy, system))
        }
        Some(remedy) => format!(
            "{} brings it back, but then fails {}",
            words::remedy(remedy, system),
            remedy.breaks.join(", ")
        ),
    }
}
