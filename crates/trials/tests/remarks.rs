//! What a run shows beside its figures, and that what is serious of it holds a door back.

use tautleaf_physics::{Door, Figure, Limit, Outcome, Parameters, slack_times};
use tautleaf_trials::{Criteria, Effort, Remark, RemarkKind, Reserve, Standing, Watch, advise, remarks};

/// A belt so loose that a strand goes slack when the leaf brakes.
fn loose() -> Door {
    let mut p = Parameters::default();
    p.belt.tension_n = 50.0;
    p.closing.braking_m_per_s2 = 1.5;
    Door::try_from(p).unwrap()
}

fn by(limits: Vec<Limit>) -> Criteria {
    Criteria { limits, close_margin: 0.0, gaps_m: None }
}

fn judged(door: &Door, criteria: &Criteria) -> (Standing, Vec<Remark>) {
    let found = criteria.assess(door, Effort::AsJudged);
    (found.standing(door), remarks(door, &found.run, &found.verdicts, &[]))
}

fn opens_in_time() -> Limit {
    Limit::at_most("opening_time_max", Figure::OpeningTime, 10.0)
}

fn slack_of(remarks: &[Remark]) -> &Remark {
    remarks.iter().find(|remark| matches!(remark.kind, RemarkKind::Slack { .. })).expect("a slack strand")
}

#[test]
fn a_slack_strand_that_no_limit_judges_is_serious_and_the_door_is_not_green() {
    let door = loose();
    let (standing, said) = judged(&door, &by(vec![opens_in_time()]));
    assert_eq!(standing, Standing::Unsound(1));
    assert_eq!((standing.outcome(), standing.fails()), (Outcome::Close, false));
    assert!(slack_of(&said).serious);
}

#[test]
fn a_limit_of_the_user_says_how_much_slack_is_allowed() {
    let allowed = |time_s| Limit::at_most("slack_time_max", Figure::SlackTime, time_s);
    let (standing, said) = judged(&loose(), &by(vec![opens_in_time(), allowed(10.0)]));
    assert_eq!(standing, Standing::Within);
    assert!(!slack_of(&said).serious);
    assert_eq!(judged(&loose(), &by(vec![allowed(0.001)])).0, Standing::Over(1));
}

/// The remark tells the longest of the times that the events of the run make.
#[test]
fn a_slack_strand_is_told_with_its_longest_time() {
    let door = loose();
    let found = by(Vec::new()).assess(&door, Effort::Everything);
    let end = found.run.events.last().unwrap().at;
    let longest = slack_times(&found.run.events, end).iter().map(|time| time.lasts_s()).fold(0.0, f64::max);
    let said = remarks(&door, &found.run, &found.verdicts, &[]);
    let RemarkKind::Slack { longest: told, snaps, .. } = slack_of(&said).kind else { unreachable!() };
    assert!((told.lasts_s() - longest).abs() < 1e-12 && longest > 0.01 && snaps, "{told:?}");
}

/// 0.4 % strain of a belt with E A = 75 kN is 300 N (arithmetic), less than it is tensioned to.
#[test]
fn cords_that_carry_more_than_they_may_are_serious() {
    let mut p = Parameters::default();
    p.belt.specific_stiffness_n_per_m = 75e3 / p.belt.width_m;
    let door = Door::try_from(p).unwrap();
    let (standing, said) = judged(&door, &by(vec![opens_in_time()]));
    let cords = said.iter().find_map(|remark| match remark.kind {
        RemarkKind::CordsOverstressed { tension_n, allowable_n } => Some((tension_n, allowable_n)),
        _ => None,
    });
    let (tension_n, allowable_n) = cords.expect("overstressed cords");
    assert!(tension_n > allowable_n && (allowable_n - 300.0).abs() < 1e-9, "{allowable_n}");
    assert_eq!(standing, Standing::Unsound(1));
}

#[test]
fn advice_brings_a_door_back_to_being_sound_and_says_how_it_stands_by_its_own_limits() {
    let advice = advise(&loose(), &by(vec![opens_in_time()]), Reserve::NONE, &Watch::nobody());
    assert_eq!(advice.standing, Standing::Unsound(1));
    let slack = |verdict: &&tautleaf_physics::Verdict| verdict.limit.figure == Some(Figure::SlackTime);
    let (before, after) = (advice.before.iter().find(slack), advice.after.iter().find(slack));
    assert_eq!(before.map(|v| v.outcome), Some(Outcome::Over));
    assert_eq!(after.map(|v| v.outcome), Some(Outcome::Within));
    assert!(advice.plan.is_some_and(|plan| !plan.is_empty()));
    assert!(!advice.remarks.iter().any(|remark| remark.serious), "{:?}", advice.remarks);
}

/// The losses of a run that closes its balance, made greater by 0.3 % and by 3 % of all its energy.
#[test]
fn a_run_whose_energy_does_not_add_up_is_remarked_and_then_not_judged() {
    let door = Door::try_from(Parameters::default()).unwrap();
    let criteria = by(vec![opens_in_time()]);
    let found = criteria.assess(&door, Effort::AsJudged);
    assert_eq!(found.standing(&door), Standing::Within);
    let open_by = |share: f64| {
        let mut run = found.run.clone();
        run.energy.copper_j += share / (1.0 - share) * run.energy.scale_j();
        assert!((run.energy.relative_residual() - share).abs() < 0.1 * share);
        let verdicts = criteria.judge(&door, &run);
        let standing = Standing::of(&door, &run, &verdicts);
        let said = remarks(&door, &run, &verdicts, &[]);
        let told = said.iter().any(|remark| matches!(remark.kind, RemarkKind::BalanceOpen { .. }));
        (standing, verdicts[0].outcome, told)
    };
    assert_eq!(open_by(0.003), (Standing::Unsound(1), Outcome::Within, true));
    assert_eq!(open_by(0.03), (Standing::NotJudged(1), Outcome::NotJudged, true));
}
