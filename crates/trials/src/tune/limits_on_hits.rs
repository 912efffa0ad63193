//! Which limits bound how hard a door may hit.

use tautleaf_physics::{Figure, Limit};

/// Whether a limit that may fail a door bounds how hard the moving leaf may hit: an energy, an impact force or a closing speed. A
/// limit on the stall force bounds the push of a leaf that stands.
pub fn bounds_a_hit(limit: &Limit) -> bool {
    use Figure::{
        AverageEnergyClosing, ImpactForce, PeakEnergyCoupled, PeakEnergyCoupledClosing, PeakEnergyLeaf,
        PeakEnergyLeafClosing, PeakEnergyLeafCoupledClosing,
    };
    use Figure::{PeakEnergyLeaves, TopSpeedBeforeCheck, TopSpeedClosing};
    let figure = limit.figure.filter(|_| limit.may_fail());
    figure.is_some_and(|figure| {
        matches!(
            figure,
            AverageEnergyClosing
                | ImpactForce
                | PeakEnergyCoupled
                | PeakEnergyCoupledClosing
                | PeakEnergyLeaf
                | PeakEnergyLeafClosing
                | PeakEnergyLeafCoupledClosing
                | PeakEnergyLeaves
                | TopSpeedBeforeCheck
                | TopSpeedClosing
        )
    })
}

/// Whether a figure is an energy of the leaves or a force of the force test.
pub fn is_on_energy_or_force(figure: Figure) -> bool {
    use Figure::{
        PeakEnergyCoupled, PeakEnergyCoupledClosing, PeakEnergyLeaf, PeakEnergyLeafClosing,
        PeakEnergyLeafCoupledClosing, PeakEnergyLeaves,
    };
    figure.is_of_force_test()
        || matches!(figure, PeakEnergyLeaf | PeakEnergyLeaves | PeakEnergyCoupled | PeakEnergyCoupledClosing)
        || matches!(figure, PeakEnergyLeafClosing | PeakEnergyLeafCoupledClosing)
}
