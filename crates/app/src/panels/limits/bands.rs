//! A limit that differs from gap to gap of the force test.

use eframe::egui::{RichText, Ui};
use tautleaf_physics::{Band, Quantity};
use tautleaf_scenario::{LimitKey, MOST_GAPS, WIDEST_GAP_M};

use super::rows::{NAME, refuse};
use crate::action::Action;
use crate::context::ViewContext;
use crate::limit_edits::LimitEdit;
use crate::widgets::{Icon, QuantityField, icon_button, link, quantity_field};

/// Narrowest band, m.
const NARROWEST_M: f64 = 0.001;
/// Where a further band begins if the last one had no end, m.
const FIRST_END_M: f64 = 0.5;

/// Draws its bands, one row each: up to which gap, and the most there.
pub(super) fn bands_ui(ui: &mut Ui, ctx: &ViewContext<'_>, entry: &LimitKey, bands: &[Band]) {
    let send = |bands: Vec<Band>, dragging: bool| {
        let key = entry.key.to_owned();
        ctx.send(Action::EditLimits(LimitEdit::Bands { key, bands, dragging }));
    };
    for (n, band) in bands.iter().enumerate() {
        ui.horizontal(|ui| {
            let quiet = |text: &str| RichText::new(text).small().color(ctx.palette.soft);
            ui.add_space(NAME);
            if let Some((at_most, dragging)) =
                value(ui, ctx, &format!("Most of band {}", n + 1), entry.quantity(), band.at_most)
            {
                send(with(bands, n, Band { at_most, ..*band }), dragging);
            }
            if band.to_m.is_finite() {
                ui.label(quiet("at gaps up to"));
                let end = value(ui, ctx, &format!("End of band {}", n + 1), Quantity::ShortLength, band.to_m);
                if let Some((to_m, dragging)) = end {
                    send(ended(bands, n, to_m), dragging);
                }
            } else {
                ui.label(quiet(if bands.len() == 1 { "at every gap" } else { "at every wider gap" }));
            }
            if bands.len() > 1
                && icon_button(ui, Icon::Clear, &format!("Take away band {}", n + 1), 18.0).clicked()
            {
                send(without(bands, n), false);
            }
        });
    }
    ui.horizontal(|ui| {
        ui.add_space(NAME);
        // A door file holds no more, nor one that ends further out.
        let room =
            bands.len() < MOST_GAPS && bands.last().is_some_and(|last| last.above_m < WIDEST_GAP_M / 2.0);
        if room && link(ui, "+ band", ctx.palette).accessible_name("Add a band of gaps").clicked() {
            send(parted(bands), false);
        }
    });
}

/// A new value, and whether it is being dragged.
fn value(
    ui: &mut Ui,
    ctx: &ViewContext<'_>,
    name: &str,
    quantity: Quantity,
    value: f64,
) -> Option<(f64, bool)> {
    let possible = (0.0, f64::INFINITY);
    let field = QuantityField { name, quantity, value, possible, per_point: 1.0 };
    let typed = quantity_field(ui, &field, ctx.units());
    if let Some(problem) = typed.refused {
        refuse(ui, problem);
    }
    if typed.response.drag_stopped() {
        ctx.send(Action::EndDrag);
    }
    typed.value.map(|value| (value, typed.response.dragged()))
}

fn with(bands: &[Band], n: usize, band: Band) -> Vec<Band> {
    bands.iter().enumerate().map(|(at, old)| if at == n { band } else { *old }).collect()
}

/// The band `n` ends at `to_m`, or as near as its own beginning and the end of the next one let it, which begins there.
fn ended(bands: &[Band], n: usize, to_m: f64) -> Vec<Band> {
    let mut bands = bands.to_vec();
    let next_ends_m = bands.get(n + 1).map_or(WIDEST_GAP_M, |next| next.to_m);
    // in this order: bands of a file may be narrower than ours, or lie anywhere
    let to_m = to_m.min(next_ends_m - NARROWEST_M).min(WIDEST_GAP_M).max(bands[n].above_m + NARROWEST_M);
    bands[n].to_m = to_m;
    if let Some(next) = bands.get_mut(n + 1) {
        next.above_m = to_m;
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
        for to_m in [0.0, 0.2, 0.8, 5.0, 1e9] {
            assert!(is_whole(&ended(&three, 0, to_m)), "{to_m}");
            assert!(is_whole(&ended(&three, 1, to_m)), "{to_m}");
        }
        for n in 0..3 {
            assert!(is_whole(&without(&three, n)), "{n}");
        }
        assert!(is_whole(&without(&without(&three, 2), 0)));
    }

    /// What a file may hold breaks nothing: a band beyond the widest gap, bands with a gap between them.
    #[test]
    fn bands_of_a_file_may_lie_anywhere() {
        let band = |above_m, to_m| Band { above_m, to_m, at_most: 400.0 };
        let odd = [band(50.0, 60.0), band(10.0, 20.0)];
        for n in 0..2 {
            let ended = ended(&odd, n, 15.0);
            assert!(ended[n].to_m > ended[n].above_m, "{ended:?}");
        }
    }
}
