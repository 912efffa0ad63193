//! Times in which a strand of the belt carries nothing.

use crate::moment::Moment;
use crate::run::{Event, EventKind};

/// A time in which one strand is slack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlackTime {
    /// Index of the strand in the order of the ring.
    pub span: usize,
    /// When it goes slack.
    pub from: Moment,
    /// When it pulls again, or the end of the run.
    pub to: Moment,
    /// Whether it pulls again within the run.
    pub ends: bool,
}

impl SlackTime {
    /// How long it lasts, s.
    pub fn lasts_s(&self) -> f64 {
        self.to.t_s - self.from.t_s
    }
}

/// Every time in which a strand is slack, in the order in which they begin. `end` is the end of the run.
pub fn slack_times(events: &[Event], end: Moment) -> Vec<SlackTime> {
    let mut found: Vec<SlackTime> = Vec::new();
    for event in events {
        match event.kind {
            EventKind::SlackBegins { span } => {
                found.push(SlackTime { span, from: event.at, to: end, ends: false });
            }
            EventKind::SlackEnds { span, lasted_s } => {
                match found.iter_mut().rev().find(|time| time.span == span && !time.ends) {
                    Some(time) => (time.to, time.ends) = (event.at, true),
                    // It was slack from the beginning.
                    None => {
                        let from = Moment { t_s: event.at.t_s - lasted_s, ..event.at };
                        found.push(SlackTime { span, from, to: event.at, ends: true });
                    }
                }
            }
            _ => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(t_s: f64) -> Moment {
        Moment { t_s, clear_opening_m: 0.5 }
    }

    #[test]
    fn each_strand_is_slack_from_its_own_beginning_to_its_own_end() {
        let event = |t_s, kind| Event { at: at(t_s), kind };
        let events = [
            event(1.0, EventKind::SlackBegins { span: 0 }),
            event(1.2, EventKind::SlackBegins { span: 2 }),
            event(1.5, EventKind::SlackEnds { span: 0, lasted_s: 0.5 }),
        ];
        let found = slack_times(&events, at(3.0));
        let told: Vec<_> = found.iter().map(|s| (s.span, s.from.t_s, s.to.t_s, s.ends)).collect();
        assert_eq!(told, vec![(0, 1.0, 1.5, true), (2, 1.2, 3.0, false)]);
        assert_eq!(found[0].lasts_s(), 0.5);
    }
}
