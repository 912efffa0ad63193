//! Times in which a strand of the belt carries nothing, and names of strands.

use tautleaf_physics::{Door, Event, EventKind, Moment};

/// A time in which one strand is slack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stretch {
    /// Index of the strand in the order of the ring.
    pub span: usize,
    /// When it goes slack.
    pub from: Moment,
    /// When it pulls again.
    pub to: Moment,
    /// Whether it does so within the run.
    pub ends: bool,
}

impl Stretch {
    /// How long it lasts, s.
    pub fn lasts_s(&self) -> f64 {
        self.to.t_s - self.from.t_s
    }
}

/// Every time in which a strand is slack, in the order in which they begin. `end` is the end of the run.
pub(crate) fn stretches(events: &[Event], end: Moment) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    for event in events {
        match event.kind {
            EventKind::SlackBegins { span } => {
                found.push(Stretch { span, from: event.at, to: end, ends: false });
            }
            EventKind::SlackEnds { span, lasted_s } => {
                match found.iter_mut().rev().find(|stretch| stretch.span == span && !stretch.ends) {
                    Some(stretch) => (stretch.to, stretch.ends) = (event.at, true),
                    // It was slack from the beginning.
                    None => {
                        let from = Moment { t_s: event.at.t_s - lasted_s, ..event.at };
                        found.push(Stretch { span, from, to: event.at, ends: true });
                    }
                }
            }
            _ => {}
        }
    }
    found
}

/// A strand by what it joins: `leaf to return pulley`.
pub(crate) fn strand(door: &Door, span: usize) -> String {
    let ring = door.ring();
    if span >= ring.bodies {
        return format!("second belt, length {}", 1 + (span - ring.bodies) % 2);
    }
    let body = |body: usize| match ring.leaves.iter().position(|leaf| leaf.body == body) {
        Some(leaf) if ring.leaves.len() > 1 => format!("leaf {}", leaf + 1),
        Some(_) => "leaf".to_owned(),
        None if body == ring.return_body => "return".to_owned(),
        None => "drive".to_owned(),
    };
    format!("{} to {}", body(span), body((span + 1) % ring.bodies.max(1)))
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
        let found = stretches(&events, at(3.0));
        let told: Vec<_> = found.iter().map(|s| (s.span, s.from.t_s, s.to.t_s, s.ends)).collect();
        assert_eq!(told, vec![(0, 1.0, 1.5, true), (2, 1.2, 3.0, false)]);
        assert_eq!(found[0].lasts_s(), 0.5);
    }
}
