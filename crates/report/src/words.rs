//! Names, numbers and sentences, as every format says them.

use tautleaf_physics::parameters::{FaultKind, Hanger, Turn};
use tautleaf_physics::{
    Door, EventKind, Figure, Judge, Known, Limit, Moment, Outcome, Quantity, Rule, State, Verdict, number,
};
use tautleaf_scenario::{Scenario, UnitSystem, known_in_words, units};
use tautleaf_trials::{Change, Remedy};

/// The word for an outcome.
pub fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "within",
        Outcome::Close => "close",
        Outcome::Over => "over",
        Outcome::NotJudged => "not judged",
    }
}

/// The word for what going over a limit means.
pub fn judge(judge: Judge) -> &'static str {
    match judge {
        Judge::Limit => "limit",
        Judge::Advisory => "advisory",
    }
}

/// The word for what the controller is doing.
pub fn state(state: State) -> &'static str {
    match state {
        State::Closed => "closed",
        State::Opening => "opening",
        State::Open => "open",
        State::Closing => "closing",
        State::Stopped => "stopped",
        State::Reversing => "reversing",
        State::Learning => "learning",
        State::Off => "off",
    }
}

/// Title of a door on one line.
pub fn title(scenario: &Scenario) -> String {
    let title = one_line(&scenario.title);
    if title.is_empty() { "A door without a title".to_owned() } else { title }
}

/// Text of a user without what would upset a terminal or a document: one line, at most 200 characters.
pub fn one_line(text: &str) -> String {
    const LONGEST: usize = 200;
    let spaced: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let line = words.join(" ");
    match line.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}...", &line[..end]),
        None => line,
    }
}

/// Quantity of a figure as it is spoken of: slack and settling are times of milliseconds.
pub fn quantity_of(figure: Figure) -> Quantity {
    match figure {
        Figure::SlackTime | Figure::LiftTime => Quantity::ShortTime,
        _ => figure.quantity(),
    }
}

/// The value of a figure with its unit.
pub fn figure_value(figure: Figure, value: f64, system: UnitSystem) -> String {
    units::show(quantity_of(figure), value, system)
}

/// When and where: `at 7.42 s, 312 mm open`.
pub fn moment(at: Moment, system: UnitSystem) -> String {
    let open = units::show(Quantity::ShortLength, tidy(at.clear_opening_m), system);
    format!("at {} s, {open} open", decimals(at.t_s, 2))
}

/// A length without rounding noise: whole micrometres.
fn tidy(length_m: f64) -> f64 {
    (length_m * 1e6).round() / 1e6 + 0.0
}

/// A number with a fixed count of decimals, without a minus in front of nothing.
pub fn decimals(value: f64, count: usize) -> String {
    let text = format!("{value:.count$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

/// The share of what a limit allows that is used, as a percentage that stays short. A hundred stands for all of it
/// and nothing else: a share beside it has the decimals that tell it apart.
pub fn share_used(share: f64) -> String {
    if share > 9.99 {
        return "> 999 %".to_owned();
    }
    let shown = |places| decimals(100.0 * share, places);
    let is_apart = |&places: &usize| share == 1.0 || shown(places) != decimals(100.0, places);
    format!("{} %", shown((0..=6).find(is_apart).unwrap_or(0)))
}

/// Name of what a limit judges: `Peak current`, or `Peak current (rating)` where it is a rating of drive or belt.
pub fn limit_label(limit: &Limit) -> String {
    match limit.figure {
        Some(figure) if limit.is_rating() => rating_label(figure),
        Some(figure) if limit.is_of_sound_door() => format!("{} (sound door)", figure.label()),
        Some(figure) => figure.label().to_owned(),
        None => key_in_words(&limit.key),
    }
}

/// Name of a rating that judges a figure: `Peak current (rating)`.
pub fn rating_label(figure: Figure) -> String {
    format!("{} (rating)", figure.label())
}

/// `head_gap_min` -> `Head gap`.
fn key_in_words(key: &str) -> String {
    let stem = key.strip_suffix("_max").or_else(|| key.strip_suffix("_min")).unwrap_or(key);
    let mut words = stem.replace('_', " ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}

/// Whether the figure has to be at least what is allowed.
pub fn is_least(rule: &Rule) -> bool {
    matches!(rule, Rule::AtLeast(_) | Rule::LowEnergyLeastTime)
}

/// A value and what is allowed, both in the unit in which the limit is written.
pub fn value_and_allowed(verdict: &Verdict) -> (Option<String>, Option<String>) {
    let Some(figure) = verdict.limit.figure else { return (None, None) };
    let show = |value: f64| units::show_in(figure.quantity(), value, &verdict.limit.unit);
    let (value, allowed) = (verdict.value.map(show), verdict.allowed.map(show));
    match (verdict.value, verdict.outcome) {
        // Over by less than four digits show: say all of them.
        (Some(exact), Outcome::Over) if value == allowed => {
            let exact = units::format_in(figure.quantity(), exact, &verdict.limit.unit);
            (exact.or(value), allowed)
        }
        _ => (value, allowed),
    }
}

/// What a limit asks, in its own unit: `at most 15 J`.
pub fn asks(limit: &Limit) -> String {
    let quantity = limit.figure.map_or(Quantity::Number, Figure::quantity);
    let show = |value: f64| units::show_in(quantity, value, &limit.unit);
    match &limit.rule {
        Rule::AtMost(value) => format!("at most {}", show(*value)),
        Rule::AtLeast(value) => format!("at least {}", show(*value)),
        Rule::AtMostByGap(bands) => {
            let gap = |gap: f64| units::show(Quantity::ShortLength, gap, UnitSystem::Si);
            let band = |band: &tautleaf_physics::Band| {
                let most = show(band.at_most);
                match (band.above_m > 0.0, band.to_m.is_finite()) {
                    (false, false) => format!("at most {most}"),
                    (false, true) => format!("at most {most} at gaps up to {}", gap(band.to_m)),
                    (true, false) => format!("{most} above {}", gap(band.above_m)),
                    (true, true) => format!("{most} above {} up to {}", gap(band.above_m), gap(band.to_m)),
                }
            };
            bands.iter().map(band).collect::<Vec<_>>().join(", ")
        }
        Rule::ClosingSpeedByWeight => "at most 1 ft/s, above 160 lb sqrt(160 lb / weight) ft/s".to_owned(),
        Rule::LowEnergyLeastTime => "at least D sqrt(m / 3.38 J), rounded up to 0.1 s".to_owned(),
        Rule::WindingRiseByClass => "at most the rise of its insulation class".to_owned(),
        Rule::AllowableTension => "at most 0.4 % strain of its cords".to_owned(),
        Rule::WindingTemperatureByClass => "at most the temperature of its insulation class".to_owned(),
        Rule::OnSite(what) => what.clone(),
    }
}

/// How far a value is from its limit: `22 % to spare`, `28 % over`, `15 % short`, `290 times as much`. Empty where
/// nothing at all is allowed.
pub fn margin(verdict: &Verdict) -> String {
    let (Some(margin), Some(allowed)) = (verdict.margin, verdict.allowed) else { return String::new() };
    if allowed == 0.0 {
        return String::new();
    }
    let percent = 100.0 * margin.abs();
    let places = if percent < 0.995 { 2 } else { usize::from(percent < 9.95) };
    let percent = format!("{} %", decimals(percent, places));
    match (margin < 0.0, is_least(&verdict.limit.rule)) {
        (false, _) => format!("{percent} to spare"),
        (true, true) => format!("{percent} short"),
        (true, false) if margin < -2.0 => format!("{} times as much", decimals(1.0 - margin, 0)),
        (true, false) => format!("{percent} over"),
    }
}

/// Where a verdict was worst: `at the 300 mm gap`, or when and at which opening.
pub fn place(verdict: &Verdict, system: UnitSystem) -> Option<String> {
    match (verdict.gap_m, verdict.at) {
        (Some(gap), _) => {
            Some(format!("at the {} gap", units::show(Quantity::ShortLength, tidy(gap), system)))
        }
        (None, Some(at)) => Some(moment(at, system)),
        (None, None) => None,
    }
}

/// Value and allowed value: `312 N of 400 N`, `3.2 s of at least 3 s`.
pub fn value_of_allowed(verdict: &Verdict) -> String {
    let least = if is_least(&verdict.limit.rule) { "at least " } else { "" };
    match value_and_allowed(verdict) {
        (Some(value), Some(allowed)) => format!("{value} of {least}{allowed}"),
        (None, Some(allowed)) => {
            format!("{} {allowed}", if least.is_empty() { "at most" } else { "at least" })
        }
        (value, None) => value.unwrap_or_default(),
    }
}

/// A verdict as a sentence: `Impact force 312 N of 400 N: within, 22 % to spare, at the 300 mm gap`.
pub fn sentence(verdict: &Verdict, system: UnitSystem) -> String {
    let label = limit_label(&verdict.limit);
    let word = outcome(verdict.outcome);
    if verdict.outcome == Outcome::NotJudged {
        let why = verdict.why.as_deref().unwrap_or("this run does not give it");
        return format!("{label}: {word}: {why}");
    }
    let margin = margin(verdict);
    // `28 % over` says it all, `within` needs its margin beside it
    let word = if margin.ends_with(word) { String::new() } else { word.to_owned() };
    let parts = [word, margin, place(verdict, system).unwrap_or_default()];
    let said = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
    format!("{label} {}: {said}", value_of_allowed(verdict))
}

/// Where a limit is from, how well it is known, and which preset filled it in.
pub fn source(limit: &Limit) -> String {
    let known = match limit.known {
        Known::User | Known::Rating => String::new(),
        known => format!("; {}", known_in_words(known)),
    };
    let preset = limit.preset.as_ref().map_or(String::new(), |preset| format!(" [{preset}]"));
    format!("{}{known}{preset}", limit.source)
}

/// The two values of a change in the units of the file.
///
/// The new one is rounded to four digits away from the old one, so that the text itself keeps the limit.
pub fn change_values(change: &Change, system: UnitSystem) -> (String, String) {
    let quantity = number(change.key).map_or(Quantity::Number, |number| number.quantity);
    let show = |value: f64| units::show(quantity, value, system);
    let shown = units::to_shown(quantity, change.to, system);
    let outward = outward(shown, change.to > change.from);
    (show(change.from), show(units::from_shown(quantity, outward, system)))
}

/// Four significant digits, rounded up or down.
fn outward(value: f64, up: bool) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let steps = 10f64.powi(3 - value.abs().log10().floor() as i32);
    let scaled = value * steps;
    // what is whole but for rounding stays
    let whole = if (scaled - scaled.round()).abs() < 1e-6 {
        scaled.round()
    } else if up {
        scaled.ceil()
    } else {
        scaled.floor()
    };
    whole / steps
}

/// Which way a nut is turned that tightens so.
pub(crate) fn nut_way(tightens: Turn, loosen: bool) -> &'static str {
    match (tightens, loosen) {
        (Turn::Clockwise, false) | (Turn::CounterClockwise, true) => "clockwise",
        (Turn::CounterClockwise, false) | (Turn::Clockwise, true) => "counter-clockwise",
    }
}

/// What to turn: `closing.speed 0.4 m/s -> 0.31 m/s`, several joined by `and`.
pub fn remedy(remedy: &Remedy, system: UnitSystem) -> String {
    let turned = |change: &Change| {
        let (from, to) = change_values(change, system);
        format!("{} {from} -> {to}", change.key)
    };
    remedy.changes.iter().map(turned).collect::<Vec<_>>().join(" and ")
}

/// Name of an event, with what is particular to it.
pub fn event(kind: &EventKind, door: &Door, system: UnitSystem) -> String {
    let speed = |value: f64| units::show(Quantity::Speed, value, system);
    match kind {
        EventKind::CommandOpen => "told to open".to_owned(),
        EventKind::CommandClose => "told to close".to_owned(),
        EventKind::ArrivedOpen => "arrived open".to_owned(),
        EventKind::ArrivedClosed => "arrived closed".to_owned(),
        EventKind::SlackBegins { span } => format!("{} goes slack", strand(door, *span)),
        EventKind::SlackEnds { span, lasted_s } => {
            let lasted = units::show(Quantity::ShortTime, *lasted_s, system);
            format!("{} snaps tight after {lasted} slack", strand(door, *span))
        }
        EventKind::Touched { closing_speed_m_per_s } => {
            format!("meets the obstacle at {}", speed(*closing_speed_m_per_s))
        }
        EventKind::Cleared => "leaves the obstacle".to_owned(),
        EventKind::StopHit { leaf, speed_m_per_s } => {
            format!("leaf {leaf} meets an end stop at {}", speed(speed_m_per_s.abs()))
        }
        EventKind::GearKnocks { speed_m_per_s } => {
            format!("rotor and drive pulley meet at {} after crossing their play", speed(*speed_m_per_s))
        }
        EventKind::FaultPassed { leaf, hanger, fault, acceleration_m_per_s2 } => {
            let felt = units::show(Quantity::Acceleration, *acceleration_m_per_s2, system);
            let what = fault_name(door, *fault);
            format!("the {} wheel of leaf {leaf} rolls over {what}: {felt}", hanger_name(*hanger))
        }
        EventKind::WheelLifts { leaf, hanger } => {
            format!("the {} wheel of leaf {leaf} leaves the rail", hanger_name(*hanger))
        }
        EventKind::WheelSits { leaf, hanger, lasted_s } => {
            let lasted = units::show(Quantity::ShortTime, *lasted_s, system);
            format!("the {} wheel of leaf {leaf} sits on the rail again after {lasted}", hanger_name(*hanger))
        }
        EventKind::ObstructionNoticed => "the controller notices an obstruction".to_owned(),
        EventKind::Reversed => "reverses".to_owned(),
        EventKind::Stopped => "stops".to_owned(),
        EventKind::PowerLost => "power is lost".to_owned(),
        EventKind::BeamBroken => "the beam is broken".to_owned(),
        EventKind::EndFound { drive_position_m } => {
            let place = units::show(Quantity::ShortLength, *drive_position_m, system);
            format!("finds an end, the drive at {place}")
        }
        EventKind::TimedOut => "given up: the door did not finish in the time allowed".to_owned(),
    }
}

/// A fault of the rail or of a roller, by its place in the list, from 0: its name in the door file, else `a joint`.
pub fn fault_name(door: &Door, index: usize) -> String {
    let Some(fault) = door.parameters().faults.get(index) else { return "the rail".to_owned() };
    let kind = match fault.kind {
        FaultKind::Sag => "a sag",
        FaultKind::Step => "a joint",
        FaultKind::Bump => "a bump",
        FaultKind::Flat => "its flat",
    };
    if fault.name.is_empty() { kind.to_owned() } else { format!("\"{}\"", one_line(&fault.name)) }
}

/// Which wheel of a leaf.
pub(crate) fn hanger_name(hanger: Hanger) -> &'static str {
    match hanger {
        Hanger::Leading => "leading",
        Hanger::Trailing => "trailing",
    }
}

/// A belt span by what it joins: `the strand from return pulley to drive pulley`.
pub(crate) fn strand(door: &Door, span: usize) -> String {
    let joins = joins(door, span);
    if span < door.ring().bodies { format!("the strand from {joins}") } else { joins }
}

/// What a belt span joins: `return pulley to drive pulley`.
pub(crate) fn joins(door: &Door, span: usize) -> String {
    let ring = door.ring();
    if span >= ring.bodies {
        let slow = ring.edges() + 1 + (span - ring.bodies) / 2;
        return format!("second belt {} on leaf {slow}", 1 + (span - ring.bodies) % 2);
    }
    let body = |body: usize| match ring.leaves.iter().position(|leaf| leaf.body == body) {
        Some(leaf) if ring.leaves.len() > 1 => format!("leaf {}", leaf + 1),
        Some(_) => "leaf".to_owned(),
        None if body == ring.return_body => "return pulley".to_owned(),
        None => "drive pulley".to_owned(),
    };
    let next = (span + 1) % ring.bodies.max(1);
    format!("{} to {}", body(span), body(next))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_rounded_so_that_its_text_still_keeps_the_limit() {
        // 0.26 m/s is 10.23622 in/s: a speed that has to go down may not be written as 10.24
        let slower = Change { key: "closing.speed", from: 0.4, to: 0.26 };
        assert_eq!(change_values(&slower, UnitSystem::Us).1, "10.23 in/s");
        assert_eq!(change_values(&slower, UnitSystem::Si).1, "0.26 m/s");
        let tighter = Change { key: "belt.tension", from: 100.0, to: 300.0 };
        assert_eq!(change_values(&tighter, UnitSystem::Us).1, "67.45 lbf"); // 67.443
    }

    #[test]
    fn text_of_a_user_cannot_reach_the_terminal_as_a_code() {
        assert_eq!(one_line("a\u{1b}[31m\nb"), "a [31m b");
        assert_eq!(one_line(&"x".repeat(500)).len(), 203);
    }

    #[test]
    fn nothing_has_no_sign() {
        assert_eq!(decimals(-0.001, 2), "0.00");
        assert_eq!(decimals(-0.25, 2), "-0.25");
    }

    #[test]
    fn a_key_without_a_figure_is_readable() {
        assert_eq!(key_in_words("head_gap_min"), "Head gap");
    }
}
