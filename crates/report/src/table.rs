//! Results as readable text, at most 100 columns wide.

use tautleaf_physics::manual::{drift_forces_n, opening_forces_n};
use tautleaf_physics::parameters::{Arrangement, Parameters};
use tautleaf_physics::{Constants, Event, EventKind, Figure, Quantity, number};
use tautleaf_scenario::{NOT_PROOF, Scenario, units};

use crate::columns::folded;
use crate::judged::Judged;
use crate::palette::{Palette, paint};
use crate::way_back::WayBack;
use crate::{figures_text, force_text, verdict_text, warm_text, words};

/// What has to stand beside the numbers, in short. The whole list is [`tautleaf_scenario::CAUTIONS`].
pub const SHORT_CAUTIONS: &[&str] = &[
    NOT_PROOF,
    "The edition adopted on site, the local code and the authority govern; licensed practice signs where law asks.",
    "Within a limit is not the end: risk assessment, sensors, guarding, escape and maintenance remain.",
    "Impact depends on edge, belt, dead time of the controller and cold friction: read it as a band.",
];

/// Stands where a belt is to be turned.
const BELT_CAUTION: &str = "Before work on the belt: isolate mains and battery, block the leaf, follow the belt maker's tension; a \
     tight belt stores energy.";

/// A whole run: verdicts first, then figures, notes and cautions.
pub fn run(judged: &Judged<'_>, palette: &Palette) -> String {
    let mut lines = door(judged, palette);
    lines.push(String::new());
    lines.extend(verdict_text::block(judged, palette));
    lines.push(String::new());
    lines.extend(figures_text::groups(judged, palette));
    lines.extend(force_block(judged, palette));
    lines.extend(warm_text::block(judged, palette));
    lines.extend(notes(judged, palette));
    lines.extend(cautions(judged, palette));
    lines.join("\n") + "\n"
}

/// The force test alone, with force over time.
pub fn force(judged: &Judged<'_>, palette: &Palette) -> String {
    let mut lines = door(judged, palette);
    lines.extend(force_block(judged, palette));
    let curves = force_text::curves(judged, palette);
    if !curves.is_empty() {
        lines.push(String::new());
        lines.extend(curves);
    }
    if !judged.verdicts.is_empty() || judged.is_unfinished() {
        lines.push(String::new());
        lines.extend(verdict_text::block(judged, palette));
    }
    lines.extend(notes(judged, palette));
    lines.extend(cautions(judged, palette));
    lines.join("\n") + "\n"
}

fn force_block(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    if judged.run.force.is_empty() {
        return Vec::new();
    }
    let tester = judged.door.parameters().tester.stiffness_n_per_m;
    let title = format!(
        "Closing force by gap, tester {}",
        units::show(Quantity::Stiffness, tester, judged.scenario.units)
    );
    let mut lines = vec![String::new(), paint(palette.heading, &title)];
    lines.extend(force_text::table(judged, palette).into_iter().map(|line| format!("  {line}")));
    lines
}

/// Title, what it shows, and the door in a few lines.
fn door(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let scenario = judged.scenario;
    let mut lines = headed(scenario, palette);
    let shows = words::one_line(&scenario.shows);
    if !shows.is_empty() {
        lines.extend(folded(&shows, "", "").iter().map(|line| paint(palette.faint, line)));
    }
    lines.push(String::new());
    for (name, text) in parts(judged) {
        lines.extend(folded(&text, &format!("{name:<8}"), "        "));
    }
    lines
}

/// The door in words: leaf, belt, drive, motion.
fn parts(judged: &Judged<'_>) -> Vec<(&'static str, String)> {
    let p: &Parameters = judged.door.parameters();
    let show = |key: &str| shown(p, key, judged);
    let hang = match p.arrangement {
        Arrangement::Away => "opens away from the drive",
        Arrangement::Towards => "opens towards the drive",
        Arrangement::BiParting => "two leaves that part in the middle",
    };
    let mass = match p.arrangement {
        Arrangement::BiParting => format!("{} and {}", show("leaf.mass"), show("leaf.second_mass")),
        _ => show("leaf.mass"),
    };
    let behind = p.telescope.and_then(|telescope| {
        let mass = units::show(Quantity::Mass, telescope.mass_kg?, judged.scenario.units);
        let tension = units::show(Quantity::Force, telescope.tension_n, judged.scenario.units);
        Some(format!(", a slow leaf of {mass} behind each, on a second belt at {tension}"))
    });
    let hang = format!("{hang}{}", behind.unwrap_or_default());
    vec![
        (
            "Leaf",
            format!(
                "{mass}, {} wide, {} high, stroke {}, {hang}",
                show("leaf.width"),
                show("leaf.height"),
                show("leaf.stroke")
            ),
        ),
        (
            "Belt",
            format!(
                "{} wide, pitch {}, {}, installed tension {}, {} between the axes",
                show("belt.width"),
                show("belt.pitch"),
                show("belt.specific_stiffness"),
                show("belt.tension"),
                show("belt.centre_distance")
            ),
        ),
        (
            "Drive",
            format!(
                "{}, {} and {}, gear {} : 1 at efficiency {}, pulley of {} teeth",
                show("supply.voltage"),
                show("motor.resistance"),
                show("motor.torque_constant"),
                show("gear.ratio"),
                show("gear.efficiency"),
                show("pulleys.teeth")
            ),
        ),
        (
            "Motion",
            format!(
                "opens at {} with {}, held {}, closes at {} with {}",
                show("opening.speed"),
                show("opening.current_limit"),
                show("controller.hold_open"),
                show("closing.speed"),
                show("closing.current_limit")
            ),
        ),
    ]
}

fn shown(p: &Parameters, key: &str, judged: &Judged<'_>) -> String {
    let number = number(key).and_then(|number| Some((number.quantity, number.get(p)?)));
    number.map_or("-".to_owned(), |(quantity, value)| units::show(quantity, value, judged.scenario.units))
}

/// What happened that is worth a line.
fn notes(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    const MOST: usize = 12;
    let system = judged.scenario.units;
    let mut notes = force_text::notes(judged);
    if judged.is_unfinished() {
        notes.insert(0, "The door did not open and close.".to_owned());
    }
    notes.extend(false_alarms(judged));
    notes.extend(burns(judged));
    notes.extend(hard_places(judged));
    let alone = judged.door.parameters().obstacle.is_none();
    let told = |kind: &EventKind| match kind {
        EventKind::CommandOpen
        | EventKind::CommandClose
        | EventKind::ArrivedOpen
        | EventKind::ArrivedClosed
        | EventKind::SlackBegins { .. } => false,
        EventKind::ObstructionNoticed | EventKind::Reversed | EventKind::Stopped => !alone,
        _ => true,
    };
    let events: Vec<_> = judged.run.events.iter().filter(|event| told(&event.kind)).collect();
    let listed = events.iter().take(MOST);
    notes.extend(listed.map(|event| {
        format!("{}: {}", words::moment(event.at, system), words::event(&event.kind, &judged.door, system))
    }));
    if events.len() > MOST {
        notes.push(format!("and {} more events, see --json", events.len() - MOST));
    }
    bulleted("Notes", &notes, palette)
}

/// A motor that finds no steady temperature.
fn burns(judged: &Judged<'_>) -> Option<String> {
    let winding = judged.run.figures.get(Figure::WindingTemperature)?;
    (winding >= Constants::MODEL.runaway_c).then(|| {
        "At this duty the winding finds no steady temperature: the motor burns. The temperatures above stand for that.".to_owned()
    })
}

/// Where a fault of the rail makes the leaf hard to start, or lets it drift, and how it is elsewhere.
fn hard_places(judged: &Judged<'_>) -> Vec<String> {
    let door = &judged.door;
    let system = judged.scenario.units;
    if door.parameters().faults.is_empty() {
        return Vec::new();
    }
    let say = |value: f64| units::show(Quantity::Force, value, system);
    let at = |x: f64| units::show(Quantity::ShortLength, x * door.edges() as f64, system);
    let mut notes = Vec::new();
    let by_hand = opening_forces_n(door).unwrap_or_default();
    if let Some((most, elsewhere)) = stands_out(&by_hand) {
        notes.push(format!(
            "Opening by hand takes {} at {} open, where a wheel climbs; elsewhere about {}",
            say(most.1),
            at(most.0),
            say(elsewhere)
        ));
    }
    if let Some((most, elsewhere)) = stands_out(&drift_forces_n(door)) {
        notes.push(format!(
            "With the power off the leaf drifts with {} at {} open, off a fault of the rail; elsewhere {}",
            say(most.1),
            at(most.0),
            if elsewhere > 0.0 { format!("with {}", say(elsewhere)) } else { "it stays".to_owned() }
        ));
    }
    notes
}

/// The place with the most force, where that is a fifth more than at half of all places, and what it is there.
fn stands_out(forces: &[(f64, f64)]) -> Option<((f64, f64), f64)> {
    let most = forces.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let mut sorted: Vec<f64> = forces.iter().map(|(_, force)| *force).collect();
    sorted.sort_by(f64::total_cmp);
    let half = sorted[sorted.len() / 2];
    (most.1 > 1.2 * half && most.1 > 1.0).then_some((most, half))
}

/// Obstructions that the controller noticed although nothing is in the way, in one line.
fn false_alarms(judged: &Judged<'_>) -> Option<String> {
    if judged.door.parameters().obstacle.is_some() {
        return None;
    }
    let noticed = |event: &&Event| event.kind == EventKind::ObstructionNoticed;
    let times = judged.run.events.iter().filter(noticed).count();
    let first = judged.run.events.iter().find(noticed)?;
    let often = if times == 1 { String::new() } else { format!(", {times} times in all") };
    let at = words::moment(first.at, judged.scenario.units);
    Some(format!(
        "{at}: the controller takes a leaf that is stuck or too slow for an obstruction{often}; nothing is in the way"
    ))
}

fn cautions(judged: &Judged<'_>, palette: &Palette) -> Vec<String> {
    let turns_belt = judged
        .ways_back
        .iter()
        .filter_map(WayBack::setting)
        .flat_map(|remedy| &remedy.changes)
        .any(|change| change.key.starts_with("belt."));
    let extra = turns_belt.then_some(BELT_CAUTION);
    let texts: Vec<String> = SHORT_CAUTIONS.iter().copied().chain(extra).map(str::to_owned).collect();
    bulleted("Cautions", &texts, palette)
}

/// The title of a door as the first lines of a text.
pub(crate) fn headed(scenario: &Scenario, palette: &Palette) -> Vec<String> {
    folded(&words::title(scenario), "", "").iter().map(|line| paint(palette.heading, line)).collect()
}

pub(crate) fn bulleted(title: &str, texts: &[String], palette: &Palette) -> Vec<String> {
    if texts.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![String::new(), paint(palette.heading, title)];
    for text in texts {
        lines.extend(folded(text, "  - ", "    "));
    }
    lines
}
