//! Which settings act on a figure, and which way each has to go when its limit is exceeded.

/// Which way a setting has to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// To smaller values.
    Down,
    /// To larger values.
    Up,
}

/// What can be turned to bring a figure back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// One setting.
    One(&'static str, Turn),
    /// Settings of which none may be above a common value: both speeds, where a limit holds both ways.
    Cap(&'static [&'static str]),
}

/// Settings that act on a figure, the usual one first. Where a limit holds both ways, turning both comes after turning one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Levers {
    /// Where the figure was worst on the way open.
    pub opening: &'static [Setting],
    /// Where it was worst on the way closed.
    pub closing: &'static [Setting],
}

impl Levers {
    /// Nothing on site changes it.
    pub const NONE: Self = Self::same(&[]);

    /// The same settings either way.
    pub const fn same(settings: &'static [Setting]) -> Self {
        Self { opening: settings, closing: settings }
    }

    /// The settings by where the figure was worst.
    pub fn where_worst(&self, opening: bool) -> &'static [Setting] {
        if opening { self.opening } else { self.closing }
    }
}

const SPEEDS: &[&str] = &["opening.speed", "closing.speed"];
const RAMPS: &[&str] =
    &["opening.acceleration", "opening.braking", "closing.acceleration", "closing.braking"];
const CURRENTS: &[&str] = &["opening.current_limit", "closing.current_limit"];

use Setting::Cap;

const fn down(key: &'static str) -> Setting {
    Setting::One(key, Turn::Down)
}

const fn up(key: &'static str) -> Setting {
    Setting::One(key, Turn::Up)
}

pub(crate) const NONE: Levers = Levers::NONE;
pub(crate) const OPENS_FASTER: Levers = Levers::same(&[
    up("opening.speed"),
    up("opening.acceleration"),
    up("opening.current_limit"),
    up("opening.braking"),
    down("opening.creep_distance"),
    up("opening.creep_speed"),
]);
pub(crate) const CLOSES_FASTER: Levers = Levers::same(&[
    up("closing.speed"),
    up("closing.acceleration"),
    up("closing.current_limit"),
    down("closing.creep_distance"),
    up("closing.creep_speed"),
]);
pub(crate) const OPENS_SLOWER: Levers = Levers::same(&[down("opening.speed")]);
pub(crate) const CLOSES_SLOWER: Levers = Levers::same(&[down("closing.speed")]);
pub(crate) const HOLDS_LONGER: Levers = Levers::same(&[up("controller.hold_open")]);
pub(crate) const CREEPS_LONGER: Levers =
    Levers::same(&[up("closing.creep_distance"), down("closing.braking")]);
pub(crate) const SLOWER: Levers =
    Levers { opening: &[down("opening.speed"), Cap(SPEEDS)], closing: &[down("closing.speed"), Cap(SPEEDS)] };
pub(crate) const PUSHES_LESS: Levers = Levers::same(&[down("closing.current_limit")]);
pub(crate) const HITS_SOFTER: Levers = Levers::same(&[
    down("closing.speed"),
    down("edge.stiffness"),
    down("closing.current_limit"),
    up("closing.creep_distance"),
]);
pub(crate) const OPENS_WEAKER: Levers =
    Levers::same(&[down("opening.current_limit"), down("obstruction.detect"), down("opening.speed")]);
pub(crate) const OPENS_INTO_IT_SOFTER: Levers = Levers::same(&[
    down("opening.speed"),
    up("opening.creep_distance"),
    down("opening.current_limit"),
    down("rear.stiffness"),
]);
pub(crate) const REACTS: Levers = Levers::same(&[down("closing.current_limit"), down("obstruction.detect")]);
pub(crate) const REACTS_SOONER: Levers =
    Levers::same(&[down("obstruction.detect"), down("closing.current_limit"), down("closing.speed")]);
pub(crate) const TAUT: Levers = Levers {
    opening: &[
        up("belt.tension"),
        up("telescope.tension"),
        down("opening.braking"),
        down("opening.acceleration"),
    ],
    closing: &[
        up("belt.tension"),
        up("telescope.tension"),
        down("closing.braking"),
        down("closing.acceleration"),
    ],
};
pub(crate) const LOOSER: Levers = Levers::same(&[down("belt.tension"), down("telescope.tension")]);
pub(crate) const SMOOTHER: Levers = Levers {
    opening: &[down("opening.acceleration"), down("opening.braking"), Cap(RAMPS)],
    closing: &[down("closing.acceleration"), down("closing.braking"), Cap(RAMPS)],
};
pub(crate) const KNOCKS_LESS: Levers = Levers::same(&[down("gear.backlash"), down("closing.braking")]);
pub(crate) const STAYS_ON_THE_RAIL: Levers = Levers {
    opening: &[down("opening.acceleration"), down("opening.braking"), Cap(RAMPS), up("leaf.hanger_spacing")],
    closing: &[down("closing.acceleration"), down("closing.braking"), Cap(RAMPS), up("leaf.hanger_spacing")],
};
pub(crate) const STOPS_SOFTER: Levers = Levers::same(&[down("opening.braking"), down("opening.creep_speed")]);
pub(crate) const MEETS_STOPS_SOFTER: Levers = Levers {
    opening: &[down("opening.braking"), up("opening.creep_distance"), down("opening.speed")],
    closing: &[down("closing.braking"), up("closing.creep_distance"), down("closing.speed")],
};
pub(crate) const LESS_CURRENT: Levers = Levers {
    opening: &[down("opening.acceleration"), down("opening.current_limit"), Cap(CURRENTS)],
    closing: &[down("closing.acceleration"), down("closing.current_limit"), Cap(CURRENTS)],
};
pub(crate) const LESS_ENERGY: Levers =
    Levers::same(&[down("controller.press_current"), down("opening.acceleration"), down("opening.speed")]);
pub(crate) const SAGS_LESS: Levers = Levers::same(&[
    down("supply.resistance"),
    down("opening.acceleration"),
    down("opening.current_limit"),
    down("opening.speed"),
]);
pub(crate) const RISES_LESS: Levers =
    Levers::same(&[up("supply.capacitance"), down("opening.braking"), down("opening.speed")]);
pub(crate) const IN_TIME: Levers = Levers::same(&[
    up("timeline.activation_depth"),
    up("opening.speed"),
    up("opening.acceleration"),
    down("timeline.sensor_delay"),
]);
pub(crate) const STOPS_SHORTER: Levers =
    Levers::same(&[down("closing.speed"), down("timeline.sensor_delay"), up("closing.current_limit")]);
pub(crate) const OPENS_BY_ITSELF: Levers = Levers::same(&[down("gear.ratio"), down("belt.tension")]);
pub(crate) const COASTS_LESS: Levers = Levers::same(&[down("closing.speed"), down("opening.speed")]);
pub(crate) const COOLER: Levers = Levers::same(&[
    down("duty.cycles_per_hour"),
    down("controller.press_current"),
    down("opening.acceleration"),
    down("opening.speed"),
]);
pub(crate) const EASIER_BY_HAND: Levers = Levers::same(&[down("belt.tension"), down("seal.brush")]);
pub(crate) const EASIER_SHORTED: Levers = Levers::same(&[down("gear.ratio")]);
pub(crate) const LEVEL: Levers = Levers::same(&[down("rail.slope")]);
