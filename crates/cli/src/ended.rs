//! How a command ended, as an exit code.

use std::process::ExitCode;

use crate::stop;

/// How a command that could run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ended {
    /// Done; what was judged is within its limits.
    Well,
    /// A limit is over, or the door did not open and close.
    OverALimit,
    /// Stopped by the user; what was done until then is kept.
    Stopped,
    /// Some input could not be used; what is wrong has been said.
    CouldNotRun,
}

impl From<Ended> for ExitCode {
    fn from(ended: Ended) -> Self {
        Self::from(match ended {
            Ended::Well => 0,
            Ended::OverALimit => 1,
            Ended::CouldNotRun => 2,
            Ended::Stopped => stop::STOPPED,
        })
    }
}
