//! Drives and belts to choose from, as plain data: SI, the unit in each name.

use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Field, Quantity};

/// Drives and belts that can be put together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Catalogue {
    /// The drives, in the order in which they are listed.
    pub drives: Vec<Drive>,
    /// The belts.
    pub belts: Vec<BeltKind>,
}

/// How the current of a motor is commutated.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Commutation {
    /// By brushes.
    #[default]
    Brushed,
    /// By electronics.
    Brushless,
}

/// What lies between rotor and pulley.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum GearKind {
    /// A worm.
    #[default]
    Worm,
    /// A planetary gear.
    Planetary,
    /// Nothing: the pulley sits on the rotor.
    Direct,
}

/// A motor with its gear and its supply, as one unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// What it is, in words: "24 V, worm 15:1, 60 W".
    pub name: String,
    /// Commutation of its motor.
    pub commutation: Commutation,
    /// Its gear.
    pub gear: GearKind,
    /// Insulation class of its winding.
    pub insulation: InsulationClass,
    /// Bus that it runs on, V.
    pub voltage_v: f64,
    /// Most that its supply gives, A; `None`: no limit.
    pub supply_current_a: Option<f64>,
    /// Winding resistance at 25 C, ohm.
    pub resistance_ohm: f64,
    /// Torque constant at 25 C, N m/A.
    pub torque_constant_n_m_per_a: f64,
    /// Winding inductance, H.
    pub inductance_h: f64,
    /// Rotor inertia, kg m2.
    pub rotor_inertia_kg_m2: f64,
    /// Friction of the rotor, N m.
    pub rotor_friction_n_m: f64,
    /// Current that it bears without a break, A.
    pub rated_current_a: f64,
    /// Most current, A.
    pub peak_current_a: f64,
    /// Turns of the rotor in a minute at the rated point.
    pub rated_turns_per_min: f64,
    /// Most turns of the rotor in a minute.
    pub most_turns_per_min: f64,
    /// Change of the torque constant with temperature, 1/K.
    pub magnet_coefficient_per_k: f64,
    /// Pole pairs of a brushless motor; `None`: not known.
    pub pole_pairs: Option<f64>,
    /// Bars of a commutator; `None`: not known.
    pub commutator_bars: Option<f64>,
    /// How much warmer than 40 C the winding gets at the rated current, K.
    pub rated_rise_k: f64,
    /// Share of that rise between winding and housing.
    pub inner_rise_share: f64,
    /// Time constant of the winding against the housing, s.
    pub winding_time_s: f64,
    /// Time constant of the housing against ambient, s.
    pub housing_time_s: f64,
    /// Turns of the rotor for one of the pulley.
    pub ratio: f64,
    /// Efficiency of the gear when the motor drives.
    pub efficiency: f64,
    /// Teeth of its pinion, or starts of its worm; `None`: not known.
    pub rotor_teeth: Option<f64>,
    /// Most torque at the output shaft, N m.
    pub peak_torque_n_m: f64,
    /// Pitch diameter of the pulley that its shaft is made for, m.
    pub pulley_diameter_m: f64,
    /// Most that its output bearing bears, both strands together, N.
    pub shaft_load_n: f64,
    /// Most moving mass over its own inertia, both seen from the rotor.
    pub inertia_ratio: f64,
    /// Encoder counts for one turn of the motor.
    pub counts_per_turn: f64,
    /// Play of its gear at the output shaft, rad; `None`: not known.
    pub backlash_rad: Option<f64>,
    /// What its entry says, as it stands there: key and value, in their order.
    pub typed: Vec<(String, String)>,
    /// What its entry does not say, or says in another convention, and was worked out.
    pub worked_out: Vec<WorkedOut>,
    /// The file that it is from.
    pub from: String,
}

/// A number of a drive that was worked out from others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkedOut {
    /// Its key.
    pub key: &'static str,
    /// What kind of quantity it is.
    pub quantity: Quantity,
    /// Its value, SI.
    pub value: f64,
    /// What it was worked out from.
    pub from: &'static str,
}

/// Cord of a belt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cord {
    /// Steel.
    #[default]
    Steel,
    /// Glass.
    Glass,
    /// Aramid.
    Aramid,
}

/// A belt by its pitch, width and cord.
#[derive(Clone, Debug, PartialEq)]
pub struct BeltKind {
    /// What it is, in words: "5M, 15 mm, steel cord".
    pub name: String,
    /// Its cord.
    pub cord: Cord,
    /// Tooth pitch, m.
    pub pitch_m: f64,
    /// Width, m.
    pub width_m: f64,
    /// Force per unit strain and width, N/m.
    pub specific_stiffness_n_per_m: f64,
    /// Mass per length and width, kg/m2.
    pub specific_mass_kg_per_m2: f64,
    /// Stretch over length at the most that it may carry.
    pub allowable_strain: f64,
    /// Damping over stiffness, s.
    pub damping_time_s: f64,
    /// Teeth of the smallest pulley that it may run on.
    pub least_teeth: f64,
    /// The file that it is from.
    pub from: String,
}

impl Drive {
    /// Speed of the rotor at the rated point, rad/s.
    pub fn rated_speed_rad_per_s(&self) -> f64 {
        self.rated_turns_per_min * std::f64::consts::TAU / 60.0
    }

    /// Power at the rotor at the rated point, less its friction, W.
    pub fn rated_power_w(&self) -> f64 {
        let torque = self.torque_constant_n_m_per_a * self.rated_current_a - self.rotor_friction_n_m;
        torque * self.rated_speed_rad_per_s()
    }

    /// Whether its gear cannot be driven backwards: an efficiency of a half or less (textbook).
    pub fn locks_itself(&self) -> bool {
        self.efficiency <= 0.5
    }

    /// Most current, the torque that its gear bears included: min(i_peak, T_peak/(N K eta)), A.
    pub fn most_current_a(&self) -> f64 {
        let per_ampere = self.ratio * self.torque_constant_n_m_per_a * self.efficiency;
        self.peak_current_a.min(self.peak_torque_n_m / per_ampere)
    }
}

impl BeltKind {
    /// Most that it may carry, strain x c_sp b, N.
    pub fn allowable_tension_n(&self) -> f64 {
        self.allowable_strain * self.specific_stiffness_n_per_m * self.width_m
    }
}

impl Default for Drive {
    fn default() -> Self {
        let motor = tautleaf_physics::parameters::Motor::default();
        Self {
            name: String::new(),
            commutation: Commutation::default(),
            gear: GearKind::default(),
            insulation: motor.insulation,
            voltage_v: f64::NAN,
            supply_current_a: None,
            resistance_ohm: f64::NAN,
            torque_constant_n_m_per_a: f64::NAN,
            inductance_h: f64::NAN,
            rotor_inertia_kg_m2: f64::NAN,
            rotor_friction_n_m: motor.rotor_friction_n_m,
            rated_current_a: f64::NAN,
            peak_current_a: f64::NAN,
            rated_turns_per_min: f64::NAN,
            most_turns_per_min: f64::NAN,
            magnet_coefficient_per_k: motor.magnet_coefficient_per_k,
            pole_pairs: None,
            commutator_bars: None,
            rated_rise_k: f64::NAN,
            inner_rise_share: motor.inner_rise_share,
            winding_time_s: motor.winding_time_s,
            housing_time_s: motor.housing_time_s,
            ratio: f64::NAN,
            efficiency: f64::NAN,
            rotor_teeth: None,
            peak_torque_n_m: f64::NAN,
            pulley_diameter_m: f64::NAN,
            shaft_load_n: f64::NAN,
            inertia_ratio: 30.0,
            counts_per_turn: tautleaf_physics::parameters::Controller::default().counts_per_turn,
            backlash_rad: None,
            typed: Vec::new(),
            worked_out: Vec::new(),
            from: String::new(),
        }
    }
}

impl Default for BeltKind {
    fn default() -> Self {
        Self {
            name: String::new(),
            cord: Cord::default(),
            pitch_m: f64::NAN,
            width_m: f64::NAN,
            specific_stiffness_n_per_m: f64::NAN,
            specific_mass_kg_per_m2: f64::NAN,
            allowable_strain: tautleaf_physics::belt::ALLOWABLE_STRAIN,
            damping_time_s: 0.001,
            least_teeth: 12.0,
            from: String::new(),
        }
    }
}

// What is no number in the default has to be given: a drive without it is refused.
macro_rules! field {
    ($t:ty; opt $name:ident, $key:literal, $q:ident, $possible:expr, $says:literal) => {
        Field::<$t> {
            key: $key,
            quantity: Quantity::$q,
            usual: $possible,
            possible: $possible,
            says: $says,
            source: "catalogue",
            get: |t| t.$name,
            set: |t, v| t.$name = v,
        }
    };
    ($t:ty; $name:ident, $key:literal, $q:ident, $possible:expr, $says:literal) => {
        Field::<$t> {
            key: $key,
            quantity: Quantity::$q,
            usual: $possible,
            possible: $possible,
            says: $says,
            source: "catalogue",
            get: |t| Some(t.$name),
            set: |t, v| t.$name = v.unwrap_or_else(|| <$t>::default().$name),
        }
    };
}

/// Every number of a drive. What the door file has too keeps the range that it has there.
#[rustfmt::skip]
pub static DRIVE_FIELDS: &[Field<Drive>] = &[
    field!(Drive; voltage_v, "drive.voltage", Voltage, (0.1, 1000.0), "bus that it runs on"),
    field!(Drive; opt supply_current_a, "drive.supply_current", Current, (0.1, 1000.0), "most that its supply gives; left out: no limit"),
    field!(Drive; resistance_ohm, "drive.resistance", Resistance, (1e-3, 1e4), "winding resistance at 25 C"),
    field!(Drive; torque_constant_n_m_per_a, "drive.torque_constant", TorqueConstant, (1e-4, 100.0), "torque for each ampere at 25 C"),
    field!(Drive; inductance_h, "drive.inductance", Inductance, (0.0, 10.0), "winding inductance"),
    field!(Drive; rotor_inertia_kg_m2, "drive.rotor_inertia", Inertia, (1e-9, 10.0), "rotor inertia"),
    field!(Drive; rotor_friction_n_m, "drive.rotor_friction", Torque, (0.0, 100.0), "friction at the rotor"),
    field!(Drive; rated_current_a, "drive.rated_current", Current, (0.01, 1000.0), "current that it bears without a break"),
    field!(Drive; peak_current_a, "drive.peak_current", Current, (0.01, 1000.0), "most current"),
    field!(Drive; rated_turns_per_min, "drive.rated_turns_per_min", Number, (1.0, 1e5), "turns of the rotor in a minute at the rated point"),
    field!(Drive; most_turns_per_min, "drive.most_turns_per_min", Number, (1.0, 1e5), "most turns of the rotor in a minute"),
    field!(Drive; magnet_coefficient_per_k, "drive.magnet_coefficient", PerKelvin, (-0.004, 0.0), "change of the torque constant with temperature"),
    field!(Drive; opt pole_pairs, "drive.pole_pairs", Number, (1.0, 200.0), "pole pairs of a brushless motor"),
    field!(Drive; opt commutator_bars, "drive.commutator_bars", Number, (2.0, 500.0), "bars of a commutator"),
    field!(Drive; rated_rise_k, "drive.rated_rise", TemperatureRise, (1.0, 300.0), "how much warmer than 40 C the winding gets at the rated current"),
    field!(Drive; inner_rise_share, "drive.inner_rise_share", Number, (0.01, 0.99), "share of that rise between winding and housing"),
    field!(Drive; winding_time_s, "drive.winding_time", Time, (0.5, 3600.0), "thermal time constant of the winding against the housing"),
    field!(Drive; housing_time_s, "drive.housing_time", Time, (1.0, 100_000.0), "thermal time constant of the housing against ambient"),
    field!(Drive; ratio, "drive.ratio", Number, (0.01, 10_000.0), "turns of the rotor for one of the pulley"),
    field!(Drive; efficiency, "drive.efficiency", Number, (0.05, 1.0), "efficiency when the motor drives; 0.5 or less locks itself"),
    field!(Drive; opt rotor_teeth, "drive.rotor_teeth", Number, (1.0, 1000.0), "teeth of its pinion, or starts of its worm"),
    field!(Drive; peak_torque_n_m, "drive.peak_torque", Torque, (1e-3, 1e5), "most torque at the output shaft"),
    field!(Drive; pulley_diameter_m, "drive.pulley_diameter", ShortLength, (0.005, 1.0), "pitch diameter of the pulley that its shaft is made for"),
    field!(Drive; shaft_load_n, "drive.shaft_load", Force, (1.0, 1e6), "most that its output bearing bears, both strands together"),
    field!(Drive; inertia_ratio, "drive.inertia_ratio", Number, (0.1, 1e4), "most moving mass over its own inertia, both seen from the rotor"),
    field!(Drive; opt backlash_rad, "drive.backlash", Angle, (0.0, 0.5), "play of the gear at the output shaft"),
    field!(Drive; counts_per_turn, "drive.counts_per_turn", Number, (4.0, 1e7), "encoder counts for one turn of the motor"),
];

/// Every number of a belt.
#[rustfmt::skip]
pub static BELT_FIELDS: &[Field<BeltKind>] = &[
    field!(BeltKind; pitch_m, "belt.pitch", ShortLength, (0.0005, 0.05), "tooth pitch"),
    field!(BeltKind; width_m, "belt.width", ShortLength, (0.001, 0.5), "belt width"),
    field!(BeltKind; specific_stiffness_n_per_m, "belt.specific_stiffness", SpecificStiffness, (1e4, 1e12), "force for each unit of strain and width"),
    field!(BeltKind; specific_mass_kg_per_m2, "belt.specific_mass", SpecificMass, (1e-6, 100.0), "mass for each length and width"),
    field!(BeltKind; allowable_strain, "belt.allowable_strain", Number, (1e-4, 0.05), "stretch over length at the most that it may carry"),
    field!(BeltKind; damping_time_s, "belt.damping_time", ShortTime, (0.0, 0.05), "damping over stiffness"),
    field!(BeltKind; least_teeth, "belt.least_teeth", Number, (6.0, 400.0), "teeth of the smallest pulley that it may run on"),
];

/// Those of them that count things and have no fractions.
pub const WHOLE: &[&str] = &[
    "drive.pole_pairs",
    "drive.commutator_bars",
    "drive.rotor_teeth",
    "drive.counts_per_turn",
    "belt.least_teeth",
];

/// What cannot be together in one drive: key, what was found, what would do.
pub fn drive_problems(drive: &Drive) -> Vec<(&'static str, String, String)> {
    let mut wrong = Vec::new();
    if drive.peak_current_a < drive.rated_current_a {
        let found = format!("{} A is less than the rated current", drive.peak_current_a);
        wrong.push(("drive.peak_current", found, format!("at least {} A", drive.rated_current_a)));
    }
    if drive.most_turns_per_min < drive.rated_turns_per_min {
        let found = format!("{} a minute are less than at the rated point", drive.most_turns_per_min);
        wrong.push(("drive.most_turns_per_min", found, format!("at least {}", drive.rated_turns_per_min)));
    }
    let needs = drive.resistance_ohm * drive.rated_current_a
        + drive.torque_constant_n_m_per_a * drive.rated_speed_rad_per_s();
    // a resistance from the rated point leaves exactly nothing, but for the last digits
    if drive.voltage_v * (1.0 + 1e-9) < needs {
        let found = format!("the rated point needs R i + K w = {needs:.1} V of {} V", drive.voltage_v);
        let would_do = "fewer turns a minute, a smaller torque constant or more voltage".to_owned();
        wrong.push(("drive.rated_turns_per_min", found, would_do));
    }
    if drive.torque_constant_n_m_per_a * drive.rated_current_a <= drive.rotor_friction_n_m {
        let found = "its friction takes all of the rated torque".to_owned();
        wrong.push(("drive.rotor_friction", found, "less than K x rated current".to_owned()));
    }
    if drive.gear == GearKind::Direct && drive.ratio != 1.0 {
        let found = format!("a direct drive has no ratio of {}", drive.ratio);
        wrong.push(("drive.ratio", found, "write 1, or another gear".to_owned()));
    }
    let other = match drive.commutation {
        Commutation::Brushed => {
            ("drive.pole_pairs", drive.pole_pairs, "a motor with brushes is asked for its bars")
        }
        Commutation::Brushless => {
            ("drive.commutator_bars", drive.commutator_bars, "a brushless motor has no commutator")
        }
    };
    if let (key, Some(_), found) = other {
        wrong.push((key, found.to_owned(), "leave it out, or change motor".to_owned()));
    }
    wrong
}
