//! A limit that differs from gap to gap of the force test.

use eframe::egui::{RichText, Ui};
use tautleaf_physics::{Band, Quantity};
use tautleaf_scenario::LimitKey;

use super::own::NAME;
use super::refuse;
use crate::action::Action;
use crate::context::ViewContext;
use crate::limit_edits::LimitEdit;
use crate::widgets::{Icon, QuantityField, icon_button, link, quantity_field};

/// Widest gap of the force test, m: as in a door file.
const WIDEST_M: f64 = 40.0;
/// Where a further band begins if the last one had no end, m.
const FIRST_END_M: f64 = 0.5;

/// Draws its bands, one row each: up to which gap, and the most there.
pub(super) fn bands_ui(ui: &mut Ui, ctx: &ViewContext<'_>, entry: &LimitKey, bands: &[Band]) {
    let send = |bands: Vec<Band>| {
        ctx.send(Action::EditLimits(LimitEdit::Bands(entry.key.to_owned(), bands)));
    };
    for (n, band) in bands.iter().enumerate() {
        ui.horizontal(|ui| {
            let quiet = |text: &str| RichText::new(text).small().color(ctx.palette.soft);
            ui.add_space(NAME);
            if let Some(at_most) =
                value(ui, ctx, &format!("Most of band {}", n + 1), entry.quantity(), band.at_most)
            {
                send(with(bands, n, Band { at_most, ..*band }));
            }
            if band.to_m.is_finite() {
                ui.label(quiet("at gaps up to"));
                let end = value(ui, ctx, &format!("End of band {}", n + 1), Quantity::ShortLength, band.to_m);
                if let Some(to_m) = end {
                    send(ended(bands, n, to_m.clamp(band.above_m + 0.001, WIDEST_M)));
                }
            } else {
                ui.label(quiet(if bands.len() == 1 { "at every gap" } else { "at every wider gap" }));
            }
            if bands.len() > 1
                && icon_button(ui, Icon::Clear, &format!("Take away band {}", n + 1), 18.0).clicked()
            {
                send(without(bands, n));
            }
        });
    }
    ui.horizontal(|ui| {
        ui.add_space(NAME);
        if link(ui, "+ band", ctx.palette).accessible_name("Add a band of gaps").clicked() {
            send(parted(bands));
        }
    });
}

fn value(ui: &mut Ui, ctx: &ViewContext<'_>, name: &str, quantity: Quantity, value: f64) -> Option<f64> {
    let possible = (0.0, f64::INFINITY);
    let field = QuantityField { name, quantity, value, possible, per_point: 1.0 };
    let typed = quantity_field(ui, &field, ctx.units());
    if let Some(problem) = typed.refused {
        refuse(ui, problem);
    }
    typed.value
}

fn with(bands: &[Band], n: usize, band: Band) -> Vec<Band> {
    bands.iter().enumerate().map(|(at, old)| if at == n { band } else { *old }).collect()
}

/// The band `n` ends at `to_m`, and the next one begins there.
fn ended(bands: &[Band], n: usize, to_m: f64) -> Vec<Band> {
    let mut bands = bands.to_vec();
    bands[n].to_m = to_m;
    if let Some(next) = bands.get_mut(n + 1) {
        next.above_m = to_m;
        next.to_m = next.to_m.max(to_m + 0.001);
    }
    bands
}

/// Without the band `n`; its neighbour takes its gaps.
fn without(bands: &[Band], n: usize) -> Vec<Band> {
    let mut bands = bands.to_vec();
    let gone = bands.remove(n);
    match n.checked_sub(1) {
        Some(before) => bands[before].to_m = gone.to_m,
        None => bands[0].above_m = gone.above_m,
    }
    bands
}

/// The last band in two.
fn parted(bands: &[Band]) -> Vec<Band> {
    let mut bands = bands.to_vec();
    let Some(last) = bands.last_mut() else { return bands };
    let end_m = last.to_m;
    let middle = if end_m.is_finite() { (last.above_m + end_m) / 2.0 } else { last.above_m + FIRST_END_M };
    last.to_m = middle;
    let next = Band { above_m: middle, to_m: end_m, ..*last };
    bands.push(next);
    bands
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_whole(bands: &[Band]) -> bool {
        let joined =
            bands.windows(2).all(|two| two[0].to_m == two[1].above_m && two[0].above_m < two[0].to_m);
        joined && bands[0].above_m == 0.0 && bands[bands.len() - 1].to_m.is_infinite()
    }

    #[test]
    fn bands_stay_joined_whatever_is_done_to_them() {
        let one = vec![Band { above_m: 0.0, to_m: f64::INFINITY, at_most: 400.0 }];
        let three = parted(&parted(&one));
        assert_eq!(three.len(), 3);
        assert!(is_whole(&three), "{three:?}");
        assert!(is_whole(&ended(&three, 0, 0.8)));
        for n in 0..3 {
            assert!(is_whole(&without(&three, n)), "{n}");
        }
        assert!(is_whole(&without(&without(&three, 2), 0)));
    }
}
