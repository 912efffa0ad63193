//! How a leaf goes: speed up, travel, brake, creep. Closed form, from the settings alone.

use tautleaf_physics::parameters::Motion;

/// One way of a leaf as its settings ask for it. SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gait {
    /// Travel speed, m/s.
    pub speed_m_per_s: f64,
    /// Acceleration, m/s2.
    pub acceleration_m_per_s2: f64,
    /// Braking, m/s2.
    pub braking_m_per_s2: f64,
    /// Speed over the last stretch, m/s.
    pub creep_speed_m_per_s: f64,
    /// Length of that stretch, m.
    pub creep_distance_m: f64,
    /// Most change of the acceleration, m/s3; `None`: no limit.
    pub jerk_m_per_s3: Option<f64>,
}

/// A stretch of constant acceleration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    /// How long, s.
    pub for_s: f64,
    /// Speed at its beginning, m/s.
    pub from_m_per_s: f64,
    /// Acceleration in the direction of travel, m/s2.
    pub acceleration_m_per_s2: f64,
}

impl Stage {
    /// Speed at its end, m/s.
    pub fn to_m_per_s(&self) -> f64 {
        self.from_m_per_s + self.acceleration_m_per_s2 * self.for_s
    }

    /// Way, m.
    pub fn way_m(&self) -> f64 {
        (self.from_m_per_s + self.to_m_per_s()) / 2.0 * self.for_s
    }
}

impl Gait {
    /// The way that these settings ask for.
    pub fn of(motion: &Motion, jerk_m_per_s3: Option<f64>) -> Self {
        Self {
            speed_m_per_s: motion.speed_m_per_s,
            acceleration_m_per_s2: motion.acceleration_m_per_s2,
            braking_m_per_s2: motion.braking_m_per_s2,
            creep_speed_m_per_s: motion.creep_speed_m_per_s,
            creep_distance_m: motion.creep_distance_m,
            jerk_m_per_s3,
        }
    }

    /// Speed up, travel, brake, creep over `travel_m`.
    ///
    /// ```text
    /// v^2 (1/2a + 1/2b) <= S - c + v_c^2/2b, else the travel speed is what this leaves          (DEVELOPERS.md, eq. 40)
    /// ```
    pub fn stages(&self, travel_m: f64) -> [Stage; 4] {
        let (a, b) = (self.acceleration_m_per_s2, self.braking_m_per_s2);
        let creep = self.creep_speed_m_per_s.min(self.speed_m_per_s);
        let last = self.creep_distance_m.clamp(0.0, travel_m);
        let room = travel_m - last;
        let reached = ((room + creep * creep / (2.0 * b)) / (1.0 / (2.0 * a) + 1.0 / (2.0 * b))).sqrt();
        let top = self.speed_m_per_s.min(reached).max(creep);
        let way = top * top / (2.0 * a) + (top * top - creep * creep) / (2.0 * b);
        let stage = |for_s: f64, from_m_per_s, acceleration_m_per_s2| Stage {
            for_s: for_s.max(0.0),
            from_m_per_s,
            acceleration_m_per_s2,
        };
        [
            stage(top / a, 0.0, a),
            stage((room - way) / top, top, 0.0),
            stage((top - creep) / b, top, -b),
            stage(last / creep, creep, 0.0),
        ]
    }

    /// Time until this much of the travel is done, s. A jerk limit j adds (a + b)/(2 j).
    pub fn time_to_s(&self, way_m: f64, travel_m: f64) -> f64 {
        let (mut left, mut time) = (way_m, 0.0);
        for stage in self.stages(travel_m) {
            let whole = stage.way_m();
            if left >= whole {
                (left, time) = (left - whole, time + stage.for_s);
                continue;
            }
            let (v, a) = (stage.from_m_per_s, stage.acceleration_m_per_s2);
            // v t + a t^2/2 = left
            time += 2.0 * left / (v + (v * v + 2.0 * a * left).max(0.0).sqrt());
            left = 0.0;
            break;
        }
        let ramps = self.acceleration_m_per_s2 + self.braking_m_per_s2;
        // rounding: the last stage may miss the end by next to nothing
        time + left.max(0.0) / self.creep_speed_m_per_s
            + self.jerk_m_per_s3.map_or(0.0, |j| ramps / (2.0 * j))
    }

    /// Greatest speed that it reaches on `travel_m`, m/s.
    pub fn top_speed_m_per_s(&self, travel_m: f64) -> f64 {
        self.stages(travel_m)[1].from_m_per_s
    }
}

/// How much of the travel has to be done by when: way in m, time in s.
pub type Due = (f64, f64);

/// How fast and how steep a gait may be, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Greatest travel speed, m/s.
    pub most_speed: f64,
    /// Least and greatest acceleration, m/s2.
    pub ramp: (f64, f64),
    /// Least braking, m/s2: from creep to rest within the stopping distance, v_c^2/(4 d_stop), since a controller lets the
    /// wanted speed fall with twice its braking.
    pub least_braking: f64,
}

/// The slowest gait that does `dues` in time with an acceleration of a = kappa v/T, T the first time due.
///
/// kappa 3 takes a third each to speed up, travel and brake, which for a given way and time takes the least RMS force
/// (eq. 41); more goes with less speed and more acceleration. Braking keeps its proportion to acceleration, and creep
/// stays as it is. `None`: not even the fastest that is possible is in time.
pub fn gait_for(like: &Gait, travel_m: f64, dues: &[Due], kappa: f64, range: &Range) -> Option<Gait> {
    let (least_ramp, most_ramp) = range.ramp;
    let within = dues.first()?.1;
    let ratio = (like.braking_m_per_s2 / like.acceleration_m_per_s2).clamp(0.5, 1.0);
    let at = |speed: f64| {
        let ramp = (kappa * speed / within).max(least_ramp).min(most_ramp);
        Gait {
            speed_m_per_s: speed,
            acceleration_m_per_s2: ramp,
            braking_m_per_s2: (ratio * ramp).max(range.least_braking).min(most_ramp),
            ..*like
        }
    };
    let in_time = |speed: f64| {
        let gait = at(speed);
        dues.iter().all(|&(way_m, within_s)| gait.time_to_s(way_m, travel_m) <= within_s)
    };
    let (mut low, mut high) = (0.005, range.most_speed);
    if !in_time(high) {
        return None;
    }
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if in_time(middle) { high = middle } else { low = middle }
    }
    Some(at(high))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Gait = Gait {
        speed_m_per_s: 0.5,
        acceleration_m_per_s2: 1.0,
        braking_m_per_s2: 1.0,
        creep_speed_m_per_s: 1e-6,
        creep_distance_m: 0.0,
        jerk_m_per_s3: None,
    };

    const ANY: Range = Range { most_speed: 2.0, ramp: (0.001, 10.0), least_braking: 0.0 };

    /// S/v + v/(2a) + v/(2b) for a trapezoid (derived): 1/0.5 + 0.5 = 2.5 s.
    #[test]
    fn a_trapezoid_takes_its_way_over_its_speed_and_a_ramp() {
        assert!((PLAIN.time_to_s(1.0, 1.0) - 2.5).abs() < 1e-5);
        // half the way in half the time, since both ramps are alike
        assert!((PLAIN.time_to_s(0.5, 1.0) - 1.25).abs() < 1e-9);
    }

    /// Too short to reach its speed: a triangle, 2 sqrt(S/a).
    #[test]
    fn a_short_way_is_a_triangle() {
        let gait = Gait { speed_m_per_s: 5.0, ..PLAIN };
        assert!((gait.time_to_s(1.0, 1.0) - 2.0).abs() < 1e-5);
        assert!((gait.top_speed_m_per_s(1.0) - 1.0).abs() < 1e-9);
    }

    /// Thirds: v = 1.5 S/T, a = 4.5 S/T^2 (derived).
    #[test]
    fn thirds_go_at_one_and_a_half_times_the_mean_speed() {
        let gait = gait_for(&PLAIN, 1.2, &[(1.2, 4.0)], 3.0, &ANY).unwrap();
        assert!((gait.speed_m_per_s - 1.5 * 1.2 / 4.0).abs() < 1e-4, "{gait:?}");
        assert!((gait.acceleration_m_per_s2 - 4.5 * 1.2 / 16.0).abs() < 1e-3, "{gait:?}");
        assert_eq!(gait_for(&PLAIN, 1.2, &[(1.2, 0.1)], 3.0, &Range { ramp: (0.2, 3.0), ..ANY }), None);
    }

    #[test]
    fn more_acceleration_needs_less_speed() {
        let speeds = [3.0, 4.5, 6.0, 9.0].map(|kappa| {
            let gait = gait_for(&PLAIN, 1.0, &[(1.0, 3.0), (0.8, 2.5)], kappa, &ANY).unwrap();
            assert!(gait.time_to_s(0.8, 1.0) <= 2.5);
            gait.speed_m_per_s
        });
        assert!(speeds.windows(2).all(|pair| pair[1] < pair[0]), "{speeds:?}");
    }
}
