//! The section `[limits]` of a door file.

use tautleaf_physics::{Band, Judge, Limit, Quantity, Rule};
use toml_edit::{Item, TableLike, Value};

use crate::limit_keys::{Bound, LIMIT_KEYS, LimitKey, limit_key};
use crate::presets;
use crate::reading::{Entry, Reading, described, nearest};
use crate::scenario::LimitSettings;
use crate::units::{self, quoted};

/// Most gaps of the force test, and most bands of one limit.
pub const MOST_GAPS: usize = 20;
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

/// The entries of a list of values.
fn list<'t>(
    reading: &mut Reading<'_>,
    key: &str,
    entry: Entry<'t>,
    example: &str,
) -> Vec<(usize, &'t Value)> {
    let Some(list) = entry.item.as_array() else {
        let found = format!("found {}", described(entry.item));
        reading.wrong(entry.line, key, found, format!("write a list such as {example}"));
        return Vec::new();
    };
    list.iter().map(|value| (reading.line_at(value.span()), value)).collect()
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

/// A value or a list of bands as a rule, with the unit written.
pub(crate) fn rule(
    reading: &mut Reading<'_>,
    key: &str,
    limit: &LimitKey,
    entry: Entry<'_>,
) -> Option<(Rule, &'static str)> {
    if entry.item.is_array() {
        return bands(reading, key, limit, entry);
    }
    let (value, unit) = not_negative(reading, key, entry.line, entry.item, limit.quantity())?;
    let rule = match limit.bound {
        Bound::Most => Rule::AtMost(value),
        Bound::Least => Rule::AtLeast(value),
    };
    Some((rule, unit))
}

fn not_negative(
    reading: &mut Reading<'_>,
    key: &str,
    line: usize,
    item: &Item,
    quantity: Quantity,
) -> Option<(f64, &'static str)> {
    let (value, unit) = reading.quantity(key, line, item, quantity)?;
    // 0 C is no less than nothing
    if value < 0.0 && quantity != Quantity::Temperature {
        reading.wrong(line, key, format!("{} is below zero", described(item)), units::advice(quantity));
        return None;
    }
    Some((value, unit))
}

/// `[{ above = "0 mm", to = "200 mm", max = "400 N" }, ...]`: the first band that a gap lies in counts.
fn bands(
    reading: &mut Reading<'_>,
    key: &str,
    limit: &LimitKey,
    entry: Entry<'_>,
) -> Option<(Rule, &'static str)> {
    const EXAMPLE: &str = "[{ to = \"200 mm\", max = \"400 N\" }, { max = \"700 N\" }]";
    if !limit.by_gap {
        let found = "found a list, but this does not differ from gap to gap";
        reading.wrong(entry.line, key, found, units::advice(limit.quantity()));
        return None;
    }
    let before = reading.problems.len();
    let (mut bands, mut unit) = (Vec::new(), None);
    for (line, value) in list(reading, key, entry, EXAMPLE) {
        let Some(table) = value.as_inline_table() else {
            let found = format!("found {}", value.to_string().trim());
            reading.wrong(line, key, found, format!("write bands such as {EXAMPLE}"));
            continue;
        };
        let (mut above_m, mut to_m, mut at_most) = (0.0, f64::INFINITY, None);
        for inner in reading.entries(table) {
            let gap = |reading: &mut Reading<'_>| {
                not_negative(reading, key, inner.line, inner.item, Quantity::ShortLength).map(|(gap, _)| gap)
            };
            match inner.name {
                "above" => above_m = gap(reading).unwrap_or(above_m),
                "to" => to_m = gap(reading).unwrap_or(to_m),
                "max" => {
                    let read = not_negative(reading, key, inner.line, inner.item, limit.quantity());
                    at_most = read.map(|(value, written)| {
                        unit.get_or_insert(written);
                        value
                    });
                    at_most.get_or_insert(0.0); // said what is wrong with it
                }
                _ => reading.unknown(key, inner, ["above", "to", "max"].into_iter(), std::iter::empty()),
            }
        }
        if to_m <= above_m {
            reading.wrong(line, key, "a band ends before it begins", "write the wider gap at \"to\"");
        }
        match at_most {
            Some(at_most) => bands.push(Band { above_m, to_m, at_most }),
            None => reading.wrong(line, key, "a band has no max", format!("write bands such as {EXAMPLE}")),
        }
    }
    if bands.is_empty() && reading.problems.len() == before {
        reading.wrong(entry.line, key, "there is no band", format!("write bands such as {EXAMPLE}"));
    }
    if bands.len() > MOST_GAPS {
        let found = format!("{} bands are too many", bands.len());
        reading.wrong(entry.line, key, found, format!("at most {MOST_GAPS}"));
    }
    (reading.problems.len() == before).then(|| (Rule::AtMostByGap(bands), unit.unwrap_or("N")))
}
