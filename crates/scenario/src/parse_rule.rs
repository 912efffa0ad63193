//! What a limit allows, as it is written: a value, or a list of bands.

use tautleaf_physics::{Band, Quantity, Rule};
use toml_edit::{Item, Value};

use crate::limit_keys::{Bound, LimitKey};
use crate::reading::{Entry, Reading, described};
use crate::units;

/// Most gaps of the force test, and most bands of one limit.
pub const MOST_GAPS: usize = 20;

/// The entries of a list of values.
pub(crate) fn list<'t>(
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
