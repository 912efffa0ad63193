//! A tolerance study for a terminal.

use tautleaf_physics::{Figure, Judge, Limit};
use tautleaf_trials::spread::{HISTOGRAM_PARTS, LimitFindings, Sampling, Statistics};
use unicode_width::UnicodeWidthStr;

use super::super::probability::share_and_interval;
use super::in_words::{Matters, all_kept, judged_limits, notes, signed_rank, what_matters};
use super::{SpreadReport, shape_in_words};
use crate::columns::{Side, WIDTH, aligned, folded};
use crate::force_text::HEIGHTS;
use crate::palette::{Palette, paint};
use crate::table::{SHORT_CAUTIONS, bulleted, headed};
use crate::words;

/// Percentiles in the table: 5, 50 and 95 %.
const SHOWN: [usize; 3] = [1, 3, 5];

impl SpreadReport<'_> {
    /// As readable text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = self.head(palette);
        lines.extend(self.limits(palette));
        lines.extend(self.figures(palette));
        lines.extend(self.what_matters(palette));
        lines.extend(self.convergence(palette));
        lines.extend(self.inputs(palette));
        lines.extend(bulleted("Notes", &notes(self.study, &self.findings), palette));
        let cautions: Vec<String> = SHORT_CAUTIONS.iter().copied().map(str::to_owned).collect();
        lines.extend(bulleted("Cautions", &cautions, palette));
        lines.join("\n") + "\n"
    }

    fn head(&self, palette: &Palette) -> Vec<String> {
        let mut lines = headed(self.scenario, palette);
        let found = &self.findings;
        let drawn = match self.study.sampling {
            Sampling::Random => "random draws",
            Sampling::Sobol => "Sobol' draws",
        };
        let runs = if found.trials == self.wanted {
            format!("{} runs", found.trials)
        } else {
            format!("{} of {} runs, stopped", found.trials, self.wanted)
        };
        let inputs = self.study.inputs.len();
        let line =
            format!("Tolerance study: {runs}, {inputs} numbers spread, {drawn}, seed {}", self.study.seed);
        lines.extend(folded(&line, "", "").iter().map(|line| paint(palette.faint, line)));
        lines.push(String::new());
        lines.extend(folded(&all_kept(self.study, found), "", "  "));
        lines
    }

    /// Limits on a figure that some trial could judge.
    fn judged_limits(&self) -> impl Iterator<Item = (&Limit, &LimitFindings)> {
        judged_limits(self.study, &self.findings)
    }

    fn limits(&self, palette: &Palette) -> Vec<String> {
        let mut lines = Vec::new();
        for (judge, title) in [
            (Judge::Limit, "How likely each limit is kept"),
            (Judge::Advisory, "Advisory: going over does not fail the door"),
        ] {
            let of_kind: Vec<_> = self.judged_limits().filter(|(limit, _)| limit.judge == judge).collect();
            if of_kind.is_empty() {
                continue;
            }
            let mut rows = vec![
                ["", "kept", "95 % sure", "margin: 5 %", "median", "95 %", "asks"]
                    .map(str::to_owned)
                    .to_vec(),
            ];
            for (limit, found) in &of_kind {
                let mut row = vec![words::limit_label(limit)];
                row.extend(share_and_interval(&found.kept));
                let margin = |n: usize| {
                    let percent = found.margin.as_ref().map(|margin| 100.0 * margin.percentiles[n]);
                    percent.map_or("-".to_owned(), |percent| format!("{} %", signed(percent)))
                };
                row.extend(SHOWN.map(margin));
                row.push(words::asks(limit));
                rows.push(row);
            }
            // what is asked may be long: it has a line of its own where it does not fit
            let mut table = aligned(&rows, &SIDES);
            if table.iter().any(|line| line.width() + 2 > WIDTH) {
                let short: Vec<Vec<String>> = rows.iter().map(|row| row[..row.len() - 1].to_vec()).collect();
                table = aligned(&short, &SIDES);
                for n in (1..rows.len()).rev() {
                    let below = folded(&rows[n][rows[n].len() - 1], "    ", "    ");
                    for line in below.iter().rev() {
                        table.insert(n + 1, paint(palette.faint, line));
                    }
                }
            }
            lines.push(String::new());
            lines.push(paint(palette.heading, title));
            lines.extend(table.into_iter().map(|line| format!("  {line}")));
        }
        lines
    }

    /// Each figure that spreads, with percentiles and a histogram.
    fn figures(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        // with one leaf, all leaves are that one
        let told = |figure: Figure| figure != Figure::PeakEnergyLeaves || self.leaves > 1;
        let (spread, still): (Vec<_>, Vec<_>) = self
            .findings
            .figures
            .iter()
            .filter(|(figure, _)| told(*figure))
            .partition(|(_, found)| found.spreads());
        let table = |parts: usize| {
            let mut rows =
                vec![["", "", "5 %", "median", "95 %", "least", "", "greatest"].map(str::to_owned).to_vec()];
            for (figure, found) in &spread {
                let show = |value: f64| {
                    let shown = words::figure_value(*figure, value, system);
                    let (number, unit) = shown.split_once(' ').unwrap_or((&shown, ""));
                    (number.to_owned(), unit.to_owned())
                };
                let mut row = vec![figure.label().to_owned(), show(found.mean).1];
                row.extend(SHOWN.map(|n| show(found.percentiles[n]).0));
                row.extend([show(found.least).0, drawn(&found.histogram, parts), show(found.greatest).0]);
                rows.push(row);
            }
            rows
        };
        let mut sides = [Side::Right; 8];
        (sides[0], sides[1], sides[6], sides[7]) = (Side::Left, Side::Left, Side::Left, Side::Left);
        let mut lines = Vec::new();
        if !spread.is_empty() {
            let title = "Figures, and how they spread from least to greatest";
            lines.extend([String::new(), paint(palette.heading, title)]);
            let fits = |lines: &[String]| lines.iter().all(|line| line.width() + 2 <= WIDTH);
            let wide = aligned(&table(HISTOGRAM_PARTS), &sides);
            // a coarser histogram where there is no room for the finer one
            let fitting = if fits(&wide) { wide } else { aligned(&table(HISTOGRAM_PARTS / 2), &sides) };
            lines.extend(fitting.into_iter().map(|line| format!("  {line}")));
        }
        let still: Vec<String> = still
            .iter()
            .map(|(figure, found)| {
                format!("{} {}", figure.label(), words::figure_value(*figure, found.mean, system))
            })
            .collect();
        if !still.is_empty() {
            lines.extend(folded(&format!("Always the same: {}", still.join("; ")), "  ", "    "));
        }
        lines
    }

    /// Which inputs matter to each judged figure, most of all first.
    fn what_matters(&self, palette: &Palette) -> Vec<String> {
        let judged = |figure: &Figure| self.judged_limits().any(|(limit, _)| limit.figure == Some(*figure));
        let any = self.judged_limits().next().is_some();
        let mut rows = Vec::new();
        for (figure, found) in self.findings.figures.iter().filter(|(figure, _)| !any || judged(figure)) {
            let named = self.named(found);
            if !named.is_empty() {
                rows.push(vec![figure.label().to_owned(), named]);
            }
        }
        if rows.is_empty() {
            return Vec::new();
        }
        let mut lines = vec![
            String::new(),
            paint(palette.heading, "What matters: rank correlation, share of the variance"),
        ];
        let width = rows.iter().map(|row| row[0].chars().count()).max().unwrap_or_default();
        for row in rows {
            lines.extend(folded(&row[1], &format!("  {:<width$}  ", row[0]), &" ".repeat(width + 4)));
        }
        lines
    }

    /// The inputs that a figure depends on beyond chance.
    fn named(&self, found: &Statistics) -> String {
        let one = |matters: &Matters| {
            let rank = matters.rank.map_or(String::new(), |rank| format!(" {}", signed_rank(rank)));
            let share = matters.share.map_or(String::new(), |share| format!(" ({:.0} %)", 100.0 * share));
            format!("{}{rank}{share}", self.study.inputs[matters.input].settable.key())
        };
        what_matters(found).iter().map(one).collect::<Vec<_>>().join(", ")
    }

    fn convergence(&self, palette: &Palette) -> Vec<String> {
        let mut rows = vec![["runs", "every limit kept", "95 % sure"].map(str::to_owned).to_vec()];
        for at in &self.findings.convergence {
            let mut row = vec![at.trials.to_string()];
            row.extend(share_and_interval(&at.keeps_all));
            rows.push(row);
        }
        let mut lines = vec![String::new(), paint(palette.heading, "How it came to stand, run by run")];
        let sides = [Side::Right, Side::Right, Side::Left];
        lines.extend(aligned(&rows, &sides).into_iter().map(|line| format!("  {line}")));
        lines
    }

    fn inputs(&self, palette: &Palette) -> Vec<String> {
        let mut lines = vec![String::new(), paint(palette.heading, "What spreads")];
        let width =
            self.study.inputs.iter().map(|input| input.settable.key().len()).max().unwrap_or_default();
        for input in &self.study.inputs {
            let first = format!("  {:<width$}  ", input.settable.key());
            let below = " ".repeat(width + 4);
            lines.extend(folded(&shape_in_words(input, self.scenario.units), &first, &below));
            if input.by_default {
                let source = folded(&format!("by default; {}", input.source), &below, &below);
                lines.extend(source.iter().map(|line| paint(palette.faint, line)));
            }
        }
        lines
    }
}

const SIDES: [Side; 7] =
    [Side::Left, Side::Right, Side::Left, Side::Right, Side::Right, Side::Right, Side::Left];

/// A percentage of margin with its sign.
fn signed(percent: f64) -> String {
    let text = words::decimals(percent, 0);
    if percent > 0.0 && text != "0" { format!("+{text}") } else { text }
}

/// A histogram as a row of so many blocks, as high as the counts.
fn drawn(histogram: &[u64], parts: usize) -> String {
    let histogram: Vec<u64> =
        histogram.chunks(histogram.len().div_ceil(parts)).map(|joined| joined.iter().sum()).collect();
    let top = histogram.iter().copied().max().unwrap_or(0).max(1) as f64;
    let block = |&count: &u64| {
        if count == 0 {
            return ' ';
        }
        let height = (count as f64 / top * HEIGHTS.len() as f64).ceil() as usize;
        HEIGHTS[height.clamp(1, HEIGHTS.len()) - 1]
    };
    let drawn: String = histogram.iter().map(block).collect();
    format!("{drawn:<parts$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_histogram_is_as_high_as_its_counts_and_shows_single_ones() {
        let mut histogram = vec![0; HISTOGRAM_PARTS];
        (histogram[0], histogram[3], histogram[5]) = (1, 800, 400);
        let coarse = drawn(&histogram, HISTOGRAM_PARTS / 2);
        let drawn: Vec<char> = drawn(&histogram, HISTOGRAM_PARTS).chars().collect();
        assert_eq!((drawn[0], drawn[1], drawn[3], drawn[5]), ('▁', ' ', '█', '▄'));
        assert_eq!(drawn.len(), HISTOGRAM_PARTS);
        assert_eq!(coarse.chars().collect::<Vec<char>>(), ['▁', '█', '▄', ' ', ' ', ' ', ' ', ' ']);
    }
}
