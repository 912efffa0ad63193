//! The one table of figures: what each is called, what it says, which test it needs, what limits it, what changes it, and how
//! it is read off a run. A figure that nothing reads does not compile.

use crate::fields::Quantity;
use crate::figure_row::Read::{Behind, Of, WorstGap};
use crate::figure_row::{Absent, Group, LimitName, Needs, Row};
use crate::levers::*;
use crate::manual;
use crate::reading::phases::{placed, plain};
use crate::reading::{closing, force, happenings, smooth, times, totals};
use crate::run::GapForce;

macro_rules! figure_table {
    ($($id:ident {
        name: $name:literal, label: $label:literal, quantity: $quantity:ident, group: $group:ident,
        says: $says:literal,
        needs: $needs:ident $(($value:expr))?, limit: $limit:ident $(($key:literal))?, levers: $levers:ident, absent: $absent:ident,
        read: $read:expr,
    })+) => {
        /// A figure that a run gives.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Figure { $(#[doc = $says] $id,)+ }

        /// Every figure, in the order in which they are listed.
        pub(crate) const ALL: &[Figure] = &[$(Figure::$id,)+];

        /// The table, in the order of the figures.
        pub(crate) static ROWS: &[Row] = &[$(Row {
            name: $name, label: $label, quantity: Quantity::$quantity, group: Group::$group, says: $says,
            needs: Needs::$needs $(($value))?, limit: LimitName::$limit $(($key))?, levers: $levers, absent: Absent::$absent,
            read: $read,
        },)+];
    };
}

figure_table! {
    OpeningTime {
        name: "opening_time_s", label: "Opening time", quantity: Time, group: Times,
        says: "from the command to 5 mm before fully open",
        needs: Cycle, limit: Most("opening_time_max"), levers: OPENS_FASTER, absent: Other,
        read: Of(times::opening),
    }
    ClosingTime {
        name: "closing_time_s", label: "Closing time", quantity: Time, group: Times,
        says: "from the command to 5 mm before closed",
        needs: Cycle, limit: Most("closing_time_max"), levers: CLOSES_FASTER, absent: Other,
        read: Of(times::closing),
    }
    OpeningTime80 {
        name: "opening_time_80pct_s", label: "Time to 80 % open", quantity: Time, group: Times,
        says: "from the command to 80 % of the clear opening",
        needs: Cycle, limit: Most("opening_time_80pct_max"), levers: OPENS_FASTER, absent: Other,
        read: Of(times::opening_80pct),
    }
    ClosingLeastTime90 {
        name: "closing_least_time_90pct_s", label: "Least time over 90 % closing", quantity: Time, group: Times,
        says: "shortest time in which any continuous 90 % of the stroke is covered while closing",
        needs: Cycle, limit: Least("time_over_90pct_min"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(times::closing_least_90pct),
    }
    HoldOpen {
        name: "hold_open_s", label: "Held open", quantity: Time, group: Times,
        says: "from arrival open to the command to close",
        needs: Cycle, limit: Least("hold_open_min"), levers: HOLDS_LONGER, absent: Other,
        read: Of(times::held_open),
    }
    TopSpeedOpening {
        name: "top_speed_opening_m_per_s", label: "Top speed opening", quantity: Speed, group: Motion,
        says: "greatest speed of a leaf towards open",
        needs: Cycle, limit: Most("opening_speed_max"), levers: OPENS_SLOWER, absent: Other,
        read: Of(|r| r.peaks.speed_opening.greatest()),
    }
    TopSpeedClosing {
        name: "top_speed_closing_m_per_s", label: "Top speed closing", quantity: Speed, group: Motion,
        says: "greatest speed of a leaf towards closed, whenever it is",
        needs: Cycle, limit: Most("closing_speed_max"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(|r| r.peaks.speed_closing.greatest()),
    }
    TopSpeedBeforeCheck {
        name: "top_speed_before_latch_check_m_per_s", label: "Top speed closing to latch check", quantity: Speed, group: Motion,
        says: "greatest speed of a leaf towards closed, down to the last 51 mm of clear opening (2 in)",
        needs: Cycle, limit: Most("closing_speed_before_check_max"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(|r| r.peaks.speed_before_check.greatest()),
    }
    LatchCheck {
        name: "latch_check_m", label: "Latch check", quantity: ShortLength, group: Motion,
        says: "length of travel before closed over which a leaf goes no faster than 1.2 times its creep speed",
        needs: Cycle, limit: Least("latch_check_min"), levers: CREEPS_LONGER, absent: Other,
        read: Of(closing::latch_check),
    }
    PeakEnergyLeaf {
        name: "peak_energy_leaf_j", label: "Peak energy, one leaf", quantity: Energy, group: Motion,
        says: "greatest kinetic energy of one leaf, either way",
        needs: Cycle, limit: Most("kinetic_energy_max"), levers: SLOWER, absent: Other,
        read: Of(|r| r.peaks.energy_leaf.greatest()),
    }
    PeakEnergyLeaves {
        name: "peak_energy_leaves_j", label: "Peak energy, all leaves", quantity: Energy, group: Motion,
        says: "greatest kinetic energy of all leaves together, either way",
        needs: Cycle, limit: Most("kinetic_energy_leaves_max"), levers: SLOWER, absent: Other,
        read: Of(|r| r.peaks.energy_leaves.greatest()),
    }
    PeakEnergyCoupled {
        name: "peak_energy_coupled_j", label: "Peak energy, with drive", quantity: Energy, group: Motion,
        says: "greatest kinetic energy of leaves, belt, drive and return pulley, either way",
        needs: Cycle, limit: Most("peak_energy_coupled_max"), levers: SLOWER, absent: Other,
        read: Of(|r| r.peaks.energy_coupled.greatest()),
    }
    PeakEnergyCoupledClosing {
        name: "peak_energy_coupled_closing_j", label: "Peak energy closing, with drive", quantity: Energy, group: Motion,
        says: "the same, while a leaf moves towards closed",
        needs: Cycle, limit: Most("peak_energy_coupled_closing_max"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(|r| r.peaks.energy_coupled_closing.greatest()),
    }
    PeakEnergyLeafClosing {
        name: "peak_energy_leaf_closing_j", label: "Peak energy closing, one leaf", quantity: Energy, group: Motion,
        says: "greatest kinetic energy of one leaf while it moves towards closed",
        needs: Cycle, limit: Most("kinetic_energy_closing_max"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(|r| r.peaks.energy_leaf_closing.greatest()),
    }
    PeakEnergyLeafCoupledClosing {
        name: "peak_energy_leaf_coupled_closing_j", label: "Energy closing, leaf with drive", quantity: Energy, group: Motion,
        says: "the same with that of belt, drive and return pulley",
        needs: Cycle, limit: Most("kinetic_energy_closing_with_drive_max"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(|r| r.peaks.energy_leaf_coupled_closing.greatest()),
    }
    AverageEnergyClosing {
        name: "average_energy_closing_j", label: "Energy at average closing speed", quantity: Energy, group: Motion,
        says: "energy with drive at the average speed closing, less 25 mm (pair) or 50 mm (one leaf) at each end",
        needs: Cycle, limit: Most("average_energy_max"), levers: CLOSES_SLOWER, absent: Other,
        read: Of(closing::average_energy),
    }
    StallForce {
        name: "stall_force_n", label: "Stall force, first swing", quantity: Force, group: ForceTest,
        says: "closing force with the edge resting on the tester: greatest 50 ms mean within 2 s, worst gap",
        needs: Stall(|gap| gap.stall_force_n), limit: Never, levers: PUSHES_LESS, absent: NoForceTest,
        read: WorstGap,
    }
    StallForceSettled {
        name: "stall_force_settled_n", label: "Stall force, settled", quantity: Force, group: ForceTest,
        says: "mean from 4.95 to 5.00 s after the command to close, the edge resting on the tester, worst gap",
        needs: Stall(|gap| gap.stall_force_settled_n), limit: Never, levers: PUSHES_LESS, absent: NoForceTest,
        read: WorstGap,
    }
    StallForceSlow {
        name: "stall_force_slow_n", label: "Stall force, leaned on slowly", quantity: Force, group: ForceTest,
        says: "push of the stalled drive beyond what friction takes, as a gauge reads that is leaned on slowly, worst gap",
        needs: Stall(|gap| gap.stall_force_slow_n), limit: Never, levers: PUSHES_LESS, absent: NoForceTest,
        read: WorstGap,
    }
    StallForceGreatest {
        name: "stall_force_greatest_n", label: "Stall force, greatest", quantity: Force, group: ForceTest,
        says: "the greatest of first swing, settled and slow, worst gap: what limits on the stall force judge",
        needs: Stall(GapForce::stall_force_greatest_n), limit: MostByGap("stall_force_max"), levers: PUSHES_LESS, absent: NoForceTest,
        read: WorstGap,
    }
    StallForceLast50 {
        name: "stall_force_last_50mm_n", label: "Stall force, last 50 mm", quantity: Force, group: ForceTest,
        says: "greatest of first swing, settled and slow at gaps of 50 mm and less",
        needs: Stall(GapForce::stall_force_greatest_n), limit: Most("end_force_max"), levers: PUSHES_LESS, absent: NoForceTest,
        read: WorstGap,
    }
    ImpactForce {
        name: "impact_force_n", label: "Impact force", quantity: Force, group: ForceTest,
        says: "greatest force within 0.75 s of touching, worst gap",
        needs: Impact(|gap| gap.impact_force_n), limit: MostByGap("impact_force_max"), levers: HITS_SOFTER, absent: NoForceTest,
        read: WorstGap,
    }
    ForceAfter750 {
        name: "force_after_750ms_n", label: "Force after 0.75 s", quantity: Force, group: ForceTest,
        says: "greatest force from 0.75 to 5 s after touching, worst gap",
        needs: Whole(|gap| gap.force_after_750ms_n), limit: Most("force_after_time_max"), levers: REACTS, absent: NoForceTest,
        read: WorstGap,
    }
    ResidualForce {
        name: "residual_force_n", label: "Residual force", quantity: Force, group: ForceTest,
        says: "mean force from 4.95 to 5.00 s after touching, worst gap",
        needs: Whole(|gap| gap.residual_force_n), limit: MostByGap("residual_force_max"), levers: REACTS, absent: NoForceTest,
        read: WorstGap,
    }
    TimeAbove150 {
        name: "time_above_150n_s", label: "Time above 150 N", quantity: Time, group: ForceTest,
        says: "total within 5 s of touching, worst gap",
        needs: Whole(|gap| gap.time_above_150n_s), limit: Most("time_above_150n_max"), levers: REACTS_SOONER, absent: NoForceTest,
        read: WorstGap,
    }
    EdgeTravelUsed {
        name: "edge_travel_used", label: "Edge travel used", quantity: Number, group: ForceTest,
        says: "how far the closing edge is pressed within 0.75 s of touching, over its travel, worst gap; beyond 1 it is flat",
        needs: Impact(|gap| gap.edge_travel_used), limit: Most("edge_travel_used_max"), levers: HITS_SOFTER, absent: NoForceTest,
        read: WorstGap,
    }
    EdgeFlatSpeed {
        name: "edge_flat_speed_m_per_s", label: "Speed that presses the edge flat", quantity: Speed, group: ForceTest,
        says: "closing speed above which the edge is pressed flat, worked out for rigid leaves pushed by the slow stall force",
        needs: Cycle, limit: Never, levers: NONE, absent: NoForceTest,
        read: Of(force::flat_speed),
    }
    RearStallForce {
        name: "rear_stall_force_n", label: "Stall force behind the leaf", quantity: Force, group: ForceTest,
        says: "opening force with the rear edge resting on the tester: greatest 50 ms mean within 2 s, worst gap",
        needs: Rear(|gap| gap.stall_force_n), limit: MostByGap("rear_stall_force_max"), levers: OPENS_WEAKER, absent: NoRearTest,
        read: Behind,
    }
    RearImpactForce {
        name: "rear_impact_force_n", label: "Impact force behind the leaf", quantity: Force, group: ForceTest,
        says: "greatest force of the rear edge within 0.75 s of touching, worst gap",
        needs: Rear(|gap| gap.impact_force_n), limit: MostByGap("rear_impact_force_max"), levers: OPENS_INTO_IT_SOFTER, absent: NoRearTest,
        read: Behind,
    }
    RearTouchSpeed {
        name: "rear_touch_speed_m_per_s", label: "Speed on touching behind the leaf", quantity: Speed, group: ForceTest,
        says: "greatest opening speed of a leaf at which its rear edge touches the tester",
        needs: Rear(|gap| gap.touch_speed_m_per_s), limit: Most("rear_touch_speed_max"), levers: OPENS_INTO_IT_SOFTER, absent: NoRearTest,
        read: Behind,
    }
    RearResidualForce {
        name: "rear_residual_force_n", label: "Residual force behind the leaf", quantity: Force, group: ForceTest,
        says: "mean force of the rear edge from 4.95 to 5.00 s after touching, worst gap",
        needs: Rear(|gap| gap.residual_force_n), limit: MostByGap("rear_residual_force_max"), levers: OPENS_WEAKER, absent: NoRearTest,
        read: Behind,
    }
    RearTimeAbove150 {
        name: "rear_time_above_150n_s", label: "Time above 150 N behind the leaf", quantity: Time, group: ForceTest,
        says: "total within 5 s of the rear edge touching, worst gap",
        needs: Rear(|gap| gap.time_above_150n_s), limit: Most("rear_time_above_150n_max"), levers: OPENS_WEAKER, absent: NoRearTest,
        read: Behind,
    }
    LeastTension {
        name: "least_strand_tension_n", label: "Least strand tension", quantity: Force, group: Belt,
        says: "least tension of any strand",
        needs: Cycle, limit: Least("least_tension_min"), levers: TAUT, absent: Other,
        read: Of(|r| r.peaks.tension_least.least()),
    }
    GreatestTension {
        name: "greatest_strand_tension_n", label: "Greatest strand tension", quantity: Force, group: Belt,
        says: "greatest tension of any strand",
        needs: Cycle, limit: Most("greatest_tension_max"), levers: LOOSER, absent: Other,
        read: Of(|r| r.peaks.tension_greatest.greatest()),
    }
    ShaftLoad {
        name: "greatest_shaft_load_n", label: "Radial load on the shaft", quantity: Force, group: Belt,
        says: "greatest load on the shaft of the drive or return pulley: both its strands together",
        needs: Cycle, limit: Most("shaft_load_max"), levers: LOOSER, absent: Other,
        read: Of(|r| r.peaks.shaft.greatest()),
    }
    SlackTime {
        name: "slack_time_s", label: "Time slack", quantity: Time, group: Belt,
        says: "time during which some strand carries nothing",
        needs: Cycle, limit: Most("slack_time_max"), levers: TAUT, absent: Other,
        read: Of(totals::slack),
    }
    RatchetingReserve {
        name: "ratcheting_reserve", label: "Ratcheting reserve (uncalibrated)", quantity: Number, group: Belt,
        says: "least ratio of slack-strand tension to the pull on one tooth in mesh; no published torque of tooth jump exists, so it has no limit",
        needs: Cycle, limit: Never, levers: TAUT, absent: Other,
        read: Of(|r| r.peaks.seat.least()),
    }
    GearKnock {
        name: "gear_knock_speed_m_per_s", label: "Knock in the gear", quantity: Speed, group: Drive,
        says: "greatest speed at the rim at which rotor and drive pulley meet after crossing their play",
        needs: Cycle, limit: Most("gear_knock_speed_max"), levers: KNOCKS_LESS, absent: NoPlay,
        read: Of(|r| plain(r.totals.knock_m_per_s)),
    }
    LeastHangerLoad {
        name: "least_hanger_load_n", label: "Least hanger load", quantity: Force, group: Hangers,
        says: "least load of any hanger roller; negative: it has left the rail and the anti-lift roller carries",
        needs: Cycle, limit: Least("least_hanger_load_min"), levers: STAYS_ON_THE_RAIL, absent: Other,
        read: Of(|r| r.peaks.hanger_least.least()),
    }
    GreatestHangerLoad {
        name: "greatest_hanger_load_n", label: "Greatest hanger load", quantity: Force, group: Hangers,
        says: "greatest load of any hanger roller",
        needs: Cycle, limit: Most("greatest_hanger_load_max"), levers: STAYS_ON_THE_RAIL, absent: Other,
        read: Of(|r| r.peaks.hanger_greatest.greatest()),
    }
    LiftTime {
        name: "wheel_lift_time_s", label: "Time a wheel is off the rail", quantity: Time, group: Hangers,
        says: "time during which some roller has left the rail",
        needs: Cycle, limit: Most("wheel_lift_time_max"), levers: STAYS_ON_THE_RAIL, absent: Other,
        read: Of(totals::lift),
    }
    PeakAcceleration {
        name: "peak_acceleration_m_per_s2", label: "Peak acceleration", quantity: Acceleration, group: Motion,
        says: "greatest acceleration of a leaf, either sign, mean over a tick",
        needs: Cycle, limit: Most("peak_acceleration_max"), levers: SMOOTHER, absent: Other,
        read: Of(|r| r.comfort.acceleration),
    }
    PeakJerk {
        name: "peak_jerk_m_per_s3", label: "Peak jerk", quantity: Jerk, group: Motion,
        says: "greatest jerk of a leaf through a 10 Hz second-order Butterworth filter: reported, never judged",
        needs: Cycle, limit: Never, levers: SMOOTHER, absent: Other,
        read: Of(|r| r.comfort.jerk),
    }
    StopSpeed {
        name: "stop_speed_over_creep", label: "Stop met, over creep speed", quantity: Number, group: Motion,
        says: "greatest speed at which a leaf meets an end stop, over the creep speed of that way; 0: it meets none",
        needs: Cycle, limit: Most("stop_speed_over_creep_max"), levers: MEETS_STOPS_SOFTER, absent: Other,
        read: Of(smooth::stop_speed),
    }
    OvershootOpen {
        name: "overshoot_open_m", label: "Overshoot opening", quantity: ShortLength, group: Motion,
        says: "greatest travel beyond fully open",
        needs: Cycle, limit: Most("overshoot_open_max"), levers: STOPS_SOFTER, absent: Other,
        read: Of(smooth::overshoot),
    }
    SettlingOpen {
        name: "settling_open_s", label: "Settling open", quantity: Time, group: Times,
        says: "from first arrival open until a leaf stays within 1 mm of where it comes to rest; absent where it still moves at the next command",
        needs: Cycle, limit: Most("settling_open_max"), levers: STOPS_SOFTER, absent: StillMoves,
        read: Of(smooth::settling),
    }
    TopMotorSpeed {
        name: "top_motor_speed_rad_per_s", label: "Top motor speed", quantity: RotationalSpeed, group: Drive,
        says: "greatest speed of the rotor, either way",
        needs: Cycle, limit: Most("motor_speed_max"), levers: SLOWER, absent: Other,
        read: Of(|r| totals::extreme(r.totals.motor_speed)),
    }
    PeakCurrent {
        name: "peak_current_a", label: "Peak current", quantity: Current, group: Drive,
        says: "greatest winding current, either sign",
        needs: Cycle, limit: Most("peak_current_max"), levers: LESS_CURRENT, absent: Other,
        read: Of(|r| r.peaks.current.greatest()),
    }
    RmsCurrent {
        name: "rms_current_a", label: "RMS current", quantity: Current, group: Drive,
        says: "over the whole period of the duty, standing included",
        needs: Cycle, limit: Most("rms_current_max"), levers: LESS_ENERGY, absent: TooOften,
        read: Of(|r| r.duty(|d| d.rms_current_a)),
    }
    EnergyPerCycle {
        name: "energy_per_cycle_j", label: "Energy a cycle", quantity: Energy, group: Drive,
        says: "at the bus over the whole period, less what flows back",
        needs: Cycle, limit: Most("energy_per_cycle_max"), levers: LESS_ENERGY, absent: TooOften,
        read: Of(|r| r.duty(|d| d.energy_j)),
    }
    EnergyDrawn {
        name: "energy_drawn_per_cycle_j", label: "Energy a cycle, drawn", quantity: Energy, group: Drive,
        says: "at the bus over the whole period, without what flows back",
        needs: Cycle, limit: Most("energy_drawn_per_cycle_max"), levers: LESS_ENERGY, absent: TooOften,
        read: Of(|r| r.duty(|d| d.drawn_j)),
    }
    LeastBusVoltage {
        name: "least_bus_voltage_v", label: "Least bus voltage", quantity: Voltage, group: Drive,
        says: "how far the supply lets the bus sag; a supply that never moves has none",
        needs: Cycle, limit: Least("bus_voltage_min"), levers: SAGS_LESS, absent: StiffSupply,
        read: Of(|r| totals::bus(r, |bus| bus.0)),
    }
    GreatestBusVoltage {
        name: "greatest_bus_voltage_v", label: "Greatest bus voltage", quantity: Voltage, group: Drive,
        says: "how far braking lets the bus rise; a supply that never moves has none",
        needs: Cycle, limit: Most("bus_voltage_max"), levers: RISES_LESS, absent: StiffSupply,
        read: Of(|r| totals::bus(r, |bus| bus.1)),
    }
    SupplyCurrent {
        name: "greatest_supply_current_a", label: "Greatest supply current", quantity: Current, group: Drive,
        says: "greatest current that the supply gives, mean over a tick",
        needs: Cycle, limit: Most("supply_current_max"), levers: LESS_CURRENT, absent: Other,
        read: Of(|r| totals::extreme(r.totals.supply_current)),
    }
    BatteryCycles {
        name: "battery_cycles", label: "Cycles on a battery", quantity: Number, group: Drive,
        says: "whole periods of the duty that a full battery lasts, by charge",
        needs: Cycle, limit: Least("battery_cycles_min"), levers: LESS_ENERGY, absent: NoBattery,
        read: Of(|r| r.duty.as_ref().and_then(|d| plain(d.battery_cycles))),
    }
    WindingTemperature {
        name: "winding_temperature_c", label: "Winding temperature", quantity: Temperature, group: Motor,
        says: "greatest in the cycle once the duty has gone on for hours, at the ambient of the duty, with the currents of this run; 1000 C: it burns",
        needs: Cycle, limit: Most("winding_temperature_max"), levers: COOLER, absent: TooOften,
        read: Of(|r| r.warmth(|w| w.winding_c)),
    }
    WindingRise {
        name: "winding_rise_k", label: "Temperature rise at 40 C", quantity: TemperatureRise, group: Motor,
        says: "the same in an ambient of 40 C, less those 40 C",
        needs: Cycle, limit: Most("winding_rise_max"), levers: COOLER, absent: TooOften,
        read: Of(|r| r.warmth(|w| w.rise_at_40_k)),
    }
    InsulationMargin {
        name: "insulation_margin_k", label: "Left to insulation class", quantity: TemperatureRise, group: Motor,
        says: "what the insulation class bears, less the winding temperature",
        needs: Cycle, limit: Least("insulation_margin_min"), levers: COOLER, absent: TooOften,
        read: Of(|r| r.insulation_margin()),
    }
    HousingTemperature {
        name: "housing_temperature_c", label: "Housing temperature", quantity: Temperature, group: Motor,
        says: "mean of the motor's housing once the duty has gone on for hours",
        needs: Cycle, limit: Most("housing_temperature_max"), levers: COOLER, absent: TooOften,
        read: Of(|r| r.duty(|d| d.steady.housing_c)),
    }
    OpeningAtPerson {
        name: "opening_at_person_m", label: "Open when the person is there", quantity: Length, group: PersonAndBeam,
        says: "clear opening when someone who walks up through the activation field reaches the leaf",
        needs: Cycle, limit: Least("opening_at_person_min"), levers: IN_TIME, absent: NobodyWalksUp,
        read: Of(happenings::opening_at_person),
    }
    PersonWaits {
        name: "person_waits_s", label: "The person waits", quantity: Time, group: PersonAndBeam,
        says: "from then until the opening is as wide as the person's shoulders; 0: it was in time",
        needs: Cycle, limit: Most("person_waits_max"), levers: IN_TIME, absent: NobodyWalksUp,
        read: Of(happenings::person_waits),
    }
    StoppingDistance {
        name: "stopping_distance_m", label: "Stopping distance", quantity: ShortLength, group: PersonAndBeam,
        says: "how far a closing leaf goes on after a beam trip where it is fastest, sensor delay included",
        needs: Beam, limit: Most("stopping_distance_max"), levers: STOPS_SHORTER, absent: Other,
        read: Of(|r| r.totals.stopping.and_then(|(m, at)| placed(m, at))),
    }
    OpenedWithoutPower {
        name: "opened_without_power_s", label: "Opens without power", quantity: Time, group: PowerOff,
        says: "from the loss of power to 80 % of the clear opening, by a cord or spring or by its own momentum",
        needs: Cycle, limit: Most("opened_without_power_max"), levers: OPENS_BY_ITSELF, absent: OpenAlready,
        read: Of(happenings::opened_without_power),
    }
    CoastDistance {
        name: "coast_distance_m", label: "Goes on without power", quantity: ShortLength, group: PowerOff,
        says: "how far a leaf goes from where power is lost to where it comes to rest",
        needs: Cycle, limit: Most("coast_distance_max"), levers: COASTS_LESS, absent: PowerStays,
        read: Of(happenings::coast),
    }
    LearnedStroke {
        name: "learned_stroke_m", label: "Learned stroke", quantity: Length, group: PersonAndBeam,
        says: "drive travel between the two ends found in a learning run: the stroke, the gaps behind it, and what belt and stops give",
        needs: Cycle, limit: Most("learned_stroke_max"), levers: NONE, absent: NoLearning,
        read: Of(happenings::learned_stroke),
    }
    ManualForce {
        name: "manual_opening_force_n", label: "Opening by hand, power off", quantity: Force, group: PowerOff,
        says: "hand force that starts the leaf open from rest with the winding open, where that is hardest",
        needs: Cycle, limit: Most("manual_opening_max"), levers: EASIER_BY_HAND, absent: LocksItself,
        read: Of(|r| plain(manual::opening_force_n(r.door))),
    }
    ManualForceShorted {
        name: "manual_opening_force_shorted_n", label: "Opening by hand, winding shorted", quantity: Force, group: PowerOff,
        says: "hand force that keeps the leaf going open at 0.1 m/s with the winding shorted",
        needs: Cycle, limit: Most("manual_opening_shorted_max"), levers: EASIER_SHORTED, absent: LocksItself,
        read: Of(|r| plain(manual::opening_force_shorted_n(r.door))),
    }
    DriftForce {
        name: "drift_force_n", label: "Drift, power off", quantity: Force, group: PowerOff,
        says: "pull of slope and listed forces beyond what friction holds, with the power off, worst place; 0: stays",
        needs: Cycle, limit: Most("drift_force_max"), levers: LEVEL, absent: Other,
        read: Of(|r| plain(Some(manual::drift_force_n(r.door)))),
    }
}
