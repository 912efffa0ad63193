//! Parts that a door may have or not: what is in the way, a second loop, forces and faults.

use tautleaf_physics::parameters::{
    Arrangement, Fault, FaultKind, Hanger, LeafForce, Obstacle, Parameters, SupplyKind, Telescope,
};

/// A part that can be added to a door and taken away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Extra {
    /// What is in the way.
    Obstacle,
    /// A slow leaf behind each leaf, on a second loop.
    Telescope,
    /// A force on a leaf, by its place in the list.
    Force(usize),
    /// A fault of rail or roller, by its place in the list.
    Fault(usize),
}

impl Extra {
    /// What it is called when it is added or taken away.
    pub const fn name(self) -> &'static str {
        match self {
            Extra::Obstacle => "Obstacle",
            Extra::Telescope => "Slow leaf",
            Extra::Force(_) => "Force",
            Extra::Fault(_) => "Rail fault",
        }
    }

    /// Section of a door file.
    pub const fn section(self) -> &'static str {
        match self {
            Extra::Obstacle => "obstacle",
            Extra::Telescope => "telescope",
            Extra::Force(_) => "force",
            Extra::Fault(_) => "fault",
        }
    }

    /// Those that a door has.
    pub fn of(p: &Parameters) -> Vec<Extra> {
        let mut all = Vec::new();
        all.extend(p.obstacle.map(|_| Extra::Obstacle));
        all.extend(p.telescope.map(|_| Extra::Telescope));
        all.extend((0..p.forces.len()).map(Extra::Force));
        all.extend((0..p.faults.len()).map(Extra::Fault));
        all
    }

    /// Those that can be added to it.
    pub fn addable(p: &Parameters) -> Vec<Extra> {
        let mut all = Vec::new();
        if p.obstacle.is_none() {
            all.push(Extra::Obstacle);
        }
        if p.telescope.is_none() {
            all.push(Extra::Telescope);
        }
        all.extend([Extra::Force(p.forces.len()), Extra::Fault(p.faults.len())]);
        all
    }

    /// Head of its sliders: its own name where it has one.
    pub fn head(self, p: &Parameters) -> String {
        let listed = |name: Option<&String>, index: usize| match name.filter(|name| !name.is_empty()) {
            Some(name) => format!("{} {}: {name}", self.name(), index + 1),
            None => format!("{} {}", self.name(), index + 1),
        };
        match self {
            Extra::Force(index) => listed(p.forces.get(index).map(|force| &force.name), index),
            Extra::Fault(index) => listed(p.faults.get(index).map(|fault| &fault.name), index),
            _ => self.name().to_owned(),
        }
    }

    /// Adds it as it is by default.
    pub fn add(self, p: &mut Parameters) {
        match self {
            Extra::Obstacle => p.obstacle = Some(Obstacle::default()),
            Extra::Telescope => p.telescope = Some(Telescope::default()),
            Extra::Force(_) => p.forces.push(LeafForce::default()),
            Extra::Fault(_) => p.faults.push(Fault { at_m: 0.5 * p.leaf.stroke_m, ..Fault::default() }),
        }
    }

    /// Takes it away.
    pub fn remove(self, p: &mut Parameters) {
        match self {
            Extra::Obstacle => p.obstacle = None,
            Extra::Telescope => p.telescope = None,
            Extra::Force(index) if index < p.forces.len() => drop(p.forces.remove(index)),
            Extra::Fault(index) if index < p.faults.len() => drop(p.faults.remove(index)),
            Extra::Force(_) | Extra::Fault(_) => (),
        }
    }
}

/// One of a few, chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Choice {
    /// How the leaves are clamped to the belt.
    Arrangement(Arrangement),
    /// Where the current comes from.
    Supply(SupplyKind),
    /// The shape of a fault.
    FaultKind(usize, FaultKind),
    /// The roller that has a flat.
    FaultHanger(usize, Hanger),
}

impl Choice {
    /// What was chosen, for undo.
    pub const fn name(self) -> &'static str {
        match self {
            Choice::Arrangement(_) => "Arrangement",
            Choice::Supply(_) => "Supply",
            Choice::FaultKind(..) => "Kind of fault",
            Choice::FaultHanger(..) => "Roller with the flat",
        }
    }

    /// Sets it.
    pub fn set(self, p: &mut Parameters) {
        match self {
            Choice::Arrangement(arrangement) => p.arrangement = arrangement,
            Choice::Supply(kind) => p.supply.kind = kind,
            Choice::FaultKind(index, kind) => {
                if let Some(fault) = p.faults.get_mut(index) {
                    fault.kind = kind;
                }
            }
            Choice::FaultHanger(index, hanger) => {
                if let Some(fault) = p.faults.get_mut(index) {
                    fault.hanger = hanger;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_added_can_be_taken_away_again() {
        let plain = Parameters::default();
        for extra in Extra::addable(&plain) {
            let mut p = plain.clone();
            extra.add(&mut p);
            assert_eq!(Extra::of(&p), [extra]);
            extra.remove(&mut p);
            assert_eq!(p, plain);
        }
    }
}
