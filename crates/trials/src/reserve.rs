//! The reserve: the share of a limit that has to be left, so that what is proposed lies inside what is allowed and not on
//! its edge.

use tautleaf_physics::{Band, Door, Figure, Judge, Limit, Outcome, Rule, Verdict, limits};

use crate::assess::Criteria;

/// Margins closer than this are equal.
const ROUNDING: f64 = 1e-9;

/// A share of what is allowed that has to be left, 0 to [`Reserve::MOST`].
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Reserve(f64);

impl Reserve {
    /// No reserve: whatever keeps its limits is as good.
    pub const NONE: Self = Self(0.0);
    /// A tenth, the reserve where nobody says otherwise (judgement: cold friction, an edge that hardens).
    pub const USUAL: Self = Self(0.1);
    /// The greatest that can be asked for.
    pub const MOST: f64 = 0.9;

    /// This share; `None`: it is below 0, above [`Reserve::MOST`] or no number.
    pub fn of(share: f64) -> Option<Self> {
        (0.0..=Self::MOST).contains(&share).then_some(Self(share))
    }

    /// The share, 0 to [`Reserve::MOST`].
    pub const fn share(self) -> f64 {
        self.0
    }

    /// This part of it, 0 to 1.
    pub fn part(self, part: f64) -> Self {
        Self(self.0 * part.clamp(0.0, 1.0))
    }

    /// The margin that has to be left of a limit, as a fraction of what it allows; 0 where a reserve makes no sense:
    ///
    /// - an advisory value holds nothing back, and what is only seen on site has no number;
    /// - a limit that allows nothing at all (time slack of 0) has no part that could be left;
    /// - a timer holds a door open as long as it is set to, to the millisecond;
    /// - "slowed down for the stop" of a sound door is 1.2 times the creep speed: a fifth is left in it already;
    /// - a count has no fractions: of 5 cycles at least a tenth more is 5, of 100 it is 110.
    pub fn asked_of(self, limit: &Limit) -> f64 {
        let share = self.0;
        match (limit.judge, limit.figure, &limit.rule) {
            (Judge::Advisory, ..) | (_, None, _) | (_, _, Rule::OnSite(_)) => 0.0,
            (_, _, Rule::AtMost(0.0) | Rule::AtLeast(0.0)) | (_, Some(Figure::HoldOpen), _) => 0.0,
            (_, Some(Figure::StopSpeed), _) if limit.is_of_sound_door() => 0.0,
            (_, Some(Figure::BatteryCycles), Rule::AtLeast(least)) if *least > 0.0 => {
                (((1.0 + share) * least + ROUNDING).floor() / least - 1.0).clamp(0.0, share)
            }
            _ => share,
        }
    }

    /// Whether a margin leaves the reserve of a limit; one that has no margin, as yes or no, needs none.
    pub fn is_left(self, limit: &Limit, margin: Option<f64>) -> bool {
        margin.is_none_or(|margin| margin >= self.asked_of(limit) - ROUNDING)
    }

    /// Whether a limit is kept, but with less left than the reserve.
    pub fn is_lacking(self, verdict: &Verdict) -> bool {
        let kept = matches!(verdict.outcome, Outcome::Within | Outcome::Close);
        kept && !self.is_left(&verdict.limit, verdict.share_left())
    }

    /// The limits of a door with the reserve taken off: what a design aims at. It is judged by the limits themselves.
    pub fn aims(self, door: &Door, all: &[Limit]) -> Vec<Limit> {
        let mass_kg = door.heaviest_leaf_kg();
        let aim = |limit: &Limit| {
            let asked = self.asked_of(limit);
            let less = |most: f64| most - asked * most.abs();
            let rule = match &limit.rule {
                Rule::AtMost(most) => Rule::AtMost(less(*most)),
                Rule::AtLeast(least) => Rule::AtLeast(least + asked * least.abs()),
                Rule::AtMostByGap(bands) => {
                    let band = |band: &Band| Band { at_most: less(band.at_most), ..*band };
                    Rule::AtMostByGap(bands.iter().map(band).collect())
                }
                Rule::ClosingSpeedByWeight if asked > 0.0 => {
                    Rule::AtMost(less(limits::closing_speed_by_weight_m_per_s(mass_kg)))
                }
                // no setting is worked out from these: the run that is judged shows what is left of them
                other => other.clone(),
            };
            Limit { rule, ..limit.clone() }
        };
        all.iter().map(aim).collect()
    }
}

impl Default for Reserve {
    fn default() -> Self {
        Self::USUAL
    }
}

impl Criteria {
    /// The reserve that goes with these criteria where nobody asks for another: what has less left counts as close.
    pub fn reserve(&self) -> Reserve {
        Reserve(self.close_margin.clamp(0.0, Reserve::MOST))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::soundness;

    #[test]
    fn a_reserve_is_asked_of_what_has_a_part_that_can_be_left() {
        let tenth = Reserve::USUAL;
        let asked = |limit: Limit| tenth.asked_of(&limit);
        assert_eq!(asked(Limit::at_most("e", Figure::PeakEnergyLeaf, 10.0)), 0.1);
        assert_eq!(asked(Limit::at_most("s", Figure::SlackTime, 0.0)), 0.0);
        assert_eq!(asked(Limit::at_least("h", Figure::HoldOpen, 5.0)), 0.0);
        let advisory = Limit { judge: Judge::Advisory, ..Limit::at_most("f", Figure::ImpactForce, 400.0) };
        assert_eq!(asked(advisory), 0.0);
        let of_sound: Vec<f64> = soundness().iter().map(|limit| tenth.asked_of(limit)).collect();
        assert_eq!(
            of_sound,
            [0.0, 0.1, 0.0, 0.1],
            "ends met at creep speed, cords, strands, wheels on the rail"
        );
        assert_eq!((Reserve::of(-0.1), Reserve::of(0.95), Reserve::of(f64::NAN)), (None, None, None));
    }

    /// 1.1 x 5 = 5.5, of which 5 whole cycles; 1.1 x 100 = 110 (arithmetic).
    #[test]
    fn a_count_has_no_fractions() {
        let asked = |least| Reserve::USUAL.asked_of(&Limit::at_least("b", Figure::BatteryCycles, least));
        assert_eq!(asked(5.0), 0.0);
        assert!((asked(100.0) - 0.1).abs() < 1e-12);
    }
}
