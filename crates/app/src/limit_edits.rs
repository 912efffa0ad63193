//! Changes of what a door is judged by. What a preset says is not ours to change: a limit of the user takes its place.

use tautleaf_physics::{Band, Judge, Limit, Rule};
use tautleaf_scenario::{LimitKey, Scenario, limit_key, limits_of, units};

use crate::document::Document;

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub enum LimitEdit {
    /// Judges by a preset, or no longer.
    Preset(String, bool),
    /// Sets the limit with this key, SI.
    Value {
        /// Its key: `closing_speed_max`.
        key: String,
        /// The new value.
        value: f64,
        /// Whether it comes from a drag that is still going on.
        dragging: bool,
    },
    /// Sets a limit that differs from gap to gap of the force test.
    Bands {
        /// Its key: `impact_force_max`.
        key: String,
        /// Its bands, joined from the narrowest gap to the widest.
        bands: Vec<Band>,
        /// Whether it comes from a drag that is still going on.
        dragging: bool,
    },
    /// Whether going over it fails the door.
    Judged(String, Judge),
    /// Takes the user's limit away. That of a preset counts again.
    Remove(String),
    /// From which margin on a figure counts as close, a fraction of what is allowed.
    CloseMargin(f64),
    /// Gaps of the force test, m.
    Gaps(Option<Vec<f64>>),
}

/// Carries one out, as one step to undo. What no file could hold changes nothing.
pub fn edit(document: &mut Document, edit: LimitEdit) {
    match edit {
        LimitEdit::Preset(name, on) => document.edit("Preset of limits", None, |scenario| {
            let presets = &mut scenario.limits.presets;
            presets.retain(|other| *other != name);
            presets.extend(on.then_some(name));
        }),
        LimitEdit::Value { key, value, dragging } => {
            let Some(entry) = limit_key(&key).filter(|entry| is_possible(entry, value)) else { return };
            let gesture = dragging.then_some(entry.key);
            set(document, entry, gesture, |unit, judge| entry.set_to(value, unit, judge));
        }
        LimitEdit::Bands { key, bands, dragging } => {
            let Some(entry) = limit_key(&key).filter(|entry| entry.by_gap && !bands.is_empty()) else {
                return;
            };
            let gesture = dragging.then_some(entry.key);
            set(document, entry, gesture, |unit, judge| Limit {
                rule: Rule::AtMostByGap(bands),
                ..entry.set_to(0.0, unit, judge)
            });
        }
        LimitEdit::Judged(key, judge) => own(document, &key, |limit| limit.judge = judge),
        LimitEdit::Remove(key) => {
            let Some(entry) = limit_key(&key) else { return };
            let name = format!("No limit on {}", entry.figure.label().to_lowercase());
            document.edit(&name, None, |scenario| scenario.limits.own.retain(|limit| limit.key != key));
        }
        LimitEdit::CloseMargin(margin) => document.edit("Margin that counts as close", None, |scenario| {
            scenario.limits.close_margin = margin.clamp(0.0, 1.0);
        }),
        LimitEdit::Gaps(gaps) => {
            document.edit("Gaps of the force test", None, |scenario| scenario.limits.gaps_m = gaps);
        }
    }
}

/// Whether a file can hold it: below zero only a temperature has a meaning.
pub fn is_possible(entry: &LimitKey, value: f64) -> bool {
    value.is_finite() && least_of(entry) <= value
}

/// Least value of a limit, SI.
pub fn least_of(entry: &LimitKey) -> f64 {
    if entry.quantity() == tautleaf_physics::Quantity::Temperature { -273.15 } else { 0.0 }
}

/// Puts the user's limit in the place of what stood for it, in its unit and judged as sternly.
fn set(
    document: &mut Document,
    entry: &LimitKey,
    gesture: Option<&str>,
    new: impl FnOnce(&str, Judge) -> Limit,
) {
    let scenario = document.scenario();
    let earlier = limits_of(scenario).into_iter().find(|limit| limit.key == entry.key);
    let judge = earlier.as_ref().map_or(Judge::Limit, |limit| limit.judge);
    let own = earlier.filter(|limit| limit.preset.is_none());
    let unit = own.map_or_else(|| units::unit(entry.quantity(), scenario.units).to_owned(), |own| own.unit);
    let new = new(&unit, judge);
    document.edit(&name(entry), gesture, |scenario: &mut Scenario| {
        let own = &mut scenario.limits.own;
        match own.iter_mut().find(|limit| limit.key == new.key) {
            Some(limit) => *limit = new,
            None => own.push(new),
        }
    });
}

fn own(document: &mut Document, key: &str, change: impl FnOnce(&mut Limit)) {
    let Some(entry) = limit_key(key) else { return };
    document.edit(&name(entry), None, |scenario| {
        if let Some(limit) = scenario.limits.own.iter_mut().find(|limit| limit.key == key) {
            change(limit);
        }
    });
}

fn name(entry: &LimitKey) -> String {
    format!("Limit on {}", entry.figure.label().to_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    const STALL: &str = "stall_force_max";

    fn document() -> Document {
        Document::new(Scenario::default(), None)
    }

    fn stall(document: &Document) -> Option<Limit> {
        limits_of(document.scenario()).into_iter().find(|limit| limit.key == STALL)
    }

    fn value(key: &str, value: f64) -> LimitEdit {
        LimitEdit::Value { key: key.to_owned(), value, dragging: false }
    }

    #[test]
    fn ones_own_limit_takes_the_place_of_a_presets_and_gives_it_back() {
        let mut document = document();
        let preset = "low-energy-sliding-eu".to_owned();
        edit(&mut document, LimitEdit::Preset(preset.clone(), true));
        let published = stall(&document).expect("in the preset");
        edit(&mut document, value(STALL, 50.0));
        let own = stall(&document).expect("set");
        assert_eq!((own.rule, own.preset, own.judge), (Rule::AtMost(50.0), None, published.judge));
        edit(&mut document, LimitEdit::Remove(STALL.to_owned()));
        assert_eq!(stall(&document), Some(published));
        edit(&mut document, LimitEdit::Preset(preset, false));
        assert_eq!(stall(&document), None);
    }

    #[test]
    fn a_band_that_is_dragged_is_one_step() {
        let mut document = document();
        let dragged = |document: &mut Document, at_most: f64| {
            let bands = vec![Band { above_m: 0.0, to_m: f64::INFINITY, at_most }];
            let key = "impact_force_max".to_owned();
            edit(document, LimitEdit::Bands { key, bands, dragging: true });
        };
        for at_most in [400.0, 410.0, 425.0] {
            dragged(&mut document, at_most);
        }
        document.undo();
        assert_eq!((document.scenario().limits.own.len(), document.undoable()), (0, None));
    }

    #[test]
    fn below_zero_only_a_temperature_is_possible() {
        let mut document = document();
        edit(&mut document, value(STALL, -1.0));
        edit(&mut document, value(STALL, f64::NAN));
        assert_eq!(document.undoable(), None);
        edit(&mut document, value("winding_temperature_max", -5.0));
        edit(&mut document, value("slack_time_max", 0.0));
        assert_eq!(document.scenario().limits.own.len(), 2);
    }

    #[test]
    fn what_is_set_here_is_read_back_from_a_file() {
        let mut document = document();
        let bands = vec![
            Band { above_m: 0.0, to_m: 0.2, at_most: 400.0 },
            Band { above_m: 0.2, to_m: f64::INFINITY, at_most: 700.0 },
        ];
        edit(&mut document, LimitEdit::Bands { key: "impact_force_max".to_owned(), bands, dragging: false });
        edit(&mut document, value(STALL, 67.0));
        edit(&mut document, LimitEdit::Judged(STALL.to_owned(), Judge::Advisory));
        edit(&mut document, LimitEdit::CloseMargin(0.2));
        edit(&mut document, LimitEdit::Gaps(Some(vec![0.05, 0.4])));
        edit(&mut document, LimitEdit::Preset("powered-sliding-us".to_owned(), true));
        let text = tautleaf_scenario::to_text(document.scenario());
        let back = tautleaf_scenario::parse(&text, "door.toml").expect("a door file");
        let own = |scenario: &Scenario| {
            let mut own = scenario.limits.own.clone();
            own.sort_by(|a, b| a.key.cmp(&b.key));
            own
        };
        assert_eq!(own(&back), own(document.scenario()));
        let settings = |scenario: &Scenario| {
            let limits = &scenario.limits;
            (limits.presets.clone(), limits.close_margin, limits.gaps_m.clone())
        };
        assert_eq!(settings(&back), settings(document.scenario()));
    }
}
