//! The numbers that a user reads off a run, each with the moment at which it was so.

use serde::{Deserialize, Serialize};

use crate::fields::Quantity;

/// When and where something was so.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Moment {
    /// Time since the first command, s.
    pub t_s: f64,
    /// Clear opening then, m.
    pub clear_opening_m: f64,
}

/// One figure as read off a run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// Its value in the SI unit of its quantity.
    pub value: f64,
    /// When it was so, where that has a meaning.
    pub at: Option<Moment>,
}

macro_rules! figures {
    ($($(#[$attr:meta])* $id:ident, $name:literal, $label:literal, $quantity:ident, $says:literal;)+) => {
        /// A figure that a run gives.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Figure { $(#[doc = $says] $id,)+ }

        impl Figure {
            /// Every figure, in the order in which they are listed.
            pub const ALL: &'static [Figure] = &[$(Figure::$id,)+];

            /// Its name in data, with the SI unit at the end.
            pub fn name(self) -> &'static str { match self { $(Figure::$id => $name,)+ } }

            /// Its name in words.
            pub fn label(self) -> &'static str { match self { $(Figure::$id => $label,)+ } }

            /// What kind of quantity it is.
            pub fn quantity(self) -> Quantity { match self { $(Figure::$id => Quantity::$quantity,)+ } }

            /// What it means.
            pub fn says(self) -> &'static str { match self { $(Figure::$id => $says,)+ } }
        }
    };
}

figures! {
    OpeningTime, "opening_time_s", "Opening time", Time, "from the command to 5 mm before fully open";
    ClosingTime, "closing_time_s", "Closing time", Time, "from the command to 5 mm before closed";
    OpeningTime80, "opening_time_80pct_s", "Time to 80 % open", Time, "from the command to 80 % of the clear opening";
    ClosingLeastTime90, "closing_least_time_90pct_s", "Least time over 90 % closing", Time, "shortest time in which any continuous 90 % of the stroke is covered while closing";
    HoldOpen, "hold_open_s", "Held open", Time, "from arrival open to the command to close";
    TopSpeedOpening, "top_speed_opening_m_per_s", "Top speed opening", Speed, "greatest speed of a leaf towards open";
    TopSpeedClosing, "top_speed_closing_m_per_s", "Top speed closing", Speed, "greatest speed of a leaf towards closed, whenever it is";
    TopSpeedBeforeCheck, "top_speed_before_latch_check_m_per_s", "Top speed closing to latch check", Speed, "greatest speed of a leaf towards closed, down to the last 51 mm of clear opening (2 in)";
    LatchCheck, "latch_check_m", "Latch check", ShortLength, "length of travel before closed over which a leaf goes no faster than 1.2 times its creep speed";
    PeakEnergyLeaf, "peak_energy_leaf_j", "Peak energy, one leaf", Energy, "greatest kinetic energy of one leaf, either way";
    PeakEnergyLeaves, "peak_energy_leaves_j", "Peak energy, all leaves", Energy, "greatest kinetic energy of all leaves together, either way";
    PeakEnergyCoupled, "peak_energy_coupled_j", "Peak energy, with drive", Energy, "greatest kinetic energy of leaves, belt, drive and return pulley, either way";
    PeakEnergyCoupledClosing, "peak_energy_coupled_closing_j", "Peak energy closing, with drive", Energy, "the same, while a leaf moves towards closed";
    AverageEnergyClosing, "average_energy_closing_j", "Energy at average closing speed", Energy, "energy with drive at the average speed closing, less 25 mm (pair) or 50 mm (one leaf) at each end";
    StallForce, "stall_force_n", "Stall force", Force, "closing force with the edge resting on the tester: greatest 50 ms mean within 2 s, worst gap";
    StallForceLast50, "stall_force_last_50mm_n", "Stall force, last 50 mm", Force, "the same, gaps of 50 mm and less";
    ImpactForce, "impact_force_n", "Impact force", Force, "greatest force within 0.75 s of touching, worst gap";
    ForceAfter750, "force_after_750ms_n", "Force after 0.75 s", Force, "greatest force from 0.75 to 5 s after touching, worst gap";
    ResidualForce, "residual_force_n", "Residual force", Force, "mean force from 4.95 to 5.00 s after touching, worst gap";
    TimeAbove150, "time_above_150n_s", "Time above 150 N", Time, "total within 5 s of touching, worst gap";
    LeastTension, "least_strand_tension_n", "Least strand tension", Force, "least tension of any strand";
    GreatestTension, "greatest_strand_tension_n", "Greatest strand tension", Force, "greatest tension of any strand";
    ShaftLoad, "greatest_shaft_load_n", "Shaft load", Force, "greatest load on the shaft of the drive or return pulley: both its strands together";
    SlackTime, "slack_time_s", "Time slack", Time, "time during which some strand carries nothing";
    SeatMargin, "seat_margin", "Seat margin (uncalibrated)", Number, "least ratio of slack-strand tension to the pull on one tooth in mesh; no published torque of tooth jump exists, so it has no limit";
    GearKnock, "gear_knock_speed_m_per_s", "Knock in the gear", Speed, "greatest speed at the rim at which rotor and drive pulley meet after crossing their play";
    LeastHangerLoad, "least_hanger_load_n", "Least hanger load", Force, "least load of any hanger roller; negative: it has left the rail and the anti-lift roller carries";
    GreatestHangerLoad, "greatest_hanger_load_n", "Greatest hanger load", Force, "greatest load of any hanger roller";
    LiftTime, "wheel_lift_time_s", "Time a wheel is off the rail", Time, "time during which some roller has left the rail";
    PeakAcceleration, "peak_acceleration_m_per_s2", "Peak acceleration", Acceleration, "greatest acceleration of a leaf, either sign, mean over a tick";
    PeakJerk, "peak_jerk_m_per_s3", "Peak jerk", Jerk, "greatest jerk of a leaf through a 10 Hz second-order Butterworth filter: reported, never judged";
    OvershootOpen, "overshoot_open_m", "Overshoot opening", ShortLength, "greatest travel beyond fully open";
    SettlingOpen, "settling_open_s", "Settling open", Time, "from first arrival open until a leaf stays within 1 mm of where it comes to rest";
    PeakCurrent, "peak_current_a", "Peak current", Current, "greatest winding current, either sign";
    RmsCurrent, "rms_current_a", "RMS current", Current, "over the whole period of the duty, standing included";
    EnergyPerCycle, "energy_per_cycle_j", "Energy a cycle", Energy, "at the bus over the whole period, less what flows back";
    EnergyDrawn, "energy_drawn_per_cycle_j", "Energy a cycle, drawn", Energy, "at the bus over the whole period, without what flows back";
    LeastBusVoltage, "least_bus_voltage_v", "Least bus voltage", Voltage, "how far the supply lets the bus sag; a supply that never moves has none";
    GreatestBusVoltage, "greatest_bus_voltage_v", "Greatest bus voltage", Voltage, "how far braking lets the bus rise; a supply that never moves has none";
    BatteryCycles, "battery_cycles", "Cycles on a battery", Number, "whole periods of the duty that a full battery lasts, by charge";
    WindingTemperature, "winding_temperature_c", "Winding temperature", Temperature, "greatest in the cycle once the duty has gone on for hours, at the ambient of the duty, with the currents of this run; 1000 C: it burns";
    WindingRise, "winding_rise_k", "Winding rise at 40 C", TemperatureRise, "the same in an ambient of 40 C, less those 40 C";
    InsulationMargin, "insulation_margin_k", "Left to insulation class", TemperatureRise, "what the insulation class bears, less the winding temperature";
    HousingTemperature, "housing_temperature_c", "Housing temperature", Temperature, "mean of the motor's housing once the duty has gone on for hours";
    OpeningAtPerson, "opening_at_person_m", "Open when the person is there", Length, "clear opening when someone who walks up through the activation field reaches the leaf";
    PersonWaits, "person_waits_s", "The person waits", Time, "from then until the opening is as wide as the person's shoulders; 0: it was in time";
    StoppingDistance, "stopping_distance_m", "Stopping distance", ShortLength, "how far a closing leaf goes on after a beam trip where it is fastest, sensor delay included";
    OpenedWithoutPower, "opened_without_power_s", "Opens without power", Time, "from the loss of power to 80 % of the clear opening, by a cord or spring or by its own momentum";
    CoastDistance, "coast_distance_m", "Goes on without power", ShortLength, "how far a leaf goes from where power is lost to where it comes to rest";
    LearnedStroke, "learned_stroke_m", "Learned stroke", Length, "drive travel between the two ends found in a learning run: the stroke, the gaps behind it, and what belt and stops give";
    ManualForce, "manual_opening_force_n", "Opening by hand, power off", Force, "hand force that starts the leaf open from rest with the winding open, where that is hardest";
    ManualForceShorted, "manual_opening_force_shorted_n", "Opening by hand, winding shorted", Force, "hand force that keeps the leaf going open at 0.1 m/s with the winding shorted";
    DriftForce, "drift_force_n", "Drift, power off", Force, "pull of slope and listed forces beyond what friction holds, with the power off, worst place; 0: stays";
}

/// Every figure of a run; what could not be read off it is absent.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    readings: Vec<Option<Reading>>,
}

impl Default for Figures {
    fn default() -> Self {
        Self { readings: vec![None; Figure::ALL.len()] }
    }
}

impl Figure {
    /// Whether it comes from the force test, so that "where" is a gap.
    pub fn is_closing_force(self) -> bool {
        self.is_stall()
            || matches!(
                self,
                Figure::ImpactForce | Figure::ForceAfter750 | Figure::ResidualForce | Figure::TimeAbove150
            )
    }

    /// Whether it comes from the stall test, which has a clock of its own.
    pub fn is_stall(self) -> bool {
        matches!(self, Figure::StallForce | Figure::StallForceLast50)
    }
}

impl Figures {
    /// The value of a figure in SI, if the run gave it.
    pub fn get(&self, figure: Figure) -> Option<f64> {
        self.reading(figure).map(|reading| reading.value)
    }

    /// A figure with its moment, if the run gave it.
    pub fn reading(&self, figure: Figure) -> Option<Reading> {
        self.readings[figure as usize]
    }

    /// All figures that the run gave, in order.
    pub fn iter(&self) -> impl Iterator<Item = (Figure, Reading)> + '_ {
        Figure::ALL.iter().filter_map(|&figure| Some((figure, self.reading(figure)?)))
    }

    /// Sets a figure; a value that is not finite counts as absent.
    pub(crate) fn set(&mut self, figure: Figure, value: Option<f64>) {
        self.set_at(figure, value, None);
    }

    /// Sets a figure with its moment.
    pub(crate) fn set_at(&mut self, figure: Figure, value: Option<f64>, at: Option<Moment>) {
        self.readings[figure as usize] =
            value.filter(|value| value.is_finite()).map(|value| Reading { value: value + 0.0, at }); // no -0
    }
}
