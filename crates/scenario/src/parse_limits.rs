//! The section `[limits]` of a door file.

use tautleaf_physics::{Judge, Limit, Quantity};
use toml_edit::{Item, TableLike};

use crate::limit_keys::{LIMIT_KEYS, LimitKey, limit_key};
use crate::parse_rule::{MOST_GAPS, list, rule};
use crate::presets;
use crate::reading::{Entry, Reading, described, nearest};
use crate::scenario::LimitSettings;
use crate::units::{self, quoted};

/// Widest gap of the force test, m: a pair with the longest possible strokes.
pub const WIDEST_GAP_M: f64 = 40.0;
const JUDGES: &[(&str, Judge)] = &[("limit", Judge::Limit), ("advisory", Judge::Advisory)];

/// Reads the whole section.
pub(crate) fn limits(reading: &mut Reading<'_>, entry: Entry<'_>, settings: &mut LimitSettings) {
    let Some(table) = reading.table("limits", entry) else { return };
    for entry in reading.entries(table) {
        let key = format!("limits.{}", entry.name);
        reading.lines.insert(key.clone(), entry.line);
        match entry.name {
            "presets" => settings.presets = preset_names(reading, entry),
            "close_margin" => {
                if let Some((margin, _)) = reading.quantity(&key, entry.line, entry.item, Quantity::Number) {
                    if (0.0..=1.0).contains(&margin) {
                        settings.close_margin = margin;
                    } else {
                        let found = format!("{margin} is not possible");
                        reading.wrong(entry.line, &key, found, "write a fraction from 0 to 1, such as 0.1");
                    }
                }
            }
            "gaps" => settings.gaps_m = Some(gaps(reading, entry)),
            name => match limit_key(name) {
                Some(limit) => settings.own.extend(own(reading, &key, limit, entry)),
                None => {
                    let known = ["presets", "close_margin", "gaps"].into_iter();
                    let known = known.chain(LIMIT_KEYS.iter().map(|limit| limit.key));
                    reading.unknown("limits", entry, known, std::iter::empty());
                }
            },
        }
    }
}

fn preset_names(reading: &mut Reading<'_>, entry: Entry<'_>) -> Vec<String> {
    const KEY: &str = "limits.presets";
    let mut names: Vec<String> = Vec::new();
    let known = || presets::presets().iter().map(|preset| preset.name.as_str());
    for (line, value) in list(reading, KEY, entry, "[\"low-energy-sliding-eu\"]") {
        let Some(name) = value.as_str() else {
            reading.wrong(
                line,
                KEY,
                format!("found {}", value.to_string().trim()),
                "write its name in quotes",
            );
            continue;
        };
        if presets::preset(name).is_none() {
            let would_do = match nearest(name, known()) {
                Some(nearest) => format!("did you mean \"{nearest}\"?"),
                None => format!("there are {}", known().collect::<Vec<_>>().join(", ")),
            };
            reading.wrong(line, KEY, format!("there is no preset {}", quoted(name)), would_do);
        } else if names.iter().any(|earlier| earlier == name) {
            reading.wrong(line, KEY, format!("{} is listed twice", quoted(name)), "list it once");
        } else {
            names.push(name.to_owned());
        }
    }
    names
}

fn gaps(reading: &mut Reading<'_>, entry: Entry<'_>) -> Vec<f64> {
    const KEY: &str = "limits.gaps";
    let values = list(reading, KEY, entry, "[\"50 mm\", \"300 mm\", \"500 mm\"]");
    if values.len() > MOST_GAPS {
        let found = format!("{} gaps are too many", values.len());
        reading.wrong(entry.line, KEY, found, format!("at most {MOST_GAPS}"));
        return Vec::new();
    }
    let mut gaps = Vec::new();
    for (line, value) in values {
        let item = Item::Value(value.clone());
        let Some((gap, _)) = reading.quantity(KEY, line, &item, Quantity::ShortLength) else { continue };
        if gap > 0.0 && gap <= WIDEST_GAP_M {
            gaps.push(gap);
        } else {
            let found = format!("{} is not possible", described(&item));
            reading.wrong(line, KEY, found, "a gap is wider than nothing and at most 40 m");
        }
    }
    gaps
}

/// One limit: a value, a list of bands, or a section with either and what becomes of it.
fn own(reading: &mut Reading<'_>, key: &str, limit: &LimitKey, entry: Entry<'_>) -> Option<Limit> {
    if let Some(table) = entry.item.as_table_like() {
        return own_table(reading, key, limit, entry, table);
    }
    let (rule, unit) = rule(reading, key, limit, entry)?;
    Some(limit.with_rule(rule, unit, Judge::Limit))
}

fn own_table(
    reading: &mut Reading<'_>,
    key: &str,
    limit: &LimitKey,
    entry: Entry<'_>,
    table: &dyn TableLike,
) -> Option<Limit> {
    let (mut judge, mut shown_in, mut ruled, mut given) = (Judge::Limit, None, None, false);
    for inner in reading.entries(table) {
        match inner.name {
            "value" | "bands" => {
                if std::mem::replace(&mut given, true) {
                    reading.wrong(inner.line, key, "found both value and bands", "write one of them");
                }
                ruled = rule(reading, key, limit, inner);
            }
            "judge" => judge = reading.choice(&format!("{key}.judge"), inner, JUDGES).unwrap_or(judge),
            "shown_in" => {
                let text = reading.text(&format!("{key}.shown_in"), inner)?;
                shown_in = units::symbols(limit.quantity()).find(|&symbol| symbol == text);
                if shown_in.is_none() {
                    let symbols: Vec<_> = units::symbols(limit.quantity()).collect();
                    let found = format!("{} is no unit of it", quoted(&text));
                    reading.wrong(inner.line, key, found, format!("write one of {}", symbols.join(", ")));
                }
            }
            _ => reading.unknown(
                key,
                inner,
                ["value", "bands", "judge", "shown_in"].into_iter(),
                std::iter::empty(),
            ),
        }
    }
    if !given {
        reading.wrong(
            entry.line,
            key,
            "has no value",
            format!("write value = ...: {}", units::advice(limit.quantity())),
        );
    }
    let (rule, unit) = ruled?;
    Some(limit.with_rule(rule, shown_in.unwrap_or(unit), judge))
}
