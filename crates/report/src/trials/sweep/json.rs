//! A sweep as one JSON object, SI throughout.

use std::collections::BTreeMap;

use serde::Serialize;
use tautleaf_scenario::{CAUTIONS, units};
use tautleaf_trials::{figures_of, names_of};

use super::SweepReport;
use crate::json::{WarningObject, warnings};
use crate::rows::ended;
use crate::{PROGRAM, RESULT_SCHEMA, VERSION, words};

impl SweepReport<'_> {
    /// As one JSON object: the axes, the limits, and what each combination gave.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let bench = &self.sweep.bench;
        let names = names_of(&bench.criteria.limits);
        let figures = figures_of(bench);
        let point = |row: &tautleaf_trials::Row| PointObject {
            values: row.values.clone(),
            ended: ended(row.trial.ended),
            figures: figures.iter().map(|&figure| (figure.name(), row.trial.get(figure))).collect(),
            limits: names
                .iter()
                .zip(&row.trial.judged)
                .map(|(name, judged)| {
                    (name.clone(), JudgedObject { kept: judged.kept, margin: judged.margin })
                })
                .collect(),
        };
        serde_json::to_string_pretty(&SweepObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            file: &self.scenario.origin.file,
            title: &self.scenario.title,
            axes: self
                .sweep
                .axes
                .iter()
                .map(|axis| AxisObject {
                    key: axis.settable.key(),
                    unit_si: units::base_unit(axis.settable.quantity()),
                    says: axis.settable.says(),
                    values: axis.values.clone(),
                })
                .collect(),
            limits: names
                .iter()
                .zip(&bench.criteria.limits)
                .map(|(name, limit)| LimitObject {
                    name,
                    figure: limit.figure.map(|figure| figure.name()),
                    asks: words::asks(limit),
                    judge: words::judge(limit.judge),
                    source: &limit.source,
                })
                .collect(),
            runs_wanted: self.sweep.trials(),
            points: self.rows.iter().map(point).collect(),
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }
}

#[derive(Serialize)]
struct SweepObject<'a> {
    schema: u32,
    program: &'a str,
    version: &'a str,
    file: &'a str,
    title: &'a str,
    axes: Vec<AxisObject>,
    limits: Vec<LimitObject<'a>>,
    runs_wanted: u64,
    points: Vec<PointObject>,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct AxisObject {
    key: String,
    unit_si: &'static str,
    says: &'static str,
    values: Vec<f64>,
}

#[derive(Serialize)]
struct LimitObject<'a> {
    name: &'a str,
    figure: Option<&'static str>,
    asks: String,
    judge: &'static str,
    source: &'a str,
}

#[derive(Serialize)]
struct PointObject {
    values: Vec<f64>,
    ended: &'static str,
    figures: BTreeMap<&'static str, Option<f64>>,
    limits: BTreeMap<String, JudgedObject>,
}

#[derive(Serialize)]
struct JudgedObject {
    kept: Option<bool>,
    margin: Option<f64>,
}
