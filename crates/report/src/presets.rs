//! The published limits that a door file can name, for a terminal.

use tautleaf_scenario::{CAUTIONS, Preset, known_in_words};

use crate::columns::folded;
use crate::palette::{Palette, paint};
use crate::words;

/// Each preset with its limits, their sources and how well each is known; then the cautions.
pub fn listing<'a>(presets: impl Iterator<Item = &'a Preset>, palette: &Palette) -> String {
    let mut lines = Vec::new();
    for preset in presets {
        lines.push(format!("{}  {}", paint(palette.heading, &preset.name), preset.title));
        lines.extend(folded(&format!("{}; for {}", preset.standing(), preset.what_for), "  ", "  "));
        for limit in &preset.limits {
            let text = format!("{}: {}", limit.key, words::asks(limit));
            lines.extend(folded(&text, "  - ", "    "));
            let standing =
                format!("{}: {}; {}", words::judge(limit.judge), limit.source, known_in_words(limit.known));
            lines.extend(folded(&standing, "    ", "    ").iter().map(|line| paint(palette.faint, line)));
        }
        lines.push(String::new());
    }
    lines.push(paint(palette.heading, "Cautions"));
    for caution in CAUTIONS {
        lines.extend(folded(caution, "  - ", "    "));
    }
    lines.join("\n") + "\n"
}
