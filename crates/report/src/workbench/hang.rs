//! How a leaf hangs: `tautleaf hang` as text and JSON.

use serde::Serialize;
use tautleaf_physics::manual::drift_forces_n;
use tautleaf_physics::workbench::{Drift, HangCase, HangWork, Hung, hang_work};
use tautleaf_physics::{Door, Quantity};
use tautleaf_scenario::{
    CAUTIONS, FileProblem, IN_THE_OPENING, LEAF_WORK, POWER_OFF, ReadError, Scenario, units,
};

use super::lines::{block, fine, force, head, length};
use crate::RESULT_SCHEMA;
use crate::columns::{Side, folded};
use crate::json::{WarningObject, warnings};
use crate::palette::{Palette, paint};
use crate::table::bulleted;

/// How a leaf hangs, worked out.
#[derive(Clone, Debug)]
pub struct HangReport<'a> {
    /// The door file.
    pub scenario: &'a Scenario,
    /// The checked door.
    pub door: Door,
    /// What was worked out.
    pub work: HangWork,
    /// What is unusual about the door.
    pub warnings: Vec<FileProblem>,
}

impl<'a> HangReport<'a> {
    /// Works out how the leaf of a scenario hangs.
    ///
    /// # Errors
    /// Why the door cannot be built.
    pub fn of(scenario: &'a Scenario) -> Result<Self, ReadError> {
        let door = scenario.door()?;
        let (work, warnings) = (hang_work(&door), scenario.warnings(&door));
        Ok(Self { scenario, door, work, warnings })
    }

    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let system = self.scenario.units;
        let p = self.door.parameters();
        let show = |quantity, value| units::show(quantity, value, system);
        let what = format!(
            "Leaf of {}, {} wide and {} high, hangers {} apart",
            show(Quantity::Mass, p.leaf.mass_kg),
            length(p.leaf.width_m, system),
            length(p.leaf.height_m, system),
            length(p.leaf.hanger_spacing_m.unwrap_or(p.leaf.width_m), system)
        );
        let mut lines = head(self.scenario, &what, palette);
        lines.push(String::new());
        lines.extend(self.what_to_do(palette));
        lines.extend(self.costs(palette));
        lines.extend(bulleted("Notes", &self.notes(), palette));
        lines.join("\n") + "\n"
    }

    fn what_to_do(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        let bench = &self.door.parameters().workbench;
        let (least, most) = (bench.hanger_end_least_m, bench.hanger_end_most_m);
        let at = self.work.hanger_from_end_m;
        let place = format!(
            "Hangers {} to {} from the ends of the leaf: in the door file {}, {}.",
            length(least, system),
            length(most, system),
            length(at, system),
            // what is off by rounding is within
            if (least - 1e-9..=most + 1e-9).contains(&at) { "within" } else { "outside" }
        );
        let p = self.door.parameters();
        let judged = |off: f64| {
            let word = if off <= bench.frame_tolerance_m + 1e-9 { "within" } else { "outside" };
            format!("{}, {word}", length(off, system))
        };
        let level = format!(
            "Level the rail to {} on its {}: in the door file {}. Plumb the frame to the same on its height: {}.{}",
            length(bench.frame_tolerance_m, system),
            length(self.work.rail_length_m, system),
            judged(p.rail.slope.abs() * self.work.rail_length_m),
            judged(p.guide.out_of_plumb.abs() * p.leaf.height_m),
            match self.work.drift {
                Drift::From(0.0) =>
                    " On a level rail it drifts by itself with the power off: its slope holds it.".to_owned(),
                Drift::From(from) => format!(
                    " From {} out of level on, the leaf drifts by itself with the power off.",
                    length(from, system)
                ),
                Drift::Now(_) => String::new(),
                Drift::Never => " With the power off it stays on any slope up to 5 %.".to_owned(),
            }
        );
        let millimetre = if system == tautleaf_scenario::UnitSystem::Us { 0.0254 / 16.0 } else { 0.001 };
        let edge = format!(
            "Set the closing edge parallel to the jamb by the hangers: {} up at one of them moves the foot by {}.",
            fine(millimetre, system),
            fine(millimetre * self.work.foot_per_hanger, system)
        );
        let mut lines = vec![paint(palette.heading, "What to do")];
        if let Drift::Now(force_n) = self.work.drift {
            let warning = format!(
                "Caution: with the power off this leaf moves by itself, with {}{}: block it before you isolate the drive.",
                force(force_n, system),
                self.only_there()
            );
            lines.extend(folded(&warning, "  ! ", "    "));
        }
        for caution in [POWER_OFF, LEAF_WORK, IN_THE_OPENING] {
            lines.extend(folded(&format!("Caution: {caution}"), "  ! ", "    "));
        }
        for (n, step) in [place, level, edge].iter().enumerate() {
            lines.extend(folded(step, &format!("  {} ", n + 1), "    "));
        }
        lines
    }

    /// Where along the travel it does, if not everywhere.
    fn only_there(&self) -> String {
        let places = drift_forces_n(&self.door);
        let moving = places.iter().filter(|(_, force)| *force > 0.0).map(|(x, _)| *x);
        let (low, high) = moving
            .clone()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
        let count = moving.count();
        if 2 * count > places.len() || count == 0 {
            return String::new();
        }
        let system = self.scenario.units;
        if high - low < 0.01 {
            format!(" at {} open", length(low, system))
        } else {
            format!(" between {} and {} open", length(low, system), length(high, system))
        }
    }

    fn costs(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        let two = |[leading, trailing]: [f64; 2]| {
            let leading = force(leading, system);
            format!("{} / {}", leading.split(' ').next().unwrap_or_default(), force(trailing, system))
        };
        let mut rows: Vec<Vec<String>> = vec![
            ["", "by hand", "drift", "gap", "on guide", "lead / trail", "least", "most"]
                .map(str::to_owned)
                .to_vec(),
        ];
        rows.extend(self.work.cases.iter().map(|hung| {
            vec![
                self.case_in_words(hung.case),
                hung.opening_by_hand_n.map_or("locks".to_owned(), |hand| tenth(hand, system)),
                tenth(hung.drift_n, system),
                fine(hung.gap_m, system),
                tenth(hung.guide_load_n, system),
                two(hung.at_rest_n),
                force(hung.least_n, system),
                force(hung.greatest_n, system),
            ]
        }));
        let mut sides = [Side::Right; 8];
        sides[0] = Side::Left;
        block("What each tolerance costs", &rows, &sides, palette)
    }

    fn case_in_words(&self, case: HangCase) -> String {
        let system = self.scenario.units;
        let bench = &self.door.parameters().workbench;
        let off = length(bench.frame_tolerance_m, system);
        match case {
            HangCase::AsFiled => "as in the door file".to_owned(),
            HangCase::HangersOut => format!("hangers at {}", length(bench.hanger_end_least_m, system)),
            HangCase::HangersIn => format!("hangers at {}", length(bench.hanger_end_most_m, system)),
            HangCase::RailRises => format!("rail rises {off}"),
            HangCase::RailFalls => format!("rail falls {off}"),
            HangCase::OutOfPlumb => format!("frame {off} off plumb"),
            HangCase::TrailingHigher => format!("leans {off}, head first"),
            HangCase::LeadingHigher => format!("leans {off}, foot first"),
        }
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = vec![
            "By hand: force that starts the door open with the power off, where that is hardest. Drift: what slope, faults of the rail and listed forces pull beyond friction, where that is most. Gap: at the foot of \
             the closing edge when its head touches a plumb jamb, or the other leaf; negative: at the head. On guide: sideways. Lead / trail: hangers of \
             leaf 1 at rest, the leading one is at the closing edge; least and most: at the accelerations that are set."
                .to_owned(),
            "Rail rises and falls as leaf 1 opens. Jolts, listed forces, faults of the rail and a leaf that is turned round on its way come \
             on top of the hanger loads: `tautleaf run` has them."
                .to_owned(),
            "The tolerances are common practice at doors, not a standard's: section [workbench] sets them.".to_owned(),
        ];
        let lifted: Vec<&Hung> = self.work.cases.iter().filter(|hung| hung.least_n < 0.0).collect();
        if let Some(first) = lifted.first() {
            notes.insert(
                0,
                format!(
                    "A wheel leaves the rail ({}{}): the anti-lift roller has to hold it. Less acceleration, or hangers further apart.",
                    self.case_in_words(first.case),
                    if lifted.len() > 1 { " and others" } else { "" }
                ),
            );
        }
        notes
    }

    /// As one JSON object, SI units in the names.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(&HangObject {
            schema: RESULT_SCHEMA,
            title: &self.scenario.title,
            hanger_from_end_m: self.work.hanger_from_end_m,
            rail_length_m: self.work.rail_length_m,
            drifts_from_m: match self.work.drift {
                Drift::From(from) => Some(from),
                Drift::Now(_) | Drift::Never => None,
            },
            drifts_now_n: match self.work.drift {
                Drift::Now(force) => Some(force),
                Drift::From(_) | Drift::Never => None,
            },
            foot_per_hanger: self.work.foot_per_hanger,
            cases: self.work.cases.iter().map(CaseObject::of).collect(),
            caution: LEAF_WORK,
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }
}

/// A force to a tenth: what tolerances cost is small.
fn tenth(newtons: f64, system: tautleaf_scenario::UnitSystem) -> String {
    let shown = crate::words::decimals(units::to_shown(Quantity::Force, newtons, system), 1);
    format!("{shown} {}", units::unit(Quantity::Force, system))
}

#[derive(Serialize)]
struct HangObject<'a> {
    schema: u32,
    title: &'a str,
    hanger_from_end_m: f64,
    rail_length_m: f64,
    drifts_from_m: Option<f64>,
    drifts_now_n: Option<f64>,
    foot_per_hanger: f64,
    cases: Vec<CaseObject>,
    caution: &'a str,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct CaseObject {
    case: &'static str,
    opening_by_hand_n: Option<f64>,
    drift_n: f64,
    gap_m: f64,
    guide_load_n: f64,
    leading_at_rest_n: f64,
    trailing_at_rest_n: f64,
    least_load_at_set_accelerations_n: f64,
    greatest_load_at_set_accelerations_n: f64,
}

impl CaseObject {
    fn of(hung: &Hung) -> Self {
        Self {
            case: match hung.case {
                HangCase::AsFiled => "as-filed",
                HangCase::HangersOut => "hangers-out",
                HangCase::HangersIn => "hangers-in",
                HangCase::RailRises => "rail-rises",
                HangCase::RailFalls => "rail-falls",
                HangCase::OutOfPlumb => "out-of-plumb",
                HangCase::TrailingHigher => "trailing-higher",
                HangCase::LeadingHigher => "leading-higher",
            },
            opening_by_hand_n: hung.opening_by_hand_n,
            drift_n: hung.drift_n,
            gap_m: hung.gap_m,
            guide_load_n: hung.guide_load_n,
            leading_at_rest_n: hung.at_rest_n[0],
            trailing_at_rest_n: hung.at_rest_n[1],
            least_load_at_set_accelerations_n: hung.least_n,
            greatest_load_at_set_accelerations_n: hung.greatest_n,
        }
    }
}
