//! The door that is there before any file was opened.

use tautleaf_scenario::Scenario;

/// The reference door: a glass leaf of 95 kg on a stroke of 1 m.
const TEXT: &str = include_str!("../../../scenarios/reference-glass.toml");

/// The example. A test keeps its file readable.
pub fn scenario() -> Scenario {
    let scenario = tautleaf_scenario::parse(TEXT, "reference-glass.toml").unwrap_or_default();
    Scenario { origin: Default::default(), ..scenario }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_example_that_is_built_in_can_be_read() {
        let text = super::TEXT;
        assert!(tautleaf_scenario::parse(text, "example").is_ok(), "scenarios/reference-glass.toml");
        assert!(!super::scenario().limits.presets.is_empty());
    }
}
