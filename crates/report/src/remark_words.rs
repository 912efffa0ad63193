//! What a run shows beside its figures, in a sentence each.

use tautleaf_physics::workbench::{Answer, Meeting};
use tautleaf_physics::{Door, Moment, Outcome, Quantity};
use tautleaf_scenario::{UnitSystem, units};
use tautleaf_trials::{Remark, RemarkKind};

use crate::columns::folded;
use crate::palette::{Palette, paint};
use crate::tone_words::{maker_in_words, tone};
use crate::words::{self, decimals, fault_name, hanger_name, strand};

/// How numbers are shown: one of a quantity, and a moment.
pub trait Shown {
    /// A value in SI units, with its unit.
    fn value(&self, quantity: Quantity, si: f64) -> String;

    /// `at 7.1 s, 50 mm open`.
    fn moment(&self, at: Moment) -> String;
}

impl Shown for UnitSystem {
    fn value(&self, quantity: Quantity, si: f64) -> String {
        units::show(quantity, si, *self)
    }

    fn moment(&self, at: Moment) -> String {
        words::moment(at, *self)
    }
}

/// All of them under a heading; a serious one is marked `!`. Empty: there are none.
pub(crate) fn remarks_block(
    remarks: &[Remark],
    heading: &str,
    door: &Door,
    system: UnitSystem,
    palette: &Palette,
) -> Vec<String> {
    if remarks.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![String::new(), paint(palette.heading, heading)];
    for remark in remarks {
        let mark = if remark.serious { paint(palette.outcome(Outcome::Close), "!") } else { "-".to_owned() };
        let mut says = folded(&remark_in_words(remark, door, system), "  - ", "    ");
        if let Some(first) = says.first_mut() {
            *first = first.replacen('-', &mark, 1);
        }
        lines.extend(says);
    }
    lines
}

/// One remark for a terminal.
pub fn remark_in_words(remark: &Remark, door: &Door, system: UnitSystem) -> String {
    in_words(remark, door, &system)
}

/// One remark, with numbers as they are shown there.
pub fn in_words(remark: &Remark, door: &Door, shown: &dyn Shown) -> String {
    let value = |quantity, si| shown.value(quantity, si);
    let at = remark.at.map_or(String::new(), |at| format!(" {}", shown.moment(at)));
    match &remark.kind {
        RemarkKind::Slack { longest, times, snaps } => {
            let second = longest.span >= door.ring().bodies;
            let name = strand(door, longest.span);
            let often = if *times > 1 { format!("{times} times, longest") } else { "once,".to_owned() };
            let long = value(Quantity::ShortTime, longest.lasts_s());
            if !snaps {
                return format!("Hangs: {name} goes slack {often} for {long}.");
            }
            let tighter = if second { "A tighter second belt" } else { "A tighter belt" };
            format!(
                "Jerks: {name} goes slack {often} for {long}, and snaps tight{at}. {tighter} or softer acceleration and braking keep \
                 it taut."
            )
        }
        RemarkKind::StopMetFast { speed_m_per_s } => {
            let speed = value(Quantity::Speed, *speed_m_per_s);
            format!("Knocks: a leaf runs into the stop with {speed}{at}, faster than it should creep.")
        }
        RemarkKind::CordsOverstressed { tension_n, allowable_n } => format!(
            "Overstressed: a strand of the belt carries {}{at}, and its cords may carry {}.",
            value(Quantity::Force, *tension_n),
            value(Quantity::Force, *allowable_n)
        ),
        RemarkKind::Jolt { leaf, hanger, fault, acceleration_m_per_s2, crossings } => format!(
            "Knocks: the {} wheel{} rolls over {}{at} and jolts the leaf by {}, {crossings} crossings in all. Dress the rail there, or \
             cross it slower.",
            hanger_name(*hanger),
            of_leaf(door, *leaf),
            fault_name(door, *fault),
            value(Quantity::Acceleration, *acceleration_m_per_s2),
        ),
        RemarkKind::WheelLifts { leaf, hanger, times, lasts_s } => format!(
            "Rattles: the {} wheel{} lifts off the rail{}, for {} in all, and the anti-lift carries.",
            hanger_name(*hanger),
            of_leaf(door, *leaf),
            counted(*times),
            value(Quantity::ShortTime, *lasts_s)
        ),
        RemarkKind::ImpactBetweenGaps { force_n, allowed_n, gap_m } => format!(
            "Between the tested gaps the impact is over: {} of {} at {}. Add that gap to the force test, under Limits.",
            value(Quantity::Force, *force_n),
            value(Quantity::Force, *allowed_n),
            value(Quantity::ShortLength, *gap_m)
        ),
        RemarkKind::Sings(meeting) => sings(meeting, door, shown),
        RemarkKind::Obstructed { touched: true, times } => {
            format!("The controller notices that something is in the way{}.", counted(*times))
        }
        RemarkKind::Obstructed { touched: false, times } => format!(
            "Nothing is in the way, but the controller takes the stuck leaf for an obstruction{}.",
            counted(*times)
        ),
        RemarkKind::BalanceOpen { share } => format!(
            "The balance of energy of this run is open by {} %: its numbers may be off by as much.",
            decimals(100.0 * share, 2)
        ),
        RemarkKind::GivenUp => {
            "The door did not finish in the time allowed: the run was given up.".to_owned()
        }
    }
}

fn sings(meeting: &Meeting, door: &Door, shown: &dyn Shown) -> String {
    let (from, to) = meeting.stretch_m;
    let length = |si| shown.value(Quantity::ShortLength, si);
    let answer = match meeting.answer {
        Answer::Strand { span, .. } => strand(door, span),
        Answer::Axial(_) => "the belt along itself".to_owned(),
    };
    format!(
        "Sings {}, between {} and {} open: {} and {answer} make one tone of {}. Another tension or speed parts them.",
        if meeting.opening { "opening" } else { "closing" },
        length(from),
        length(to),
        maker_in_words(meeting.source.maker),
        tone(meeting.tone_hz),
    )
}

fn of_leaf(door: &Door, leaf: usize) -> String {
    if door.leaves() > 1 { format!(" of leaf {leaf}") } else { String::new() }
}

/// `, 7 times`; nothing for once.
fn counted(times: usize) -> String {
    if times > 1 { format!(", {times} times") } else { String::new() }
}
