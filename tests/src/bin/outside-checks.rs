//! The table of every outside check: source, standing, expected, ours, difference, tolerance.
//!
//! `cargo run --release -p tautleaf-tests --bin outside-checks [-- --markdown]`. Leaves with 1 if one is out. Measured records are
//! read from the folder that `TAUTLEAF_DATA` names; without it their checks are skipped, and said to be.

use std::process::ExitCode;

use tautleaf_tests::outside::{Check, GROUPS, Skipped};

fn main() -> ExitCode {
    let markdown = match std::env::args().nth(1).as_deref() {
        None => false,
        Some("--markdown") => true,
        Some(other) => {
            eprintln!("outside-checks: \"{other}\" is unknown; there is only --markdown");
            return ExitCode::from(2);
        }
    };
    let (mut within, mut out, mut skipped) = (0, 0, 0);
    if markdown {
        println!(
            "| fact | source | standing | expected | ours | difference | tolerance |\n|---|---|---|---|---|---|---|"
        );
    }
    for (name, group) in GROUPS {
        if !markdown {
            println!("\n{name}");
        }
        match group() {
            Err(Skipped(why)) => {
                skipped += 1;
                println!(
                    "{}",
                    if markdown {
                        format!("| {name} | SKIPPED: {why} | | | | | |")
                    } else {
                        format!("  SKIPPED: {why}")
                    }
                );
            }
            Ok(checks) => {
                let mut source = "";
                for check in &checks {
                    if !markdown && check.source.text != source {
                        source = check.source.text;
                        println!("  [{}] {source}", check.source.standing.word());
                    }
                    println!("{}", if markdown { row(check) } else { line(check) });
                    *(if check.holds() { &mut within } else { &mut out }) += 1;
                }
            }
        }
    }
    println!("\n{within} within, {out} out, {skipped} groups skipped");
    if out == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn line(check: &Check) -> String {
    format!(
        "    {:66} {:>11} {:>11} {:7} off {:>10} of {:>9}  {}",
        check.fact,
        number(check.expected),
        number(check.ours),
        check.unit,
        short(check.difference()),
        short(check.tolerance),
        if check.holds() { "within" } else { "OUT" },
    )
}

fn row(check: &Check) -> String {
    format!(
        "| {} | {} | {} | {} {} | {} | {} | {}: {}{} |",
        check.fact,
        check.source.text,
        check.source.standing.word(),
        number(check.expected),
        check.unit,
        number(check.ours),
        short(check.difference()),
        short(check.tolerance),
        check.because,
        if check.holds() { "" } else { " **OUT**" },
    )
}

/// Six digits.
fn number(value: f64) -> String {
    let decimals = (5 - value.abs().max(1e-9).log10().floor() as i32).clamp(0, 9) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Two digits.
fn short(value: f64) -> String {
    if value == 0.0 { "0".to_owned() } else { format!("{value:.1e}") }
}
