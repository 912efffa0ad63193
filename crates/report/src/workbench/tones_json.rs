//! `tautleaf tones --json`.

use serde::Serialize;
use tautleaf_physics::workbench::{Meeting, SWINGS_TO_SING, TONE_DAMPING};
use tautleaf_scenario::CAUTIONS;

use super::tones::TonesReport;
use crate::RESULT_SCHEMA;
use crate::json::{WarningObject, warnings};
use crate::tone_words::maker_in_words;

#[derive(Serialize)]
struct TonesObject<'a> {
    schema: u32,
    title: &'a str,
    tension_n: f64,
    within_share: f64,
    swings_to_sing: f64,
    sources: Vec<SourceObject>,
    answers: Vec<AnswerObject>,
    meetings: Vec<MeetingObject>,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct SourceObject {
    name: &'static str,
    swings_per_m: f64,
    opening_hz: f64,
    closing_hz: f64,
}

#[derive(Serialize)]
struct AnswerObject {
    name: String,
    closed_hz: f64,
    open_hz: f64,
}

#[derive(Serialize)]
struct MeetingObject {
    source: &'static str,
    answer: String,
    way: &'static str,
    from_m: f64,
    to_m: f64,
    at_m: f64,
    speed_m_per_s: f64,
    tone_hz: f64,
    swings: f64,
    sings: bool,
}

impl TonesReport<'_> {
    /// As one JSON object, SI units in the names.
    ///
    /// # Errors
    /// None that a result of this program can cause: what `serde_json` says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let p = self.door.parameters();
        let sources = self.tones.sources.iter().map(|source| SourceObject {
            name: maker_in_words(source.maker),
            swings_per_m: source.per_m,
            opening_hz: source.per_m * p.opening.speed_m_per_s,
            closing_hz: source.per_m * p.closing.speed_m_per_s,
        });
        let answers = self.tones.answers.iter().map(|answering| AnswerObject {
            name: self.answer_in_words(answering.answer),
            closed_hz: answering.closed_hz,
            open_hz: answering.open_hz,
        });
        let meeting = |met: &Meeting| MeetingObject {
            source: maker_in_words(met.source.maker),
            answer: self.answer_in_words(met.answer),
            way: if met.opening { "opening" } else { "closing" },
            from_m: met.stretch_m.0,
            to_m: met.stretch_m.1,
            at_m: met.at_m,
            speed_m_per_s: met.speed_m_per_s,
            tone_hz: met.tone_hz,
            swings: met.swings,
            sings: met.sings(),
        };
        serde_json::to_string_pretty(&TonesObject {
            schema: RESULT_SCHEMA,
            title: &self.scenario.title,
            tension_n: p.belt.tension_n,
            within_share: TONE_DAMPING,
            swings_to_sing: SWINGS_TO_SING,
            sources: sources.collect(),
            answers: answers.collect(),
            meetings: self.tones.meetings.iter().map(meeting).collect(),
            warnings: warnings(&self.warnings),
            cautions: CAUTIONS,
        })
    }
}
