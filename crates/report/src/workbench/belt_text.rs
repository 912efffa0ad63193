//! `tautleaf belt` for a terminal: what to do, then the numbers behind it.

use tautleaf_physics::Quantity;
use tautleaf_physics::workbench::{FULL_STRENGTH_TEETH, Heard, Pluck, Strand};
use tautleaf_scenario::{BELT_WORK, units};

use super::belt::BeltReport;
use super::lines::{SECOND_BELT, block, fine, force, head, length, standing};
use crate::columns::{Side, folded};
use crate::palette::{Palette, paint};
use crate::table::bulleted;
use crate::tone_words::tone;
use crate::words::{self, decimals};

impl BeltReport<'_> {
    /// As text, at most 100 columns wide.
    pub fn text(&self, palette: &Palette) -> String {
        let mut lines = head(self.scenario, &self.belt_in_words(), palette);
        lines.push(String::new());
        lines.extend(self.what_to_do(palette));
        lines.extend(self.heard_text(palette));
        lines.extend(self.lengths(palette));
        lines.extend(self.steps(palette));
        lines.extend(self.strands(palette));
        lines.extend(self.bears(palette));
        lines.extend(bulleted("Notes", &self.notes(), palette));
        lines.join("\n") + "\n"
    }

    fn belt_in_words(&self) -> String {
        let (p, ring) = (self.door.parameters(), self.door.ring());
        let system = self.scenario.units;
        let show = |quantity, value| units::show(quantity, value, system);
        format!(
            "Belt {} wide, pitch {}, {}, {}; axes {} apart; drive pulley {} teeth, pitch diameter {}",
            show(Quantity::ShortLength, p.belt.width_m),
            show(Quantity::ShortLength, p.belt.pitch_m),
            show(Quantity::SpecificStiffness, p.belt.specific_stiffness_n_per_m),
            show(Quantity::LineMass, ring.belt_mass_kg_per_m),
            length(p.belt.centre_distance_m.unwrap_or(f64::NAN), system),
            p.pulleys.teeth,
            length(2.0 * ring.radius_m, system),
        )
    }

    fn what_to_do(&self, palette: &Palette) -> Vec<String> {
        let (work, system) = (&self.work, self.scenario.units);
        let bench = &self.door.parameters().workbench;
        let order = format!(
            "Endless belt: order {} teeth, {}.",
            work.endless.teeth,
            length(work.endless.length_m, system)
        );
        let cut = work.open.map_or(
            "Open-ended belt: with this clamp no piece reaches round the pulleys.".to_owned(),
            |open| {
                format!(
                    "Open-ended belt: cut {} teeth, {}: the run that just touches holds {} whole pitches{}, less {}. \
                     Lay {} teeth in each side of the clamp.",
                    open.teeth,
                    length(open.length_m, system),
                    open.teeth + bench.cut_short,
                    if bench.clamp_gap_m > 0.0 { " beside the gap in the clamp" } else { "" },
                    bench.cut_short,
                    bench.clamp_teeth,
                )
            },
        );
        let turn = format!(
            "Tighten to {}: {} {} from just touching, which moves the pulley by {}.",
            force(work.wanted.tension_n, system),
            turns(work.wanted.turns),
            words::nut_way(work.tightens, false),
            fine(work.wanted.take_up_m, system),
        );
        let pluck = work.to_pluck.map_or(
            "No strand of this belt sounds clearly at that tension: measure it with a gauge.".to_owned(),
            |strand| {
                format!(
                    "{}, pluck {} ({}) in its middle: {}. Then run the leaf to and fro by hand, and pluck again.",
                    self.leaf_place(&strand),
                    words::strand(&self.door, strand.span),
                    length(strand.length_m, system),
                    tone(strand.tone_hz),
                )
            },
        );
        let mut lines = vec![paint(palette.heading, "What to do")];
        lines.extend(folded(&format!("Caution: {BELT_WORK}"), "  ! ", "    "));
        for (n, step) in [order, cut, turn, pluck].iter().enumerate() {
            lines.extend(folded(step, &format!("  {} ", n + 1), "    "));
        }
        lines
    }

    /// `Door closed`, `Door open`, `Leaf 250 mm open`.
    fn leaf_place(&self, strand: &Strand) -> String {
        let leaf = &self.door.parameters().leaf;
        if strand.leaf_at_m == 0.0 {
            "Door closed".to_owned()
        } else if strand.leaf_at_m == leaf.stroke_m {
            "Door open".to_owned()
        } else {
            let each = if self.door.leaves() > 1 { "Each leaf" } else { "Leaf" };
            format!("{each} {} open", length(strand.leaf_at_m, self.scenario.units))
        }
    }

    fn heard_text(&self, palette: &Palette) -> Vec<String> {
        let Some(hz) = self.heard_hz else { return Vec::new() };
        let system = self.scenario.units;
        let rows: Vec<Vec<String>> = self
            .heard()
            .iter()
            .map(|heard: &Heard| {
                vec![
                    self.leaf_place(&heard.strand),
                    words::joins(&self.door, heard.strand.span),
                    length(heard.strand.length_m, system),
                    force(heard.tension_n, system),
                    if heard.tension_n > self.work.allowable_n {
                        let octave = force(heard.tension_n / 4.0, system);
                        format!("over what the belt allows; an octave lower: {octave}")
                    } else if !matches!(heard.strand.pluck, Pluck::Well | Pluck::PastTheLeaf) {
                        format!("not likely: {}", pluck(heard.strand.pluck))
                    } else if heard.turns.abs() < 0.05 {
                        "leave it".to_owned()
                    } else {
                        format!(
                            "{} {}",
                            turns(heard.turns.abs()),
                            words::nut_way(self.work.tightens, heard.turns < 0.0)
                        )
                    },
                ]
            })
            .collect();
        let title =
            format!("Heard {}: what that is, and what to turn, by the strand that was plucked", tone(hz));
        block(&title, &rows, &[Side::Left, Side::Left, Side::Right, Side::Right, Side::Left], palette)
    }

    fn lengths(&self, palette: &Palette) -> Vec<String> {
        let (work, system) = (&self.work, self.scenario.units);
        let row = |name: &str, teeth: String, long: f64, axes: String| {
            vec![name.to_owned(), teeth, length(long, system), axes]
        };
        let axes =
            |from, to| format!("axes {} just touching, {} tight", length(from, system), length(to, system));
        let mut rows = vec![
            row("run that just touches", decimals(work.run_pitches, 2), work.run_m, String::new()),
            row(
                "endless",
                decimals(work.endless.teeth, 0),
                work.endless.length_m,
                axes(work.endless.touching_m, work.endless.tensioned_m),
            ),
        ];
        if let Some(open) = work.open {
            rows.push(row(
                "cut",
                decimals(open.teeth, 0),
                open.length_m,
                axes(open.touching_m, open.tensioned_m),
            ));
        }
        block("Length, in pitches", &rows, &[Side::Left, Side::Right, Side::Right, Side::Left], palette)
    }

    fn steps(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        let mut rows = vec![
            ["tension", "stretch", "take-up", "turns", "shaft load", "tone", ""].map(str::to_owned).to_vec(),
        ];
        rows.extend(self.work.steps.iter().map(|step| {
            vec![
                force(step.tension_n, system),
                format!("{} %", decimals(100.0 * step.strain, 3)),
                fine(step.take_up_m, system),
                decimals(step.turns, 1),
                force(step.shaft_load_n, system),
                step.tone_hz.map_or("-".to_owned(), tone),
                if step == &self.work.wanted { "wanted" } else { "" }.to_owned(),
            ]
        }));
        let mut sides = [Side::Right; 7];
        sides[6] = Side::Left;
        block("Tension, nut and tone", &rows, &sides, palette)
    }

    fn strands(&self, palette: &Palette) -> Vec<String> {
        let system = self.scenario.units;
        let rows: Vec<Vec<String>> = self
            .work
            .strands
            .iter()
            .map(|strand| {
                vec![
                    self.leaf_place(strand),
                    words::joins(&self.door, strand.span),
                    length(strand.length_m, system),
                    tone(strand.tone_hz),
                    pluck(strand.pluck).to_owned(),
                ]
            })
            .collect();
        let title = format!("Strands at {}", force(self.work.wanted.tension_n, system));
        block(&title, &rows, &[Side::Left, Side::Left, Side::Right, Side::Right, Side::Left], palette)
    }

    fn bears(&self, palette: &Palette) -> Vec<String> {
        let (work, system) = (&self.work, self.scenario.units);
        let (pull, wanted) = (&work.full_pull, work.wanted.tension_n);
        let tightest = work.tightest_n();
        let row = |name: &str, value: String, says: String| vec![name.to_owned(), value, says];
        let judged = |value: f64, most: f64, says: &str| {
            let word = standing(value, most, self.scenario.limits.close_margin, palette);
            format!("{word}: {says}")
        };
        let allowable = format!("allowable is about {}", force(work.allowable_n, system));
        let mut rows = vec![
            row("pull of the drive", force(pull.pull_n, system), "speeding up at full current".to_owned()),
            row(
                "  a strand goes slack below",
                force(pull.slack_below_n, system),
                judged(pull.slack_below_n, wanted, "tighter, or less current, keeps it from jerking"),
            ),
            match &work.full_braking {
                Some(braking) => row(
                    "what it holds, turned round",
                    force(braking.pull_n, system),
                    "at full current, as a broken beam asks for".to_owned(),
                ),
                None => row(
                    "what it holds, turned round",
                    "locks".to_owned(),
                    "its inertia decides: see `tautleaf run`".to_owned(),
                ),
            },
        ];
        if let Some(braking) = &work.full_braking {
            rows.push(row(
                "  a strand goes slack below",
                force(braking.slack_below_n, system),
                judged(braking.slack_below_n, wanted, "below, it snaps when the leaf turns round"),
            ));
        }
        rows.extend([
            row(
                "tightest strand, the worse",
                force(tightest, system),
                judged(tightest, work.allowable_n, &allowable),
            ),
            row(
                "clamp holds about",
                force(work.clamp.holds_n, system),
                judged(tightest, work.clamp.holds_n, &self.clamp_in_words(tightest)),
            ),
            row("radial load at rest", force(work.wanted.shaft_load_n, system), String::new()),
            row(
                "radial load, the worse",
                force(work.shaft_load_n(), system),
                "set it against the rating of the bearing".to_owned(),
            ),
        ]);
        if let Some(margin) = work.ratcheting_reserve() {
            rows.push(row("ratcheting reserve, the worse", decimals(margin, 1), "uncalibrated".to_owned()));
        }
        block("What it bears", &rows, &[Side::Left, Side::Right, Side::Left], palette)
    }

    /// What the teeth in the clamp are worth, and how many would do.
    fn clamp_in_words(&self, tightest_n: f64) -> String {
        let clamp = &self.work.clamp;
        let share = decimals(100.0 * clamp.strength, 0);
        let has = format!("{share} % strength with {} teeth a side", clamp.teeth);
        let needs = (FULL_STRENGTH_TEETH * tightest_n / self.work.allowable_n).ceil();
        if tightest_n <= clamp.holds_n {
            has
        } else if needs <= FULL_STRENGTH_TEETH {
            format!("{has}, {needs} would do")
        } else {
            format!("{has}, none would do")
        }
    }

    fn notes(&self) -> Vec<String> {
        let (work, system) = (&self.work, self.scenario.units);
        let p = self.door.parameters();
        let wanted = work.wanted.tension_n;
        let mut notes = Vec::new();
        if wanted != p.belt.tension_n {
            notes.push(format!(
                "Every run of this door is computed with belt.tension, {}; worked to here is {}.",
                force(p.belt.tension_n, system),
                force(wanted, system)
            ));
        }
        if p.telescope.is_some() {
            notes.push(SECOND_BELT.to_owned());
        }
        if let Some(by) = self.to_slacken_m() {
            notes.push(format!(
                "To lay the cut belt on, the adjuster comes in by at least {}. With the axes as the door file has them it would pull {}.",
                length(by, system),
                force(work.open.map_or(0.0, |open| open.tension_as_drawn_n), system)
            ));
        }
        if work.clamp.teeth < FULL_STRENGTH_TEETH {
            notes.push(format!(
                "Published guidance for linear belt drives asks for at least {FULL_STRENGTH_TEETH} teeth in each side of a clamp for the \
                 belt's full strength; {} is common practice at doors. That strength falls evenly with the teeth is judgement.",
                work.clamp.teeth
            ));
        }
        notes.push(
            "Both pulls are what the current allows. A leaf that moves softly never asks for them; turned round by a beam it does. Jolts \
             at the ends and at obstacles come on top: `tautleaf run` gives the greatest strand tension of a cycle."
                .to_owned(),
        );
        notes.push(
            "Just touching is where the last slack is gone and the nut begins to pull: count the turns from there. A frame that \
             gives way takes turns of its own, so the tone decides."
                .to_owned(),
        );
        notes.push(
            "The tone is a string's. A stiff belt on a short strand sounds higher than it is tight."
                .to_owned(),
        );
        notes.push(
            "Allowable is 0.4 % strain, as makers' tables have it for usual cords (0.34 to 0.40 %): the maker of the belt decides. \
             The ratcheting reserve is slack-strand tension over the pull on one tooth in mesh; no published torque of tooth jump \
             exists to calibrate it."
                .to_owned(),
        );
        notes
    }
}

/// `1 turn`, `2.3 turns`.
fn turns(count: f64) -> String {
    let shown = decimals(count, 1);
    let unit = if shown == "1.0" { "turn" } else { "turns" };
    format!("{shown} {unit}")
}

fn pluck(pluck: Pluck) -> &'static str {
    match pluck {
        Pluck::Well => "pluck it",
        Pluck::PastTheLeaf => "only if clear of the leaf",
        Pluck::TooLow => "too low to hear",
        Pluck::TooShort => "too short to pluck",
        Pluck::Sags => "sags: no clear tone",
    }
}
