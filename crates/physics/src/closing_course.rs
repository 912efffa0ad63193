//! The way closed, kept so that the force test can leave it at any gap without running it again.
//!
//! The state is kept every so many ticks, and wherever something happened beside the motion; the ticks between are run again.

use crate::run::{FastestPlace, GapRange};
use crate::sim::{Setup, Sim};

/// Ticks from one kept state to the next.
const APART: usize = 16;

/// A pass is faster than another one beyond doubt by this factor.
const FASTER_BY: f64 = 1.02;

/// One tick of the way closed.
#[derive(Clone, Copy)]
struct Tick {
    /// Clear opening at its beginning and at its end, m.
    from_m: f64,
    to_m: f64,
    /// How fast the opening closes at its end, m/s.
    closing_m_per_s: f64,
    /// The last kept state before it, and how many ticks lie between.
    kept: usize,
    after: usize,
}

/// Every tick of the way closed, and some of its states.
pub(crate) struct ClosingCourse<const B: usize> {
    wanted: bool,
    ticks: Vec<Tick>,
    kept: Vec<Sim<B>>,
    since: usize,
    last_tick: u64,
}

impl<const B: usize> ClosingCourse<B> {
    /// Nothing yet; `wanted`: whether anything is to be kept.
    pub fn new(wanted: bool) -> Self {
        Self { wanted, ticks: Vec::new(), kept: Vec::new(), since: 0, last_tick: 0 }
    }

    /// A tick begins in this state; `changed`: something happened since the last one that running on would not repeat.
    pub fn begin_tick(&mut self, sim: &Sim<B>, opening_m: f64, changed: bool) {
        if !self.wanted {
            return;
        }
        let follows = !self.kept.is_empty() && sim.tick == self.last_tick + 1;
        if !follows || changed || self.since + 1 >= APART {
            self.kept.push(*sim);
            self.since = 0;
        } else {
            self.since += 1;
        }
        self.last_tick = sim.tick;
        self.ticks.push(Tick {
            from_m: opening_m,
            to_m: opening_m,
            closing_m_per_s: 0.0,
            kept: self.kept.len() - 1,
            after: self.since,
        });
    }

    /// The tick has ended here.
    pub fn end_tick(&mut self, opening_m: f64, closing_m_per_s: f64) {
        if let Some(tick) = self.ticks.last_mut().filter(|_| self.wanted) {
            tick.to_m = opening_m;
            tick.closing_m_per_s = closing_m_per_s;
        }
    }

    /// Where the opening closes fastest within a range, below `widest_m`; the smaller gap if equal. `None`: it never closes there.
    pub fn fastest(&self, range: GapRange, widest_m: f64) -> Option<FastestPlace> {
        let there = |tick: &&Tick| {
            tick.closing_m_per_s > 0.0 && tick.to_m > 0.0 && tick.to_m < widest_m && range.holds(tick.to_m)
        };
        let faster = |a: &Tick, b: &Tick| {
            a.closing_m_per_s > b.closing_m_per_s
                || (a.closing_m_per_s == b.closing_m_per_s && a.to_m < b.to_m)
        };
        let best = self.ticks.iter().filter(there).reduce(|a, b| if faster(b, a) { b } else { a })?;
        Some(FastestPlace { range, gap_m: best.to_m, closing_m_per_s: best.closing_m_per_s })
    }

    /// The state at the last tick before the opening passed a gap, m; `None`: it never passed it. Of several passes the first, or one
    /// that is faster beyond doubt.
    pub fn before<const S: usize, const R: usize>(
        &self,
        setup: &Setup<B, S, R>,
        gap_m: f64,
    ) -> Option<Sim<B>> {
        let passed = self.ticks.iter().filter(|tick| tick.from_m > gap_m && tick.to_m <= gap_m);
        let tick =
            passed.reduce(|a, b| if b.closing_m_per_s > FASTER_BY * a.closing_m_per_s { b } else { a })?;
        let mut sim = self.kept[tick.kept];
        let mut events = Vec::new();
        for _ in 0..tick.after {
            sim.advance(setup, &mut events);
        }
        Some(sim)
    }
}
