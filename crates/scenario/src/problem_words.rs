//! What is wrong with a door, or unusual about it, in words and in the units of who reads them. No other place has any.

use tautleaf_physics::{OutOfRange, ProblemKind, Quantity};

use crate::units::{self, UnitSystem, quoted};

/// A problem in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProblemWords {
    /// What was found.
    pub found: String,
    /// What would do.
    pub would_do: String,
}

/// Stiffness of the mesh of a stiff gear at the belt, N/m: judgement.
const STIFF_MESH_N_PER_M: f64 = 2e6;

/// A problem in words. Two values that are compared are shown with as many digits as tell them apart.
pub fn problem_words(kind: &ProblemKind, system: UnitSystem) -> ProblemWords {
    use ProblemKind as Kind;
    let show = |quantity, value| shown(quantity, value, system);
    let most = |found, most| compared(found, most, Round::Down, system);
    let least = |found, least| compared(found, least, Round::Up, system);
    let both = |one, other| compared(one, other, Round::Nearest, system);
    let length = |value| (Quantity::Length, value);
    let short = |value| (Quantity::ShortLength, value);
    let words = |found: String, would_do: String| ProblemWords { found, would_do };
    match kind {
        Kind::Impossible(out) => out_of_range(out, false, system),
        Kind::Unusual(out) => out_of_range(out, true, system),
        Kind::NotWhole { value } => words(format!("found {value}"), "write a whole number".to_owned()),
        Kind::NoBeltAhead { distance_m, least_m } => {
            let (distance, least) = least(length(*distance_m), length(*least_m));
            let found = format!("{distance} between the pulleys leaves no belt ahead of the open leaf");
            words(found, format!("stroke and clamp need at least {least}"))
        }
        Kind::PulleysOverlap { distance_m, radii_m } => {
            let (distance, radii) = both(length(*distance_m), length(*radii_m));
            let found = format!("{distance} between the axes, but the pitch radii add up to {radii}");
            words(found, "move the pulleys apart or make them smaller".to_owned())
        }
        Kind::CreepTooLong { creep_m, travel_m } => {
            let (creep, travel) = most(short(*creep_m), length(*travel_m));
            words(format!("{creep} is longer than the travel"), format!("at most {travel}"))
        }
        Kind::StopsTooEarly { distance_m, half_m } => {
            let (distance, half) = most(short(*distance_m), length(*half_m));
            words(format!("{distance} is half the travel or more"), format!("less than {half}"))
        }
        Kind::PartialBeyondStroke { opening_m, stroke_m } => {
            let (opening, stroke) = most(length(*opening_m), length(*stroke_m));
            words(format!("{opening} is more than the stroke"), format!("at most {stroke}"))
        }
        Kind::EndSealTooLong { length_m, stroke_m } => {
            let (seal, stroke) = most(short(*length_m), length(*stroke_m));
            words(format!("{seal} is longer than the stroke"), format!("at most {stroke}"))
        }
        Kind::NoSecondLeaf => words(
            "there is only one leaf".to_owned(),
            "leave it out, or write arrangement = \"bi-parting\"".to_owned(),
        ),
        Kind::ObstacleTooWide { gap_m, width_m } => {
            let (gap, width) = most(length(*gap_m), length(*width_m));
            words(format!("{gap} is as wide as the open door"), format!("less than {width}"))
        }
        Kind::NowhereToPush => words(
            "two leaves squeeze the obstacle between them: there is nowhere to push it".to_owned(),
            "leave it out: it floats between the edges".to_owned(),
        ),
        Kind::PersonTooWide { needs_m, opens_m } => {
            let (needs, opens) = most(length(*needs_m), length(*opens_m));
            words(format!("{needs} is no less than this door opens"), format!("less than {opens}"))
        }
        Kind::ClampBelowBus { clamp_v, bus_v } => {
            let (clamp, bus) = least((Quantity::Voltage, *clamp_v), (Quantity::Voltage, *bus_v));
            words(format!("{clamp} is below the bus voltage"), format!("at least {bus}"))
        }
        Kind::BatteryWithCurrentLimit => words(
            "a battery is limited by its inner resistance".to_owned(),
            "leave it out, or write kind = \"mains\"".to_owned(),
        ),
        Kind::BusTooSmall { capacitance_f, least_f, current_a } => {
            let farads = |value| (Quantity::Capacitance, value);
            let (has, needs) = least(farads(*capacitance_f), farads(*least_f));
            let amperes = show(Quantity::Current, *current_a);
            let found = format!("{has} does not carry the bus through one tick at {amperes}");
            words(found, format!("at least {needs}"))
        }
        Kind::ForceOnNoLeaf { name, leaf, leaves } => {
            let would_do = format!("{}, or leave it out for every leaf", which_leaf(*leaves));
            words(format!("{} acts on leaf {leaf}", named(name)), would_do)
        }
        Kind::FaultOnNoLeaf { name, leaf, leaves } => {
            words(format!("{} is on leaf {leaf}", named(name)), which_leaf(*leaves))
        }
        Kind::EndsBeforeItBegins { name, from, to, quantity } => {
            let (to, from) = both((*quantity, *to), (*quantity, *from));
            let found = format!("{} ends at {to} before it begins at {from}", named(name));
            words(found, "write the larger value last".to_owned())
        }
        Kind::TooHighToClimb { name, height_m, radius_m } => {
            let down = *height_m < 0.0;
            let half_m = if down { -radius_m / 2.0 } else { radius_m / 2.0 };
            let (height, half) = if down {
                least(short(*height_m), short(half_m))
            } else {
                most(short(*height_m), short(half_m))
            };
            let radius = show(Quantity::ShortLength, *radius_m);
            let found = format!("{} is {height} high, the roller's radius is {radius}", named(name));
            let bound = if down { "at least" } else { "at most" };
            words(found, format!("{bound} {half}, half the radius: no roller climbs more"))
        }
        Kind::OnlyAStepGoesDown { name, height_m } => {
            let height = show(Quantity::ShortLength, *height_m);
            let found = format!("{} is {height} high", named(name));
            words(found, "0 or more; only a step may go down".to_owned())
        }
        Kind::TooSlowToFollow => words(
            "a door this slow, with a body this light on a belt this stiff, cannot be followed in time"
                .to_owned(),
            "more speed, a softer belt, less damping, a longer clamp, or more inertia in pulleys and rotor"
                .to_owned(),
        ),
        Kind::StrandSags { tension_n, least_n, sag } => {
            let (tension, least) = least((Quantity::Force, *tension_n), (Quantity::Force, *least_n));
            let percent = units::show(Quantity::Number, 100.0 * sag, system);
            let found = format!(
                "at {tension} the longest strand sags more than {percent} % of its span and is softer than computed"
            );
            words(found, format!("at least {least}"))
        }
        Kind::StrainsTheBelt { tension_n, strain, allowable_strain, most_n } => {
            let (tension, most) = most((Quantity::Force, *tension_n), (Quantity::Force, *most_n));
            let found = format!("{tension} strains the belt by {:.2} %", 100.0 * strain);
            let about = units::show(Quantity::Number, 100.0 * allowable_strain, system);
            words(
                found,
                format!("makers' tables allow about {about} %: {most}; follow the maker of the belt"),
            )
        }
        Kind::LocksItself { efficiency } => words(
            format!(
                "efficiency {efficiency} locks itself: the leaf cannot be moved by hand with the power off"
            ),
            "above 0.5, or a release".to_owned(),
        ),
        Kind::BacklashBetweenRigidParts { backlash_m } => {
            let backlash = show(Quantity::ShortLength, *backlash_m);
            let stiff = show(Quantity::Stiffness, STIFF_MESH_N_PER_M);
            words(
                format!("a play of {backlash} does nothing while rotor and pulley are rigid"),
                format!("set gear.mesh_stiffness too, {stiff} for a stiff gear"),
            )
        }
        Kind::OpenStopIsHit { behind_m, least_m } => {
            let (behind, least) = least(short(*behind_m), short(*least_m));
            let found = format!("the open stop is {behind} behind fully open and is hit at every opening");
            words(found, format!("{least} or more"))
        }
    }
}

/// What a number may be: `mass of one leaf: between 0.1 kg and 5000 kg`.
pub(crate) fn between(says: &str, quantity: Quantity, range: (f64, f64), system: UnitSystem) -> String {
    let [low, high] = [range.0, range.1].map(|end| units::show(quantity, end, system));
    format!("{says}: between {low} and {high}")
}

/// A number outside its possible or its usual range.
fn out_of_range(out: &OutOfRange, usual: bool, system: UnitSystem) -> ProblemWords {
    let OutOfRange { value, range: (low, high), quantity, says } = *out;
    let mut texts = [value, low, high].map(|value| shown(quantity, value, system));
    let reads = |text: &String| units::parse_quantity(quantity, text);
    // 44.09 lb is not between 44.09 lb and 881.8 lb: then every digit is shown
    if let (Ok(value), Ok(low), Ok(high)) = (reads(&texts[0]), reads(&texts[1]), reads(&texts[2]))
        && (low..=high).contains(&value)
    {
        texts = [out.value, out.range.0, out.range.1].map(|value| units::format(quantity, value, system));
    }
    let [value, low, high] = texts;
    if usual {
        let would_do = format!("{says}: usual is {low} to {high}");
        ProblemWords { found: format!("{value} is unusual"), would_do }
    } else {
        let would_do = format!("{says}: between {low} and {high}");
        ProblemWords { found: format!("{value} is not possible"), would_do }
    }
}

/// Which way a value is rounded: a bound that is shown has to do, so that a lower one goes up.
#[derive(Clone, Copy, PartialEq)]
enum Round {
    Up,
    Down,
    Nearest,
}

/// What was found and what it is compared with. Where four digits do not tell them apart, every digit of both is shown.
fn compared(
    (quantity, found): (Quantity, f64),
    (bound_quantity, bound): (Quantity, f64),
    round: Round,
    system: UnitSystem,
) -> (String, String) {
    let texts = (shown(quantity, found, system), rounded(bound_quantity, bound, round, system));
    let reads = |quantity, text: &str| units::parse_quantity(quantity, text).unwrap_or(f64::NAN);
    let apart = reads(quantity, &texts.0).partial_cmp(&reads(bound_quantity, &texts.1));
    if found == bound || apart == found.partial_cmp(&bound) || !found.is_finite() || !bound.is_finite() {
        return texts;
    }
    (units::format(quantity, found, system), units::format(bound_quantity, bound, system))
}

/// A value with four digits, the last of which is rounded this way.
fn rounded(quantity: Quantity, bound: f64, round: Round, system: UnitSystem) -> String {
    const DIGITS: i32 = 4;
    // what the text says may differ from the bound by what a float does
    const SAME: f64 = 1e-12;
    let text = shown(quantity, bound, system);
    let Ok(read) = units::parse_quantity(quantity, &text) else { return text };
    let room = SAME * bound.abs();
    let does = match round {
        Round::Up => read >= bound - room,
        Round::Down => read <= bound + room,
        Round::Nearest => true,
    };
    if does {
        return text;
    }
    let in_unit = units::to_shown(quantity, bound, system);
    let last = 10f64.powi((in_unit.abs().log10().floor() as i32 + 1 - DIGITS).min(0));
    let steps = if round == Round::Up { (in_unit / last).ceil() } else { (in_unit / last).floor() };
    shown(quantity, units::from_shown(quantity, steps * last, system), system)
}

/// A value with its unit; what is no finite number too.
fn shown(quantity: Quantity, value: f64, system: UnitSystem) -> String {
    if value.is_finite() {
        return units::show(quantity, value, system);
    }
    format!("{value} {}", units::unit(quantity, system)).trim_end().to_owned()
}

/// An entry of a list by its name, if it has one.
fn named(name: &str) -> String {
    if name.is_empty() { "it".to_owned() } else { quoted(name) }
}

/// Which leaf may be written on a door with so many.
fn which_leaf(leaves: usize) -> String {
    match leaves {
        1 => "this door has 1 leaf: write 1".to_owned(),
        2 => "this door has 2 leaves: write 1 or 2".to_owned(),
        many => format!("this door has {many} leaves: write one from 1 to {many}"),
    }
}

/// `first`, `second`, ..., `tenth`, `11th`: the place in a list, from 0.
pub(crate) fn ordinal(entry: usize) -> String {
    const WORDS: [&str; 10] =
        ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];
    if let Some(word) = WORDS.get(entry) {
        return (*word).to_owned();
    }
    let number = entry + 1;
    let ending = match (number % 100, number % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_is_counted_as_one_speaks() {
        let spoken: Vec<String> = [0, 1, 9, 10, 11, 20, 21, 22, 23, 99].into_iter().map(ordinal).collect();
        assert_eq!(
            spoken,
            ["first", "second", "tenth", "11th", "12th", "21st", "22nd", "23rd", "24th", "100th"]
        );
    }

    /// What is shown as a bound is rounded to the side that does: 2.40512 m is at least 2.406 m and at most 2.405 m.
    #[test]
    fn what_would_do_does_although_it_is_rounded() {
        for system in [UnitSystem::Si, UnitSystem::Us] {
            for bound in [2.405_12, 2.405, 0.012_345_6, 1.0, 123.456, -0.004_321_5] {
                for round in [Round::Up, Round::Down] {
                    let text = rounded(Quantity::Length, bound, round, system);
                    let read = units::parse_quantity(Quantity::Length, &text).unwrap();
                    let does = if round == Round::Up { read > bound - 1e-11 } else { read < bound + 1e-11 };
                    assert!(does && (read / bound - 1.0).abs() < 1e-3, "{text} for {bound}");
                }
            }
        }
        assert_eq!(rounded(Quantity::Length, 2.405_12, Round::Up, UnitSystem::Si), "2.406 m");
        assert_eq!(rounded(Quantity::Length, 2.405_12, Round::Down, UnitSystem::Si), "2.405 m");
    }

    #[test]
    fn values_that_round_to_the_same_are_told_apart() {
        let kind = ProblemKind::PartialBeyondStroke { opening_m: 1.000_01, stroke_m: 1.0 };
        let words = problem_words(&kind, UnitSystem::Si);
        assert_eq!(words.found, "1.00001 m is more than the stroke");
        assert_eq!(words.would_do, "at most 1 m");
        let light =
            OutOfRange { value: 19.9999, range: (20.0, 400.0), quantity: Quantity::Mass, says: "mass" };
        let words = problem_words(&ProblemKind::Unusual(light), UnitSystem::Si);
        assert_eq!(
            (words.found.as_str(), words.would_do.as_str()),
            ("19.9999 kg is unusual", "mass: usual is 20 kg to 400 kg")
        );
    }

    #[test]
    fn what_is_no_number_is_said_to_be_none() {
        let out =
            OutOfRange { value: f64::NAN, range: (20.0, 400.0), quantity: Quantity::Mass, says: "mass" };
        assert_eq!(
            problem_words(&ProblemKind::Impossible(out), UnitSystem::Us).found,
            "NaN lb is not possible"
        );
    }
}
