//! `tautleaf belt --json`.

use serde::Serialize;
use tautleaf_physics::parameters::Turn;
use tautleaf_physics::workbench::{Adjusted, Heard, Pluck, Strand};
use tautleaf_scenario::{BELT_WORK, CAUTIONS};

use super::belt::BeltReport;
use crate::json::{WarningObject, warnings};
use crate::{RESULT_SCHEMA, words};

#[derive(Serialize)]
struct BeltObject<'a> {
    schema: u32,
    title: &'a str,
    run_m: f64,
    run_pitches: f64,
    endless: LoopObject,
    cut: Option<CutObject>,
    wanted: AdjustedObject,
    steps: Vec<AdjustedObject>,
    tightens: Turn,
    strands: Vec<StrandObject>,
    to_pluck: Option<StrandObject>,
    heard: Vec<HeardObject>,
    clamp: ClampObject,
    bears: BearsObject,
    caution: &'a str,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct LoopObject {
    teeth: f64,
    length_m: f64,
    axes_just_touching_m: f64,
    axes_at_tension_m: f64,
}

#[derive(Serialize)]
struct CutObject {
    #[serde(flatten)]
    piece: LoopObject,
    tension_as_drawn_n: f64,
}

#[derive(Serialize)]
struct AdjustedObject {
    tension_n: f64,
    strain: f64,
    take_up_m: f64,
    turns: f64,
    shaft_load_n: f64,
    tone_hz: Option<f64>,
}

#[derive(Serialize)]
struct StrandObject {
    span: usize,
    name: String,
    leaf_at_m: f64,
    length_m: f64,
    tone_hz: f64,
    pluck: &'static str,
}

#[derive(Serialize)]
struct HeardObject {
    tone_hz: f64,
    strand: StrandObject,
    tension_n: f64,
    turns: f64,
}

#[derive(Serialize)]
struct ClampObject {
    teeth: f64,
    strength: f64,
    holds_n: f64,
    full_strength_teeth: f64,
}

#[derive(Serialize)]
struct BearsObject {
    allowable_tension_n: f64,
    full_pull_n: f64,
    /// `null`: the gear locks.
    full_braking_n: Option<f64>,
    slack_below_braking_n: Option<f64>,
    tightest_strand_n: f64,
    slack_below_n: f64,
    shaft_load_n: f64,
    ratcheting_reserve: Option<f64>,
    ratcheting_reserve_calibrated: bool,
}

impl BeltReport<'_> {
    /// As one JSON object, SI units in the names.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let work = &self.work;
        let strand = |strand: &Strand| StrandObject {
            span: strand.span,
            name: words::strand(&self.door, strand.span),
            leaf_at_m: strand.leaf_at_m,
            length_m: strand.length_m,
            tone_hz: strand.tone_hz,
            pluck: match strand.pluck {
                Pluck::Well => "well",
                Pluck::PastTheLeaf => "past-the-leaf",
                Pluck::TooLow => "too-low",
                Pluck::TooShort => "too-short",
                Pluck::Sags => "sags",
            },
        };
        let heard = |heard: Heard| HeardObject {
            tone_hz: self.heard_hz.unwrap_or(f64::NAN),
            strand: strand(&heard.strand),
            tension_n: heard.tension_n,
            turns: heard.turns,
        };
        let endless = LoopObject {
            teeth: work.endless.teeth,
            length_m: work.endless.length_m,
            axes_just_touching_m: work.endless.touching_m,
            axes_at_tension_m: work.endless.tensioned_m,
        };
        let cut = work.open.map(|open| CutObject {
            piece: LoopObject {
                teeth: open.teeth,
                length_m: open.length_m,
                axes_just_touching_m: open.touching_m,
                axes_at_tension_m: open.tensioned_m,
            },
            tension_as_drawn_n: open.tension_as_drawn_n,
        });
        serde_json::to_string_pretty(&BeltObject {
            schema: RESULT_SCHEMA,
            title: &self.scenario.title,
            run_m: work.run_m,
            run_pitches: work.run_pitches,
            endless,
            cut,
            wanted: adjusted(&work.wanted),
            steps: work.steps.iter().map(adjusted).collect(),
            tightens: work.tightens,
            strands: work.strands.iter().map(strand).collect(),
            to_pluck: work.to_pluck.as_ref().map(strand),
            heard: self.heard().into_iter().map(heard).collect(),
            clamp: ClampObject {
                teeth: work.clamp.teeth,
                strength: work.clamp.strength,
                holds_n: work.clamp.holds_n,
                full_strength_teeth: tautleaf_physics::workbench::FULL_STRENGTH_TEETH,
            },
            bears: BearsObject {
                allowable_tension_n: work.allowable_n,
                full_pull_n: work.full_pull.pull_n,
                full_braking_n: work.full_braking.map(|braking| braking.pull_n),
                slack_below_braking_n: work.full_braking.map(|braking| braking.slack_below_n),
                tightest_strand_n: work.tightest_n(),
                slack_below_n: work.full_pull.slack_below_n,
                shaft_load_n: work.shaft_load_n(),
                ratcheting_reserve: work.ratcheting_reserve(),
                ratcheting_reserve_calibrated: false,
            },
            caution: BELT_WORK,
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }
}

fn adjusted(adjusted: &Adjusted) -> AdjustedObject {
    AdjustedObject {
        tension_n: adjusted.tension_n,
        strain: adjusted.strain,
        take_up_m: adjusted.take_up_m,
        turns: adjusted.turns,
        shaft_load_n: adjusted.shaft_load_n,
        tone_hz: adjusted.tone_hz,
    }
}
