//! How each quantity is spoken of: its name, the units in which it is shown, examples.

use tautleaf_physics::Quantity;

/// What is particular to one quantity: (name with article, SI unit shown, US unit shown, unit computed in,
/// two examples).
type Spoken = (&'static str, &'static str, &'static str, &'static str, [&'static str; 2]);

/// How a quantity is spoken of.
pub(super) fn spoken(quantity: Quantity) -> Spoken {
    match quantity {
        Quantity::Mass => ("a mass", "kg", "lb", "kg", ["80 kg", "176 lb"]),
        Quantity::Length => ("a length", "m", "ft", "m", ["1.1 m", "3.6 ft"]),
        Quantity::ShortLength => ("a length", "mm", "in", "m", ["50 mm", "2 in"]),
        Quantity::Speed => ("a speed", "m/s", "in/s", "m/s", ["0.35 m/s", "14 in/s"]),
        Quantity::Acceleration => ("an acceleration", "m/s2", "ft/s2", "m/s2", ["0.8 m/s2", "2.6 ft/s2"]),
        Quantity::Jerk => ("a jerk", "m/s3", "ft/s3", "m/s3", ["5 m/s3", "16 ft/s3"]),
        Quantity::Force => ("a force", "N", "lbf", "N", ["250 N", "56 lbf"]),
        Quantity::Torque => ("a torque", "N m", "lbf in", "N m", ["0.005 N m", "0.044 lbf in"]),
        Quantity::Energy => ("an energy", "J", "ft lbf", "J", ["1.69 J", "1.25 ft lbf"]),
        Quantity::Stiffness => ("a stiffness", "N/mm", "lbf/in", "N/m", ["40 N/mm", "228 lbf/in"]),
        Quantity::LineDrag => ("a force for each length", "N/m", "lbf/ft", "N/m", ["3 N/m", "0.2 lbf/ft"]),
        Quantity::SpecificStiffness => {
            ("a stiffness for each width", "kN/mm", "lbf/in", "N/m", ["22 kN/mm", "126000 lbf/in"])
        }
        Quantity::SpecificMass => {
            ("a mass for each length and width", "g/m/mm", "lb/ft2", "kg/m2", ["4.8 g/m/mm", "0.98 lb/ft2"])
        }
        Quantity::Damping => ("a damping", "N s/m", "lbf s/in", "N s/m", ["100 N s/m", "0.57 lbf s/in"]),
        Quantity::Time => ("a time", "s", "s", "s", ["3 s", "500 ms"]),
        Quantity::ShortTime => ("a time", "ms", "ms", "s", ["30 ms", "0.03 s"]),
        Quantity::Inertia => ("an inertia", "kg m2", "lb in2", "kg m2", ["5e-5 kg m2", "0.17 lb in2"]),
        Quantity::Current => ("a current", "A", "A", "A", ["5 A", "500 mA"]),
        Quantity::Voltage => ("a voltage", "V", "V", "V", ["24 V", "325 V"]),
        Quantity::Resistance => ("a resistance", "ohm", "ohm", "ohm", ["0.5 ohm", "500 mohm"]),
        Quantity::Inductance => ("an inductance", "mH", "mH", "H", ["0.3 mH", "300 uH"]),
        Quantity::Capacitance => ("a capacitance", "mF", "mF", "F", ["4.7 mF", "4700 uF"]),
        Quantity::Charge => ("a charge", "Ah", "Ah", "A s", ["7 Ah", "7000 mAh"]),
        Quantity::TorqueConstant => {
            ("a torque constant", "N m/A", "lbf in/A", "N m/A", ["0.05 N m/A", "0.44 lbf in/A"])
        }
        Quantity::SpeedGain => ("a gain on speed", "A s/m", "A s/ft", "A s/m", ["50 A s/m", "15 A s/ft"]),
        Quantity::PositionGain => ("a gain on position", "A/m", "A/ft", "A/m", ["150 A/m", "46 A/ft"]),
        Quantity::Temperature => ("a temperature", "C", "F", "C", ["25 C", "77 F"]),
        Quantity::TemperatureRise => ("a difference of temperatures", "K", "F", "K", ["80 K", "144 F"]),
        Quantity::PerKelvin => ("a temperature coefficient", "1/K", "1/K", "1/K", ["-0.002 1/K", "-0.2 %/K"]),
        Quantity::RotationalSpeed => {
            ("a rotational speed", "1/min", "1/min", "rad/s", ["3000 1/min", "314 rad/s"])
        }
        Quantity::Power => ("a power", "W", "W", "W", ["60 W", "0.1 hp"]),
        Quantity::Angle => ("an angle", "arcmin", "arcmin", "rad", ["15 arcmin", "0.25 deg"]),
        Quantity::ThermalResistance => ("a thermal resistance", "K/W", "K/W", "K/W", ["1.2 K/W", "8 K/W"]),
        Quantity::PerHour => ("a rate", "/h", "/h", "/h", ["60 /h", "600 /d"]),
        Quantity::Slope => ("a slope", "mm/m", "in/ft", "m/m", ["2 mm/m", "0.024 in/ft"]),
        Quantity::LineMass => ("a mass for each length", "kg/m", "lb/ft", "kg/m", ["1.5 kg/m", "1 lb/ft"]),
        Quantity::Pressure => ("a pressure", "Pa", "lbf/ft2", "Pa", ["10 Pa", "0.2 lbf/ft2"]),
        Quantity::Number => ("a plain number", "", "", "", ["0.01", "30"]),
    }
}

/// Name of a quantity with its article: "a mass".
pub fn name(quantity: Quantity) -> &'static str {
    spoken(quantity).0
}

/// What would do: `write a mass such as "80 kg" or "176 lb"`.
pub fn advice(quantity: Quantity) -> String {
    let (name, _, _, _, [first, second]) = spoken(quantity);
    if quantity == Quantity::Number {
        format!("write {name} such as {first} or {second}, without quotes and unit")
    } else {
        format!("write {name} such as \"{first}\" or \"{second}\"")
    }
}
