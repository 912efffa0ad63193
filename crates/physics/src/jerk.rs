//! Acceleration and jerk of a leaf. Jerk goes through a 10 Hz second-order Butterworth filter, forward only
//! (the band in which ISO 18738 weighs what people feel; it measures and does not judge).

use crate::figures::Moment;
use crate::run::Sample;

pub(crate) const CUT_OFF_HZ: f64 = 10.0;

/// Second-order low-pass, bilinear transform of 1/(s^2 + sqrt(2) s + 1).
struct Butterworth {
    b: [f64; 3],
    a: [f64; 2],
    x: [f64; 2],
    y: [f64; 2],
}

impl Butterworth {
    fn new(tick_s: f64) -> Self {
        let k = (std::f64::consts::PI * CUT_OFF_HZ * tick_s).tan();
        let norm = 1.0 / (1.0 + std::f64::consts::SQRT_2 * k + k * k);
        let b0 = k * k * norm;
        Self {
            b: [b0, 2.0 * b0, b0],
            a: [2.0 * (k * k - 1.0) * norm, (1.0 - std::f64::consts::SQRT_2 * k + k * k) * norm],
            x: [0.0; 2],
            y: [0.0; 2],
        }
    }

    fn next(&mut self, x: f64) -> f64 {
        let y = self.b[0] * x + self.b[1] * self.x[0] + self.b[2] * self.x[1]
            - self.a[0] * self.y[0]
            - self.a[1] * self.y[1];
        self.x = [x, self.x[0]];
        self.y = [y, self.y[0]];
        y
    }
}

type Peak = (f64, Option<Moment>);

/// Greatest |acceleration| (mean over a tick, m/s2) and |jerk| (filtered, m/s3) of a leaf, each with its moment.
///
/// Where samples are further apart than a tick the door stood still: the filter is let run out first.
pub(crate) fn peaks(samples: &[Sample], leaf: usize, tick_s: f64) -> (Peak, Peak) {
    let (mut acceleration, mut jerk): (Peak, Peak) = ((0.0, None), (0.0, None));
    let mut filter = Butterworth::new(tick_s);
    let mut before = 0.0;
    for pair in samples.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        let at = Moment { t_s: b.t_s, clear_opening_m: b.clear_opening_m };
        let gap = b.t_s - a.t_s;
        let now = (b.leaf_speed_m_per_s[leaf] - a.leaf_speed_m_per_s[leaf]) / gap;
        if now.abs() > acceleration.0 {
            acceleration = (now.abs(), Some(at));
        }
        if gap > 1.5 * tick_s {
            filter = Butterworth::new(tick_s);
            before = 0.0;
            continue;
        }
        let smooth = filter.next(now);
        let rate = (smooth - before) / tick_s;
        before = smooth;
        if rate.abs() > jerk.0 {
            jerk = (rate.abs(), Some(at));
        }
    }
    (acceleration, jerk)
}
