//! The map of a drive beside what choosing finds for it: a leaf that the map lets close in a time is closed in it by what is
//! chosen, in a little less it is not, and where the map has no time nothing is chosen for the longest.

use tautleaf_physics::{Door, Figure, Limit};
use tautleaf_scenario::catalogue;
use tautleaf_tests::shipped_scenarios;
use tautleaf_trials::choose::{Catalogue, Choosing, choose, load_map, with_mass};
use tautleaf_trials::{Criteria, Reserve};

/// Share of the shortest time at which a time is certainly too short: what the halvings of the map leave open.
const CERTAINLY_SHORT: f64 = 0.95;

fn agree(drive: &str) {
    let shipped = shipped_scenarios();
    let (_, scenario) = shipped.iter().find(|(name, _)| name.contains("reference")).unwrap();
    let (door, criteria) = (scenario.door().unwrap(), scenario.criteria());
    let drives = catalogue().drives.iter().filter(|known| known.name == drive).cloned().collect();
    let alone = Catalogue { drives, belts: vec![catalogue().belts[1].clone()] };
    let map = load_map(&door, &criteria, (&alone.drives[0], &alone.belts[0]), &|_, _| true);
    let is_chosen = |mass_kg: f64, closing_s: f64| {
        let door = Door::try_from(with_mass(&door, mass_kg)).unwrap();
        let mut limits = criteria.limits.clone();
        limits.retain(|limit| limit.figure != Some(Figure::ClosingTime));
        limits.push(Limit::at_most("closing_time_max", Figure::ClosingTime, closing_s));
        let choosing = Choosing { reserve: Reserve::NONE, ..Choosing::default() };
        choose(&door, &Criteria { limits, ..criteria.clone() }, &alone, &choosing, &|_, _| true).tried[0]
            .does()
    };
    assert!(map.rows.iter().any(|row| row.shortest_s.is_some()), "{drive} moves no leaf at all");
    for row in &map.rows {
        let (mass_kg, longest_s) = (row.mass_kg, map.times_s.1);
        match row.shortest_s {
            Some(shortest_s) => {
                assert!(is_chosen(mass_kg, shortest_s), "{drive}: {mass_kg} kg in {shortest_s} s");
                let short_s = CERTAINLY_SHORT * shortest_s;
                assert!(
                    short_s < map.times_s.0 || !is_chosen(mass_kg, short_s),
                    "{drive}: {mass_kg} kg in {short_s} s already"
                );
            }
            None => assert!(!is_chosen(mass_kg, longest_s), "{drive}: {mass_kg} kg in {longest_s} s"),
        }
    }
}

#[test]
fn a_worm_gear_is_mapped_as_it_is_chosen() {
    agree("24 V, worm 20:1, 90 W");
}

#[test]
fn a_direct_drive_is_mapped_as_it_is_chosen() {
    agree("24 V brushless, direct, 40 W");
}
