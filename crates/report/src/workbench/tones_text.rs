//! `tautleaf tones` for a terminal: where the door sings, then what makes tones and what answers.

use tautleaf_physics::Quantity;
use tautleaf_physics::workbench::{Answer, Meeting, SWINGS_TO_SING, TONE_DAMPING};
use tautleaf_scenario::{BELT_WORK, UnitSystem, units};

use super::lines::{SECOND_BELT, block, force, head};
use super::tones::TonesReport;
use crate::columns::{Side, folded};
use crate::palette::{Palette, paint};
use crate::table::bulleted;
use crate::tone_words::{maker_in_words, tone};
use crate::words::decimals;

/// Rows of a list of meetings.
const MOST: usize = 12;
/// How far apart two tones no longer answer each other: the share by which to part them.
const APART: f64 = 0.1;

impl TonesReport<'_> {
    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let p = self.door.parameters();
        let system = self.scenario.units;
        let speed = |value| units::show(Quantity::Speed, value, system);
        let what = format!(
            "Tones at {}, opening at {}, closing at {}",
            force(p.belt.tension_n, system),
            speed(p.opening.speed_m_per_s),
            speed(p.closing.speed_m_per_s)
        );
        let mut lines = head(self.scenario, &what, palette);
        lines.push(String::new());
        lines.extend(self.sings(palette));
        lines.extend(self.passes(palette));
        lines.extend(self.sources(palette));
        lines.extend(self.answers(palette));
        lines.extend(bulleted("Notes", &self.notes(), palette));
        lines.join("\n") + "\n"
    }

    fn sings(&self, palette: &Palette) -> Vec<String> {
        let mut lines = vec![paint(palette.heading, "Where the door sings")];
        let singing: Vec<&Meeting> = self.singing().collect();
        if singing.is_empty() {
            let nothing = format!(
                "Nowhere: no tone stays within {} % of one that answers it for {} swings.",
                decimals(100.0 * TONE_DAMPING, 0),
                decimals(SWINGS_TO_SING, 0)
            );
            lines.extend(folded(&nothing, "  ", "  "));
            return lines;
        }
        for met in singing.iter().take(MOST) {
            lines.extend(folded(&self.sentence(met), "  ", "    "));
        }
        if singing.len() > MOST {
            lines.push(format!("  and {} more, see --json", singing.len() - MOST));
        }
        lines.push(String::new());
        lines.extend(folded(&format!("Caution: {BELT_WORK}"), "  ! ", "    "));
        lines
    }

    /// One meeting and what parts it.
    fn sentence(&self, met: &Meeting) -> String {
        let system = self.scenario.units;
        let (from, to) = met.stretch_m;
        format!(
            "{}, {} to {} open at {}: {} at {} meets {}: {} swings. {}",
            if met.opening { "Opening" } else { "Closing" },
            place(from, system),
            place(to, system),
            units::show(Quantity::Speed, met.speed_m_per_s, system),
            maker_in_words(met.source.maker),
            tone(met.tone_hz),
            self.answer_in_words(met.answer),
            decimals(met.swings, 0),
            self.what_parts(met)
        )
    }

    /// Tensions and speeds at which these two tones meet nowhere on the way.
    fn what_parts(&self, met: &Meeting) -> String {
        let system = self.scenario.units;
        let answering = self.tones.answers.iter().find(|it| it.answer == met.answer);
        let (closed, open) = answering.map_or((0.0, 0.0), |it| (it.closed_hz, it.open_hz));
        let low = closed.min(open) * (1.0 - TONE_DAMPING);
        let high = closed.max(open) * (1.0 + TONE_DAMPING);
        let apart = [1.0 + APART, 1.0 - APART];
        let beyond = |tone: f64, share: f64| !(low * share..=high * share).contains(&tone);
        let tensions = match met.answer {
            Answer::Strand { .. } => apart
                .into_iter()
                .filter(|share| beyond(met.tone_hz, *share))
                .map(|share| force(self.door.parameters().belt.tension_n * share * share, system))
                .collect(),
            Answer::Axial(_) => Vec::new(),
        };
        let speeds: Vec<String> = apart
            .into_iter()
            .filter(|share| beyond(met.tone_hz * share, 1.0))
            .map(|share| units::show(Quantity::Speed, met.speed_m_per_s * share, system))
            .collect();
        match (tensions.join(" or "), speeds.join(" or ")) {
            (tension, speed) if tension.is_empty() && speed.is_empty() => {
                "Another tension or speed only moves it along the travel.".to_owned()
            }
            (tension, speed) if tension.is_empty() => format!("A speed there of {speed} parts them."),
            (tension, speed) if speed.is_empty() => format!("A tension of {tension} parts them."),
            (tension, speed) => {
                format!("A tension of {tension} parts them, or a speed there of {speed}.")
            }
        }
    }

    fn passes(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        let passing: Vec<&Meeting> = self.tones.meetings.iter().filter(|met| !met.sings()).collect();
        if passing.is_empty() {
            return Vec::new();
        }
        let rows: Vec<Vec<String>> = passing
            .iter()
            .take(MOST)
            .map(|met| {
                vec![
                    if met.opening { "opening" } else { "closing" }.to_owned(),
                    place(met.at_m, system),
                    quick(met.speed_m_per_s, system),
                    tone(met.tone_hz),
                    maker_in_words(met.source.maker).to_owned(),
                    self.answer_in_words(met.answer),
                    decimals(met.swings, 1),
                ]
            })
            .collect();
        let title = match passing.len() {
            more if more > MOST => format!("Sounds in passing, the longest {MOST} of {more}; swings last"),
            _ => "Sounds in passing; swings last".to_owned(),
        };
        use Side::{Left, Right};
        block(&title, &rows, &[Left, Right, Right, Right, Left, Left, Right], palette)
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = vec![
        format!(
            "Two tones meet where they are within {} % of each other; after {} swings an answer damped so has risen to 95 %. Both are \
             judgement: how loud it is depends on frame and header.",
            decimals(100.0 * TONE_DAMPING, 0),
            decimals(SWINGS_TO_SING, 0)
        ),
        "Speeds are those that the settings ask for, tension is the installed one: in a run both swing about them. Strands answer \
         across, with their first tone and its octave; the loop answers along itself with the drive turning freely, which the speed \
         control stiffens and damps."
            .to_owned(),
        "Gear, poles and commutator sound where gear.rotor_teeth, motor.pole_pairs or motor.commutator_bars are given.".to_owned(),
    ];
        if self.door.parameters().telescope.is_some() {
            notes.push(SECOND_BELT.to_owned());
        }
        notes
    }

    fn sources(&self, palette: &Palette) -> Vec<String> {
        let p = self.door.parameters();
        let us = self.scenario.units == UnitSystem::Us;
        let (each, metres) = if us { ("swings a foot", 0.3048) } else { ("swings a metre", 1.0) };
        let mut rows = vec![["", each, "closing", "opening"].map(str::to_owned).to_vec()];
        rows.extend(self.tones.sources.iter().map(|source| {
            vec![
                maker_in_words(source.maker).to_owned(),
                decimals(source.per_m * metres, 1),
                tone(source.per_m * p.closing.speed_m_per_s),
                tone(source.per_m * p.opening.speed_m_per_s),
            ]
        }));
        block(
            "What makes tones, with each turn or tooth",
            &rows,
            &[Side::Left, Side::Right, Side::Right, Side::Right],
            palette,
        )
    }

    fn answers(&self, palette: &Palette) -> Vec<String> {
        let mut rows = vec![["", "door closed", "door open"].map(str::to_owned).to_vec()];
        rows.extend(self.tones.answers.iter().map(|answering| {
            vec![self.answer_in_words(answering.answer), tone(answering.closed_hz), tone(answering.open_hz)]
        }));
        block(
            "What answers, strands across and the loop along itself",
            &rows,
            &[Side::Left, Side::Right, Side::Right],
            palette,
        )
    }
}

/// A speed in a column: millimetres a second, or hundredths of an inch.
fn quick(speed: f64, system: UnitSystem) -> String {
    let places = if system == UnitSystem::Us { 2 } else { 3 };
    let shown = decimals(units::to_shown(Quantity::Speed, speed, system), places);
    format!("{shown} {}", units::unit(Quantity::Speed, system))
}

fn place(metres: f64, system: UnitSystem) -> String {
    units::show(Quantity::ShortLength, (metres * 1e4).round() / 1e4 + 0.0, system)
}
