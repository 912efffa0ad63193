//! Flags of `tautleaf choose` that say which drives are tried at all.

use clap::{ArgAction, Args};
use tautleaf_physics::Quantity;
use tautleaf_scenario::{GEARS, UnitSystem, units};
use tautleaf_trials::choose::{Catalogue, GearKind, Restriction, same_voltage};

use crate::failure::Failure;

/// Which drives are tried.
#[derive(Clone, Debug, Default, Args)]
pub(crate) struct OnlyArgs {
    /// Only drives for this bus, such as "24 V"; several with commas
    #[arg(long, value_name = "VOLTAGE", value_delimiter = ',', value_parser = voltage, conflicts_with = "map")]
    voltage: Vec<f64>,
    /// Only drives with this gear: worm, planetary or direct; several with commas
    #[arg(long, value_name = "GEAR", value_delimiter = ',', value_parser = gear, conflicts_with = "map")]
    gear: Vec<GearKind>,
    /// Only drives of at least this rated power, such as "60 W"
    #[arg(long, value_name = "POWER", value_parser = power, conflicts_with = "map")]
    least_power: Option<f64>,
    /// Only drives of at most this rated power, such as "120 W"
    #[arg(long, value_name = "POWER", value_parser = power, conflicts_with = "map")]
    most_power: Option<f64>,
    /// Only drives whose gear locks itself (yes), or none of these (no)
    #[arg(long, value_name = "YES/NO", value_parser = yes_or_no, action = ArgAction::Set, conflicts_with = "map")]
    self_locking: Option<bool>,
}

impl OnlyArgs {
    /// The restriction, if drives of this catalogue are left by it.
    ///
    /// # Errors
    /// A voltage that no drive has, powers of which none can be, or nothing that is left; with what would do.
    pub fn of(&self, catalogue: &Catalogue, system: UnitSystem) -> Result<Restriction, Failure> {
        let known = catalogue.voltages_v();
        let show = |volts: &f64| units::show(Quantity::Voltage, *volts, system);
        if let Some(volts) =
            self.voltage.iter().find(|volts| !known.iter().any(|k| same_voltage(**volts, *k)))
        {
            let known = known.iter().map(show).collect::<Vec<_>>().join(", ");
            return Err(Failure::NoVoltage { voltage: show(volts), known });
        }
        let only = Restriction {
            voltages_v: self.voltage.clone(),
            gears: self.gear.clone(),
            least_power_w: self.least_power,
            most_power_w: self.most_power,
            self_locking: self.self_locking,
        };
        match tautleaf_report::nothing_left(&only, catalogue, system) {
            Some(why) => Err(Failure::NoDriveLeft(why)),
            None => Ok(only),
        }
    }
}

fn voltage(text: &str) -> Result<f64, String> {
    let volts = units::parse_quantity(Quantity::Voltage, text.trim()).map_err(|error| error.to_string())?;
    if volts > 0.0 { Ok(volts) } else { Err("write the voltage of a bus, such as 24 V".to_owned()) }
}

fn gear(text: &str) -> Result<GearKind, String> {
    let known = GEARS.iter().find(|(word, _)| *word == text.trim());
    known.map(|(_, gear)| *gear).ok_or_else(|| {
        let words: Vec<&str> = GEARS.iter().map(|(word, _)| *word).collect();
        format!("there is no such gear; write one of {}", words.join(", "))
    })
}

fn power(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let (number, times) = match (text.strip_suffix("kW"), text.strip_suffix('W')) {
        (Some(number), _) => (number, 1000.0),
        (None, Some(number)) => (number, 1.0),
        _ => return Err("write a power with its unit, such as 120 W".to_owned()),
    };
    match number.trim().parse::<f64>() {
        Ok(watts) if watts > 0.0 && watts.is_finite() => Ok(times * watts),
        _ => Err("write a power above 0, such as 120 W".to_owned()),
    }
}

fn yes_or_no(text: &str) -> Result<bool, String> {
    match text.trim() {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err("write yes or no".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_power_has_its_unit() {
        assert_eq!(power("120 W"), Ok(120.0));
        assert_eq!(power("0.12 kW"), Ok(120.0));
        for wrong in ["120", "-3 W", "0 W", "nan W", "W", "1 A"] {
            assert!(power(wrong).is_err(), "{wrong}");
        }
    }
}
