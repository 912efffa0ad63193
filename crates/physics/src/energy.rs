//! Where the energy of a run went, each item integrated on its own: the one table of what comes in, is lost and is gained.

use serde::Serialize;

/// What an item of the balance is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    In,
    Lost,
    Gained,
}

/// A row an item: what it is, its name, the power that it is the integral of where it is one, and what it means.
macro_rules! energy_table {
    ($($kind:ident $name:ident $(= $power:ident)?: $says:literal,)+) => {
        /// Energy from the start to the end of a run, J. Inputs and losses are positive as named.
        ///
        /// ```text
        /// sum of what comes in - sum of what is lost = sum of what is gained
        /// ```
        #[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
        pub struct EnergyBalance {
            /// Net electrical energy from the bus into the winding, integral of V i: part of what the supply gave, and not summed up
            /// once more.
            pub bus_j: f64,
            $(#[doc = $says] pub $name: f64,)+
        }

        impl EnergyBalance {
            fn items(&self) -> impl Iterator<Item = (Kind, f64)> {
                [$((Kind::$kind, self.$name)),+].into_iter()
            }

            /// What was integrated so far, the other items 0.
            pub(crate) fn integrated(work: &[f64; POWERS]) -> Self {
                Self { bus_j: work[power::BUS], $($($name: work[power::$power],)?)+ ..Self::default() }
            }
        }

        /// Powers that are integrated, W, by index.
        #[allow(non_camel_case_types, clippy::upper_case_acronyms, reason = "each stands for the constant of its name")]
        enum Index {
            BUS,
            DRAWN,
            CONTACT_FORCE,
            $($($power,)?)+
            COUNT,
        }

        /// How many powers are integrated.
        pub(crate) const POWERS: usize = Index::COUNT as usize;

        /// Where each power stands among those that are integrated.
        pub(crate) mod power {
            use crate::energy::Index;

            /// From the bus into the winding.
            pub const BUS: usize = Index::BUS as usize;
            /// The same, without what flows back.
            pub const DRAWN: usize = Index::DRAWN as usize;
            /// No power: the force against an obstacle, N.
            pub const CONTACT_FORCE: usize = Index::CONTACT_FORCE as usize;
            $($(#[doc = $says] pub const $power: usize = Index::$power as usize;)?)+
        }
    };
}

energy_table! {
    In supply_j: "In: what the supply gave, net; a battery at its open-circuit voltage.",
    In slope_j = SLOPE: "In: work of gravity on the slope.",
    In rail_j = RAIL: "In: work of gravity on an uneven rail, through the hangers.",
    In end_seal_j = END_SEAL: "In: work of the compression seals.",
    In forces_j = FORCES: "In: work of the listed forces, without their drag.",
    In carried_j = CARRIED: "In: strain energy that belt carries over the pulleys, net.",
    Lost supply_loss_j: "Lost: inner resistance of a battery.",
    Lost braking_burnt_j: "Lost: braking energy in a resistor or at the clamp.",
    Lost copper_j = COPPER: "Lost: winding resistance.",
    Lost rolling_j = ROLLING: "Lost: rolling resistance, viscous part included.",
    Lost brush_j = BRUSH: "Lost: brush seals.",
    Lost guide_j = GUIDE: "Lost: floor guide.",
    Lost forces_drag_j = FORCES_DRAG: "Lost: drag of the listed forces.",
    Lost bearings_j = BEARINGS: "Lost: pulley bearings.",
    Lost rotor_friction_j = ROTOR: "Lost: rotor friction.",
    Lost gear_j = GEAR: "Lost: gear.",
    Lost mesh_j = MESH: "Lost: damping between rotor and drive pulley.",
    Lost belt_damping_j = BELT: "Lost: damping in the belt.",
    Lost stoppers_j = STOPPERS: "Lost: stoppers (their springs give back what they take).",
    Lost edge_damping_j = EDGE: "Lost: damping in the closing edges.",
    Gained kinetic_j: "Gained: kinetic energy.",
    Gained strain_j: "Gained: strain energy of the belts, and of the spring between rotor and drive pulley.",
    Gained magnetic_j: "Gained: energy in the winding's inductance.",
    Gained bus_capacitor_j: "Gained: capacitor of the bus.",
    Gained contact_springs_j: "Gained: springs of stoppers, closing edges and obstacle.",
}

impl EnergyBalance {
    fn sum(&self, kind: Kind) -> f64 {
        self.items().filter(|item| item.0 == kind).map(|item| item.1).sum()
    }

    /// What comes in, J.
    pub fn inputs_j(&self) -> f64 {
        self.sum(Kind::In)
    }

    /// What is lost, J.
    pub fn losses_j(&self) -> f64 {
        self.sum(Kind::Lost)
    }

    /// What is stored at the end beyond the start, J.
    pub fn stored_j(&self) -> f64 {
        self.sum(Kind::Gained)
    }

    /// What does not close, J.
    pub fn residual_j(&self) -> f64 {
        self.inputs_j() - self.losses_j() - self.stored_j()
    }

    /// Sum of the absolute values of all items, J: the scale for the residual.
    pub fn scale_j(&self) -> f64 {
        self.items().map(|item| item.1.abs()).sum()
    }

    /// Share that a run may be open by before it is remarked: what is promised.
    pub const PROMISED: f64 = 1e-3;
    /// Share above which its numbers are not relied on, and no limit is judged by them.
    pub const RELIED_ON: f64 = 1e-2;

    /// |residual| over the sum of |items|; [`PROMISED`](Self::PROMISED) is the promise.
    pub fn relative_residual(&self) -> f64 {
        self.residual_j().abs() / self.scale_j().max(f64::MIN_POSITIVE)
    }
}
