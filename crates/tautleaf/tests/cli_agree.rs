//! Every command and the window say the same of a door: twenty drawn doors, each number compared wherever it is shown.

mod black_box;

use std::collections::BTreeMap;

use black_box::{Folder, tautleaf};
use serde_json::Value;
use tautleaf_app::live::Live;
use tautleaf_physics::{Outcome, Parameters, number};
use tautleaf_scenario::{Scenario, parse, to_text};
use tautleaf_tests::coherent_door;

const SEED: u64 = 11;
const DOORS: u64 = 20;
/// What is written with its units and read back may be off in the last digit, and a run carries that on.
const SAME: f64 = 1e-6;

/// Limits of every kind, with ratings: some doors keep them and some do not.
const LIMITS: &str = "schema = 1\ntitle = \"Drawn\"\n[ratings]\nallowable_tension = \"900 N\"\npeak_current = \"9 A\"\n\
    shaft_load = \"1500 N\"\n[limits]\npresets = [\"force-by-gap-comparison\"]\nkinetic_energy_closing_max = \"10 J\"\nstall_force_max = \"180 N\"\n\
    opening_time_max = \"6 s\"\nclosing_time_max = \"9 s\"\nleast_tension_min = \"5 N\"\nenergy_per_cycle_max = \"200 J\"\n";

/// A drawn door with these limits.
fn drawn(index: u64) -> Scenario {
    let mut scenario = parse(LIMITS, "drawn.toml").expect("a door file");
    scenario.parameters = Parameters { edge: scenario.parameters.edge, ..coherent_door(SEED, index) };
    let speed = &mut scenario.parameters.closing.speed_m_per_s;
    *speed = (1000.0 * *speed).round() / 1000.0;
    scenario
}

/// What one command says: figures by name, limits by key with outcome.
#[derive(Default)]
struct Said {
    by: &'static str,
    figures: BTreeMap<String, f64>,
    /// Value and whether it is kept; `None`: not judged.
    limits: BTreeMap<String, (Option<f64>, Option<bool>)>,
}

/// Whether an outcome keeps its limit.
fn kept(outcome: &str) -> Option<bool> {
    (outcome != "not-judged").then_some(outcome != "over")
}

impl Said {
    fn figures(mut self, figures: &Value) -> Self {
        let figures = figures.as_object().expect("figures by name");
        self.figures.extend(figures.iter().filter_map(|(name, value)| Some((name.clone(), value.as_f64()?))));
        self
    }

    fn limit(&mut self, key: &Value, value: &Value, kept: Option<bool>) {
        self.limits.insert(key.as_str().expect("a key").to_owned(), (value.as_f64(), kept));
    }

    fn verdicts(mut self, verdicts: &Value) -> Self {
        for verdict in verdicts.as_array().expect("verdicts") {
            self.limit(
                &verdict["key"],
                &verdict["value"],
                kept(verdict["outcome"].as_str().expect("a word")),
            );
        }
        self
    }

    /// One row of a table of runs.
    fn row(mut self, csv: &str, row: usize) -> Self {
        let mut table = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(csv.as_bytes());
        let names = table.headers().expect("a header").clone();
        let row = table.records().nth(row).expect("a row").expect("readable");
        for (name, cell) in names.iter().zip(&row) {
            if let Some(key) = name.strip_suffix(".kept") {
                self.limits.insert(key.to_owned(), (None, (!cell.is_empty()).then_some(cell == "1")));
            } else if let Ok(value) = cell.parse() {
                self.figures.insert(name.to_owned(), value);
            }
        }
        self
    }

    /// Every number and outcome that both say is the same. How many were compared.
    fn agrees(&self, other: &Self, door: &str) -> usize {
        let pair = format!("{} and {} on {door}", self.by, other.by);
        let same = |a: f64, b: f64| (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1e-3);
        let mut compared = 0;
        for (name, a) in &self.figures {
            let Some(b) = other.figures.get(name) else { continue };
            assert!(same(*a, *b), "{pair}: {name} is {a} and {b}");
            compared += 1;
        }
        for (key, (a, a_kept)) in &self.limits {
            let Some((b, b_kept)) = other.limits.get(key) else { continue };
            if let (Some(a), Some(b)) = (a, b) {
                assert!(same(*a, *b), "{pair}: {key} is {a} and {b}");
            }
            assert_eq!(a_kept, b_kept, "{pair}: {key} with {a:?} and {b:?}");
            compared += 1;
        }
        compared
    }
}

/// What a command answers in data. Only 0 and 1 are answers.
fn answer(arguments: &[&str]) -> Value {
    let answer = tautleaf(arguments);
    assert!([0, 1].contains(&answer.code), "{arguments:?}: {}", answer.err);
    answer.json()
}

fn run(file: &str, by: &'static str) -> Said {
    let run = answer(&["run", file, "--json"]);
    Said { by, ..Said::default() }.figures(&run["figures"]).verdicts(&run["verdicts"])
}

fn force(file: &str) -> Said {
    Said { by: "force", ..Said::default() }.verdicts(&answer(&["force", file, "--json"])["verdicts"])
}

fn advise(file: &str) -> Said {
    let mut said = Said { by: "advise", ..Said::default() };
    for limit in answer(&["advise", file, "--json"])["limits"].as_array().expect("limits") {
        let outcome = limit["outcome_before"].as_str().expect("a word");
        said.limit(&limit["key"], &limit["value_before"], kept(outcome));
    }
    said
}

fn table(arguments: &[&str], folder: &Folder) -> String {
    let table = folder.path("table.csv");
    let made = tautleaf(&[arguments, &["--csv", &table]].concat());
    assert!([0, 1].contains(&made.code), "{arguments:?}: {}", made.err);
    std::fs::read_to_string(&table).expect("a table")
}

fn sweep(file: &str, scenario: &Scenario, folder: &Folder) -> Said {
    let speed = scenario.parameters.closing.speed_m_per_s;
    let over = format!("closing.speed={speed} m/s..{} m/s:2", 1.1 * speed);
    Said { by: "sweep", ..Said::default() }.row(&table(&["sweep", file, "--over", &over], folder), 0)
}

/// The first door of a study, and that very door run by itself.
fn spread(file: &str, scenario: &Scenario, folder: &Folder) -> (Said, Said) {
    let table = table(&["spread", file, "--runs", "1"], folder);
    let said = Said { by: "spread", ..Said::default() }.row(&table, 0);
    let mut drawn = scenario.clone();
    for (key, value) in &said.figures {
        if let Some(number) = number(key) {
            assert!(number.set(&mut drawn.parameters, Some(*value)), "{key}");
        }
    }
    (said, run(&folder.write("of-study.toml", to_text(&drawn)), "the drawn door"))
}

fn window(scenario: &Scenario) -> Said {
    let live = Live::of(scenario).expect("a door");
    let mut said = Said { by: "window", ..Said::default() };
    let figures = live.run.figures.iter().map(|(figure, reading)| (figure.name().to_owned(), reading.value));
    said.figures.extend(figures);
    for verdict in &live.verdicts {
        let kept = (verdict.outcome != Outcome::NotJudged).then_some(verdict.outcome != Outcome::Over);
        said.limits.insert(verdict.limit.key.clone(), (verdict.value, kept));
    }
    said
}

/// What is chosen, and the door file that is written with it.
fn choose(file: &str, folder: &Folder) -> Option<(Said, Said)> {
    let out = folder.path("chosen.toml");
    let found = answer(&["choose", file, "--voltage", "24 V", "--gear", "worm", "--json", "--out", &out]);
    let first = found["does"].as_array().expect("those that do").first()?;
    let mut said = Said { by: "choose", ..Said::default() };
    let energy = first["energy_per_cycle_j"].as_f64().expect("an energy");
    said.figures.insert("energy_per_cycle_j".to_owned(), energy);
    for check in first["checks"].as_array().expect("checks").iter().filter(|check| !check["limit"].is_null())
    {
        let margin = check["margin"].as_f64().expect("a margin");
        said.limit(&check["limit"], &check["value"], Some(margin >= 0.0));
    }
    Some((said, run(&out, "the chosen door")))
}

/// What is tuned, and the door file that is written with it.
fn tune(file: &str, folder: &Folder) -> Option<[Said; 3]> {
    let out = folder.path("tuned.toml");
    let found = answer(&["tune", file, "--json", "--out", &out]);
    let before = Said { by: "tune, before", ..Said::default() }.figures(&found["figures_before"]);
    let keeps = found["keeps"].as_bool().expect("a word");
    let after = Said { by: "tune, after", ..Said::default() }.figures(&found["figures_after"]);
    keeps.then(|| [before, after, run(&out, "the tuned door")])
}

fn agree(one: &Said, other: &Said, door: &str, at_least: usize) {
    let compared = one.agrees(other, door);
    assert!(compared >= at_least, "{} and {} share {compared} numbers", one.by, other.by);
}

#[test]
fn commands_and_window_agree_on_twenty_doors() {
    for index in 0..DOORS {
        let (folder, scenario) = (Folder::new(), drawn(index));
        let text = to_text(&scenario);
        let file = folder.write("drawn.toml", &text);
        let mut said = vec![
            (run(&file, "run"), 40),
            (window(&scenario), 40),
            (sweep(&file, &scenario, &folder), 40),
            (force(&file), 3),
        ];
        // what runs a door again and again does so on some
        let in_depth = index % 10 == 0;
        if in_depth {
            said.push((advise(&file), 8));
        }
        for (n, (one, least)) in said.iter().enumerate() {
            said[n + 1..].iter().for_each(|(other, most)| agree(one, other, &text, *least.min(most)));
        }
        if in_depth {
            let (drawn, alone) = spread(&file, &scenario, &folder);
            agree(&drawn, &alone, &text, 40);
        }
    }
}

#[test]
fn what_is_chosen_and_tuned_runs_as_it_was_said() {
    let mut compared = 0;
    for index in 0..2 {
        let (folder, mut scenario) = (Folder::new(), drawn(index));
        scenario.limits.presets.clear();
        let text = to_text(&scenario);
        let file = folder.write("drawn.toml", &text);
        if let Some((chosen, ran)) = choose(&file, &folder) {
            agree(&chosen, &ran, &text, 6);
            compared += 1;
        }
        if let Some([before, after, tuned]) = tune(&file, &folder) {
            agree(&before, &run(&file, "run"), &text, 30);
            agree(&after, &tuned, &text, 30);
            compared += 1;
        }
    }
    assert!(compared >= 2, "{compared}");
}
