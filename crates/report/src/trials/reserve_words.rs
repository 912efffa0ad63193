//! What is left of the limits beside the reserve that was asked for, in words.

use tautleaf_trials::Reserve;

use crate::words::decimals;

/// `10 %`.
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    let whole = (percent - percent.round()).abs() < 0.05;
    // what is next to nothing, or next to the reserve, is not rounded to it
    let places = if whole || percent.abs() >= 9.95 { 0 } else { 1 };
    format!("{} %", decimals(percent, places))
}

/// That every limit is kept, but not with the reserve: which ones, with what they have left. `None`: none lacks it.
pub fn lacking_in_words(lacking: &[(String, Option<f64>)], reserve: Reserve) -> Option<String> {
    let name = |(label, left): &(String, Option<f64>)| match left {
        Some(left) => format!("{label} ({} left)", percent(*left)),
        None => label.clone(),
    };
    let named: Vec<String> = lacking.iter().map(name).collect();
    (!named.is_empty()).then(|| {
        format!("with less left than the {} asked for: {}", percent(reserve.share()), named.join(", "))
    })
}
