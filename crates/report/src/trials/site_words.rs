//! A change of a setting in the words of whoever makes it.

use tautleaf_physics::workbench::belt_work;
use tautleaf_physics::{Door, Quantity};
use tautleaf_scenario::{UnitSystem, units};
use tautleaf_trials::Change;

use crate::words::{change_values, decimals, nut_way};

/// `closing speed 0.35 m/s to 0.27 m/s`, `adjuster 1.5 turns clockwise: +120 N, belt 180 N to 300 N`,
/// `trailing hanger up 1 mm`.
pub fn in_site_words(change: &Change, door: &Door, system: UnitSystem) -> String {
    let (from, to) = change_values(change, system);
    match change.key {
        "belt.tension" => {
            let work = belt_work(door);
            let turns = work.turns_between(change.from, change.to);
            let way = nut_way(work.tightens, turns < 0.0);
            let more = units::show(Quantity::Force, (change.to - change.from).abs(), system);
            let sign = if change.to > change.from { "+" } else { "-" };
            let turns = decimals(turns.abs(), 2);
            let turns = turns.trim_end_matches('0').trim_end_matches('.');
            let counted = if turns == "1" { "1 turn".to_owned() } else { format!("{turns} turns") };
            format!("adjuster {counted} {way}: {sign}{more}, belt {from} to {to}")
        }
        "leaf.hanger_height_difference" => {
            let by = units::show(Quantity::ShortLength, (change.to - change.from).abs(), system);
            format!("trailing hanger {} {by}", if change.to > change.from { "up" } else { "down" })
        }
        "leaf.hanger_spacing" => format!("hangers {from} to {to} apart"),
        "telescope.tension" => format!("second belt {from} to {to}"),
        key => format!("{} {from} to {to}", key.replace(['.', '_'], " ")),
    }
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::Parameters;

    use super::*;

    fn words(key: &'static str, from: f64, to: f64) -> String {
        let door = Door::try_from(Parameters::default()).unwrap();
        in_site_words(&Change { key, from, to }, &door, UnitSystem::Si)
    }

    #[test]
    fn a_change_is_said_as_it_is_made() {
        assert_eq!(words("closing.speed", 0.35, 0.27), "closing speed 0.35 m/s to 0.27 m/s");
        assert_eq!(words("leaf.hanger_height_difference", 0.0, 0.001), "trailing hanger up 1 mm");
        assert_eq!(words("leaf.hanger_height_difference", 0.0, -0.002), "trailing hanger down 2 mm");
        let tighter = words("belt.tension", 180.0, 300.0);
        assert!(tighter.contains(" clockwise: +120 N, belt 180 N to 300 N"), "{tighter}");
        let looser = words("belt.tension", 300.0, 180.0);
        assert!(looser.contains(" counter-clockwise: -120 N, belt 300 N to 180 N"), "{looser}");
    }
}
