//! Where the energy of a run went, each item integrated on its own.

use serde::Serialize;

/// Energy from the start to the end of a run, J. Inputs and losses are positive as named.
///
/// ```text
/// supply + gravity + springs + forces + carried - copper - friction - belt damping - dampers = kinetic + strain + magnetic + edges
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct EnergyBalance {
    /// In: what the supply gave, net; a battery at its open-circuit voltage.
    pub supply_j: f64,
    /// Of that, net electrical energy from the bus into the winding, integral of V i. Not summed up once more.
    pub bus_j: f64,
    /// In: work of gravity on the slope.
    pub slope_j: f64,
    /// In: work of gravity on an uneven rail, through the hangers.
    pub rail_j: f64,
    /// In: work of the compression seals.
    pub end_seal_j: f64,
    /// In: work of the listed forces, without their drag.
    pub forces_j: f64,
    /// In: strain energy that belt carries over the pulleys, net.
    pub carried_j: f64,
    /// Lost: inner resistance of a battery.
    pub supply_loss_j: f64,
    /// Lost: braking energy in a resistor or at the clamp.
    pub braking_burnt_j: f64,
    /// Lost: winding resistance.
    pub copper_j: f64,
    /// Lost: rolling resistance, viscous part included.
    pub rolling_j: f64,
    /// Lost: brush seals.
    pub brush_j: f64,
    /// Lost: floor guide.
    pub guide_j: f64,
    /// Lost: drag of the listed forces.
    pub forces_drag_j: f64,
    /// Lost: pulley bearings.
    pub bearings_j: f64,
    /// Lost: rotor friction.
    pub rotor_friction_j: f64,
    /// Lost: gear.
    pub gear_j: f64,
    /// Lost: damping between rotor and drive pulley.
    pub mesh_j: f64,
    /// Lost: damping in the belt.
    pub belt_damping_j: f64,
    /// Lost: stoppers (their springs give back what they take).
    pub stoppers_j: f64,
    /// Lost: damping in the closing edges.
    pub edge_damping_j: f64,
    /// Gained: kinetic energy.
    pub kinetic_j: f64,
    /// Gained: strain energy of the belts, and of the spring between rotor and drive pulley.
    pub strain_j: f64,
    /// Gained: energy in the winding's inductance.
    pub magnetic_j: f64,
    /// Gained: capacitor of the bus.
    pub bus_capacitor_j: f64,
    /// Gained: springs of stoppers, closing edges and obstacle.
    pub contact_springs_j: f64,
}

impl EnergyBalance {
    /// What comes in, J.
    pub fn inputs_j(&self) -> f64 {
        self.supply_j + self.slope_j + self.rail_j + self.end_seal_j + self.forces_j + self.carried_j
    }

    /// What is lost, J.
    pub fn losses_j(&self) -> f64 {
        self.supply_loss_j
            + self.braking_burnt_j
            + self.copper_j
            + self.rolling_j
            + self.brush_j
            + self.guide_j
            + self.forces_drag_j
            + self.bearings_j
            + self.rotor_friction_j
            + self.gear_j
            + self.mesh_j
            + self.belt_damping_j
            + self.stoppers_j
            + self.edge_damping_j
    }

    /// What is stored at the end beyond the start, J.
    pub fn stored_j(&self) -> f64 {
        self.kinetic_j + self.strain_j + self.magnetic_j + self.bus_capacitor_j + self.contact_springs_j
    }

    /// What does not close, J.
    pub fn residual_j(&self) -> f64 {
        self.inputs_j() - self.losses_j() - self.stored_j()
    }

    /// Sum of the absolute values of all items, J: the scale for the residual.
    pub fn scale_j(&self) -> f64 {
        [
            self.supply_j,
            self.slope_j,
            self.rail_j,
            self.end_seal_j,
            self.forces_j,
            self.carried_j,
            self.kinetic_j,
            self.strain_j,
            self.magnetic_j,
            self.bus_capacitor_j,
            self.contact_springs_j,
        ]
        .iter()
        .map(|item| item.abs())
        .sum::<f64>()
            + self.losses_j()
    }

    /// |residual| over the sum of |items|; 0.001 is the promise.
    pub fn relative_residual(&self) -> f64 {
        self.residual_j().abs() / self.scale_j().max(f64::MIN_POSITIVE)
    }
}
