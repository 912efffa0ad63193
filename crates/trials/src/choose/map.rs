//! The load map of one drive: which leaf it moves in which closing time, and what forbids more.

use super::bounds::Bound;

/// A place on the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapPoint {
    /// Closing time, s.
    pub closing_s: f64,
    /// Mass of one leaf, kg.
    pub mass_kg: f64,
}

/// Where one bound is just kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Border {
    /// The bound.
    pub bound: Bound,
    /// Pieces of its line.
    pub pieces: Vec<(MapPoint, MapPoint)>,
}

/// What one leaf can be closed in.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Shortest closing time at which everything is kept, s; `None`: at none of the map.
    pub shortest_s: Option<f64>,
    /// What forbids less; where nothing is kept, what is short at the longest time.
    pub because: Option<Bound>,
}

/// Leaf mass against closing time for one drive.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadMap {
    /// The door itself.
    pub door: MapPoint,
    /// Whether everything is kept there, and what is not.
    pub short_there: Option<Bound>,
    /// Least and greatest closing time, s.
    pub times_s: (f64, f64),
    /// Least and greatest mass, kg.
    pub masses_kg: (f64, f64),
    /// The borders.
    pub borders: Vec<Border>,
    /// For some masses the shortest closing time, the lightest first; among them the heaviest for which there is one.
    pub rows: Vec<Row>,
    /// Closing time that a limit of the door asks for, s; `None`: no limit does.
    pub wanted_s: Option<f64>,
    /// Cycles that were run.
    pub cycles: usize,
    /// Whether it was stopped before it was done.
    pub stopped: bool,
}
