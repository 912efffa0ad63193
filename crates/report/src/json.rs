//! Results as one JSON object. SI throughout, units in the names; what a run does not give is `null`.

use serde::{Serialize, Serializer};
use tautleaf_physics::{
    Door, EnergyBalance, Event, FastestPlace, Figure, Figures, GapForce, Moment, Outcome, Quantity,
    RearForce, Verdict, WarmRun, checks, number,
};
use tautleaf_scenario::{CAUTIONS, FileProblem, SCHEMA, UnitSystem, known_in_words, unmeasured};
use tautleaf_trials::{Remark, Remedy};

use crate::judged::Judged;
use crate::remark_words::remark_in_words;
use crate::way_back::WayBack;
use crate::{PROGRAM, RESULT_SCHEMA, VERSION, words};

/// What the model leaves out or takes as given, so that no one has to guess.
pub const MODEL_NOTES: &[&str] = &[
    "belt spans are springs with damping that carry no compression; the belt on a pulley is rigid and does not slip",
    "leaves are rigid and hang upright; the rail is straight, with its slope",
    "friction is set-valued: at rest it holds up to its bound",
    "winding temperature is given and stays through a run; how warm the duty makes it is worked out from the currents of that run",
    "the controller samples the motor encoder alone, once a tick",
    "the force tester is a spring without mass behind the closing edge; each gap is a run of its own",
];

/// The result of `tautleaf run`.
///
/// # Errors
/// None that a result of this program can cause: what `serde_json` says.
pub fn run(judged: &Judged<'_>) -> Result<String, serde_json::Error> {
    let figures = &judged.run.figures;
    serde_json::to_string_pretty(&RunObject {
        schema: RESULT_SCHEMA,
        title: &judged.scenario.title,
        figures: Values(figures),
        figure_moments: Moments(figures),
        verdicts: verdicts(judged),
        standing: judged.standing().name(),
        remarks: remark_objects(&judged.remarks(), &judged.door, judged.scenario.units),
        unmeasured: unmeasured(judged.scenario),
        events: &judged.run.events,
        force: gaps(judged, false),
        rear_force: behind(judged, false),
        tested: &judged.run.fastest,
        warm: judged.warm.as_ref().map(WarmObject::of),
        energy_balance: EnergyObject::of(&judged.run.energy),
        provenance: provenance(judged),
        warnings: warnings(&judged.warnings),
        cautions: CAUTIONS,
    })
}

/// The result of `tautleaf force`.
///
/// # Errors
/// As [`run`].
pub fn force(judged: &Judged<'_>) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&ForceObject {
        schema: RESULT_SCHEMA,
        title: &judged.scenario.title,
        tester_stiffness_n_per_m: judged.door.parameters().tester.stiffness_n_per_m,
        force: gaps(judged, true),
        rear_force: behind(judged, true),
        verdicts: verdicts(judged),
        unmeasured: unmeasured(judged.scenario),
        provenance: provenance(judged),
        warnings: warnings(&judged.warnings),
        cautions: CAUTIONS,
    })
}

#[derive(Serialize)]
struct RunObject<'a> {
    schema: u32,
    title: &'a str,
    figures: Values<'a>,
    figure_moments: Moments<'a>,
    verdicts: Vec<VerdictObject<'a>>,
    /// How the door stands as a whole.
    standing: &'static str,
    remarks: Vec<RemarkObject>,
    unmeasured: Vec<&'static str>,
    events: &'a [Event],
    force: Vec<Gap>,
    rear_force: Vec<Behind>,
    tested: &'a [FastestPlace],
    warm: Option<WarmObject>,
    energy_balance: EnergyObject<'a>,
    provenance: Provenance<'a>,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

#[derive(Serialize)]
struct ForceObject<'a> {
    schema: u32,
    title: &'a str,
    tester_stiffness_n_per_m: f64,
    force: Vec<Gap>,
    rear_force: Vec<Behind>,
    verdicts: Vec<VerdictObject<'a>>,
    unmeasured: Vec<&'static str>,
    provenance: Provenance<'a>,
    warnings: Vec<WarningObject<'a>>,
    cautions: &'a [&'a str],
}

/// What the door does with its motor as warm as the duty makes it.
#[derive(Serialize)]
struct WarmObject {
    winding_temperature_c: f64,
    stall_force_n: Option<f64>,
    peak_energy_coupled_closing_j: Option<f64>,
    closing_time_s: Option<f64>,
}

impl WarmObject {
    fn of(warm: &WarmRun) -> Self {
        let figures = &warm.run.figures;
        Self {
            winding_temperature_c: warm.winding_temperature_c,
            stall_force_n: figures.get(Figure::StallForce),
            peak_energy_coupled_closing_j: figures.get(Figure::PeakEnergyCoupledClosing),
            closing_time_s: figures.get(Figure::ClosingTime),
        }
    }
}

/// Every figure by name, also those that the run does not give.
struct Values<'a>(&'a Figures);

impl Serialize for Values<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(Figure::ALL.iter().map(|&figure| (figure.name(), self.0.get(figure))))
    }
}

/// When and where each figure was so; figures without a moment are left out.
struct Moments<'a>(&'a Figures);

impl Serialize for Moments<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let moments = self.0.iter().filter_map(|(figure, reading)| reading.at.map(|at| (figure.name(), at)));
        serializer.collect_map(moments.collect::<Vec<_>>())
    }
}

/// The force test at one gap; the curve only where it is asked for.
#[derive(Serialize)]
struct Gap {
    gap_m: f64,
    touched_at_s: Option<f64>,
    touch_speed_m_per_s: Option<f64>,
    within_blind_time: bool,
    stall_force_n: Option<f64>,
    stall_force_settled_n: Option<f64>,
    stall_force_slow_n: Option<f64>,
    impact_force_n: Option<f64>,
    impact_at_s: Option<f64>,
    force_after_750ms_n: Option<f64>,
    residual_force_n: Option<f64>,
    time_above_150n_s: Option<f64>,
    acts_after_s: Option<f64>,
    edge_travel_used: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    force_over_time: Option<Curve>,
}

impl Gap {
    fn of(gap: &GapForce, with_curve: bool) -> Self {
        Self {
            gap_m: gap.gap_m,
            touched_at_s: gap.touched_at_s,
            touch_speed_m_per_s: gap.touch_speed_m_per_s,
            within_blind_time: gap.within_blind_time,
            stall_force_n: gap.stall_force_n,
            stall_force_settled_n: gap.stall_force_settled_n,
            stall_force_slow_n: gap.stall_force_slow_n,
            impact_force_n: gap.impact_force_n,
            impact_at_s: gap.impact_at_s,
            force_after_750ms_n: gap.force_after_750ms_n,
            residual_force_n: gap.residual_force_n,
            time_above_150n_s: gap.time_above_150n_s,
            acts_after_s: gap.acts_after_s,
            edge_travel_used: gap.edge_travel_used,
            force_over_time: with_curve.then(|| {
                let (t_s, force_n) = gap.force_over_time.iter().copied().unzip();
                Curve { t_s, force_n }
            }),
        }
    }
}

/// The force test behind one leaf at one gap.
#[derive(Serialize)]
struct Behind {
    leaf: usize,
    #[serde(flatten)]
    gap: Gap,
}

fn behind(judged: &Judged<'_>, with_curve: bool) -> Vec<Behind> {
    let of = |rear: &RearForce| Behind { leaf: rear.leaf, gap: Gap::of(&rear.test, with_curve) };
    judged.run.rear.iter().map(of).collect()
}

fn gaps(judged: &Judged<'_>, with_curve: bool) -> Vec<Gap> {
    judged.run.force.iter().map(|gap| Gap::of(gap, with_curve)).collect()
}

#[derive(Serialize)]
struct Curve {
    t_s: Vec<f64>,
    force_n: Vec<f64>,
}

#[derive(Serialize)]
struct VerdictObject<'a> {
    key: &'a str,
    preset: Option<&'a str>,
    label: String,
    figure: Option<&'static str>,
    asks: String,
    outcome: Outcome,
    value: Option<f64>,
    allowed: Option<f64>,
    unit_si: &'static str,
    shown: Shown,
    margin: Option<f64>,
    at: Option<Moment>,
    gap_m: Option<f64>,
    source: &'a str,
    known: &'static str,
    known_rank: tautleaf_physics::Known,
    judge: &'static str,
    why: Option<&'a str>,
    says: String,
    remedy: Option<RemedyObject<'a>>,
    remedy_search: Option<&'static str>,
}

/// Numbers as they are shown, in the unit of the limit.
#[derive(Serialize)]
struct Shown {
    value: Option<String>,
    allowed: Option<String>,
}

#[derive(Serialize)]
struct RemedyObject<'a> {
    changes: Vec<ChangeObject>,
    breaks: &'a [String],
    worsens: &'a [String],
}

#[derive(Serialize)]
struct ChangeObject {
    key: &'static str,
    from: f64,
    to: f64,
    unit_si: &'static str,
    shown: FromTo,
}

#[derive(Serialize)]
struct FromTo {
    from: String,
    to: String,
}

fn verdicts<'a>(judged: &'a Judged<'_>) -> Vec<VerdictObject<'a>> {
    let system = judged.scenario.units;
    judged.judgements().map(|(verdict, way)| verdict_object(verdict, way, system)).collect()
}

fn verdict_object<'a>(verdict: &'a Verdict, way: &'a WayBack, system: UnitSystem) -> VerdictObject<'a> {
    let limit = &verdict.limit;
    let (value, allowed) = words::value_and_allowed(verdict);
    VerdictObject {
        key: &limit.key,
        preset: limit.preset.as_deref(),
        label: words::limit_label(limit),
        figure: limit.figure.map(Figure::name),
        asks: words::asks(limit),
        outcome: verdict.outcome,
        value: verdict.value,
        allowed: verdict.allowed,
        unit_si: limit.figure.map_or("", |figure| checks::si_unit(figure.quantity())),
        shown: Shown { value, allowed },
        margin: verdict.share_left(),
        at: verdict.at,
        gap_m: verdict.gap_m,
        source: &limit.source,
        known: known_in_words(limit.known),
        known_rank: limit.known,
        judge: words::judge(limit.judge),
        why: verdict.why.as_deref(),
        says: words::sentence(verdict, system),
        remedy: way.setting().map(|remedy| remedy_object(remedy, system)),
        remedy_search: match way {
            WayBack::NotNeeded => None,
            WayBack::Setting(_) => Some("found"),
            WayBack::NoSetting => Some("no-setting"),
            WayBack::NotSearched => Some("not-searched"),
        },
    }
}

fn remedy_object(remedy: &Remedy, system: UnitSystem) -> RemedyObject<'_> {
    let changes = remedy.changes.iter().map(|change| {
        let quantity = number(change.key).map_or(Quantity::Number, |number| number.quantity);
        let (from, to) = words::change_values(change, system);
        ChangeObject {
            key: change.key,
            from: change.from,
            to: change.to,
            unit_si: checks::si_unit(quantity),
            shown: FromTo { from, to },
        }
    });
    RemedyObject { changes: changes.collect(), breaks: &remedy.breaks, worsens: &remedy.worsens }
}

#[derive(Serialize)]
struct EnergyObject<'a> {
    items: &'a EnergyBalance,
    inputs_j: f64,
    losses_j: f64,
    stored_j: f64,
    residual_j: f64,
    relative_residual: f64,
}

impl<'a> EnergyObject<'a> {
    fn of(balance: &'a EnergyBalance) -> Self {
        Self {
            items: balance,
            inputs_j: balance.inputs_j(),
            losses_j: balance.losses_j(),
            stored_j: balance.stored_j(),
            residual_j: balance.residual_j(),
            relative_residual: balance.relative_residual(),
        }
    }
}

#[derive(Serialize)]
struct Provenance<'a> {
    program: &'static str,
    version: &'static str,
    file_schema: i64,
    file: &'a str,
    substeps: u32,
    tick_s: f64,
    winding_temperature_c: f64,
    finished: bool,
    close_margin: f64,
    model: &'static [&'static str],
}

fn provenance<'a>(judged: &'a Judged<'_>) -> Provenance<'a> {
    let p = judged.door.parameters();
    Provenance {
        program: PROGRAM,
        version: VERSION,
        file_schema: SCHEMA,
        file: &judged.scenario.origin.file,
        substeps: judged.run.substeps,
        tick_s: p.controller.tick_s,
        winding_temperature_c: p.motor.winding_temperature_c,
        finished: judged.run.finished,
        close_margin: judged.scenario.limits.close_margin,
        model: MODEL_NOTES,
    }
}

/// What a run shows beside its figures.
#[derive(Serialize)]
pub(crate) struct RemarkObject {
    kind: &'static str,
    /// Whether a sound door does not have it.
    serious: bool,
    text: String,
    at: Option<Moment>,
}

pub(crate) fn remark_objects(remarks: &[Remark], door: &Door, system: UnitSystem) -> Vec<RemarkObject> {
    let told = |remark: &Remark| RemarkObject {
        kind: remark.kind.name(),
        serious: remark.serious,
        text: remark_in_words(remark, door, system),
        at: remark.at,
    };
    remarks.iter().map(told).collect()
}

/// A warning as data.
#[derive(Serialize)]
pub(crate) struct WarningObject<'a> {
    file: &'a str,
    line: Option<usize>,
    key: &'a str,
    /// Which entry of the list of forces or faults, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<usize>,
    found: &'a str,
    would_do: &'a str,
}

pub(crate) fn warnings(problems: &[FileProblem]) -> Vec<WarningObject<'_>> {
    problems
        .iter()
        .map(|FileProblem { file, line, key, entry, found, would_do }| WarningObject {
            file,
            line: *line,
            key,
            entry: entry.map(|entry| entry + 1),
            found,
            would_do,
        })
        .collect()
}
