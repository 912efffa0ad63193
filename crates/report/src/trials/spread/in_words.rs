//! What a tolerance study found, in sentences and in the order of what matters.

use tautleaf_physics::Limit;
use tautleaf_trials::spread::{
    Findings, LimitFindings, Probability, Sampling, Statistics, Study, chance_correlation,
};

use super::super::probability::share_and_interval;
use crate::words;

/// Inputs that are named for a figure.
const MOST_NAMED: usize = 4;

/// Limits on a figure that some trial could judge.
pub fn judged_limits<'a>(
    study: &'a Study,
    found: &'a Findings,
) -> impl Iterator<Item = (&'a Limit, &'a LimitFindings)> {
    study.bench.criteria.limits.iter().zip(&found.limits).filter(|(_, found)| found.kept.of > 0)
}

/// How likely everything is kept: `Opens, closes and keeps every limit: 97.2 % of the runs; ...`. Limits that no run could judge are
/// counted beside it: they are in no such number.
pub fn all_kept(study: &Study, found: &Findings) -> String {
    let does = if study.door.timeline.power_lost_s.is_some() { "Loses power" } else { "Opens, closes" };
    let limits = study.bench.criteria.limits.iter().filter(|limit| limit.figure.is_some()).count();
    let judged = judged_limits(study, found).count();
    let what = match limits - judged {
        _ if judged == 0 => "Does what it is told; no limit was judged".to_owned(),
        0 => format!("{does} and keeps every limit"),
        1 => format!("{does} and keeps every limit that was judged; ONE WAS NOT"),
        n => format!("{does} and keeps every limit that was judged; {n} WERE NOT"),
    };
    format!("{what}: {}", likely(&found.keeps_all))
}

/// `97.2 % of the runs; with 95 % confidence 96.0 % to 98.1 %`.
fn likely(probability: &Probability) -> String {
    let [share, interval] = share_and_interval(probability);
    format!("{share} of the runs; with 95 % confidence {interval}")
}

/// An input that a figure depends on beyond chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Matters {
    /// Its place among the inputs.
    pub input: usize,
    /// Rank correlation.
    pub rank: Option<f64>,
    /// Share of the variance.
    pub share: Option<f64>,
}

/// The inputs that a figure depends on, most of all first.
pub fn what_matters(found: &Statistics) -> Vec<Matters> {
    let chance = chance_correlation(found.count);
    let mut inputs: Vec<(f64, Matters)> = (0..found.rank_correlations.len())
        .filter_map(|input| {
            let (rank, share) = (found.rank_correlations[input], found.first_order[input]);
            let (by_rank, by_share) = (rank.unwrap_or_default(), share.unwrap_or_default());
            (by_rank.abs() > chance || by_share > 0.05)
                .then_some((by_share.max(by_rank * by_rank), Matters { input, rank, share }))
        })
        .collect();
    inputs.sort_by(|a, b| b.0.total_cmp(&a.0));
    inputs.into_iter().take(MOST_NAMED).map(|(_, matters)| matters).collect()
}

/// A rank correlation with its sign: `+0.98`.
pub fn signed_rank(rank: f64) -> String {
    let text = words::decimals(rank, 2);
    if rank > 0.0 { format!("+{text}") } else { text }
}

/// What is to be known about what was found, a sentence each.
pub fn notes(study: &Study, found: &Findings) -> Vec<String> {
    let mut notes = Vec::new();
    let of = |count: u64| format!("{count} of {}", found.trials);
    if found.unfinished > 0 {
        notes.push(format!(
            "The door did not open and close in {} runs: what it keeps then says nothing, and counts as not kept.",
            of(found.unfinished)
        ));
    }
    if found.not_built > 0 {
        notes.push(format!(
            "{} draws make no door that can be built, and count as not kept: narrow the spreads.",
            of(found.not_built)
        ));
    }
    for (limit, found) in study.bench.criteria.limits.iter().zip(&found.limits) {
        if limit.figure.is_some() && found.kept.of == 0 {
            notes.push(format!("{} was judged in no run.", words::limit_label(limit)));
        } else if found.kept.of > 0 && found.not_judged > 0 {
            let label = words::limit_label(limit);
            notes.push(format!(
                "{label} was not judged in {} runs; they count as not kept.",
                of(found.not_judged)
            ));
        }
    }
    if study.sampling == Sampling::Sobol {
        notes.push(
            "Sobol' draws fill the space evenly, so that the probabilities are as a rule surer than the intervals say, \
             which are those of random draws."
                .to_owned(),
        );
    }
    notes.push(
        "The probability is that of a door whose numbers spread so, each by itself: what spreads by default is \
         judgement, and [[spread]] in the door file puts what is known in its place."
            .to_owned(),
    );
    notes
}
