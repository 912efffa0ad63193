//! Settings that were found.

use crate::remark::Remark;
use crate::remedy::Change;
use crate::spread::Probability;
use crate::trial::Trial;

/// Settings that were found.
#[derive(Clone, Debug)]
pub struct Tuned {
    /// What to set.
    pub changes: Vec<Change>,
    /// The door as it is.
    pub before: Trial,
    /// The door with the changes.
    pub after: Trial,
    /// Whether it keeps every limit, as surely as was wanted.
    pub keeps: bool,
    /// Settings that were taken as far as they are looked for: they hold it back too.
    pub at_an_end: Vec<&'static str>,
    /// The limits that hold it back, by their place in the list; one more than there are: a slack strand.
    pub binding: Vec<usize>,
    /// The limits that are kept with less left than the reserve, by their place in the list; one more than there are: the
    /// slackest strand. No settings were found that leave more of one and not less of another.
    pub lacking: Vec<usize>,
    /// How likely each limit is kept, by doors that the tuning did not see, of none where no door judged it or it fails no
    /// door; empty: that was not asked for.
    pub kept: Vec<Probability>,
    /// How likely all of them are, and no strand goes slack.
    pub all: Option<Probability>,
    /// What more margin of energy and force costs the fastest cycle in time.
    pub trade_off: Vec<TradeOff>,
    /// What a run with the changes shows beside its figures.
    pub remarks: Vec<Remark>,
    /// Cycles that were run.
    pub cycles: u64,
}

/// The shortest cycle with more margin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TradeOff {
    /// Margin of every limit on energy and force beyond what is needed, fraction of what is allowed.
    pub margin: f64,
    /// Opening and closing time together, s; `None`: no setting gives that margin.
    pub time_s: Option<f64>,
}
