//! Saving, and the file that `tautleaf new` writes.

use std::fs;

use tautleaf_physics::parameters::Fault;
use tautleaf_physics::{DEFAULT_GAPS_M, Door, FIELDS, Judge, Parameters, Rule};
use tautleaf_scenario::{LimitSettings, SaveError, Scenario, commented, limit_key, parse, read, save};

fn heavy() -> Scenario {
    let mut scenario = Scenario { title: "heavy".to_owned(), ..Scenario::default() };
    scenario.parameters.leaf.mass_kg = 123.456;
    scenario
}

#[test]
fn a_saved_door_is_read_back_identical_and_leaves_nothing_else_behind() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("door.toml");
    save(&path, &heavy()).unwrap();
    assert_eq!(read(&path).unwrap(), heavy());
    save(&path, &Scenario::default()).unwrap();
    assert_eq!(read(&path).unwrap(), Scenario::default());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// The old file must still be there, whole, when the new one cannot be.
#[test]
fn a_door_that_could_not_be_read_again_is_not_saved() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("door.toml");
    save(&path, &heavy()).unwrap();
    let before = fs::read(&path).unwrap();
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e30] {
        let mut scenario = heavy();
        scenario.parameters.leaf.mass_kg = bad;
        let error = save(&path, &scenario).unwrap_err();
        assert!(matches!(error, SaveError::WouldNotLoad { .. }), "{error}");
        assert!(error.to_string().contains("leaf.mass"), "{error}");
    }
    let mut scenario = heavy();
    let mut limit = limit_key("stall_force_max").unwrap().set_to(60.0, "N", Judge::Limit);
    limit.rule = Rule::OnSite("look".to_owned());
    scenario.limits.own.push(limit);
    assert!(matches!(save(&path, &scenario), Err(SaveError::WouldChange { .. })));
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn what_the_disk_does_not_take_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let error = save(&folder.path().join("nowhere/door.toml"), &heavy()).unwrap_err();
    assert!(
        matches!(error, SaveError::Disk { .. }) && error.to_string().contains("check that the folder exists")
    );
    assert!(matches!(save(folder.path(), &heavy()), Err(SaveError::Disk { .. })));
}

#[cfg(unix)]
#[test]
fn saving_keeps_permissions_and_follows_links() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = tempfile::tempdir().unwrap();
    let (path, link) = (folder.path().join("door.toml"), folder.path().join("link.toml"));
    let mode = || fs::metadata(&path).unwrap().permissions().mode() & 0o777;
    save(&path, &heavy()).unwrap();
    assert_eq!(mode(), 0o644);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    symlink(&path, &link).unwrap();
    save(&link, &Scenario::default()).unwrap();
    assert_eq!(mode(), 0o640);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(read(&path).unwrap(), Scenario::default());
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    let error = save(&path, &heavy()).unwrap_err();
    assert!(error.to_string().contains("write-protected"), "{error}");
}

#[test]
fn the_file_to_start_from_is_the_default_door() {
    let scenario = parse(&commented(), "new.toml").unwrap();
    assert_eq!(scenario.parameters, Parameters::default());
    assert_eq!(scenario.title, "My door");
}

/// Taking away every mark sets every key to its default; only obstacle, telescope, force and fault come in addition.
#[test]
fn every_key_of_the_file_to_start_from_can_be_set() {
    let scenario =
        parse(&commented().replace("#:", ""), "new.toml").unwrap_or_else(|error| panic!("{error}"));
    let mut expected = Parameters { obstacle: Some(Default::default()), ..Parameters::default() };
    expected.forces = scenario.parameters.forces.clone();
    expected.telescope = Some(Default::default());
    expected.faults = vec![Fault { name: "joint".to_owned(), ..Fault::default() }];
    assert_eq!(scenario.parameters, expected);
    let gaps_m = Some(DEFAULT_GAPS_M.to_vec());
    assert_eq!(scenario.limits, LimitSettings { gaps_m, ..LimitSettings::default() });
    for field in FIELDS {
        let name = field.key.split('.').next_back().unwrap();
        assert!(commented().contains(&format!("{name} = ")), "{}", field.key);
    }
}

#[test]
fn what_is_unusual_is_said_with_its_line_in_the_units_of_the_file() {
    let text = "schema = 1\nunits = \"US\"\n[leaf]\nmass = \"2000 lb\"\n[[force]]\nname = \"a\"\n[[force]]\nconstant = \"100 lbf\"\n";
    let scenario = parse(text, "shop.toml").unwrap();
    let door = Door::try_from(scenario.parameters.clone()).unwrap();
    let warnings: Vec<_> = scenario.warnings(&door).iter().map(ToString::to_string).collect();
    assert!(warnings[0].starts_with("shop.toml:4: leaf.mass: 2000 lb is unusual; "), "{warnings:?}");
    assert!(warnings[0].contains("usual is 44.09 lb to 881.8 lb"), "{warnings:?}");
    assert!(
        warnings[1].starts_with("shop.toml:8: the second [[force]]: constant: 100 lbf is unusual"),
        "{warnings:?}"
    );
    assert_eq!(warnings.len(), 2, "{warnings:?}");
}

/// Physics remarks on what numbers do together; the line is that of the key, or of its section.
#[test]
fn remarks_of_the_checked_door_point_into_the_file() {
    let text = "schema = 1\n\n[belt]\nspecific_stiffness = \"2 kN/mm\"\ntension = \"1000 N\"\n";
    let scenario = parse(text, "shop.toml").unwrap();
    let door = Door::try_from(scenario.parameters.clone()).unwrap();
    let warnings = scenario.warnings(&door);
    let strain = warnings.iter().find(|warning| warning.found.contains("strains the belt")).unwrap();
    assert_eq!((strain.line, strain.key.as_str()), (Some(5), "belt.tension"));
}
