//! Which units each quantity may be written in. Conversions are `uom`'s, so that their dimensions are checked by
//! the compiler; this table adds the spelling, and compound units that `uom` has no name for.

use tautleaf_physics::Quantity;
use uom::si::acceleration::{foot_per_second_squared, inch_per_second_squared, meter_per_second_squared};
use uom::si::capacitance::{farad, microfarad, millifarad};
use uom::si::electric_current::{ampere, milliampere};
use uom::si::electric_potential::{millivolt, volt};
use uom::si::electrical_resistance::{milliohm, ohm};
use uom::si::energy::{joule, kilojoule, watt_hour};
use uom::si::f64::{
    Acceleration, Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force,
    Frequency, Inductance, Jerk, Length, Mass, Power, Pressure, TemperatureInterval, Time, Velocity,
};
use uom::si::force::{kilonewton, millinewton, newton};
use uom::si::frequency::cycle_per_hour;
use uom::si::inductance::{henry, microhenry, millihenry};
use uom::si::jerk::{foot_per_second_cubed, meter_per_second_cubed};
use uom::si::length::{centimeter, foot, inch, meter, micrometer, millimeter};
use uom::si::mass::{gram, kilogram};
use uom::si::power::{kilowatt, milliwatt, watt};
use uom::si::pressure::{hectopascal, pascal};
use uom::si::temperature_interval::{degree_fahrenheit, kelvin};
use uom::si::time::{day, hour, microsecond, millisecond, minute, second};
use uom::si::velocity::{
    foot_per_minute, foot_per_second, inch_per_second, kilometer_per_hour, meter_per_second,
};

use super::exact::{foot_pound, ounce, pound, pound_force};

/// One unit of a quantity.
pub(super) struct Unit {
    /// How it is written.
    pub name: &'static str,
    /// How else it may be written.
    pub aliases: &'static [&'static str],
    /// A value in this unit as a value in the SI unit of the quantity.
    pub to_si: fn(f64) -> f64,
}

macro_rules! table {
    ($($name:literal $(| $alias:literal)* => $to_si:expr;)+) => {
        &[$(Unit { name: $name, aliases: &[$($alias),*], to_si: $to_si }),+]
    };
}

fn m(v: f64) -> Length {
    Length::new::<meter>(v)
}
fn mm(v: f64) -> Length {
    Length::new::<millimeter>(v)
}
fn cm(v: f64) -> Length {
    Length::new::<centimeter>(v)
}
fn inches(v: f64) -> Length {
    Length::new::<inch>(v)
}
fn feet(v: f64) -> Length {
    Length::new::<foot>(v)
}
fn newtons(v: f64) -> Force {
    Force::new::<newton>(v)
}
fn lbf(v: f64) -> Force {
    Force::new::<pound_force>(v)
}
fn kg(v: f64) -> Mass {
    Mass::new::<kilogram>(v)
}
fn g(v: f64) -> Mass {
    Mass::new::<gram>(v)
}
fn lb(v: f64) -> Mass {
    Mass::new::<pound>(v)
}
fn s(v: f64) -> Time {
    Time::new::<second>(v)
}
fn amperes(v: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(v)
}

static MASS: &[Unit] = table! {
    "kg" => |v| kg(v).value;
    "g" => |v| g(v).value;
    "lb" | "lbs" | "lbm" => |v| lb(v).value;
    "oz" => |v| Mass::new::<ounce>(v).value;
};
static LENGTH: &[Unit] = table! {
    "m" => |v| m(v).value;
    "mm" => |v| mm(v).value;
    "cm" => |v| cm(v).value;
    "um" => |v| Length::new::<micrometer>(v).value;
    "in" | "inch" => |v| inches(v).value;
    "ft" | "foot" | "feet" => |v| feet(v).value;
};
static SPEED: &[Unit] = table! {
    "m/s" => |v| Velocity::new::<meter_per_second>(v).value;
    "mm/s" => |v| (mm(v) / s(1.0)).value;
    "cm/s" => |v| (cm(v) / s(1.0)).value;
    "km/h" => |v| Velocity::new::<kilometer_per_hour>(v).value;
    "in/s" => |v| Velocity::new::<inch_per_second>(v).value;
    "ft/s" => |v| Velocity::new::<foot_per_second>(v).value;
    "ft/min" => |v| Velocity::new::<foot_per_minute>(v).value;
};
static ACCELERATION: &[Unit] = table! {
    "m/s2" => |v| Acceleration::new::<meter_per_second_squared>(v).value;
    "mm/s2" => |v| (mm(v) / s(1.0) / s(1.0)).value;
    "ft/s2" => |v| Acceleration::new::<foot_per_second_squared>(v).value;
    "in/s2" => |v| Acceleration::new::<inch_per_second_squared>(v).value;
};
static JERK: &[Unit] = table! {
    "m/s3" => |v| Jerk::new::<meter_per_second_cubed>(v).value;
    "ft/s3" => |v| Jerk::new::<foot_per_second_cubed>(v).value;
};
static FORCE: &[Unit] = table! {
    "N" => |v| newtons(v).value;
    "kN" => |v| Force::new::<kilonewton>(v).value;
    "mN" => |v| Force::new::<millinewton>(v).value;
    "lbf" => |v| lbf(v).value;
};
static TORQUE: &[Unit] = table! {
    "N m" | "Nm" => |v| (newtons(v) * m(1.0)).value;
    "mN m" | "mNm" => |v| (newtons(v) * mm(1.0)).value;
    "N mm" | "Nmm" => |v| (newtons(v) * mm(1.0)).value;
    "N cm" | "Ncm" => |v| (newtons(v) * cm(1.0)).value;
    "lbf in" | "in lbf" => |v| (lbf(v) * inches(1.0)).value;
    "lbf ft" | "ft lbf" => |v| Energy::new::<foot_pound>(v).value;
};
static ENERGY: &[Unit] = table! {
    "J" => |v| Energy::new::<joule>(v).value;
    "kJ" => |v| Energy::new::<kilojoule>(v).value;
    "Wh" | "W h" => |v| Energy::new::<watt_hour>(v).value;
    "ft lbf" | "lbf ft" => |v| Energy::new::<foot_pound>(v).value;
};
static STIFFNESS: &[Unit] = table! {
    "N/mm" => |v| (newtons(v) / mm(1.0)).value;
    "N/m" => |v| (newtons(v) / m(1.0)).value;
    "kN/m" => |v| (newtons(v) / mm(1.0)).value;
    "kN/mm" => |v| (Force::new::<kilonewton>(v) / mm(1.0)).value;
    "lbf/in" => |v| (lbf(v) / inches(1.0)).value;
    "lbf/ft" => |v| (lbf(v) / feet(1.0)).value;
};
static SPECIFIC_MASS: &[Unit] = table! {
    "g/m/mm" | "g/(m mm)" => |v| (g(v) / m(1.0) / mm(1.0)).value;
    "kg/m2" => |v| (kg(v) / m(1.0) / m(1.0)).value;
    "kg/m/mm" => |v| (kg(v) / m(1.0) / mm(1.0)).value;
    "lb/ft2" => |v| (lb(v) / feet(1.0) / feet(1.0)).value;
};
static DAMPING: &[Unit] = table! {
    "N s/m" | "Ns/m" | "N/(m/s)" => |v| (newtons(v) * s(1.0) / m(1.0)).value;
    "N s/mm" | "Ns/mm" => |v| (newtons(v) * s(1.0) / mm(1.0)).value;
    "kg/s" => |v| (kg(v) / s(1.0)).value;
    "lbf s/in" => |v| (lbf(v) * s(1.0) / inches(1.0)).value;
    "lbf s/ft" => |v| (lbf(v) * s(1.0) / feet(1.0)).value;
};
static TIME: &[Unit] = table! {
    "s" => |v| s(v).value;
    "ms" => |v| Time::new::<millisecond>(v).value;
    "us" => |v| Time::new::<microsecond>(v).value;
    "min" => |v| Time::new::<minute>(v).value;
    "h" => |v| Time::new::<hour>(v).value;
};
static INERTIA: &[Unit] = table! {
    "kg m2" | "kgm2" => |v| (kg(v) * m(1.0) * m(1.0)).value;
    "kg cm2" | "kgcm2" => |v| (kg(v) * cm(1.0) * cm(1.0)).value;
    "g cm2" | "gcm2" => |v| (g(v) * cm(1.0) * cm(1.0)).value;
    "kg mm2" | "kgmm2" => |v| (kg(v) * mm(1.0) * mm(1.0)).value;
    "lb in2" => |v| (lb(v) * inches(1.0) * inches(1.0)).value;
    "lb ft2" => |v| (lb(v) * feet(1.0) * feet(1.0)).value;
};
static CURRENT: &[Unit] = table! {
    "A" => |v| amperes(v).value;
    "mA" => |v| ElectricCurrent::new::<milliampere>(v).value;
};
static VOLTAGE: &[Unit] = table! {
    "V" => |v| ElectricPotential::new::<volt>(v).value;
    "mV" => |v| ElectricPotential::new::<millivolt>(v).value;
};
static RESISTANCE: &[Unit] = table! {
    "ohm" | "ohms" => |v| ElectricalResistance::new::<ohm>(v).value;
    "mohm" => |v| ElectricalResistance::new::<milliohm>(v).value;
};
static INDUCTANCE: &[Unit] = table! {
    "H" => |v| Inductance::new::<henry>(v).value;
    "mH" => |v| Inductance::new::<millihenry>(v).value;
    "uH" => |v| Inductance::new::<microhenry>(v).value;
};
static CAPACITANCE: &[Unit] = table! {
    "F" => |v| Capacitance::new::<farad>(v).value;
    "mF" => |v| Capacitance::new::<millifarad>(v).value;
    "uF" => |v| Capacitance::new::<microfarad>(v).value;
};
static CHARGE: &[Unit] = table! {
    "Ah" | "A h" => |v| (amperes(v) * Time::new::<hour>(1.0)).value;
    "mAh" | "mA h" => |v| (ElectricCurrent::new::<milliampere>(v) * Time::new::<hour>(1.0)).value;
    "A s" | "As" => |v| (amperes(v) * s(1.0)).value;
};
static TORQUE_CONSTANT: &[Unit] = table! {
    "N m/A" | "Nm/A" => |v| (newtons(v) * m(1.0) / amperes(1.0)).value;
    "mN m/A" | "mNm/A" => |v| (newtons(v) * mm(1.0) / amperes(1.0)).value;
    "V s/rad" | "Vs/rad" | "V s" => |v| (ElectricPotential::new::<volt>(v) * s(1.0)).value;
    "lbf in/A" => |v| (lbf(v) * inches(1.0) / amperes(1.0)).value;
    "V/1000 min-1" | "V/1000 min 1" | "V/(1000 min 1)" | "V/1000 rpm" | "V/krpm" | "mV/min 1" | "mV/rpm" => |v| {
        v / (1000.0 / minute_s() * std::f64::consts::TAU)
    };
};
static SPEED_GAIN: &[Unit] = table! {
    "A s/m" | "As/m" | "A/(m/s)" => |v| (amperes(v) * s(1.0) / m(1.0)).value;
    "A s/ft" => |v| (amperes(v) * s(1.0) / feet(1.0)).value;
};
static POSITION_GAIN: &[Unit] = table! {
    "A/m" => |v| (amperes(v) / m(1.0)).value;
    "A/mm" => |v| (amperes(v) / mm(1.0)).value;
    "A/ft" => |v| (amperes(v) / feet(1.0)).value;
};
static TEMPERATURE: &[Unit] = table! {
    "C" | "degC" | "deg C" => |v| TemperatureInterval::new::<kelvin>(v).value;
    "F" | "degF" | "deg F" => |v| TemperatureInterval::new::<degree_fahrenheit>(v - 32.0).value;
    "K" => |v| TemperatureInterval::new::<kelvin>(v).value - 273.15;
};
static TEMPERATURE_RISE: &[Unit] = table! {
    "K" => |v| TemperatureInterval::new::<kelvin>(v).value;
    "F" | "degF" | "deg F" => |v| TemperatureInterval::new::<degree_fahrenheit>(v).value;
};
static PER_KELVIN: &[Unit] = table! {
    "1/K" | "/K" | "1/C" | "/C" => |v| v / TemperatureInterval::new::<kelvin>(1.0).value;
    "%/K" | "%/C" => |v| v / TemperatureInterval::new::<kelvin>(100.0).value;
    "1/F" | "/F" => |v| v / TemperatureInterval::new::<degree_fahrenheit>(1.0).value;
};
static PER_HOUR: &[Unit] = table! {
    "/h" | "1/h" | "per hour" | "/hour" => |v| (Frequency::new::<cycle_per_hour>(v) / per_hour()).value;
    "/d" | "1/d" | "per day" | "/day" => |v| v / (Time::new::<day>(1.0) / Time::new::<hour>(1.0)).value;
    "/min" | "1/min" | "per minute" => |v| v * (Time::new::<hour>(1.0) / Time::new::<minute>(1.0)).value;
};
static ROTATIONAL_SPEED: &[Unit] = table! {
    "1/min" | "/min" | "min 1" | "rpm" | "r/min" | "rev/min" => |v| v / minute_s() * std::f64::consts::TAU;
    "rad/s" => |v| v / s(1.0).value;
    "1/s" | "rev/s" => |v| v * std::f64::consts::TAU / s(1.0).value;
};
static POWER: &[Unit] = table! {
    "W" => |v| Power::new::<watt>(v).value;
    "kW" => |v| Power::new::<kilowatt>(v).value;
    "mW" => |v| Power::new::<milliwatt>(v).value;
    "hp" => |v| (feet(v) * lbf(550.0) / s(1.0)).value;
};
static ANGLE: &[Unit] = table! {
    "arcmin" | "'" => |v| v / 60.0 * std::f64::consts::PI / 180.0;
    "deg" | "degree" => |v| v * std::f64::consts::PI / 180.0;
    "rad" => |v| v;
};
static THERMAL_RESISTANCE: &[Unit] = table! {
    "K/W" | "C/W" => |v| (TemperatureInterval::new::<kelvin>(v) / Power::new::<watt>(1.0)).value;
};
static SLOPE: &[Unit] = table! {
    "mm/m" => |v| (mm(v) / m(1.0)).value;
    "m/m" => |v| (m(v) / m(1.0)).value;
    "in/ft" => |v| (inches(v) / feet(1.0)).value;
    "%" => |v| (cm(v) / m(1.0)).value;
};

static LINE_MASS: &[Unit] = table! {
    "kg/m" => |v| (kg(v) / m(1.0)).value;
    "g/m" => |v| (g(v) / m(1.0)).value;
    "lb/ft" => |v| (lb(v) / feet(1.0)).value;
};
static PRESSURE: &[Unit] = table! {
    "Pa" => |v| Pressure::new::<pascal>(v).value;
    "hPa" | "mbar" => |v| Pressure::new::<hectopascal>(v).value;
    "lbf/ft2" | "psf" => |v| (lbf(v) / feet(1.0) / feet(1.0)).value;
};

/// Seconds in a minute.
fn minute_s() -> f64 {
    Time::new::<minute>(1.0).value
}

fn per_hour() -> Frequency {
    Frequency::new::<cycle_per_hour>(1.0)
}

/// Units in which a quantity may be written; none for a plain number.
pub(super) fn units_of(quantity: Quantity) -> &'static [Unit] {
    match quantity {
        Quantity::Mass => MASS,
        Quantity::Length | Quantity::ShortLength => LENGTH,
        Quantity::Speed => SPEED,
        Quantity::Acceleration => ACCELERATION,
        Quantity::Jerk => JERK,
        Quantity::Force => FORCE,
        Quantity::Torque => TORQUE,
        Quantity::Energy => ENERGY,
        Quantity::Stiffness | Quantity::LineDrag | Quantity::SpecificStiffness => STIFFNESS,
        Quantity::SpecificMass => SPECIFIC_MASS,
        Quantity::Damping => DAMPING,
        Quantity::Time | Quantity::ShortTime => TIME,
        Quantity::Inertia => INERTIA,
        Quantity::Current => CURRENT,
        Quantity::Voltage => VOLTAGE,
        Quantity::Resistance => RESISTANCE,
        Quantity::Inductance => INDUCTANCE,
        Quantity::Capacitance => CAPACITANCE,
        Quantity::Charge => CHARGE,
        Quantity::TorqueConstant => TORQUE_CONSTANT,
        Quantity::SpeedGain => SPEED_GAIN,
        Quantity::PositionGain => POSITION_GAIN,
        Quantity::Temperature => TEMPERATURE,
        Quantity::TemperatureRise => TEMPERATURE_RISE,
        Quantity::PerKelvin => PER_KELVIN,
        Quantity::PerHour => PER_HOUR,
        Quantity::RotationalSpeed => ROTATIONAL_SPEED,
        Quantity::Power => POWER,
        Quantity::Angle => ANGLE,
        Quantity::ThermalResistance => THERMAL_RESISTANCE,
        Quantity::Slope => SLOPE,
        Quantity::LineMass => LINE_MASS,
        Quantity::Pressure => PRESSURE,
        Quantity::Number => &[],
    }
}

/// Kinds of quantity in the order in which a unit written in the wrong place is named after them.
pub(super) const KINDS: &[Quantity] = &[
    Quantity::Mass,
    Quantity::Length,
    Quantity::Speed,
    Quantity::Acceleration,
    Quantity::Jerk,
    Quantity::Force,
    Quantity::Energy,
    Quantity::Torque,
    Quantity::Stiffness,
    Quantity::SpecificMass,
    Quantity::Damping,
    Quantity::Time,
    Quantity::Inertia,
    Quantity::Current,
    Quantity::Voltage,
    Quantity::Resistance,
    Quantity::Inductance,
    Quantity::Capacitance,
    Quantity::Charge,
    Quantity::TorqueConstant,
    Quantity::SpeedGain,
    Quantity::PositionGain,
    Quantity::Temperature,
    Quantity::TemperatureRise,
    Quantity::PerKelvin,
    Quantity::PerHour,
    Quantity::RotationalSpeed,
    Quantity::Power,
    Quantity::Angle,
    Quantity::ThermalResistance,
    Quantity::Slope,
    Quantity::LineMass,
    Quantity::Pressure,
];
