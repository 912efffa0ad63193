//! Between which values of a swept number something is kept, in words.

use crate::context::ViewContext;
use crate::trials::sweeping::Swept;
use crate::words;

/// A value of the number that was varied.
fn say(ctx: &ViewContext<'_>, found: &Swept, value: f64) -> String {
    words::value(found.settable().quantity(), value, ctx.units())
}

/// Between which values something is kept.
pub(super) fn in_words(ctx: &ViewContext<'_>, found: &Swept, stretches: &[(f64, f64)]) -> String {
    let ends =
        found.rows.first().zip(found.rows.last()).map(|(first, last)| (first.values[0], last.values[0]));
    let one = |&(from, to): &(f64, f64)| match from == to {
        true => format!("at {}", say(ctx, found, from)),
        false => format!("from {} to {}", say(ctx, found, from), say(ctx, found, to)),
    };
    match stretches {
        [] => "kept at none of these values".to_owned(),
        [whole] if Some(*whole) == ends => "kept at every value".to_owned(),
        some => format!("kept {}", some.iter().map(one).collect::<Vec<_>>().join(" and ")),
    }
}
