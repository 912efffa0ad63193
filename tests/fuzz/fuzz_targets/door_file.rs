//! Any bytes as a door file: read or refused, never a panic; what was read is saved and reads back the same.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tautleaf_physics::Door;
use tautleaf_scenario::{limits_of, parse, to_text};

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    match parse(&text, "fuzzed.toml") {
        Ok(scenario) => {
            let again = parse(&to_text(&scenario), "again.toml").expect("what was saved can be read");
            assert!(again == scenario, "what was saved reads back different");
            let door = Door::try_from(scenario.parameters.clone()).expect("what was read can be built");
            let _ = (limits_of(&scenario), scenario.warnings(&door));
            let study = scenario.study(1, Default::default(), Default::default()).expect("what was read can be drawn");
            let _ = Door::try_from(study.drawn(0).0);
        }
        Err(error) => {
            assert!(!error.problems.is_empty(), "refused without a reason");
            assert!(!error.to_string().is_empty());
        }
    }
});
