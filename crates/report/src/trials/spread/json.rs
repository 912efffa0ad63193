//! A tolerance study as one JSON object, SI throughout.

use serde::Serialize;
use tautleaf_scenario::{CAUTIONS, units};
use tautleaf_trials::names_of;
use tautleaf_trials::spread::{PERCENTILES, Shape, Statistics};

use super::super::probability::ProbabilityObject;
use super::{SpreadReport, shape_in_words};
use crate::json::{WarningObject, warnings};
use crate::{PROGRAM, RESULT_SCHEMA, VERSION, words};

impl SpreadReport<'_> {
    /// As one JSON object: seed and version, what spreads, probabilities, figures, convergence.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let names = names_of(&self.study.bench.criteria.limits);
        let found = &self.findings;
        let limits = self.study.bench.criteria.limits.iter().zip(&found.limits).zip(&names);
        serde_json::to_string_pretty(&SpreadObject {
            schema: RESULT_SCHEMA,
            program: PROGRAM,
            version: VERSION,
            file: &self.scenario.origin.file,
            title: &self.scenario.title,
            seed: self.study.seed,
            sampling: self.study.sampling.word(),
            runs_wanted: self.wanted,
            runs: found.trials,
            unfinished: found.unfinished,
            not_built: found.not_built,
            keeps_all: ProbabilityObject::of(&found.keeps_all),
            limits: limits
                .map(|((limit, found), name)| LimitObject {
                    name,
                    key: &limit.key,
                    preset: limit.preset.as_deref(),
                    figure: limit.figure.map(|figure| figure.name()),
                    asks: words::asks(limit),
                    judge: words::judge(limit.judge),
                    source: &limit.source,
                    kept: ProbabilityObject::of(&found.kept),
                    over: found.over,
                    not_judged: found.not_judged,
                    margin: found.margin.as_ref().map(|margin| self.statistics(margin)),
                })
                .collect(),
            figures: found
                .figures
                .iter()
                .map(|(figure, statistics)| FigureObject {
                    figure: figure.name(),
                    label: figure.label(),
                    statistics: self.statistics(statistics),
                })
                .collect(),
            convergence: found
                .convergence
                .iter()
                .map(|at| CheckpointObject {
                    runs: at.trials,
                    keeps_all: ProbabilityObject::of(&at.keeps_all),
                    limits: at.limits.iter().map(ProbabilityObject::of).collect(),
                })
                .collect(),
            inputs: self.inputs_object(),
            confidence: 0.95,
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }

    fn inputs_object(&self) -> Vec<InputObject<'_>> {
        let one = |input: &tautleaf_trials::spread::Input| {
            let distribution = &input.distribution;
            let (least, most) = distribution.truncation();
            InputObject {
                key: input.settable.key(),
                unit_si: units::base_unit(input.settable.quantity()),
                nominal: input.nominal,
                shape: match distribution.shape() {
                    Shape::Uniform { .. } => "uniform",
                    Shape::Triangular { .. } => "triangular",
                    Shape::Normal { .. } => "normal",
                },
                values: match distribution.shape() {
                    Shape::Uniform { from, to } => vec![("from", from), ("to", to)],
                    Shape::Triangular { from, peak, to } => vec![("from", from), ("peak", peak), ("to", to)],
                    Shape::Normal { mean, deviation } => vec![("mean", mean), ("deviation", deviation)],
                }
                .into_iter()
                .collect(),
                least: Some(least).filter(|least| least.is_finite()),
                most: Some(most).filter(|most| most.is_finite()),
                says: shape_in_words(input, self.scenario.units),
                by_default: input.by_default,
                source: input.source,
            }
        };
        self.study.inputs.iter().map(one).collect()
    }

    fn statistics(&self, found: &Statistics) -> StatisticsObject {
        let keyed = |of: &[Option<f64>]| -> std::collections::BTreeMap<String, Option<f64>> {
            self.study.inputs.iter().zip(of).map(|(input, value)| (input.settable.key(), *value)).collect()
        };
        StatisticsObject {
            count: found.count,
            mean: found.mean,
            deviation: found.deviation,
            least: found.least,
            greatest: found.greatest,
            percentiles: PERCENTILES
                .iter()
                .zip(found.percentiles)
                .map(|(&share, value)| PercentileObject { share, value })
                .collect(),
            histogram: found.histogram.clone(),
            rank_correlation: keyed(&found.rank_correlations),
            first_order: keyed(&found.first_order),
        }
    }
}

#[derive(Serialize)]
struct SpreadObject<'a> {
    schema: u32,
    program: &'a str,
    version: &'a str,
    file: &'a str,
    title: &'a str,
    seed: u64,
    sampling: &'a str,
    runs_wanted: u64,
    runs: u64,
    unfinished: u64,
    not_built: u64,
    keeps_all: ProbabilityObject,
    limits: Vec<LimitObject<'a>>,
    figures: Vec<FigureObject<'a>>,
    convergence: Vec<CheckpointObject>,
    inputs: Vec<InputObject<'a>>,
    confidence: f64,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct LimitObject<'a> {
    name: &'a str,
    key: &'a str,
    preset: Option<&'a str>,
    figure: Option<&'static str>,
    asks: String,
    judge: &'static str,
    source: &'a str,
    kept: ProbabilityObject,
    over: u64,
    not_judged: u64,
    margin: Option<StatisticsObject>,
}

#[derive(Serialize)]
struct FigureObject<'a> {
    figure: &'a str,
    label: &'a str,
    #[serde(flatten)]
    statistics: StatisticsObject,
}

#[derive(Serialize)]
struct StatisticsObject {
    count: u64,
    mean: f64,
    deviation: f64,
    least: f64,
    greatest: f64,
    percentiles: Vec<PercentileObject>,
    histogram: Vec<u64>,
    rank_correlation: std::collections::BTreeMap<String, Option<f64>>,
    first_order: std::collections::BTreeMap<String, Option<f64>>,
}

#[derive(Serialize)]
struct PercentileObject {
    share: f64,
    value: f64,
}

#[derive(Serialize)]
struct CheckpointObject {
    runs: u64,
    keeps_all: ProbabilityObject,
    limits: Vec<ProbabilityObject>,
}

#[derive(Serialize)]
struct InputObject<'a> {
    key: String,
    unit_si: &'static str,
    nominal: Option<f64>,
    shape: &'static str,
    values: std::collections::BTreeMap<&'static str, f64>,
    least: Option<f64>,
    most: Option<f64>,
    says: String,
    by_default: bool,
    source: &'a str,
}
