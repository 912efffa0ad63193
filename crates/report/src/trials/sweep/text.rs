//! A sweep for a terminal: one number as a table with bars, two as a map.

use tautleaf_physics::{Figure, Outcome, Rule};
use tautleaf_scenario::units;
use tautleaf_trials::{Ended, Row};
use unicode_width::UnicodeWidthStr;

use super::{Lettered, SweepReport, notes_on_runs, shown, used};
use crate::columns::{Side, WIDTH, aligned, folded};
use crate::palette::{Palette, paint};
use crate::table::{SHORT_CAUTIONS, bulleted, headed};
use crate::words;

/// What is shown where the door has no limits.
const WITHOUT_LIMITS: [Figure; 5] = [
    Figure::OpeningTime,
    Figure::ClosingTime,
    Figure::PeakEnergyLeaf,
    Figure::ImpactForce,
    Figure::LeastTension,
];
/// Characters of a bar that stand for all that is allowed.
const ALLOWED_WIDE: usize = 32;
/// Characters of the widest bar.
const MOST_WIDE: usize = 48;

impl SweepReport<'_> {
    /// As readable text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = headed(self.scenario, palette);
        let over = |axis: &tautleaf_trials::Axis| {
            let (first, last) = (axis.values[0], axis.values[axis.values.len() - 1]);
            let show = |value| shown(axis, value, self.scenario);
            format!("{} from {} to {}", axis.settable.key(), show(first), show(last))
        };
        let axes: Vec<String> = self.sweep.axes.iter().map(over).collect();
        let runs = match (self.rows.len() as u64, self.sweep.trials()) {
            (done, all) if done < all => format!("{done} of {all} runs, stopped"),
            (done, _) => format!("{done} runs"),
        };
        let head = folded(&format!("Sweep: {}; {runs}", axes.join(", and ")), "", "");
        lines.extend(head.iter().map(|line| paint(palette.faint, line)));
        let lettered = self.lettered();
        lines.extend(self.legend(&lettered, palette));
        if self.sweep.axes.len() == 1 {
            lines.extend(self.table(&lettered, palette));
            lines.extend(self.bars(&lettered, palette));
        } else {
            lines.extend(self.map(&lettered, palette));
        }
        let notes = self.notes(&lettered);
        lines.extend(bulleted("Notes", &notes, palette));
        let cautions: Vec<String> = SHORT_CAUTIONS.iter().copied().map(str::to_owned).collect();
        lines.extend(bulleted("Cautions", &cautions, palette));
        lines.join("\n") + "\n"
    }

    fn legend(&self, lettered: &[Lettered<'_>], palette: &Palette) -> Vec<String> {
        if lettered.is_empty() {
            return Vec::new();
        }
        let mut lines = vec![String::new(), paint(palette.heading, "Limits")];
        for one in lettered {
            let text = format!("{}: {}", words::limit_label(one.limit), words::asks(one.limit));
            let advisory =
                if one.limit.judge == tautleaf_physics::Judge::Advisory { ", advisory" } else { "" };
            lines.extend(folded(&format!("{text}{advisory}"), &format!("  {}  ", one.letter), "     "));
        }
        lines
    }

    /// Values of one axis with what each limit judges, in blocks that fit the width.
    fn table(&self, lettered: &[Lettered<'_>], palette: &Palette) -> Vec<String> {
        let axis = &self.sweep.axes[0];
        let first: Vec<String> = std::iter::once(axis.settable.key())
            .chain(self.rows.iter().map(|row| shown(axis, row.values[0], self.scenario)))
            .collect();
        let columns: Vec<Vec<String>> = if lettered.is_empty() {
            let figures = WITHOUT_LIMITS
                .iter()
                .filter(|figure| self.rows.iter().any(|row| row.trial.get(**figure).is_some()));
            figures.map(|figure| self.figure_column(*figure)).collect()
        } else {
            lettered.iter().map(|one| self.limit_column(one)).collect()
        };
        let mut lines = Vec::new();
        let mut left = columns.as_slice();
        while !left.is_empty() {
            let mut count = 1;
            while count < left.len() && self.fits(&first, &left[..=count]) {
                count += 1;
            }
            let (now, later) = left.split_at(count);
            left = later;
            lines.push(String::new());
            let rows: Vec<Vec<String>> = (0..first.len())
                .map(|n| std::iter::once(&first).chain(now).map(|column| column[n].clone()).collect())
                .collect();
            let sides = vec![Side::Right; count + 1];
            lines.extend(aligned(&rows, &sides).into_iter().enumerate().map(|(n, line)| {
                if n == 0 { format!("  {}", paint(palette.heading, &line)) } else { format!("  {line}") }
            }));
        }
        lines
    }

    fn fits(&self, first: &[String], columns: &[Vec<String>]) -> bool {
        let wide = |column: &[String]| column.iter().map(|cell| cell.width() + 2).max().unwrap_or(0);
        wide(first) + columns.iter().map(|column| wide(column)).sum::<usize>() <= WIDTH
    }

    fn figure_column(&self, figure: Figure) -> Vec<String> {
        let show = |row: &Row| {
            let value = row.trial.get(figure);
            value.map_or("-".to_owned(), |value| words::figure_value(figure, value, self.scenario.units))
        };
        std::iter::once(figure.label().to_owned()).chain(self.rows.iter().map(show)).collect()
    }

    /// What a limit judges: its figure, or the share of what is allowed where that depends on the gap.
    fn limit_column(&self, one: &Lettered<'_>) -> Vec<String> {
        let cell = |row: &Row| {
            let judged = row.trial.judged[one.place];
            let mark = match judged.kept {
                Some(false) => " over",
                Some(true) if self.is_close(&judged) => " close",
                _ => "",
            };
            let figure = one.limit.figure.filter(|_| !matches!(one.limit.rule, Rule::AtMostByGap(_)));
            let value = match figure {
                Some(figure) => row
                    .trial
                    .get(figure)
                    .map(|value| units::show_in(figure.quantity(), value, &one.limit.unit)),
                None => used(one.limit, &judged).map(words::share_used),
            };
            // not judged is said, whatever the value
            let value = value.filter(|_| judged.kept.is_some()).unwrap_or_else(|| "-".to_owned());
            format!("{value}{mark:<6}")
        };
        std::iter::once(format!("{}{:<6}", one.letter, "")).chain(self.rows.iter().map(cell)).collect()
    }

    /// The worst limit of each value as a bar.
    fn bars(&self, lettered: &[Lettered<'_>], palette: &Palette) -> Vec<String> {
        if lettered.is_empty() {
            return Vec::new();
        }
        let axis = &self.sweep.axes[0];
        let title = "The worst limit: share of what it allows that is used, | is all of it";
        let mut lines = vec![String::new(), paint(palette.heading, title)];
        let rows: Vec<Vec<String>> = self
            .rows
            .iter()
            .map(|row| {
                let (bar, said) = match self.worst(row, lettered) {
                    Some(worst) => {
                        let word = if worst.over { " over" } else { "" };
                        (bar(worst.used), format!("{} {}{word}", worst.letter, words::share_used(worst.used)))
                    }
                    None => (String::new(), ended_in_words(row).to_owned()),
                };
                vec![shown(axis, row.values[0], self.scenario), format!("{bar:<MOST_WIDE$}"), said]
            })
            .collect();
        lines.extend(
            aligned(&rows, &[Side::Right, Side::Left, Side::Left])
                .into_iter()
                .map(|line| format!("  {line}")),
        );
        lines
    }

    /// Two axes as a map: the worst limit of each combination by its letter, capital where it is over.
    fn map(&self, lettered: &[Lettered<'_>], palette: &Palette) -> Vec<String> {
        let (down, across) = (&self.sweep.axes[0], &self.sweep.axes[1]);
        let title = format!("{} downwards, {} to the right", down.settable.key(), across.settable.key());
        let mut lines = vec![String::new(), paint(palette.heading, &title)];
        let mark = |row: &Row| match self.worst(row, lettered) {
            _ if row.trial.ended != Ended::Done => ('!', Outcome::Over),
            None => ('-', Outcome::NotJudged),
            Some(worst) if worst.over => (worst.letter, Outcome::Over),
            Some(worst) => {
                let one = lettered.iter().find(|one| one.letter == worst.letter);
                let close = one.is_some_and(|one| self.is_close(&row.trial.judged[one.place]));
                if close {
                    (worst.letter.to_ascii_lowercase(), Outcome::Close)
                } else {
                    ('.', Outcome::Within)
                }
            }
        };
        let names: Vec<String> = down.values.iter().map(|&value| shown(down, value, self.scenario)).collect();
        let heads: Vec<String> =
            across.values.iter().map(|&value| shown(across, value, self.scenario)).collect();
        let columns = heads.len();
        let rows = || self.rows.chunks(columns).zip(&names);
        let said = |row: &Row| {
            let share = self
                .worst(row, lettered)
                .map_or(String::new(), |worst| format!(" {}", words::share_used(worst.used)));
            format!("{}{share}", mark(row).0)
        };
        let mut cells =
            vec![std::iter::once(String::new()).chain(heads.iter().cloned()).collect::<Vec<String>>()];
        cells.extend(
            rows().map(|(row, name)| std::iter::once(name.clone()).chain(row.iter().map(said)).collect()),
        );
        let told = aligned(&cells, &vec![Side::Right; columns + 1]);
        if told.iter().all(|line| line.width() + 2 <= WIDTH) {
            lines.extend(told.into_iter().map(|line| format!("  {line}")));
        } else {
            // letters alone, as many as there is room for
            let wide = names.iter().map(|name| name.width()).max().unwrap_or(0);
            for (row, name) in rows() {
                let drawn = row.iter().take(WIDTH - wide - 4).map(|row| {
                    let (letter, outcome) = mark(row);
                    paint(palette.outcome(outcome), &letter.to_string())
                });
                lines.push(format!("  {name:>wide$}  {}", drawn.collect::<String>()));
            }
            lines.push(format!("  {:>wide$}  {} .. {}", "", heads[0], heads[columns - 1]));
        }
        lines.extend(folded(
            "The worst limit and how much of what it allows is used; capital letter: over, small letter: close, . within, ! does \
             not open and close, - nothing judged",
            "  ",
            "  ",
        ));
        lines
    }

    fn notes(&self, lettered: &[Lettered<'_>]) -> Vec<String> {
        let mut notes = notes_on_runs(&self.sweep.bench.criteria.limits, &self.rows);
        if let [_, across] = self.sweep.axes.as_slice()
            && across.values.len() > WIDTH - 20
        {
            notes.push("The map shows what fits; --csv and --json have all of it.".to_owned());
        }
        if lettered.is_empty() {
            notes.push("No limit judges this door: section [limits] of the door file sets them.".to_owned());
        }
        notes
    }
}

fn ended_in_words(row: &Row) -> &'static str {
    match row.trial.ended {
        Ended::Done => "not judged",
        Ended::Unfinished => "does not open and close",
        Ended::NotBuilt => "cannot be built",
    }
}

/// A bar with a mark where all that is allowed is used.
fn bar(used: f64) -> String {
    let long = ((used * ALLOWED_WIDE as f64).round().max(0.0) as usize).min(MOST_WIDE);
    let block = |n: usize| match (n < long, n == ALLOWED_WIDE) {
        (_, true) => '|',
        (true, false) => '#',
        (false, false) => ' ',
    };
    let bar: String = (0..MOST_WIDE).map(block).collect();
    bar.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_reaches_its_mark_where_all_is_used() {
        assert_eq!(bar(0.5).find('|'), Some(ALLOWED_WIDE));
        assert_eq!(bar(0.5).matches('#').count(), ALLOWED_WIDE / 2);
        assert_eq!(bar(1.0).matches('#').count(), ALLOWED_WIDE);
        assert_eq!(bar(99.0).chars().count(), MOST_WIDE);
    }

    #[test]
    fn a_share_says_on_which_side_of_all_it_is() {
        let shares = [0.123, 0.996, 1.0, 1.000_04, 1.3, f64::INFINITY];
        let said = ["12 %", "99.6 %", "100 %", "100.004 %", "130 %", "> 999 %"];
        assert_eq!(shares.map(words::share_used), said);
    }
}
