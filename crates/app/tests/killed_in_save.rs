//! A process that is killed in the middle of a save leaves the old file or the new one, whole.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use tautleaf_app::{example, outside};
use tautleaf_scenario::Scenario;

const PATH: &str = "TAUTLEAF_TEST_SAVES_TO";
const KILLS: u64 = 100;

/// Two doors that differ in every line that is long enough to notice a mixture.
fn doors() -> [Scenario; 2] {
    let first = example::scenario();
    let mut second = first.clone();
    second.title = "The other door".to_owned();
    second.shows = "x".repeat(20_000);
    second.parameters.leaf.mass_kg = 140.0;
    [first, second]
}

/// The process that is killed: it does nothing but save, until it is.
#[test]
fn child_that_saves_until_it_is_killed() {
    let Some(path) = std::env::var_os(PATH).map(PathBuf::from) else { return };
    let doors = doors();
    outside::save(&path, &doors[0]).expect("a first save");
    println!("saved");
    for n in 1.. {
        outside::save(&path, &doors[n % 2]).expect("a save");
    }
}

fn killed_after(path: &Path, wait: Duration) {
    let program = std::env::current_exe().expect("this test");
    let mut child = Command::new(program)
        .args(["child_that_saves_until_it_is_killed", "--exact", "--nocapture"])
        .env(PATH, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("this test once more");
    let mut said = String::new();
    let mut out = child.stdout.take().expect("its output");
    let mut byte = [0];
    while !said.contains("saved") && out.read(&mut byte).is_ok_and(|read| read == 1) {
        said.push(char::from(byte[0]));
    }
    assert!(said.contains("saved"), "the child never saved: {said}");
    std::thread::sleep(wait);
    child.kill().expect("killed");
    child.wait().expect("ended");
}

#[test]
fn killed_a_hundred_times_in_the_middle_of_a_save_it_leaves_a_whole_file_every_time() {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("killed in save.toml");
    let doors = doors();
    let mut seen = [0, 0];
    for n in 0..KILLS {
        // Other moments of a save each time: steps that share no period with it.
        killed_after(&path, Duration::from_micros(200 + (n * 7919) % 9000));
        let read = tautleaf_scenario::read(&path).expect("a whole file");
        let which = doors.iter().position(|door| *door == read).expect("one of the two doors, whole");
        seen[which] += 1;
    }
    assert!(seen[0] > 0 && seen[1] > 0, "it was killed at different moments: {seen:?}");
    std::fs::remove_file(path).expect("cleaned up");
}
