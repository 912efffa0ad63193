//! The default of every parameter. Where each is from stands in the table of fields.

use super::*;

impl Default for Timeline {
    fn default() -> Self {
        Self {
            run: RunKind::default(),
            activation_depth_m: None,
            person_speed_m_per_s: 1.2,
            shoulder_width_m: 0.6,
            sensor_delay_s: 0.1,
            presence_until_s: None,
            beam_broken_s: None,
            beam_action: BeamAction::default(),
            open_again_s: None,
            power_lost_s: None,
            power_lost_winding: PowerLost::default(),
        }
    }
}

impl Default for Workbench {
    fn default() -> Self {
        Self {
            wanted_tension_n: None,
            cut_short: 1.0,
            clamp_teeth: 3.0,
            clamp_gap_m: 0.0,
            thread_pitch_m: 0.001,
            tightens: Turn::default(),
            hanger_end_least_m: 0.06,
            hanger_end_most_m: 0.1,
            frame_tolerance_m: 0.002,
        }
    }
}

impl Default for Parameters {
    fn default() -> Self {
        Self {
            arrangement: Arrangement::default(),
            leaf: Leaf::default(),
            telescope: None,
            edge: ClosingEdge::default(),
            rear: RearEdge::default(),
            rollers: Rollers::default(),
            seal: Seal::default(),
            rail: Rail::default(),
            guide: Guide::default(),
            weather: Weather::default(),
            belt: Belt::default(),
            pulleys: Pulleys::default(),
            gear: Gear::default(),
            motor: Motor::default(),
            supply: Supply::default(),
            opening: Motion::OPENING,
            closing: Motion::CLOSING,
            controller: Controller::default(),
            obstruction: Obstruction::default(),
            stoppers: Stoppers::default(),
            timeline: Timeline::default(),
            duty: Duty::default(),
            tester: Tester::default(),
            obstacle: None,
            forces: Vec::new(),
            faults: Vec::new(),
            workbench: Workbench::default(),
        }
    }
}

impl Default for LeafForce {
    fn default() -> Self {
        Self {
            name: String::new(),
            leaf: None,
            constant_n: 0.0,
            stiffness_n_per_m: 0.0,
            rest_m: 0.0,
            damping_n_s_per_m: 0.0,
            drag_n: 0.0,
            depth_m: None,
            from_m: -1.0,
            to_m: 100.0,
            start_s: 0.0,
            end_s: Self::FOR_GOOD_S,
        }
    }
}

impl Default for Leaf {
    fn default() -> Self {
        Self {
            mass_kg: 80.0,
            second_mass_kg: None,
            width_m: 1.1,
            height_m: 2.2,
            stroke_m: 1.0,
            partial_opening_m: None,
            glass_thickness_m: None,
            frame_mass_kg_per_m: 0.0,
            fittings_mass_kg: 6.0,
            hanger_spacing_m: None,
            belt_height_m: 0.05,
            gravity_depth_m: None,
            gravity_offset_m: 0.0,
            hanger_height_difference_m: 0.0,
        }
    }
}

impl Default for Telescope {
    fn default() -> Self {
        Self { mass_kg: None, belt_length_m: None, belt_width_m: 0.01, tension_n: 150.0 }
    }
}

impl Default for ClosingEdge {
    fn default() -> Self {
        Self {
            stiffness_n_per_m: 40e3,
            damping_n_s_per_m: 100.0,
            contact_depth_m: None,
            travel_m: None,
            hard_stiffness_n_per_m: 300e3,
            cold_factor_per_k: 0.01,
        }
    }
}

impl ClosingEdge {
    /// Travel of a rubber nosing that was not measured, m.
    pub const USUAL_TRAVEL_M: f64 = 0.01;
}

impl Default for RearEdge {
    fn default() -> Self {
        Self { clearance_m: None, stiffness_n_per_m: 200e3, damping_n_s_per_m: 0.0, depth_m: None }
    }
}

impl Default for Rollers {
    fn default() -> Self {
        Self {
            resistance: 0.010,
            breakaway: 1.3,
            fade_speed_m_per_s: 0.005,
            viscous_n_s_per_m: 5.0,
            diameter_m: 0.03,
        }
    }
}

impl Default for Seal {
    fn default() -> Self {
        Self { brush_n_per_m: 3.0, end_stiffness_n_per_m: 2e3, end_length_m: 0.005 }
    }
}

impl Default for Guide {
    fn default() -> Self {
        Self { friction: 0.2, depth_m: None, out_of_plumb: 0.0 }
    }
}

impl Default for Fault {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: FaultKind::default(),
            at_m: 0.5,
            height_m: 0.0003,
            length_m: 0.6,
            leaf: 1,
            hanger: Hanger::default(),
        }
    }
}

impl Default for Belt {
    fn default() -> Self {
        Self {
            centre_distance_m: None,
            clamp_m: 0.3,
            pitch_m: 0.005,
            width_m: 0.015,
            specific_stiffness_n_per_m: 22e6,
            specific_mass_kg_per_m2: 4.8,
            tension_n: 250.0,
            damping_time_s: 0.001,
        }
    }
}

impl Default for Pulleys {
    fn default() -> Self {
        Self {
            teeth: 30.0,
            drive_inertia_kg_m2: 1e-4,
            return_inertia_kg_m2: 5e-5,
            return_radius_m: None,
            bearing_friction: 0.002,
            bearing_diameter_ratio: 0.3,
            drag_n: 1.0,
        }
    }
}

impl Default for Gear {
    fn default() -> Self {
        Self {
            ratio: 15.0,
            efficiency: 0.75,
            rotor_teeth: None,
            mesh_stiffness_n_per_m: None,
            backlash_m: 0.0,
            mesh_damping_ratio: 0.1,
        }
    }
}

impl Default for Motor {
    fn default() -> Self {
        Self {
            resistance_ohm: 0.5,
            torque_constant_n_m_per_a: 0.05,
            inductance_h: 0.3e-3,
            rotor_inertia_kg_m2: 5e-5,
            rotor_friction_n_m: 0.005,
            magnet_coefficient_per_k: -0.002,
            winding_temperature_c: 25.0,
            rated_current_a: 4.0,
            rated_rise_k: 80.0,
            inner_rise_share: 0.4,
            winding_time_s: 46.0,
            housing_time_s: 500.0,
            insulation: InsulationClass::default(),
            pole_pairs: None,
            commutator_bars: None,
        }
    }
}

impl Default for Supply {
    fn default() -> Self {
        Self {
            voltage_v: 24.0,
            kind: SupplyKind::default(),
            current_limit_a: None,
            resistance_ohm: 0.1,
            capacity_a_s: None,
            braking: Braking::default(),
            capacitance_f: 4.7e-3,
            clamp_voltage_v: None,
        }
    }
}

impl Motion {
    /// Default settings for the way open.
    pub const OPENING: Self = Self {
        speed_m_per_s: 0.6,
        acceleration_m_per_s2: 1.0,
        braking_m_per_s2: 0.8,
        creep_speed_m_per_s: 0.06,
        creep_distance_m: 0.05,
        current_limit_a: 8.0,
    };
    /// Default settings for the way closed: slower and weaker.
    pub const CLOSING: Self = Self { speed_m_per_s: 0.3, current_limit_a: 5.0, ..Self::OPENING };
}

impl Default for Motion {
    fn default() -> Self {
        Self::OPENING
    }
}

impl Default for Controller {
    fn default() -> Self {
        Self {
            tick_s: 0.001,
            counts_per_turn: 2000.0,
            speed_filter_s: 0.003,
            proportional_gain_a_s_per_m: None,
            integral_gain_a_per_m: None,
            antiwindup_s: 0.1,
            feed_forward_a: 0.0,
            jerk_m_per_s3: None,
            stop_distance_m: 0.002,
            hold_open_s: 3.0,
            hold: Hold::ZeroCurrent,
            press_current_a: 1.2,
        }
    }
}

impl Default for Obstruction {
    fn default() -> Self {
        Self {
            speed_m_per_s: 0.02,
            detect_s: 0.1,
            react_s: 0.03,
            blind_s: 0.5,
            action: ObstructionAction::Reverse,
        }
    }
}

impl Default for Stoppers {
    fn default() -> Self {
        Self {
            behind_closed_m: 0.0,
            behind_open_m: 0.005,
            stiffness_n_per_m: 500e3,
            damping_n_s_per_m: 2000.0,
        }
    }
}

impl Default for Duty {
    fn default() -> Self {
        Self { cycles_per_hour: 60.0, ambient_c: 20.0 }
    }
}

impl Default for Tester {
    fn default() -> Self {
        Self { stiffness_n_per_m: 500e3, uncertainty: 0.05, readings: 3.0, repeatability: 0.03, reads: 1.0 }
    }
}

impl Default for Obstacle {
    fn default() -> Self {
        Self { gap_m: 0.3, stiffness_n_per_m: 500e3, mass_kg: None, depth_m: 0.2, stays_s: 2.0 }
    }
}
