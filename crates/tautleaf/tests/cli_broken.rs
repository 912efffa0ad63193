//! Broken input of every kind: exit code 2, one clear message, never a panic, never a hang.

mod black_box;

use std::time::{Duration, Instant};

use black_box::{Answer, CALM, Folder, tautleaf, with_input};

/// (what is broken, the text of the door file, what the message says)
#[rustfmt::skip]
const BROKEN: &[(&str, &[u8], &str)] = &[
    ("empty", b"", "the file is empty"),
    ("blank", b" \n\t\n", "the file is empty"),
    ("binary", b"\x7fELF\x02\x01\x01\0\0\0\0\0", "not text"),
    ("not UTF-8", b"schema = 1\ntitle = \"T\xfcr\"\n", "UTF-8"),
    ("another format", b"{\"schema\": 1}", "write TOML"),
    ("no schema", b"[leaf]\nmass = \"80 kg\"\n", "schema: is missing; write schema = 1"),
    ("newer schema", b"schema = 2\n", "newer"),
    ("schema as text", b"schema = \"1\"\n", "write schema = 1"),
    ("missing unit", b"schema = 1\n[leaf]\nmass = \"80\"\n", ":3: leaf.mass: \"80\" has no unit; write a mass such as"),
    ("no quotes, no unit", b"schema = 1\n[leaf]\nmass = 80\n", ":3: leaf.mass: 80 has no unit"),
    ("no quotes around a unit", b"schema = 1\n[leaf]\nmass = 80 kg\n", ":3: "),
    ("wrong unit", b"schema = 1\n[leaf]\nmass = \"80 m\"\n", ":3: leaf.mass: \"80 m\" is a length"),
    ("unknown unit", b"schema = 1\n[leaf]\nmass = \"80 stone\"\n", "unknown unit \"stone\""),
    ("unit in capitals", b"schema = 1\n[belt]\ntension = \"300 n\"\n", "did you mean \"N\"?"),
    ("decimal comma", b"schema = 1\n[leaf]\nstroke = \"1,2 m\"\n", "decimal point"),
    ("negative mass", b"schema = 1\n[leaf]\nmass = \"-80 kg\"\n", "between 0.1 kg and 5000 kg"),
    ("zero stroke", b"schema = 1\n[leaf]\nstroke = \"0 mm\"\n", "is not possible"),
    ("huge stroke", b"schema = 1\n[leaf]\nstroke = \"5 km/h\"\n", "is a speed"),
    ("zero speed", b"schema = 1\n[closing]\nspeed = \"0 m/s\"\n", "is not possible"),
    ("NaN", b"schema = 1\n[gear]\nratio = nan\n", "no finite number"),
    ("NaN with a unit", b"schema = 1\n[leaf]\nmass = \"NaN kg\"\n", "no finite number"),
    ("infinity", b"schema = 1\n[gear]\nratio = -inf\n", "no finite number"),
    ("1e400", b"schema = 1\n[leaf]\nmass = \"1e400 kg\"\n", "no finite number"),
    ("1e400 bare", b"schema = 1\n[gear]\nratio = 1e400\n", ":3: "),
    ("1e308 in a large unit", b"schema = 1\n[leaf]\nstroke = \"1e308 ft\"\n", ":3: leaf.stroke: "),
    ("unknown key", b"schema = 1\n[leaf]\nmas = \"80 kg\"\n", "did you mean \"mass\"?"),
    ("unknown section", b"schema = 1\n[door]\nmass = \"80 kg\"\n", ":2: door: there is no such section"),
    ("duplicate key", b"schema = 1\n[leaf]\nmass = \"80 kg\"\nmass = \"90 kg\"\n", "written twice"),
    ("duplicate section", b"schema = 1\n[leaf]\n[belt]\n[leaf]\n", "written twice"),
    ("text without its end", b"schema = 1\ntitle = \"open\n", ":2: "),
    ("a list for a number", b"schema = 1\n[leaf]\nmass = [\"80 kg\", \"90 kg\"]\n", "found a list"),
    ("a date for a number", b"schema = 1\n[leaf]\nmass = 2020-02-02\n", "found 2020-02-02"),
    ("unknown word", b"schema = 1\narrangement = \"up\"\n", "\"away\" or \"towards\" or \"bi-parting\""),
    ("belt shorter than the stroke", b"schema = 1\n[leaf]\nstroke = \"2 m\"\n[belt]\ncentre_distance = \"1 m\"\n", "stroke and clamp need at least"),
    ("pulleys that overlap", b"schema = 1\n[leaf]\nstroke = \"0.1 m\"\n[belt]\nclamp = \"10 mm\"\ncentre_distance = \"0.2 m\"\n[pulleys]\nteeth = 200\n", "pitch radii"),
    ("half a tooth", b"schema = 1\n[pulleys]\nteeth = 30.5\n", "whole number"),
    ("a third leaf", b"schema = 1\n[[force]]\nname = \"cord\"\nleaf = 3\n", "this door has 1"),
    ("creep longer than the stroke", b"schema = 1\n[closing]\ncreep_distance = \"4 m\"\n", "longer than the travel"),
    ("obstacle wider than the door", b"schema = 1\n[obstacle]\ngap = \"3 m\"\n", "as wide as the open door"),
    ("unknown preset", b"schema = 1\n[limits]\npresets = [\"none\"]\n", "presets"),
    ("limit in the wrong unit", b"schema = 1\n[limits]\nstall_force_max = \"67 J\"\n", "is an energy"),
    ("limit without a unit", b"schema = 1\n[limits]\nstall_force_max = 67\n", "has no unit"),
    ("negative gap", b"schema = 1\n[limits]\ngaps = [\"-50 mm\"]\n", "is not possible"),
    ("escape codes", b"schema = 1\n[leaf]\nmass = \"\\u001b[31m80 kg\"\n", ":3: leaf.mass: "),
];

fn refused(what: &str, answer: &Answer, says: &str) {
    assert_eq!(answer.code, 2, "{what}: {}", answer.err);
    assert_eq!(answer.out, "", "{what}");
    assert_eq!(answer.err.lines().count(), 1, "{what}: {}", answer.err);
    assert!(answer.err.contains(says), "{what}: {}", answer.err);
    assert!(!answer.err.contains('\u{1b}') && answer.err.len() < 2000, "{what}: {}", answer.err);
}

#[test]
fn every_kind_of_broken_file_is_refused_with_one_clear_message() {
    assert!(BROKEN.len() >= 40);
    let folder = Folder::new();
    for (what, bytes, says) in BROKEN {
        let file = folder.write("door.toml", bytes);
        let began = Instant::now();
        let answer = tautleaf(&["run", &file]);
        assert!(began.elapsed() < Duration::from_secs(5), "{what}");
        refused(what, &answer, says);
        assert!(answer.err.starts_with(&file), "{what}: {}", answer.err);
    }
}

#[test]
fn every_subcommand_refuses_it_and_writes_nothing() {
    let folder = Folder::new();
    let file = folder.write("door.toml", BROKEN[8].1);
    let (csv, svg) = (folder.path("out.csv"), folder.path("out.svg"));
    for args in [
        &["run", &file, "--json"] as &[&str],
        &["run", &file, "--csv", &csv, "--svg", &svg],
        &["force", &file, "--json"],
        &["check", &file],
        &["resolve", &file, "--json"],
    ] {
        refused(&args.join(" "), &tautleaf(args), BROKEN[8].2);
    }
    assert!(
        !std::fs::exists(&csv).expect("it can be looked at") && !std::fs::exists(&svg).expect("so can it")
    );
}

#[test]
fn what_is_no_file_is_refused() {
    let folder = Folder::new();
    refused("a folder", &tautleaf(&["run", &folder.path(".")]), "this is a folder");
    refused("a missing file", &tautleaf(&["run", &folder.path("gone.toml")]), "there is no such file");
    let through = folder.path("a-file/door.toml");
    folder.write("a-file", "schema = 1\n");
    refused("a path through a file", &tautleaf(&["run", &through]), "cannot be opened");
}

#[cfg(target_os = "linux")]
#[test]
fn devices_links_and_locked_files_are_refused() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = Folder::new();
    for device in ["/dev/zero", "/dev/random", "/dev/null"] {
        refused(device, &tautleaf(&["run", device]), "no ordinary file");
    }
    let link = folder.path("link.toml");
    symlink("link.toml", &link).expect("a link to itself");
    refused("a link to itself", &tautleaf(&["run", &link]), "cannot be opened");
    let locked = folder.write("locked.toml", CALM);
    std::fs::set_permissions(&locked, PermissionsExt::from_mode(0o000))
        .expect("permissions can be taken away");
    // the superuser reads every file, whatever its permissions
    if std::fs::read(&locked).is_err() {
        refused("a locked file", &tautleaf(&["run", &locked]), "permissions");
    }
}

#[test]
fn a_hundred_megabytes_are_refused_without_reading_them() {
    let folder = Folder::new();
    let file = folder.path("large.toml");
    std::fs::File::create(&file).and_then(|file| file.set_len(100 << 20)).expect("a large file");
    let began = Instant::now();
    refused("100 MB", &tautleaf(&["run", &file]), "at most 1 MiB");
    let text = vec![b'#'; 100 << 20];
    refused("100 MB on standard input", &with_input(&["run", "-"], &text), "at most 1 MiB");
    assert!(began.elapsed() < Duration::from_secs(10));
}

#[test]
fn a_megabyte_of_nonsense_is_refused_in_time() {
    let nested = format!("schema = 1\nleaf = {}", "[".repeat(1 << 19));
    let keys: String = (0..40_000).map(|n| format!("key{n} = 1\n")).collect();
    let comment = format!("{}\n", "#".repeat((1 << 20) - 1));
    let title = format!("title = \"{}\"\n", "x".repeat(1 << 19)); // only the schema is missing
    for (what, text) in [
        ("deeply nested", nested),
        ("many keys", format!("schema = 1\n{keys}")),
        ("a comment", comment),
        ("a long title", title),
    ] {
        let began = Instant::now();
        let answer = with_input(&["run", "-"], text.as_bytes());
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{what}");
        assert!(answer.err.len() < 20_000, "{what}: {} bytes", answer.err.len());
        assert!(began.elapsed() < Duration::from_secs(20), "{what}");
    }
}

#[test]
fn wrong_arguments_are_refused() {
    for args in [
        &["run", "-", "--jsn"] as &[&str],
        &["run", "a.toml", "b.toml"],
        &["check"],
        &["check", ""],
        &["force", "-", "--gaps"],
        &["resolve"],
        &["new", "a", "b"],
    ] {
        let answer = tautleaf(args);
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{args:?}");
        assert!(answer.err.contains("error:"), "{args:?}: {}", answer.err);
    }
}
