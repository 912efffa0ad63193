//! `tautleaf choose --json`.

use serde::Serialize;
use tautleaf_physics::{FIELDS, Parameters, checks::si_unit};
use tautleaf_scenario::CAUTIONS;
use tautleaf_trials::choose::{Bound, Check, Drive, How, Tried, Way};

use super::bound_words::{bound_label, reason};
use super::{ChooseReport, RANKS, rank_in_words, restriction_in_words};
use crate::json::{WarningObject, warnings};
use crate::trials::surely::SurelyObject;
use crate::{PROGRAM, RESULT_SCHEMA, VERSION};

#[derive(Serialize)]
struct ChooseObject<'a> {
    schema: u32,
    program: &'a str,
    version: &'a str,
    title: &'a str,
    rank: &'a str,
    ranked_by: &'a str,
    stopped: bool,
    /// Share of everything that was to be left.
    reserve: f64,
    /// Which drives were tried; null: all.
    only: Option<String>,
    opening: WayObject,
    closing: WayObject,
    /// How surely what ranks first keeps everything in drawn doors; null: nobody asked.
    surely: Option<SurelyObject>,
    drives: usize,
    belts: usize,
    does: Vec<TriedObject<'a>>,
    does_not: Vec<TriedObject<'a>>,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct WayObject {
    within_s: f64,
    by_limit: bool,
    slowed_to_limits: bool,
    most_speed_m_per_s: Option<f64>,
    most_speed_by: Option<String>,
}

#[derive(Serialize)]
struct TriedObject<'a> {
    /// By which `--take` takes it.
    take: Option<usize>,
    drive: &'a str,
    belt: &'a str,
    rated_power_w: f64,
    energy_per_cycle_j: Option<f64>,
    cycles_run: usize,
    has_reserve: bool,
    reason: Option<ReasonObject>,
    tightest: Option<CheckObject>,
    checks: Vec<CheckObject>,
    advisory_over: &'a [String],
    settings: Vec<SettingObject>,
}

#[derive(Serialize)]
struct ReasonObject {
    bound: String,
    words: String,
    margin: Option<f64>,
}

#[derive(Serialize)]
struct CheckObject {
    bound: String,
    limit: Option<String>,
    value: f64,
    allowed: f64,
    unit_si: &'static str,
    at_least: bool,
    margin: Option<f64>,
    /// Margin that was to be left.
    reserve: f64,
    known_by: &'static str,
}

#[derive(Serialize)]
struct SettingObject {
    key: &'static str,
    value: f64,
    unit_si: &'static str,
}

impl ChooseReport<'_> {
    /// As one JSON object, SI units in the names. Every pair is in it.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let doing = self.doing();
        let number = |tried: &Tried| doing.iter().position(|(other, _)| std::ptr::eq(*other, tried));
        let object = |tried| TriedObject { take: number(tried).map(|n| n + 1), ..self.tried_object(tried) };
        let (does, does_not): (Vec<&Tried>, Vec<&Tried>) =
            self.choice.tried.iter().partition(|tried| tried.does());
        let rank =
            RANKS.iter().find(|(_, rank)| *rank == self.choice.choosing.rank).map_or("", |(word, _)| word);
        serde_json::to_string_pretty(&ChooseObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            title: &self.scenario.title,
            rank,
            ranked_by: rank_in_words(self.choice.choosing.rank),
            stopped: self.choice.stopped,
            reserve: self.choice.choosing.reserve.share(),
            only: (!self.choice.choosing.only.is_none())
                .then(|| restriction_in_words(&self.choice.choosing.only, self.scenario.units)),
            opening: way_object(&self.choice.wanted.opening),
            closing: way_object(&self.choice.wanted.closing),
            surely: self.choice.surely.as_ref().map(|surely| SurelyObject::of(&surely.wanted, &surely.kept)),
            drives: self.choice.choosing.only.leaves(self.catalogue),
            belts: self.catalogue.belts.len(),
            does: does.into_iter().map(object).collect(),
            does_not: does_not.into_iter().map(object).collect(),
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }

    fn tried_object<'t>(&'t self, tried: &'t Tried) -> TriedObject<'t> {
        let drive: &Drive = self.drive(tried);
        let reason_object = |check: &Check| ReasonObject {
            bound: bound_label(&check.bound, &self.limits),
            words: reason(check, &self.limits, self.scenario.units),
            margin: finite(check.margin),
        };
        TriedObject {
            take: None,
            drive: &drive.name,
            belt: self.belt_name(tried),
            rated_power_w: drive.rated_power_w(),
            energy_per_cycle_j: tried.energy_j,
            cycles_run: tried.cycles,
            has_reserve: tried.has_reserve(),
            reason: tried.reason().map(reason_object),
            tightest: tried.tightest().map(|check| self.check_object(check)),
            checks: tried.checks.iter().map(|check| self.check_object(check)).collect(),
            advisory_over: &tried.advisory,
            settings: tried.parameters.as_deref().map_or(Vec::new(), |p| self.changed(p)),
        }
    }

    fn check_object(&self, check: &Check) -> CheckObject {
        let limit = match &check.bound {
            Bound::Limit(key) | Bound::Speed(key) => Some(key.clone()),
            _ => None,
        };
        CheckObject {
            bound: bound_label(&check.bound, &self.limits),
            limit,
            value: check.value,
            allowed: check.allowed,
            unit_si: si_unit(check.quantity),
            at_least: check.at_least,
            margin: finite(check.margin),
            reserve: check.reserve,
            known_by: match check.how {
                How::Formula => "formula",
                How::Cycle => "cycle",
            },
        }
    }

    /// Every number that is not what the door file has.
    fn changed(&self, p: &Parameters) -> Vec<SettingObject> {
        let before = self.door.given();
        let differs = FIELDS.iter().filter(|field| (field.get)(before) != (field.get)(p));
        let object = |field: &tautleaf_physics::Field<Parameters>| {
            let (key, unit_si) = (field.key, si_unit(field.quantity));
            (field.get)(p).map(|value| SettingObject { key, value, unit_si })
        };
        differs.filter_map(object).collect()
    }
}

fn way_object(way: &Way) -> WayObject {
    let (most_speed_m_per_s, most_speed_by) = way.most_speed.clone().unzip();
    WayObject {
        within_s: way.within_s,
        by_limit: way.by_limit,
        slowed_to_limits: way.slowed,
        most_speed_m_per_s,
        most_speed_by,
    }
}

fn finite(margin: f64) -> Option<f64> {
    Some(margin).filter(|margin| margin.is_finite())
}
