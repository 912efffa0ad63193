//! Acceleration and jerk of a leaf. Jerk goes through a 10 Hz second-order Butterworth filter, forward only
//! (the band in which ISO 18738 weighs what people feel; it measures and does not judge).

use crate::moment::Moment;
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

/// What is felt on a leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Felt {
    /// Acceleration, opening positive, mean since the sample before, m/s2.
    pub acceleration_m_per_s2: f64,
    /// Jerk behind a 10 Hz second-order Butterworth filter, m/s3.
    pub jerk_m_per_s3: f64,
}

/// What is felt on a leaf (from 0) at each sample; nothing at the first.
///
/// Where samples are further apart than a tick the door stood still: the filter is let run out first.
pub fn felt(samples: &[Sample], leaf: usize, tick_s: f64) -> Vec<Felt> {
    let mut filter = Butterworth::new(tick_s);
    let mut before = 0.0;
    let mut all = Vec::with_capacity(samples.len());
    all.extend(samples.first().map(|_| Felt::default()));
    for pair in samples.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        let gap = b.t_s - a.t_s;
        let acceleration_m_per_s2 = (b.leaf_speed_m_per_s[leaf] - a.leaf_speed_m_per_s[leaf]) / gap;
        let jerk_m_per_s3 = if gap > 1.5 * tick_s {
            filter = Butterworth::new(tick_s);
            before = 0.0;
            0.0
        } else {
            let smooth = filter.next(acceleration_m_per_s2);
            let rate = (smooth - before) / tick_s;
            before = smooth;
            rate
        };
        all.push(Felt { acceleration_m_per_s2, jerk_m_per_s3 });
    }
    all
}

/// Greatest |acceleration|, m/s2, and |jerk|, m/s3, of a leaf, each with its moment.
pub(crate) fn peaks(samples: &[Sample], leaf: usize, tick_s: f64) -> (Peak, Peak) {
    let (mut acceleration, mut jerk): (Peak, Peak) = ((0.0, None), (0.0, None));
    for (sample, felt) in samples.iter().zip(felt(samples, leaf, tick_s)) {
        let at = Some(Moment { t_s: sample.t_s, clear_opening_m: sample.clear_opening_m });
        if felt.acceleration_m_per_s2.abs() > acceleration.0 {
            acceleration = (felt.acceleration_m_per_s2.abs(), at);
        }
        if felt.jerk_m_per_s3.abs() > jerk.0 {
            jerk = (felt.jerk_m_per_s3.abs(), at);
        }
    }
    (acceleration, jerk)
}
