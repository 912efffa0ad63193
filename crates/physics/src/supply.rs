//! The bus behind the winding's voltage: mains or battery, and where braking energy goes.
//!
//! The bus is settled once a tick from the power P that the winding took in the tick before
//! (DEVELOPERS.md, eq. 19, 20):
//!
//! ```text
//! battery    V = (V_oc + sqrt(V_oc^2 - 4 R_i P))/2,  i = P/V            (the root of P = V (V_oc - V)/R_i)
//! mains      at most V i_max; what is missing comes out of the bus:  C V^2/2 = C V_s^2/2 + E,  E < 0
//! braking    back into the supply, or burnt in a resistor, or blocked: it stays on the bus, E > 0, up to the clamp
//! ```

use crate::moment::Moment;
use crate::parameters::{Braking, Supply, SupplyKind};

/// A bus that is drawn down further than this part of its voltage has nothing left to give.
pub(crate) const LEAST_VOLTAGE: f64 = 0.1;
/// Clamp voltage over supply voltage where the file leaves it out.
pub(crate) const CLAMP_OVER_VOLTAGE: f64 = 1.25;

/// What the supply can do, worked out once.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Source {
    kind: SupplyKind,
    braking: Braking,
    volts: f64,
    resistance: f64,
    most_current: f64,
    capacitance: f64,
    /// Most energy on the bus beyond that at the supply's voltage, J.
    room: f64,
}

impl Source {
    pub fn new(supply: &Supply) -> Self {
        let clamp = supply.clamp_voltage_v.unwrap_or(CLAMP_OVER_VOLTAGE * supply.voltage_v);
        Self {
            kind: supply.kind,
            braking: supply.braking,
            volts: supply.voltage_v,
            resistance: supply.resistance_ohm,
            most_current: supply.current_limit_a.unwrap_or(f64::INFINITY),
            capacitance: supply.capacitance_f,
            room: (0.5 * supply.capacitance_f * (clamp * clamp - supply.voltage_v * supply.voltage_v))
                .max(0.0),
        }
    }

    /// Mains without a limit that takes back what comes: the bus never moves.
    pub fn is_stiff(&self) -> bool {
        self.kind == SupplyKind::Mains && self.braking == Braking::Back && self.most_current == f64::INFINITY
    }

    /// Bus voltage at a power, V, and what the inner resistance turns to heat, W.
    fn battery(&self, watts: f64) -> (f64, f64) {
        // beyond its greatest power, at half its voltage, a battery gives no more: the next tick is clamped to that
        let root = (self.volts * self.volts - 4.0 * self.resistance * watts).max(0.0).sqrt();
        let volts = (self.volts + root) / 2.0;
        let amperes = watts / volts;
        (volts, self.resistance * amperes * amperes)
    }

    /// Power from a battery's open-circuit voltage for this power at the bus, W; from mains the power itself.
    pub fn behind_w(&self, watts: f64) -> f64 {
        let kept = if self.braking == Braking::Back { watts } else { watts.max(0.0) };
        match self.kind {
            SupplyKind::Mains => kept,
            SupplyKind::Battery => kept + self.battery(kept).1,
        }
    }
}

/// A greatest or least value and when it was so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Extreme {
    pub value: f64,
    pub at: Option<Moment>,
}

impl Extreme {
    /// Nothing was seen yet beyond this.
    pub const fn from(value: f64) -> Self {
        Self { value, at: None }
    }

    /// Keeps a value that is greater.
    pub fn see(&mut self, value: f64, at: Moment) {
        if value > self.value {
            *self = Self { value, at: Some(at) };
        }
    }
}

/// The bus of a run in progress, and what went over it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bus {
    pub volts: f64,
    /// Energy beyond that at the supply's voltage, J: positive kept from braking, negative drawn out at the limit.
    pub held_j: f64,
    /// What the supply gave, J: a battery at its open-circuit voltage.
    pub supply_j: f64,
    /// What a battery's inner resistance turned to heat, J.
    pub loss_j: f64,
    /// What resistor or clamp burnt, J.
    pub burnt_j: f64,
    pub least: Extreme,
    pub greatest: Extreme,
    /// Greatest current that the supply gives, mean over a tick, A.
    pub most_current: Extreme,
}

impl Bus {
    pub fn standing(source: &Source) -> Self {
        let volts = Extreme::from(source.volts);
        Self {
            volts: source.volts,
            held_j: 0.0,
            supply_j: 0.0,
            loss_j: 0.0,
            burnt_j: 0.0,
            least: volts,
            greatest: volts,
            most_current: Extreme::from(0.0),
        }
    }

    /// Whether a steady draw would leave the voltage where it is.
    pub fn is_settled(&self, source: &Source, watts: f64) -> bool {
        self.held_j >= 0.0 && watts <= source.volts * source.most_current
    }

    /// Settles the bus after `for_s` seconds in which the winding took `taken_j`.
    pub fn settle(&mut self, source: &Source, taken_j: f64, for_s: f64, at: Moment) {
        let wanted = taken_j - self.held_j;
        self.held_j = 0.0;
        let given = if wanted < 0.0 { self.take_back(source, -wanted) } else { wanted };
        self.volts = match source.kind {
            SupplyKind::Battery => {
                let (volts, heat) = source.battery(given / for_s);
                self.supply_j += given + heat * for_s;
                self.loss_j += heat * for_s;
                self.most_current.see(given / for_s / volts, at);
                volts
            }
            SupplyKind::Mains => {
                let most = source.most_current * self.volts * for_s;
                self.most_current.see(given.min(most) / for_s / self.volts, at);
                self.supply_j += given.min(most);
                self.held_j += given.min(most) - given;
                source.volts
            }
        };
        if self.held_j != 0.0 {
            let square = source.volts * source.volts + 2.0 * self.held_j / source.capacitance;
            self.volts = square.max(0.0).sqrt().max(LEAST_VOLTAGE * source.volts);
        }
        if self.volts < self.least.value {
            self.least = Extreme { value: self.volts, at: Some(at) };
        }
        self.greatest.see(self.volts, at);
    }

    /// Puts away what braking brings; returns what the supply gives, negative where it takes.
    fn take_back(&mut self, source: &Source, surplus_j: f64) -> f64 {
        match source.braking {
            Braking::Back => return -surplus_j,
            Braking::Resistor => self.burnt_j += surplus_j,
            Braking::Blocked => {
                self.held_j = surplus_j.min(source.room);
                self.burnt_j += surplus_j - self.held_j;
            }
        }
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT: Moment = Moment { t_s: 0.0, clear_opening_m: 0.0 };

    fn settled(supply: Supply, watts: &[f64]) -> (Source, Bus) {
        let source = Source::new(&supply);
        let mut bus = Bus::standing(&source);
        for power in watts {
            bus.settle(&source, power * 1e-3, 1e-3, AT);
        }
        let taken: f64 = watts.iter().sum::<f64>() * 1e-3;
        let left = bus.supply_j - bus.loss_j - bus.burnt_j - bus.held_j - taken;
        assert!(left.abs() < 1e-12 * taken.abs().max(1.0), "energy {left} J");
        (source, bus)
    }

    /// 24 V behind 0.1 ohm at 10 A: 23 V and 230 W at the terminals (derived).
    #[test]
    fn a_battery_sags_by_its_inner_resistance_times_its_current() {
        let battery = Supply { kind: SupplyKind::Battery, resistance_ohm: 0.1, ..Supply::default() };
        let (_, bus) = settled(battery, &[230.0]);
        assert!((bus.volts - 23.0).abs() < 1e-12 && (bus.loss_j - 0.010).abs() < 1e-12);
        // charged with 10 A it stands at 25 V
        assert!((settled(battery, &[-250.0]).1.volts - 25.0).abs() < 1e-12);
    }

    /// No battery gives more than V_oc^2/(4 R_i), at half its voltage (textbook).
    #[test]
    fn a_battery_asked_for_too_much_falls_to_half_its_voltage() {
        let battery = Supply { kind: SupplyKind::Battery, resistance_ohm: 1.0, ..Supply::default() };
        assert_eq!(settled(battery, &[200.0]).1.volts, 12.0);
    }

    /// E = C (V^2 - V_s^2)/2 (derived)
    #[test]
    fn a_blocked_supply_lets_the_bus_rise_to_its_clamp_and_gives_it_back() {
        let supply = Supply {
            braking: Braking::Blocked,
            capacitance_f: 0.01,
            clamp_voltage_v: Some(30.0),
            ..Supply::default()
        };
        let (_, bus) = settled(supply, &[-1000.0]);
        assert!((bus.volts - (24.0_f64 * 24.0 + 200.0).sqrt()).abs() < 1e-12);
        let (_, bus) = settled(supply, &[-1000.0, -1000.0]);
        assert!((bus.volts - 30.0).abs() < 1e-12 && (bus.burnt_j - (2.0 - 0.005 * 324.0)).abs() < 1e-12);
        let (_, bus) = settled(supply, &[-1000.0, 400.0, 700.0]);
        assert!((bus.volts - 24.0).abs() < 1e-12 && (bus.supply_j - 0.1).abs() < 1e-12);
    }

    #[test]
    fn a_resistor_keeps_the_bus_where_it_is_and_burns_what_comes() {
        let supply = Supply { braking: Braking::Resistor, ..Supply::default() };
        let (_, bus) = settled(supply, &[-500.0, 100.0]);
        assert_eq!((bus.volts, bus.burnt_j, bus.supply_j), (24.0, 0.5, 0.1));
    }

    /// 240 W at 24 V are 10 A, at a limit of 5 A they are 5 A; 230 W of a battery that sags to 23 V are 10 A (arithmetic).
    #[test]
    fn the_supply_gives_power_over_voltage_and_no_more_than_its_limit() {
        assert!(
            (settled(Supply::default(), &[100.0, 240.0, -50.0]).1.most_current.value - 10.0).abs() < 1e-12
        );
        let limited = Supply { current_limit_a: Some(5.0), ..Supply::default() };
        assert!((settled(limited, &[240.0]).1.most_current.value - 5.0).abs() < 1e-12);
        let battery = Supply { kind: SupplyKind::Battery, resistance_ohm: 0.1, ..Supply::default() };
        assert!((settled(battery, &[230.0]).1.most_current.value - 10.0).abs() < 1e-12);
    }

    /// At the limit the supply gives V i_max; the rest comes out of the capacitor until the voltage is down.
    #[test]
    fn mains_at_its_limit_lets_the_bus_fold_back_and_recovers() {
        let supply = Supply { current_limit_a: Some(5.0), capacitance_f: 0.01, ..Supply::default() };
        let (_, bus) = settled(supply, &[300.0]);
        assert!((bus.volts - (24.0_f64 * 24.0 - 36.0).sqrt()).abs() < 1e-12);
        let (_, bus) = settled(supply, &[300.0, 0.0, 0.0, 0.0]);
        assert_eq!((bus.volts, bus.held_j), (24.0, 0.0));
    }
}
