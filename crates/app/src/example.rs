//! The doors that are built in: the one that is there before any file was opened, and others that each show one thing.

use std::sync::LazyLock;

use tautleaf_scenario::Scenario;

/// A door that is built in.
#[derive(Clone, Debug)]
pub struct Example {
    /// Name of its file, without the ending.
    pub name: &'static str,
    /// The door.
    pub scenario: Scenario,
}

macro_rules! shipped {
    ($($name:literal)+) => {
        &[$(($name, include_str!(concat!("../../../scenarios/", $name, ".toml")))),+]
    };
}

/// The shipped doors, the reference first, then what is wrong with belt, drive and rail, then what else a door may be.
const SHIPPED: &[(&str, &str)] = shipped! {
    "reference-glass" "light-framed" "us-storefront" "bi-parting" "telescopic" "telescopic-pair"
    "belt-too-loose" "belt-too-tight" "clamp-of-three-teeth" "hums-while-closing"
    "drive-too-weak" "motor-too-warm" "cold-motor" "worn-gear" "locking-worm" "battery-sag" "braking-blocked"
    "knock-at-two-thirds" "sagging-rail" "dirt-on-the-rail" "flat-on-a-roller" "hung-unevenly" "wheel-lift"
    "heavy-glass-energy" "energy-by-chance" "glass-made-up" "heavy-leaf-to-choose-for"
    "stiff-lock" "stack-pressure" "wind-on-the-guide" "held-back-by-hand"
    "learning-run" "partial-opening" "beam-broken" "person-too-early" "someone-follows" "someone-in-the-doorway"
    "power-lost" "emergency-cord" "closing-weight"
};

/// Every shipped door. A test keeps their files readable.
pub static EXAMPLES: LazyLock<Vec<Example>> = LazyLock::new(|| {
    let read = |&(name, text): &(&'static str, &str)| {
        let scenario = tautleaf_scenario::parse(text, name).ok()?;
        Some(Example { name, scenario: Scenario { origin: Default::default(), ..scenario } })
    };
    SHIPPED.iter().filter_map(read).collect()
});

/// The door that is there at first: a glass leaf of 95 kg on a stroke of 1 m.
pub fn scenario() -> Scenario {
    EXAMPLES.first().map(|example| example.scenario.clone()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_door_is_built_in_and_can_be_read() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios");
        let files = std::fs::read_dir(folder).expect("the shipped doors");
        let name = |entry: std::io::Result<std::fs::DirEntry>| {
            entry.ok()?.file_name().to_str()?.strip_suffix(".toml").map(str::to_owned)
        };
        let mut shipped: Vec<String> = files.filter_map(name).collect();
        let mut built_in: Vec<String> = EXAMPLES.iter().map(|example| example.name.to_owned()).collect();
        shipped.sort();
        built_in.sort();
        assert_eq!(built_in, shipped);
        assert!(!scenario().limits.presets.is_empty());
    }
}
