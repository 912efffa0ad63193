//! Every kind of broken door file gives a message that says what to change, never a panic.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use tautleaf_scenario::{LARGEST_FILE, ReadError, Scenario, parse, read};

const HEAD: &str = "schema = 1\n";

/// (what is broken, text below `schema = 1`, beginning of the message, what else it says)
#[rustfmt::skip]
const BROKEN: &[(&str, &str, &str, &str)] = &[
    ("missing unit", "[leaf]\nmass = \"80\"", "door.toml:3: leaf.mass: \"80\" has no unit", "such as \"80 kg\" or \"176 lb\""),
    ("number without quotes", "[leaf]\nmass = 80", "door.toml:3: leaf.mass: 80 has no unit", "such as \"80 kg\""),
    ("wrong unit", "[leaf]\nmass = \"80 N\"", "door.toml:3: leaf.mass: \"80 N\" is a force", "write a mass"),
    ("unknown unit", "[leaf]\nmass = \"80 zentner\"", "door.toml:3: leaf.mass: ", "unknown unit \"zentner\""),
    ("unit in capitals", "[leaf]\nmass = \"80 KG\"", "door.toml:3: leaf.mass: ", "did you mean \"kg\"?"),
    ("unit in front", "[leaf]\nmass = \"kg 80\"", "door.toml:3: leaf.mass: ", "does not begin with a number"),
    ("decimal comma", "[leaf]\nmass = \"80,5 kg\"", "door.toml:3: leaf.mass: ", "decimal point"),
    ("two numbers", "[leaf]\nstroke = \"3 1/2 ft\"", "door.toml:3: leaf.stroke: ", "more than one number"),
    ("words for a number", "[leaf]\nmass = \"heavy\"", "door.toml:3: leaf.mass: ", "does not begin with a number"),
    ("empty text", "[leaf]\nmass = \"\"", "door.toml:3: leaf.mass: ", "nothing is written here"),
    ("NaN in a text", "[leaf]\nmass = \"nan kg\"", "door.toml:3: leaf.mass: ", "no finite number"),
    ("infinity in a text", "[leaf]\nmass = \"inf kg\"", "door.toml:3: leaf.mass: ", "no finite number"),
    ("1e400 in a text", "[leaf]\nmass = \"1e400 kg\"", "door.toml:3: leaf.mass: ", "no finite number"),
    ("NaN", "[rollers]\nresistance = nan", "door.toml:3: rollers.resistance: nan is no finite number", "such as 0.01"),
    ("infinity", "[gear]\nratio = inf", "door.toml:3: gear.ratio: inf is no finite number", "plain number"),
    ("1e400", "[gear]\nratio = 1e400", "door.toml:3: ", "write a"),
    ("whole number beyond 64 bits", "[gear]\nratio = 99999999999999999999", "door.toml:3: ", "number"),
    ("text for a plain number", "[gear]\nratio = \"15\"", "door.toml:3: gear.ratio: found \"15\"", "without quotes"),
    ("negative mass", "[leaf]\nmass = \"-80 kg\"", "door.toml:3: leaf.mass: \"-80 kg\" is not possible", "between 0.1 kg and 5000 kg"),
    ("zero mass", "[leaf]\nmass = \"0 kg\"", "door.toml:3: leaf.mass: ", "between 0.1 kg and 5000 kg"),
    ("zero stroke", "[leaf]\nstroke = \"0 m\"", "door.toml:3: leaf.stroke: \"0 m\" is not possible", "between 0.05 m and 20 m"),
    ("negative speed", "[closing]\nspeed = \"-0.3 m/s\"", "door.toml:3: closing.speed: ", "between"),
    ("efficiency above one", "[gear]\nefficiency = 1.2", "door.toml:3: gear.efficiency: 1.2 is not possible", "between 0.05 and 1"),
    ("half a tooth", "[pulleys]\nteeth = 20.5", "door.toml:3: pulleys.teeth: ", "whole number"),
    ("colder than anything", "[motor]\nwinding_temperature = \"-300 C\"", "door.toml:3: motor.winding_temperature: ", "between"),
    ("unknown key", "[leaf]\nmas = \"80 kg\"", "door.toml:3: leaf.mas: there is no such key", "did you mean \"mass\"?"),
    ("key of another section", "[rollers]\ntension = \"80 N\"", "door.toml:3: rollers.tension: ", "did you mean \"belt.tension\"?"),
    ("key outside its section", "mass = \"80 kg\"", "door.toml:2: mass: ", "did you mean \"leaf.mass\"?"),
    ("key like none", "[leaf]\nbanana = \"80 kg\"", "door.toml:3: leaf.banana: ", "known here: mass, second_mass"),
    ("unknown section", "[laef]\nmass = \"80 kg\"", "door.toml:2: laef: there is no such section", "did you mean \"leaf\"?"),
    ("a number for a section", "leaf = 80", "door.toml:2: leaf: found 80", "write a section [leaf]"),
    ("a list for a section", "[[leaf]]\nmass = \"80 kg\"", "door.toml:2: leaf: found a list", "write a section [leaf]"),
    ("a section for a number", "[leaf.mass]\nvalue = \"80 kg\"", "door.toml:2: leaf.mass: found a section", "write a mass"),
    ("a list for a number", "[leaf]\nmass = [\"80 kg\"]", "door.toml:3: leaf.mass: found a list", "write a mass"),
    ("yes for a number", "[leaf]\nmass = true", "door.toml:3: leaf.mass: found true", "write a mass"),
    ("a date for a number", "[leaf]\nmass = 2024-01-01", "door.toml:3: leaf.mass: found 2024-01-01", "write a mass"),
    ("duplicate key", "[leaf]\nmass = \"80 kg\"\nmass = \"90 kg\"", "door.toml:4: mass: ", "written twice"),
    ("duplicate section", "[leaf]\nmass = \"80 kg\"\n[belt]\n[leaf]\n", "door.toml:5: leaf: ", "written twice"),
    ("text without its end", "[leaf]\nmass = \"80 kg\nstroke = \"1 m\"", "door.toml:3: ", "write TOML"),
    ("no value", "[leaf]\nmass =", "door.toml:3: ", "write TOML"),
    ("no quotes", "[leaf]\nmass = 80 kg", "door.toml:3: ", "write TOML"),
    ("section without its end", "[leaf\nmass = \"80 kg\"", "door.toml:2: ", "write TOML"),
    ("another language", "{\"leaf\": {\"mass\": \"80 kg\"}}", "door.toml:2: ", "write TOML"),
    ("unknown arrangement", "arrangement = \"sideways\"", "door.toml:2: arrangement: found \"sideways\"", "\"away\" or \"towards\" or \"bi-parting\""),
    ("unknown units", "units = \"imperial\"", "door.toml:2: units: ", "\"SI\" or \"US\""),
    ("a number for a title", "title = 5", "door.toml:2: title: found 5", "in quotes"),
    ("unknown hold", "[controller]\nhold = \"tight\"", "door.toml:3: controller.hold: ", "\"zero-current\" or \"shorted\" or \"free\""),
    ("unknown action", "[obstruction]\naction = 1", "door.toml:3: obstruction.action: ", "\"reverse\" or \"stop\""),
    ("belt shorter than the stroke", "[belt]\ncentre_distance = \"0.9 m\"", "door.toml:3: belt.centre_distance: ", "at least"),
    ("creep longer than the stroke", "[closing]\ncreep_distance = \"2 m\"", "door.toml:3: closing.creep_distance: ", "at most 1 m"),
    ("second leaf that is not there", "[leaf]\nsecond_mass = \"80 kg\"", "door.toml:3: leaf.second_mass: ", "bi-parting"),
    ("obstacle wider than the door", "[obstacle]\ngap = \"3 m\"", "door.toml:3: obstacle.gap: ", "less than 1 m"),
    ("one force is no list", "[force]\ndrag = \"3 N\"", "door.toml:2: force: found a section", "[[force]]"),
    ("force on a third leaf", "[[force]]\nname = \"cord\"\nleaf = 3", "door.toml:4: the first [[force]]: leaf: \"cord\" acts on leaf 3", "this door has 1"),
    ("force on leaf zero", "[[force]]\nleaf = 0", "door.toml:3: the first [[force]]: leaf: found 0", "1 or 2"),
    ("unknown key of a force", "[[force]]\n\n[[force]]\ndarg = \"3 N\"", "door.toml:5: the second [[force]]: darg: ", "did you mean \"drag\"?"),
    ("force that ends before it begins", "[[force]]\nname = \"hand\"\nstart = \"3 s\"\nend = \"2 s\"", "door.toml:5: the first [[force]]: end: ", "larger value last"),
    ("unknown preset", "[limits]\npresets = [\"low-energy-sliding-eo\"]", "door.toml:3: limits.presets: ", "did you mean \"low-energy-sliding-eu\"?"),
    ("preset that is no list", "[limits]\npresets = \"low-energy-sliding-eu\"", "door.toml:3: limits.presets: ", "write a list"),
    ("preset listed twice", "[limits]\npresets = [\"motor-thermal\", \"motor-thermal\"]", "door.toml:3: limits.presets: ", "listed twice"),
    ("unknown limit", "[limits]\nstall_force = \"67 N\"", "door.toml:3: limits.stall_force: ", "did you mean \"stall_force_max\"?"),
    ("limit in the wrong unit", "[limits]\nstall_force_max = \"67 J\"", "door.toml:3: limits.stall_force_max: \"67 J\" is an energy", "write a force"),
    ("limit below zero", "[limits]\nstall_force_max = \"-67 N\"", "door.toml:3: limits.stall_force_max: ", "below zero"),
    ("limit without a value", "[limits]\nstall_force_max = { judge = \"limit\" }", "door.toml:3: limits.stall_force_max: has no value", "write value"),
    ("unknown judge", "[limits]\nstall_force_max = { value = \"67 N\", judge = \"strict\" }", "door.toml:3: limits.stall_force_max.judge: ", "\"limit\" or \"advisory\""),
    ("bands where there are none", "[limits]\npeak_current_max = [{ max = \"5 A\" }]", "door.toml:3: limits.peak_current_max: ", "does not differ from gap to gap"),
    ("band without a value", "[limits]\nimpact_force_max = [{ to = \"200 mm\" }]", "door.toml:3: limits.impact_force_max: a band has no max", "such as"),
    ("band that ends before it begins", "[limits]\nimpact_force_max = [{ above = \"500 mm\", to = \"200 mm\", max = \"400 N\" }]", "door.toml:3: limits.impact_force_max: ", "wider gap"),
    ("no band at all", "[limits]\nimpact_force_max = []", "door.toml:3: limits.impact_force_max: there is no band", "such as"),
    ("margin above one", "[limits]\nclose_margin = 10", "door.toml:3: limits.close_margin: 10 is not possible", "from 0 to 1"),
    ("gap of nothing", "[limits]\ngaps = [\"0 mm\"]", "door.toml:3: limits.gaps: \"0 mm\" is not possible", "wider than nothing"),
    ("gap without unit", "[limits]\ngaps = [50]", "door.toml:3: limits.gaps: 50 has no unit", "\"50 mm\""),
];

fn broken(text: &str) -> ReadError {
    parse(text, "door.toml").expect_err(text)
}

#[test]
fn every_kind_of_broken_text_gets_one_message_that_says_what_to_change() {
    assert!(BROKEN.len() >= 40);
    for (what, text, begins, says) in BROKEN {
        let error = broken(&format!("{HEAD}{text}\n"));
        let message = error.to_string();
        assert_eq!(error.problems.len(), 1, "{what}: {message}");
        assert!(message.starts_with(begins), "{what}: {message}");
        assert!(message.contains(says), "{what}: {message}");
        assert!(
            message.contains("; ") && !message.contains('\n') && message.len() < 1500,
            "{what}: {message}"
        );
    }
}

#[test]
fn every_problem_of_a_file_is_reported_in_one_go_in_the_order_of_the_file() {
    let text = "schema = 1\ncolour = 1\n[leaf]\nmass = \"80\"\nheight = \"2 kg\"\n[limits]\nstall_force_max = 67\n[closing]\nspeed = \"0 m/s\"\n";
    let problems = broken(text).problems;
    let found: Vec<_> = problems.iter().map(|problem| (problem.line, problem.key.as_str())).collect();
    let line = Some;
    let expected = [
        (line(2), "colour"),
        (line(4), "leaf.mass"),
        (line(5), "leaf.height"),
        (line(7), "limits.stall_force_max"),
        (line(9), "closing.speed"),
    ];
    assert_eq!(found, expected);
}

/// What cannot be built together is only asked once every number has been read.
#[test]
fn a_combination_is_not_blamed_on_a_number_that_could_not_be_read() {
    let problems =
        broken("schema = 1\n[leaf]\nstroke = \"3\"\n[belt]\ncentre_distance = \"3.5 m\"\n").problems;
    assert_eq!(problems.len(), 1);
    let problems =
        broken("schema = 1\n[leaf]\nstroke = \"3.4 m\"\n[belt]\ncentre_distance = \"3.5 m\"\n").problems;
    assert_eq!(problems[0].line, Some(5));
}

/// The pulleys are stroke + 1.4 m apart by default, too near for a clamp of 2 m; the line is that of the section.
#[test]
fn a_default_that_does_not_fit_is_said_to_be_a_default() {
    let error = broken("schema = 1\n\n[belt]\nclamp = \"2 m\"\n").to_string();
    assert!(
        error.starts_with("door.toml:3: belt.centre_distance: by default 2.4 m between the pulleys"),
        "{error}"
    );
    let error = broken("schema = 1\nbelt.clamp = \"2 m\"\nbelt.centre_distance = \"1 m\"\n").to_string();
    assert!(error.starts_with("door.toml:3: belt.centre_distance: 1 m between the pulleys"), "{error}");
}

#[test]
fn a_file_without_a_schema_is_told_to_add_it() {
    let error = broken("title = \"shop\"\n");
    assert_eq!(error.to_string(), "door.toml: schema: is missing; write schema = 1 at the top");
    for (text, says) in
        [("schema = \"one\"", "found \"one\""), ("schema = 0", "found 0"), ("schema = 1.0", "found 1.0")]
    {
        let error = broken(text).to_string();
        assert!(error.starts_with("door.toml:1: schema: ") && error.contains(says), "{error}");
    }
}

/// A newer file may hold anything: nothing else of it is judged.
#[test]
fn a_newer_schema_is_refused_politely_and_nothing_else_is_said() {
    let error = broken("schema = 2\n[hinges]\nnumber = 3\n");
    assert_eq!(error.problems.len(), 1);
    assert!(error.to_string().contains("written by a newer tautleaf"), "{error}");
}

#[test]
fn nothing_to_read_is_said_plainly() {
    for text in ["", "  \n\n"] {
        assert!(broken(text).to_string().contains("the file is empty"));
    }
    assert!(broken("# only a comment\n").to_string().contains("write schema = 1"));
    assert!(broken("schema = 1\n\0").to_string().contains("not text"));
}

#[test]
fn deep_nesting_and_long_lists_do_no_harm() {
    let deep = "[".repeat(200_000);
    for text in [
        format!("{HEAD}x = {deep}"),
        format!("{HEAD}x = {}", "{a=".repeat(100_000)),
        format!("{HEAD}[{}a]", "a.".repeat(100_000)),
        format!("{HEAD}{}a = 1", "a.".repeat(100_000)),
        format!("{HEAD}{}", "[[force]]\n".repeat(50_000)),
        format!("{HEAD}[limits]\ngaps = [{}]", "\"1 mm\", ".repeat(50_000)),
        format!("{HEAD}{}", "[a]\n".repeat(50_000)),
        format!("{HEAD}{}", (0..50_000).map(|n| format!("key_{n} = 1\n")).collect::<String>()),
        format!("{HEAD}[leaf]\nmass = \"{}\"", "9".repeat(900_000)),
        format!("{HEAD}{} = 1", "k".repeat(900_000)),
        format!("{HEAD}[leaf]\nmass = \"1 {}\"", "kg ".repeat(300_000)),
    ] {
        let started = Instant::now();
        let message = broken(&text).to_string();
        assert!(message.len() < 20_000, "{}", message.len());
        assert!(started.elapsed() < Duration::from_secs(10), "{:?} for {}", started.elapsed(), &text[..40]);
    }
}

/// Any change of a good file by a few bytes is read or refused.
#[test]
fn a_damaged_file_is_read_or_refused() {
    use rand::rngs::StdRng;
    use rand::{RngExt, SeedableRng};
    let good = tautleaf_scenario::commented().replace("#:", "");
    for index in 0..3000 {
        let mut rng = StdRng::seed_from_u64(index);
        let mut bytes = good.clone().into_bytes();
        for _ in 0..rng.random_range(1..4) {
            let at = rng.random_range(0..bytes.len());
            match rng.random_range(0..3) {
                0 => bytes[at] = rng.random(),
                1 => drop(bytes.drain(at..(at + rng.random_range(1..200)).min(bytes.len()))),
                _ => bytes.insert(at, b"\"'[]{}=.#\n-e0"[rng.random_range(0..13)]),
            }
        }
        if let Err(error) = tautleaf_scenario::parse_bytes(&bytes, "door.toml") {
            assert!(!error.problems.is_empty() && !error.to_string().is_empty());
        }
    }
}

fn refused(path: &Path) -> String {
    let error = read(path).expect_err("it is broken");
    assert_eq!(error.problems.len(), 1, "{error}");
    error.to_string()
}

#[test]
fn a_file_that_cannot_be_read_is_refused_with_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    assert!(refused(folder.path()).contains("this is a folder"));
    assert!(refused(&folder.path().join("none.toml")).contains("no such file"));
    assert!(refused(&at("empty.toml", b"")).contains("the file is empty"));
    assert!(
        refused(&at("binary.toml", b"\x7fELF\x02\x01\x01\xff\xfe")).contains("not text in UTF-8 (line 1)")
    );
    assert!(
        refused(&at("latin.toml", b"schema = 1\ntitle = \"T\xfcr\"\n"))
            .contains("not text in UTF-8 (line 2)")
    );
    assert!(refused(&at("utf16.toml", b"s\0c\0h\0e\0m\0a\0")).contains("this is not text"));
    let huge = folder.path().join("huge.toml");
    fs::File::create(&huge).unwrap().set_len(100 << 20).unwrap();
    assert!(refused(&huge).contains("at most 1 MiB"));
    let just_over = at("over.toml", &vec![b'#'; LARGEST_FILE as usize + 1]);
    assert!(refused(&just_over).contains("at most 1 MiB"));
}

#[cfg(unix)]
#[test]
fn what_is_no_ordinary_file_or_may_not_be_read_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    assert!(refused(Path::new("/dev/zero")).contains("no ordinary file"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("secret.toml");
    fs::write(&path, "schema = 1\n").unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
    if fs::File::open(&path).is_err() {
        // not so for the superuser, whom no permission holds back
        assert!(refused(&path).contains("permissions"));
    } else {
        assert!(read(&path).is_ok());
    }
}

#[test]
fn windows_line_ends_and_a_byte_order_mark_are_read() {
    let scenario = parse("\u{feff}schema = 1\r\n[leaf]\r\nmass = \"90 kg\"\r\n", "x").unwrap();
    assert_eq!(scenario.parameters.leaf.mass_kg, 90.0);
    let error = broken("\u{feff}schema = 1\r\n[leaf]\r\nmass = \"90\"\r\n");
    assert_eq!(error.problems[0].line, Some(3));
}

#[test]
fn sections_may_be_written_in_any_way_that_toml_knows() {
    let plain =
        parse("schema = 1\n[leaf]\nmass = \"90 kg\"\n[[force]]\nname = \"cord\"\ndrag = \"3 N\"\n", "x")
            .unwrap();
    for text in [
        "schema = 1\nleaf = { mass = \"90 kg\" }\nforce = [{ name = \"cord\", drag = \"3 N\" }]\n",
        "force = [{ name = \"cord\", drag = \"3 N\" }]\nleaf.mass = '90 kg'\nschema = 1\n",
        "schema = 0x1\n\"leaf\".\"mass\" = \"\"\"90 kg\"\"\"\n[[force]]\nname = \"cord\"\ndrag = \"3 N\"\n",
    ] {
        assert_eq!(parse(text, "x").unwrap(), plain, "{text}");
    }
    assert_ne!(plain, Scenario::default());
}
