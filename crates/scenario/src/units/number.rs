//! The digits of a number, as text.

use super::error::Kind;

/// Splits text into a number and what follows it.
pub(super) fn split(text: &str) -> Result<(&str, &str), Kind> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Kind::Empty);
    }
    let unsigned = text.trim_start_matches(['+', '-']);
    let word: String = unsigned.chars().take_while(|c| c.is_alphabetic()).collect();
    if ["nan", "inf", "infinity"].contains(&word.to_lowercase().as_str()) {
        return Err(Kind::NotFinite);
    }
    let end = number_length(text).ok_or(Kind::NotANumber)?;
    let (digits, rest) = text.split_at(end);
    let rest = rest.trim_start();
    if rest.strip_prefix("1/").is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_digit())) {
        return Ok((digits, rest)); // a unit such as 1/K
    }
    match rest.chars().next() {
        Some(',' | '\'' | '_') => Err(Kind::Comma),
        Some('0'..='9' | '.' | '+') => Err(Kind::TwoNumbers),
        _ => Ok((digits, rest)),
    }
}

/// Length in bytes of the number at the start of `text`: `-12.5e-3`, `.5`, `5.`.
fn number_length(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let mut at = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let before = digits(at);
    at += before;
    let mut after = 0;
    if bytes.get(at) == Some(&b'.') {
        after = digits(at + 1);
        at += 1 + after;
    }
    if before + after == 0 {
        return None;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        let exponent = digits((at + 1 + sign).min(bytes.len()));
        if exponent > 0 {
            at += 1 + sign + exponent;
        }
    }
    Some(at)
}

/// One spelling for the many ways to write a unit: `kg·m²`, `kg m^2`, `kg*m2` -> `kg m2`.
pub(super) fn spelling(unit: &str) -> String {
    let mut plain = String::with_capacity(unit.len());
    for c in unit.chars() {
        match c {
            '¹' => plain.push('1'),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '·' | '⋅' | '*' | '×' | '-' | '\u{207b}' | '\t' | '\u{a0}' | '\u{202f}' => plain.push(' '),
            '^' | '°' => {}
            'Ω' | '\u{2126}' => plain.push_str("ohm"),
            'µ' | 'μ' => plain.push('u'),
            _ => plain.push(c),
        }
    }
    let words: Vec<&str> = plain.split(' ').filter(|word| !word.is_empty()).collect();
    words.join(" ").replace(" /", "/").replace("/ ", "/")
}

/// (mantissa, exponent) of the shortest decimal that is exactly `value`.
pub(super) fn scientific(value: f64) -> (String, i32) {
    let text = format!("{value:e}");
    match text.split_once('e') {
        Some((mantissa, exponent)) => (mantissa.to_owned(), exponent.parse().unwrap_or(0)),
        None => (text, 0),
    }
}

/// The shortest decimal that is exactly `value` with its point moved: `value` times ten to the `shift`.
pub(super) fn shifted(value: f64, shift: i32) -> String {
    let (mantissa, exponent) = scientific(value);
    let exponent = exponent + shift;
    if !(-3..7).contains(&exponent) || value == 0.0 {
        return if value == 0.0 || exponent == 0 { mantissa } else { format!("{mantissa}e{exponent}") };
    }
    let (sign, digits) = mantissa.strip_prefix('-').map_or(("", mantissa.as_str()), |digits| ("-", digits));
    let digits = digits.replace('.', "");
    match usize::try_from(exponent) {
        Ok(before) if before + 1 >= digits.len() => format!("{sign}{digits:0<width$}", width = before + 1),
        Ok(before) => format!("{sign}{}.{}", &digits[..=before], &digits[before + 1..]),
        Err(_) => format!("{sign}0.{}{digits}", "0".repeat(exponent.unsigned_abs() as usize - 1)),
    }
}

/// The shortest decimal that is exactly `value`.
pub(super) fn shortest(value: f64) -> String {
    shifted(value, 0)
}

/// The decimal near `value` with the fewest digits that `fits`.
pub(super) fn shortest_such_that(value: f64, fits: impl Fn(&str) -> bool) -> Option<String> {
    (0..17)
        .map(|decimals| format!("{value:.decimals$e}"))
        .chain([value.next_up(), value.next_down()].map(|near| format!("{near:e}")))
        .filter_map(|text| text.parse().ok().map(shortest))
        .find(|text| fits(text))
}

/// Four significant digits, trailing zeros left out.
pub(super) fn rounded(value: f64) -> String {
    let size = value.abs();
    if (1000.0..1e7).contains(&size) {
        return format!("{value:.0}");
    }
    format!("{value:.3e}").parse().map_or_else(|_| value.to_string(), shortest)
}
