//! `tautleaf choose --map` for a terminal and as JSON.

use serde::Serialize;
use tautleaf_physics::Quantity;
use tautleaf_scenario::{CAUTIONS, LEAF_WORK, units};
use tautleaf_trials::choose::{MapPoint, Row};

use super::load_map::MapReport;
use crate::columns::{Side, aligned, folded};
use crate::json::{WarningObject, warnings};
use crate::palette::{Palette, paint};
use crate::table::{SHORT_CAUTIONS, bulleted, headed};
use crate::words::decimals;
use crate::{PROGRAM, RESULT_SCHEMA, VERSION};

impl MapReport<'_> {
    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = headed(self.scenario, palette);
        let what = format!("{} with {}: leaf mass against closing time", self.drive.name, self.belt.name);
        lines.extend(folded(&what, "", "").iter().map(|line| paint(palette.faint, line)));
        lines.push(String::new());
        lines.extend(folded(&self.verdict(), "", "  "));
        if self.map.stopped {
            lines.push("Stopped before the map was done: borders are missing or coarse.".to_owned());
        }
        let system = self.scenario.units;
        let mut rows = vec![["leaf", "closes in", "what forbids less"].map(str::to_owned).to_vec()];
        rows.extend(self.map.rows.iter().map(|row| {
            let because = row.because.as_ref().map_or(String::new(), |bound| self.name(bound));
            let (time, because) = match row.shortest_s {
                Some(time) if row.because.is_none() => {
                    (format!("{} s and less", decimals(time, 1)), "nothing on this map".to_owned())
                }
                Some(time) => (format!("{} s", decimals(time, 1)), because),
                None => ("not at all".to_owned(), because),
            };
            vec![units::show(Quantity::Mass, row.mass_kg.round(), system), time, because]
        }));
        lines.extend([String::new(), paint(palette.heading, "Shortest closing time by mass")]);
        lines.extend(
            aligned(&rows, &[Side::Right, Side::Right, Side::Left])
                .into_iter()
                .map(|line| format!("  {line}")),
        );
        let notes = vec![
            format!(
                "{} whole cycles; each border is where it is kept at one cycle and not at the next, to a thirtieth of a cell of the map. \
                 Everything but mass and closing time is as in the door file, the way open included; a second or slow leaf \
                 keeps its proportion.",
                self.map.cycles
            ),
            "Settings are searched for as in choosing: what does on the map does when it is chosen for, without a reserve.".to_owned(),
            "Named after what it is short of most: a door that is late is so for peak torque, voltage reserve, supply current or \
             available closing force."
                .to_owned(),
        ];
        lines.extend(bulleted("Notes", &notes, palette));
        let cautions = [LEAF_WORK].into_iter().chain(SHORT_CAUTIONS.iter().copied());
        lines.extend(bulleted("Cautions", &cautions.map(str::to_owned).collect::<Vec<_>>(), palette));
        lines.join("\n") + "\n"
    }

    /// Whether the door is within the borders.
    pub(crate) fn verdict(&self) -> String {
        let system = self.scenario.units;
        let at = format!(
            "A leaf of {} closed in {}",
            units::show(Quantity::Mass, self.map.door.mass_kg, system),
            units::show(Quantity::Time, (self.map.door.closing_s * 100.0).round() / 100.0, system)
        );
        match &self.map.short_there {
            None => format!("{at} is within every border of this drive."),
            Some(bound) => format!("{at} is beyond this drive: {}.", self.name(bound)),
        }
    }

    /// As one JSON object, SI units in the names.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let point = |at: &MapPoint| [at.closing_s, at.mass_kg];
        let border = |border: &tautleaf_trials::choose::Border| BorderObject {
            bound: self.name(&border.bound),
            pieces_s_kg: border.pieces.iter().map(|(a, b)| [point(a), point(b)]).collect(),
        };
        let row = |row: &Row| RowObject {
            mass_kg: row.mass_kg,
            shortest_closing_s: row.shortest_s,
            because: row.because.as_ref().map(|bound| self.name(bound)),
        };
        serde_json::to_string_pretty(&MapObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            title: &self.scenario.title,
            drive: &self.drive.name,
            belt: &self.belt.name,
            door_s_kg: point(&self.map.door),
            does: self.does(),
            short_of: self.map.short_there.as_ref().map(|bound| self.name(bound)),
            wanted_closing_s: self.map.wanted_s,
            closing_times_s: [self.map.times_s.0, self.map.times_s.1],
            masses_kg: [self.map.masses_kg.0, self.map.masses_kg.1],
            rows: self.map.rows.iter().map(row).collect(),
            borders: self.map.borders.iter().map(border).collect(),
            cycles_run: self.map.cycles,
            stopped: self.map.stopped,
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }
}

#[derive(Serialize)]
struct MapObject<'a> {
    schema: u32,
    program: &'a str,
    version: &'a str,
    title: &'a str,
    drive: &'a str,
    belt: &'a str,
    door_s_kg: [f64; 2],
    does: bool,
    short_of: Option<String>,
    wanted_closing_s: Option<f64>,
    closing_times_s: [f64; 2],
    masses_kg: [f64; 2],
    rows: Vec<RowObject>,
    borders: Vec<BorderObject>,
    cycles_run: usize,
    stopped: bool,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct RowObject {
    mass_kg: f64,
    shortest_closing_s: Option<f64>,
    because: Option<String>,
}

#[derive(Serialize)]
struct BorderObject {
    bound: String,
    pieces_s_kg: Vec<[[f64; 2]; 2]>,
}
