//! Acceleration and jerk.

use crate::door::Door;
use crate::jerk;
use crate::moment::Reading;
use crate::run::Sample;

/// Greatest acceleration and jerk of any leaf.
pub(crate) struct Comfort {
    pub acceleration: Option<Reading>,
    pub jerk: Option<Reading>,
}

impl Comfort {
    pub fn of(door: &Door, samples: &[Sample]) -> Self {
        let tick = door.parameters().controller.tick_s;
        let nothing = Reading { value: 0.0, at: None };
        let (mut acceleration, mut worst_jerk) = (nothing, nothing);
        for leaf in 0..door.leaves() {
            let (a, j) = jerk::peaks(samples, leaf, tick);
            if a.0 > acceleration.value {
                acceleration = Reading { value: a.0, at: a.1 };
            }
            if j.0 > worst_jerk.value {
                worst_jerk = Reading { value: j.0, at: j.1 };
            }
        }
        Self { acceleration: Some(acceleration), jerk: Some(worst_jerk) }
    }
}
