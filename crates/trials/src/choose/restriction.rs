//! Which drives of a catalogue are tried at all.

use super::catalogue::{Catalogue, Drive, GearKind};

/// Voltages that differ by less, as a part of them, are the same.
const SAME_VOLTAGE: f64 = 0.01;
/// A drive of 60 W by its name has 59 to 61 W by its numbers.
const SAME_POWER: f64 = 0.05;

/// What a drive has to be, whatever it could do. The default restricts nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Restriction {
    /// Bus voltages, V; empty: any.
    pub voltages_v: Vec<f64>,
    /// Gears; empty: any.
    pub gears: Vec<GearKind>,
    /// Least rated power at the rotor, W; 5 % less is as much.
    pub least_power_w: Option<f64>,
    /// Greatest rated power at the rotor, W; 5 % more is as much.
    pub most_power_w: Option<f64>,
    /// Whether its gear has to lock itself, or must not.
    pub self_locking: Option<bool>,
}

impl Restriction {
    /// Whether it leaves nothing out.
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }

    /// Whether a drive is tried.
    pub fn allows(&self, drive: &Drive) -> bool {
        let watts = drive.rated_power_w();
        let is = |volts: &f64| same_voltage(*volts, drive.voltage_v);
        (self.voltages_v.is_empty() || self.voltages_v.iter().any(is))
            && (self.gears.is_empty() || self.gears.contains(&drive.gear))
            && self.least_power_w.is_none_or(|least| watts >= least * (1.0 - SAME_POWER))
            && self.most_power_w.is_none_or(|most| watts <= most * (1.0 + SAME_POWER))
            && self.self_locking.is_none_or(|locks| locks == drive.locks_itself())
    }

    /// How many drives of a catalogue are tried.
    pub fn leaves(&self, catalogue: &Catalogue) -> usize {
        catalogue.drives.iter().filter(|drive| self.allows(drive)).count()
    }

    /// Each part of it alone.
    pub fn parts(&self) -> Vec<Self> {
        let alone = [
            Self { voltages_v: self.voltages_v.clone(), ..Self::default() },
            Self { gears: self.gears.clone(), ..Self::default() },
            Self { least_power_w: self.least_power_w, ..Self::default() },
            Self { most_power_w: self.most_power_w, ..Self::default() },
            Self { self_locking: self.self_locking, ..Self::default() },
        ];
        alone.into_iter().filter(|part| !part.is_none()).collect()
    }
}

/// Whether two voltages are the same.
pub fn same_voltage(a_v: f64, b_v: f64) -> bool {
    (a_v / b_v - 1.0).abs() < SAME_VOLTAGE
}

impl Catalogue {
    /// The bus voltages of its drives, V, each once, the lowest first.
    pub fn voltages_v(&self) -> Vec<f64> {
        let mut volts: Vec<f64> = self.drives.iter().map(|drive| drive.voltage_v).collect();
        volts.sort_by(f64::total_cmp);
        volts.dedup_by(|a, b| same_voltage(*a, *b));
        volts
    }
}
