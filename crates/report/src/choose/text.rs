//! `tautleaf choose` for a terminal: what does, with which settings, and why the others do not.

use tautleaf_physics::parameters::{Motion, Parameters};
use tautleaf_physics::{Quantity, belt};
use tautleaf_scenario::{BELT_WORK, LEAF_WORK, units};
use tautleaf_trials::Reserve;
use tautleaf_trials::choose::{Check, How, MORE_CYCLES, MOST_CYCLES, NOT_BELIEVED, Tried, Way, undisturbed};

use super::bound_words::{bound_label, briefly, lacking_of, margin_in_words, reason};
use super::{ChooseReport, rank_in_words, restriction_in_words};
use crate::columns::{Side, aligned, clipped, folded};
use crate::palette::{Palette, paint};
use crate::table::{SHORT_CAUTIONS, bulleted, headed};
use crate::trials::reserve_words::percent;
use crate::trials::surely::surely_in_words;
use crate::trials::tune::likely;
use crate::words::decimals;

/// Rows of what does.
const MOST_LISTED: usize = 12;

impl ChooseReport<'_> {
    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = headed(self.scenario, palette);
        lines.extend(folded(&self.what_is_asked(), "", "").iter().map(|line| paint(palette.faint, line)));
        lines.extend(self.those_that_do(palette));
        if let Some(taken) = self.taken() {
            lines.extend(self.kept_surely(palette));
            lines.extend(self.settings(taken, palette));
            lines.extend(self.margins(taken, palette));
        }
        lines.extend(self.those_that_do_not(palette));
        lines.extend(bulleted("Notes", &self.notes(), palette));
        let cautions = [BELT_WORK, LEAF_WORK].into_iter().chain(SHORT_CAUTIONS.iter().copied());
        lines.extend(bulleted("Cautions", &cautions.map(str::to_owned).collect::<Vec<_>>(), palette));
        lines.join("\n") + "\n"
    }

    fn what_is_asked(&self) -> String {
        let p = self.door.parameters();
        let system = self.scenario.units;
        let time = |way: &Way| {
            let whence = match (way.by_limit, way.slowed) {
                (true, _) => "",
                (false, false) => " as its settings would",
                (false, true) => " as its settings would, slowed to what its limits leave",
            };
            format!("{}{whence}", units::show(Quantity::Time, (way.within_s * 1e3).round() / 1e3, system))
        };
        let wanted = &self.choice.wanted;
        format!(
            "Leaf of {}, stroke {}; open in {}, closed in {}, {} cycles an hour at {}",
            units::show(Quantity::Mass, p.leaf.mass_kg, system),
            units::show(Quantity::Length, self.door.travel_m(), system),
            time(&wanted.opening),
            time(&wanted.closing),
            decimals(p.duty.cycles_per_hour, 0),
            units::show(Quantity::Temperature, p.duty.ambient_c, system),
        )
    }

    fn those_that_do(&self, palette: &Palette) -> Vec<String> {
        let reserve = self.choice.choosing.reserve;
        let best = self.choice.best_of_each();
        let (doing, with_reserve) = (
            best.iter().filter(|(tried, _)| tried.does()).count(),
            best.iter().filter(|(tried, _)| tried.has_reserve()).count(),
        );
        let of = self.choice.choosing.only.leaves(self.catalogue);
        let heading = match reserve {
            Reserve::NONE => format!("{doing} of {of} drives meet the requirements"),
            _ if doing == 0 => format!("0 of {of} drives meet the requirements"),
            _ if doing == with_reserve => {
                format!(
                    "{doing} of {of} drives meet the requirements, with {} of everything left",
                    percent(reserve.share())
                )
            }
            _ => format!(
                "{doing} of {of} drives meet the requirements, {with_reserve} of them with {} of everything left",
                percent(reserve.share())
            ),
        };
        let mut lines = vec![String::new(), paint(palette.heading, &heading)];
        if !self.choice.choosing.only.is_none() {
            let only = restriction_in_words(&self.choice.choosing.only, self.scenario.units);
            let left_out = self.catalogue.drives.len() - of;
            let text = format!("Tried were drives of {only}; {left_out} others of the catalogue were not.");
            lines.extend(folded(&text, "  ", "  "));
        }
        if self.choice.stopped {
            lines.push("  Stopped before every drive had been tried.".to_owned());
        }
        if doing == 0 {
            lines.extend(folded("None: leaf, times, limits or catalogue have to change.", "  ", "  "));
            return lines;
        }
        let ranked = format!("Ranked by {}.", rank_in_words(self.choice.choosing.rank));
        lines.extend(folded(&ranked, "  ", "  ").iter().map(|line| paint(palette.faint, line)));
        let listed = |with: bool| -> Vec<(&Tried, usize)> {
            let listed = self.listed().into_iter();
            listed.filter(|(tried, _)| tried.does() && tried.has_reserve() == with).collect()
        };
        let (with, without) = (listed(true), listed(false));
        lines.extend(self.table(&with, 0, true));
        if !without.is_empty() {
            let text = format!(
                "Everything is kept, but not with {} of everything left; what comes nearest to that first:",
                percent(reserve.share())
            );
            lines.extend(folded(&text, "  ", "  "));
            lines.extend(self.table(&without, with.len(), false));
        }
        lines
    }

    /// Those that do, numbered on from `first`, with the energy of a cycle or without. What has less left than the reserve is
    /// named with the least of it.
    fn table(&self, doing: &[(&Tried, usize)], first: usize, energy: bool) -> Vec<String> {
        if doing.is_empty() {
            return Vec::new();
        }
        let mut rows = vec![
            ["", "drive", "belt, and how many others", "left", "of", "energy"].map(str::to_owned).to_vec(),
        ];
        let most = if self.every_pair { usize::MAX } else { MOST_LISTED };
        for (n, (tried, belts)) in doing.iter().take(most).enumerate() {
            let decisive = tried.lacking().first().copied().or_else(|| tried.tightest());
            let (left, of) = decisive.map_or((String::new(), String::new()), |check| {
                (percent(check.margin.max(0.0)), bound_label(&check.bound, &self.limits))
            });
            let others = match belts {
                0 | 1 => String::new(),
                _ if self.every_pair => String::new(),
                more => format!(" + {}", more - 1),
            };
            rows.push(vec![
                (first + n + 1).to_string(),
                clipped(&self.drive(tried).name, if self.every_pair { 38 } else { 30 }),
                format!("{}{others}", clipped(self.belt_name(tried), 22)),
                left,
                clipped(&of, if energy { 15 } else { 22 }),
                tried.energy_j.map_or(String::new(), |energy| {
                    units::show(Quantity::Energy, energy.round(), self.scenario.units)
                }),
            ]);
        }
        if !energy {
            // what is lacking needs the room
            rows.iter_mut().for_each(|row| row.truncate(5));
        }
        use Side::{Left, Right};
        let aligned = aligned(&rows, &[Right, Left, Left, Right, Left, Right]);
        let mut lines: Vec<String> = aligned.into_iter().map(|line| format!(" {line}")).collect();
        if doing.len() + 1 > rows.len() {
            lines.push(format!("  and {} more, see --json", doing.len() + 1 - rows.len()));
        }
        lines
    }

    /// Drive, belt and everything that was set for them.
    fn settings(&self, first: &Tried, palette: &Palette) -> Vec<String> {
        let Some(p) = first.parameters.as_deref() else { return Vec::new() };
        let number = if self.take == 1 { String::new() } else { format!("{}: ", self.take) };
        let (drive, belt) = (&self.drive(first).name, self.belt_name(first));
        let heading = format!("{number}{drive} with {belt}: its settings");
        let mut lines = vec![String::new(), paint(palette.heading, &heading)];
        lines.extend(folded(&format!("Caution: {BELT_WORK}"), "  ! ", "    "));
        let rows: Vec<Vec<String>> =
            self.setting_rows(p).into_iter().map(|(name, value)| vec![name.to_owned(), value]).collect();
        lines.extend(aligned(&rows, &[Side::Left, Side::Left]).into_iter().map(|line| format!("  {line}")));
        lines
    }

    /// What is set, in words.
    fn setting_rows(&self, p: &Parameters) -> Vec<(&'static str, String)> {
        let system = self.scenario.units;
        let show = |quantity, value| units::show(quantity, value, system);
        let diameter = 2.0 * belt::pitch_radius_m(p.belt.pitch_m, p.pulleys.teeth);
        let way = |motion: &Motion| {
            format!(
                "{}, acceleration {}, braking {}, current limit {}",
                show(Quantity::Speed, motion.speed_m_per_s),
                show(Quantity::Acceleration, motion.acceleration_m_per_s2),
                show(Quantity::Acceleration, motion.braking_m_per_s2),
                show(Quantity::Current, motion.current_limit_a)
            )
        };
        let given = self.door.given();
        let creeps = |name: &'static str, old: &Motion, new: &Motion| {
            let length = show(Quantity::ShortLength, new.creep_distance_m);
            (old.creep_distance_m != new.creep_distance_m).then(|| (name, format!("over the last {length}")))
        };
        let held = (given.controller.hold_open_s != p.controller.hold_open_s)
            .then(|| ("held open", show(Quantity::Time, p.controller.hold_open_s)));
        let asked_for = [
            creeps("creeps opening", &given.opening, &p.opening),
            creeps("creeps closing", &given.closing, &p.closing),
            held,
        ];
        let mut rows = vec![
            ("opening", way(&p.opening)),
            ("closing", way(&p.closing)),
            (
                "belt",
                format!(
                    "{} installed tension, pulleys of {} teeth, {} pitch diameter",
                    show(Quantity::Force, p.belt.tension_n),
                    p.pulleys.teeth,
                    show(Quantity::ShortLength, (diameter * 1e4).round() / 1e4)
                ),
            ),
            (
                "pressing",
                format!("{} while it stands closed", show(Quantity::Current, p.controller.press_current_a)),
            ),
        ];
        rows.extend(asked_for.into_iter().flatten());
        rows
    }

    fn margins(&self, first: &Tried, palette: &Palette) -> Vec<String> {
        let mut checks: Vec<&Check> = first.checks.iter().collect();
        checks.sort_by(|a, b| a.margin.total_cmp(&b.margin));
        let rows: Vec<Vec<String>> = checks
            .iter()
            .map(|check| {
                vec![
                    clipped(&bound_label(&check.bound, &self.limits), 40),
                    clipped(&briefly(check, &self.limits, self.scenario.units), 38),
                    margin_in_words(check),
                ]
            })
            .collect();
        let mut lines = vec![String::new(), paint(palette.heading, "What it has left")];
        if let Some(lacking) = lacking_of(first, &self.limits, self.choice.choosing.reserve) {
            let text = format!("Everything is kept, but some {lacking}.");
            lines.extend(folded(&text, "  ", "  "));
        }
        lines.extend(
            aligned(&rows, &[Side::Left, Side::Left, Side::Right])
                .into_iter()
                .map(|line| format!("  {line}")),
        );
        if !first.advisory.is_empty() {
            let text = format!("Over what is only advisory: {}.", first.advisory.join(", "));
            lines.extend(folded(&text, "  ", "  "));
        }
        lines
    }

    /// How surely those that rank first keep everything.
    fn kept_surely(&self, palette: &Palette) -> Vec<String> {
        let Some(surely) = &self.choice.surely else { return Vec::new() };
        let heading = format!("Kept in drawn doors, {} asked for", percent(surely.wanted.probability));
        let mut lines = vec![String::new(), paint(palette.heading, &heading)];
        for (n, (kept, tried)) in surely.kept.iter().zip(&self.choice.tried).enumerate() {
            lines.push(format!("  {}  {}: {}", n + 1, self.drive(tried).name, likely(kept)));
        }
        lines.extend(folded(&surely_in_words(surely.is_met(), self.choice.choosing.reserve), "  ", "  "));
        lines
    }

    fn those_that_do_not(&self, palette: &Palette) -> Vec<String> {
        let short: Vec<(&Tried, &Check)> = self
            .listed()
            .into_iter()
            .filter(|(tried, _)| !tried.does())
            .filter_map(|(tried, _)| Some((tried, tried.reason()?)))
            .collect();
        if short.is_empty() {
            return Vec::new();
        }
        let mut lines = vec![String::new(), paint(palette.heading, "Why the others do not, nearest first")];
        // a reason that many share, as a speed that a limit forbids whatever moves the leaf, is said once
        let mut reasons: Vec<(String, Vec<String>)> = Vec::new();
        for (tried, check) in short {
            let why = reason(check, &self.limits, self.scenario.units);
            let name = format!("{} ({})", self.drive(tried).name, self.belt_name(tried));
            match reasons.iter_mut().find(|(other, _)| *other == why) {
                Some((_, names)) => names.push(name),
                None => reasons.push((why, vec![name])),
            }
        }
        for (why, names) in reasons {
            let text = match &names[..] {
                [one] => format!("{one}: {why}"),
                all if all.len() == self.choice.tried.len() || all.len() == self.listed().len() => {
                    format!("every one of them: {why}")
                }
                some => format!("{}: {why}", some.join("; ")),
            };
            lines.extend(folded(&text, "  ", "      "));
        }
        lines
    }

    fn notes(&self) -> Vec<String> {
        let pairs = self.choice.tried.len();
        let cycles: usize = self.choice.tried.iter().map(|tried| tried.cycles).sum();
        let by_formula = self.choice.tried.iter().filter(|tried| tried.cycles == 0).count();
        let mut notes = vec![
            format!(
                "{pairs} pairs of drive and belt; {by_formula} of them are out by a formula that leaves no doubt, and {cycles} whole cycles \
                 with the force test that the limits ask for decide on the others, at most {MOST_CYCLES} each for the whole \
                 reserve, and {MORE_CYCLES} for half of it and for none. A formula short by less than {} % is left to a cycle.",
                decimals(100.0 * NOT_BELIEVED, 0)
            ),
            "Speeds are the lowest that are in time, beginning with a third of the time each to speed up, travel and brake. Tension keeps \
             every strand from going slack at the current limit, with a tenth more. Current limits are 1.3 times what speeding up needs, the \
             closing one no more than the limit on closing force leaves."
                .to_owned(),
            "All drives and belts of the program are invented, generic ones: take the data of yours from their maker, \
             as files for --catalogue."
                .to_owned(),
        ];
        if undisturbed(self.door.given()) != *self.door.given() {
            notes.push(
                "Chosen for a cycle without disturbance: an obstacle, a beam, power lost or a learning run of the door file is left out, and so \
                 are limits that only such a run is judged by."
                    .to_owned(),
            );
        }
        let locking: Vec<&str> = self
            .choice
            .best_of_each()
            .iter()
            .filter(|(tried, _)| tried.does() && self.drive(tried).locks_itself())
            .map(|(tried, _)| self.drive(tried).name.as_str())
            .collect();
        if !locking.is_empty() {
            let text = format!(
                "Locks itself, so that the leaf cannot be moved by hand with the power off: {}.",
                locking.join("; ")
            );
            notes.push(text);
        }
        let cycle_overrules = self.taken().is_some_and(|taken| {
            taken
                .checks
                .iter()
                .any(|check| check.how == How::Cycle && check.margin == 0.0 && check.value > check.allowed)
        });
        if cycle_overrules {
            notes.push(
                "0 % left where more is needed than there is: by the formula it is just short, and a whole cycle was in time."
                    .to_owned(),
            );
        }
        if !(self.choice.wanted.opening.by_limit && self.choice.wanted.closing.by_limit) {
            notes.push(
                "Where no limit of the door file says how fast the door has to be (opening_time_max, closing_time_max), it has to be as fast \
                 as its present settings ask for, or as the other limits let it be. Such a time is a wish: the settings meet it as \
                 nearly as they can, and no reserve is asked of it."
                    .to_owned(),
            );
        }
        notes
    }
}
