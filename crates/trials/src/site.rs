//! What can be turned on site, and by how much at a time.

use tautleaf_physics::workbench::belt_work;
use tautleaf_physics::{Door, number};

/// Something that whoever stands at the door can turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SiteSetting {
    /// Its dotted key.
    pub key: &'static str,
    step: Step,
}

/// By how much it is turned at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    /// By this part of what it is.
    Part(f64),
    /// By this much, SI.
    By(f64),
    /// By one turn of the adjuster's nut.
    NutTurn,
}

const fn part(key: &'static str, part: f64) -> SiteSetting {
    SiteSetting { key, step: Step::Part(part) }
}

const fn by(key: &'static str, si: f64) -> SiteSetting {
    SiteSetting { key, step: Step::By(si) }
}

/// What can be turned on site: controller settings, the belt's adjuster, the hangers.
pub const SITE: &[SiteSetting] = &[
    part("closing.speed", 0.1),
    part("closing.acceleration", 0.2),
    part("closing.braking", 0.2),
    by("closing.creep_distance", 0.02),
    part("closing.creep_speed", 0.2),
    part("closing.current_limit", 0.1),
    part("opening.speed", 0.1),
    part("opening.acceleration", 0.2),
    part("opening.braking", 0.2),
    by("opening.creep_distance", 0.02),
    part("opening.creep_speed", 0.2),
    part("opening.current_limit", 0.1),
    by("controller.hold_open", 0.5),
    part("controller.press_current", 0.2),
    by("obstruction.detect", 0.02),
    SiteSetting { key: "belt.tension", step: Step::NutTurn },
    part("telescope.tension", 0.2),
    by("leaf.hanger_height_difference", 0.001),
];

impl SiteSetting {
    /// The values one step below and above the present one, SI, as far as they are possible; `None`: this door has no
    /// such setting, or it is off.
    pub fn steps(&self, door: &Door) -> Option<(f64, [Option<f64>; 2])> {
        let number = number(self.key)?;
        let now = number.get(door.parameters())?;
        let step = match self.step {
            Step::Part(part) => part * now,
            Step::By(si) => si,
            Step::NutTurn => {
                let turns_per_n = belt_work(door).turns_between(0.0, 1.0);
                if turns_per_n > 0.0 { 1.0 / turns_per_n } else { 0.1 * now }
            }
        };
        let (low, high) = number.possible;
        let at = |value: f64| (step > 0.0 && value >= low && value <= high).then_some(value);
        Some((now, [at(now - step), at(now + step)]))
    }
}

#[cfg(test)]
mod tests {
    use tautleaf_physics::Parameters;

    use super::*;

    #[test]
    fn every_site_setting_is_a_number_of_a_door() {
        for setting in SITE {
            assert!(number(setting.key).is_some(), "{}", setting.key);
        }
    }

    /// One turn of an M6 nut moves the pulley by 1 mm, which stretches a loop of 2 C + pi d by 2 mm.
    #[test]
    fn a_turn_of_the_nut_is_two_pitches_of_its_thread_more_belt() {
        let door = Door::try_from(Parameters::default()).unwrap();
        let tension = SITE.iter().find(|setting| setting.key == "belt.tension").unwrap();
        let (now, [_, Some(tighter)]) = tension.steps(&door).unwrap() else { panic!("a step up") };
        let p = door.parameters();
        let ea = p.belt.specific_stiffness_n_per_m * p.belt.width_m;
        let length = 2.0 * p.belt.centre_distance_m.unwrap();
        let stretched = ea * 2.0 * p.workbench.thread_pitch_m / length;
        // the arcs round the pulleys are about a tenth of the loop
        assert!(((tighter - now) / stretched - 1.0).abs() < 0.15, "{} and {stretched}", tighter - now);
    }
}
