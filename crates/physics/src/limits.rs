//! Limits that the user sets, and what becomes of one.

mod tested;

use serde::Serialize;

use crate::figures::Figure;
use crate::moment::Moment;
use crate::run::GapRange;

/// 1.69 J: energy of a low-energy leaf (EN 16005:2012, 4.6.4).
pub const LOW_ENERGY_J: f64 = 1.69;
/// Exact factors: foot, pound, foot-pound force.
pub const FOOT_M: f64 = 0.3048;
/// kg in a pound (exact).
pub const POUND_KG: f64 = 0.453_592_37;

/// What a limit asks of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Rule {
    /// At most this, SI.
    AtMost(f64),
    /// At least this, SI.
    AtLeast(f64),
    /// At most the value of the band in which the gap of the force test lies.
    AtMostByGap(Vec<Band>),
    /// ANSI/BHMA A156.10: 1 ft/s up to 160 lb, above that sqrt(160 / W) ft/s, W in pounds.
    ClosingSpeedByWeight,
    /// EN 16005:2012 Annex F: at least ceil(10 D sqrt(m / 3.38)) / 10 seconds over D = 0.9 travel.
    LowEnergyLeastTime,
    /// IEC 60034-1: at most the rise of the insulation class.
    WindingRiseByClass,
    /// IEC 60085: at most the temperature of the insulation class.
    WindingTemperatureByClass,
    /// At most the tension at which the cords are strained by 0.4 %, about what makers' tables allow.
    AllowableTension,
    /// Cannot be computed: says what has to be looked at on site.
    OnSite(String),
}

/// A range of gaps, upper bound included, and the force allowed there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Band {
    /// Gaps above this, m (0 includes contact at closed).
    pub above_m: f64,
    /// Up to and including this, m.
    pub to_m: f64,
    /// Allowed there, SI.
    pub at_most: f64,
}

impl Band {
    /// Whether a gap lies in it, m; a rounding beyond its ends counts.
    pub fn holds(&self, gap_m: f64) -> bool {
        GapRange { above_m: self.above_m, to_m: self.to_m }.holds(gap_m)
    }
}

/// How well the number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Set by the user.
    User,
    /// A rating of drive or belt, as the door file or a catalogue states it.
    Rating,
    /// The text of the source was read.
    Read,
    /// A public secondary reproduction was read.
    Reproduced,
    /// Seen only in trade documents that quote the standard.
    Quoted,
    /// From memory, high, medium or low confidence.
    MemoryHigh,
    /// From memory, medium confidence.
    MemoryMedium,
    /// From memory, low confidence.
    MemoryLow,
    /// What a sound door keeps whatever its limits are: judgement of this program.
    SoundDoor,
}

/// Whether going over counts as a failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Judge {
    /// Over it fails the door.
    Limit,
    /// Over it is worth knowing.
    Advisory,
}

/// One limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Key in files: `kinetic_energy_max`.
    pub key: String,
    /// The preset that it came from, or `None` where the user set it.
    pub preset: Option<String>,
    /// The figure that it judges; `None` for what is only seen on site.
    pub figure: Option<Figure>,
    /// What it asks.
    pub rule: Rule,
    /// Unit in which it was written, for showing it as it was written.
    pub unit: String,
    /// Source, clause and edition.
    pub source: String,
    /// How well it is known.
    pub known: Known,
    /// Whether it fails the door.
    pub judge: Judge,
}

impl Limit {
    /// What a figure of the force test may be, and at which gaps; the first band that a gap lies in counts. Empty: it judges no such
    /// figure.
    pub fn bands(&self) -> Vec<Band> {
        match (&self.rule, self.figure) {
            (Rule::AtMostByGap(bands), _) => bands.clone(),
            (Rule::AtMost(at_most), Some(figure)) if figure.is_of_force_test() => {
                let GapRange { above_m, to_m } = figure.gaps();
                vec![Band { above_m, to_m, at_most: *at_most }]
            }
            _ => Vec::new(),
        }
    }

    /// The gaps that each band rules: ranges that do not overlap, each under one band, the narrowest gaps first.
    pub fn ruled_ranges(&self) -> Vec<GapRange> {
        let bands = self.bands();
        let mut cuts: Vec<f64> = bands.iter().flat_map(|band| [band.above_m, band.to_m]).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        let mut ruled: Vec<(usize, GapRange)> = Vec::new();
        for pair in cuts.windows(2) {
            let (above_m, to_m) = (pair[0], pair[1]);
            let rules = |band: &Band| band.above_m <= above_m && band.to_m >= to_m;
            let Some(index) = bands.iter().position(rules) else { continue };
            match ruled.last_mut() {
                Some((last, range)) if *last == index && range.to_m == above_m => range.to_m = to_m,
                _ => ruled.push((index, GapRange { above_m, to_m })),
            }
        }
        ruled.into_iter().map(|(_, range)| range).collect()
    }

    /// A limit of the user: at most this, SI.
    pub fn at_most(key: &str, figure: Figure, value: f64) -> Self {
        Self::of_user(key, figure, Rule::AtMost(value))
    }

    /// A limit of the user: at least this, SI.
    pub fn at_least(key: &str, figure: Figure, value: f64) -> Self {
        Self::of_user(key, figure, Rule::AtLeast(value))
    }

    /// A limit of the user, which fails the door.
    pub fn of_user(key: &str, figure: Figure, rule: Rule) -> Self {
        Self {
            key: key.to_owned(),
            preset: None,
            figure: Some(figure),
            rule,
            unit: String::new(),
            source: "set by the user".to_owned(),
            known: Known::User,
            judge: Judge::Limit,
        }
    }

    /// Whether it is what a sound door keeps, and nobody set it.
    pub fn is_of_sound_door(&self) -> bool {
        self.known == Known::SoundDoor
    }

    /// Whether it is a rating of drive or belt.
    pub fn is_rating(&self) -> bool {
        self.known == Known::Rating
    }

    /// Whether exceeding it fails the door.
    pub fn may_fail(&self) -> bool {
        self.judge == Judge::Limit
    }
}

/// How a figure stands to its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Within, with more than the wanted margin.
    Within,
    /// Within, with less than the wanted margin.
    Close,
    /// Over.
    Over,
    /// Not judged: see `why`.
    NotJudged,
}

/// What became of one limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The limit.
    pub limit: Limit,
    /// How the figure stands to it.
    pub outcome: Outcome,
    /// The figure's value, SI.
    pub value: Option<f64>,
    /// What is allowed, SI.
    pub allowed: Option<f64>,
    /// Fraction of the allowed value that is left; negative: over by that much.
    pub margin: Option<f64>,
    /// When it was worst.
    pub at: Option<Moment>,
    /// The gap of the force test at which it was worst, m.
    pub gap_m: Option<f64>,
    /// Why it was not judged, or what is particular about it.
    pub why: Option<String>,
}

impl Verdict {
    /// The margin, unless it is a fraction of nothing at all.
    pub fn share_left(&self) -> Option<f64> {
        self.margin.filter(|margin| margin.is_finite() && self.allowed != Some(0.0))
    }
}

/// Margins closer than this are equal.
const ROUNDING: f64 = 1e-9;

/// Sorts a value into within, close or over.
///
/// Equal to the limit is within it; times are whole ticks, so a rounding error decides nothing.
pub(crate) fn outcome(margin: f64, close: f64) -> Outcome {
    if margin < -ROUNDING {
        Outcome::Over
    } else if margin < close - ROUNDING {
        Outcome::Close
    } else {
        Outcome::Within
    }
}

/// ANSI/BHMA A156.10 (1999 10.10, 2005 10.1.1): 1 ft/s up to 160 lb, above that sqrt(160 / W) ft/s. In m/s.
///
/// A constant energy of 2.486 ft lbf = 3.371 J above 160 lb.
pub fn closing_speed_by_weight_m_per_s(mass_kg: f64) -> f64 {
    let pounds = mass_kg / POUND_KG;
    FOOT_M * (160.0 / pounds).sqrt().min(1.0)
}

/// EN 16005:2012 Annex F: least time over the distance D, t = D sqrt(m / (2 x 1.69 J)) rounded up to 0.1 s.
pub fn low_energy_least_time_s(mass_kg: f64, distance_m: f64) -> f64 {
    let exact = distance_m * (mass_kg / (2.0 * LOW_ENERGY_J)).sqrt();
    (10.0 * exact - 1e-9).ceil() / 10.0
}
