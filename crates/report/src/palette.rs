//! Colours of text. Never the only carrier of a meaning: each stands beside a word.

use anstyle::{AnsiColor, Style};
use tautleaf_physics::Outcome;

/// Styles of text on a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// Headings.
    pub heading: Style,
    /// What explains: sources, notes.
    pub faint: Style,
    /// Within a limit.
    pub within: Style,
    /// Within it, with little left.
    pub close: Style,
    /// Over it.
    pub over: Style,
}

impl Palette {
    /// No styles: bare text.
    pub const PLAIN: Self = Self {
        heading: Style::new(),
        faint: Style::new(),
        within: Style::new(),
        close: Style::new(),
        over: Style::new(),
    };

    /// Styles as ANSI escape codes.
    pub const TERMINAL: Self = Self {
        heading: Style::new().bold(),
        faint: Style::new().dimmed(),
        within: AnsiColor::Green.on_default(),
        close: AnsiColor::Yellow.on_default().bold(),
        over: AnsiColor::Red.on_default().bold(),
    };

    /// Style of an outcome.
    pub fn outcome(&self, outcome: Outcome) -> Style {
        match outcome {
            Outcome::Within => self.within,
            Outcome::Close => self.close,
            Outcome::Over => self.over,
            Outcome::NotJudged => self.faint,
        }
    }
}

/// Text in a style.
pub(crate) fn paint(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}
