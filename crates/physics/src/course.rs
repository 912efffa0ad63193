//! A way closed or open, kept so that the force test can leave it at any gap without running it again.
//!
//! The state is kept every so many ticks, and wherever something happened beside the motion; the ticks between are run again.

use crate::run::{FastestPlace, GapRange};
use crate::sim::{Setup, Sim};

/// Ticks from one kept state to the next.
const APART: usize = 16;

/// A pass is faster than another one beyond doubt by this factor.
const FASTER_BY: f64 = 1.02;

/// A space that an edge makes narrower, over one tick.
#[derive(Clone, Copy)]
struct Narrowing {
    /// Its width at the beginning and at the end of the tick, m.
    from_m: f64,
    to_m: f64,
    /// How fast it becomes narrower at the end, m/s.
    closing_m_per_s: f64,
}

/// One tick of the way.
#[derive(Clone, Copy)]
struct Tick<const N: usize> {
    /// Each space.
    spaces: [Narrowing; N],
    /// The last kept state before it, and how many ticks lie between.
    kept: usize,
    after: usize,
}

/// Every tick of a way on which N spaces become narrower, and some of its states.
pub(crate) struct Course<const B: usize, const N: usize> {
    wanted: bool,
    ticks: Vec<Tick<N>>,
    kept: Vec<Sim<B>>,
    since: usize,
    last_tick: u64,
}

impl<const B: usize, const N: usize> Course<B, N> {
    /// Nothing yet; `wanted`: whether anything is to be kept.
    pub fn new(wanted: bool) -> Self {
        Self { wanted, ticks: Vec::new(), kept: Vec::new(), since: 0, last_tick: 0 }
    }

    /// A tick begins in this state; `changed`: something happened since the last one that running on would not repeat.
    pub fn begin_tick(&mut self, sim: &Sim<B>, spaces_m: [f64; N], changed: bool) {
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
            spaces: spaces_m.map(|space_m| Narrowing {
                from_m: space_m,
                to_m: space_m,
                closing_m_per_s: 0.0,
            }),
            kept: self.kept.len() - 1,
            after: self.since,
        });
    }

    /// The tick has ended here: each space, m, and how fast it becomes narrower, m/s.
    pub fn end_tick(&mut self, spaces: [(f64, f64); N]) {
        if let Some(tick) = self.ticks.last_mut().filter(|_| self.wanted) {
            for (space, (to_m, closing_m_per_s)) in tick.spaces.iter_mut().zip(spaces) {
                (space.to_m, space.closing_m_per_s) = (to_m, closing_m_per_s);
            }
        }
    }

    /// One of the spaces over the ticks.
    fn space(&self, index: usize) -> impl Iterator<Item = (&Tick<N>, Narrowing)> {
        self.ticks.iter().map(move |tick| (tick, tick.spaces[index]))
    }

    /// Where a space closes fastest within a range, below `widest_m`; the smaller gap if equal. `None`: it never closes there.
    pub fn fastest(&self, index: usize, range: GapRange, widest_m: f64) -> Option<FastestPlace> {
        let there = |space: &Narrowing| {
            space.closing_m_per_s > 0.0
                && space.to_m > 0.0
                && space.to_m < widest_m
                && range.holds(space.to_m)
        };
        let faster = |a: &Narrowing, b: &Narrowing| {
            a.closing_m_per_s > b.closing_m_per_s
                || (a.closing_m_per_s == b.closing_m_per_s && a.to_m < b.to_m)
        };
        let spaces = self.space(index).map(|(_, space)| space).filter(there);
        let best = spaces.reduce(|a, b| if faster(&b, &a) { b } else { a })?;
        Some(FastestPlace { range, gap_m: best.to_m, closing_m_per_s: best.closing_m_per_s })
    }

    /// The state at the last tick before a space passed a gap, m; `None`: it never passed it. Of several passes the first, or one
    /// that is faster beyond doubt.
    pub fn before<const S: usize, const R: usize>(
        &self,
        setup: &Setup<B, S, R>,
        index: usize,
        gap_m: f64,
    ) -> Option<Sim<B>> {
        let passed = self.space(index).filter(|(_, space)| space.from_m > gap_m && space.to_m <= gap_m);
        let faster = |a: &Narrowing, b: &Narrowing| b.closing_m_per_s > FASTER_BY * a.closing_m_per_s;
        let (tick, _) = passed.reduce(|a, b| if faster(&a.1, &b.1) { b } else { a })?;
        let mut sim = self.kept[tick.kept];
        let mut events = Vec::new();
        for _ in 0..tick.after {
            sim.advance(setup, &mut events);
        }
        Some(sim)
    }
}
