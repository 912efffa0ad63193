//! A door that is being run: plant and controller, one tick after the other.

use crate::contact::{Contact, ContactState};
use crate::controller::{Controller, Settings, Target};
use crate::crossing::share_below_zero;
use crate::decay::Decay;
use crate::door::Door;
use crate::energy::{EnergyBalance, POWERS, power};
use crate::hanging::Loads;
use crate::moment::Moment;
use crate::parameters::Hanger;
use crate::plant::{Continuous, Plant, Rates, Winding};
use crate::run::{Event, EventKind, MAX_LEAVES, MAX_SPANS, Sample, State};
use crate::step::{self, Met, Work};
use crate::substeps::UNDAMPED_FINER;
use crate::supply::{Bus, Extreme, Source};
use crate::tester_force::{IMPACT_S, TickForce};

/// Events after which what rattles on is no longer told one by one.
pub(crate) const MOST_EVENTS: usize = 400;

/// R h/L below which a step is short beside the winding's decay.
const SHORT_OF_DECAY: f64 = 0.4;

/// What does not change during a run.
#[derive(Clone)]
pub(crate) struct Setup<const B: usize, const S: usize, const R: usize> {
    pub plant: Plant<B, S, R>,
    pub settings: Settings,
    pub source: Source,
    pub tick_s: f64,
    pub substeps: u32,
    pub tester_n_per_m: f64,
    pub blind_s: f64,
    pub hold_open_s: f64,
    greatest_current_a: f64,
    /// Angle of the rotor for each metre of belt, N/r, rad/m.
    rotor_rad_per_m: f64,
    leaf_masses: Vec<(usize, f64)>,
}

impl<const B: usize, const S: usize, const R: usize> Setup<B, S, R> {
    pub fn new(door: &Door, refine: u32) -> Self {
        let plant = Plant::new(door);
        let substeps = plant.substeps.saturating_mul(refine.clamp(1, 1000));
        let p = door.parameters();
        Self {
            settings: Settings::new(door),
            source: Source::new(&p.supply),
            tick_s: p.controller.tick_s,
            tester_n_per_m: p.tester.stiffness_n_per_m,
            blind_s: p.obstruction.blind_s,
            hold_open_s: p.controller.hold_open_s,
            greatest_current_a: p.opening.current_limit_a.max(p.closing.current_limit_a),
            rotor_rad_per_m: p.gear.ratio / door.ring().radius_m,
            leaf_masses: door.ring().leaves.iter().map(|leaf| (leaf.body, leaf.mass_kg)).collect(),
            substeps,
            plant,
        }
    }

    /// The same door with a controller that does not react to obstructions.
    pub fn without_reaction(&self) -> Self {
        let mut setup = self.clone();
        setup.settings.reacts = false;
        setup
    }
}

/// A run in progress. Cheap to copy, so that a force test can leave it at any tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sim<const B: usize> {
    /// Ticks since the first command.
    pub tick: u64,
    pub state: Continuous<B>,
    pub controller: Controller,
    pub winding: Winding,
    pub bus: Bus,
    /// What the last step made of the winding current.
    decay: Decay,
    pub contact: Contact,
    /// Integrals of the powers.
    pub work: Work,
    /// Time during which some span was slack, s.
    pub slack_s: f64,
    /// Time during which some wheel was off the rail, s.
    pub lift_s: f64,
    /// What the hangers of each leaf carry, N.
    loads: [Loads; B],
    any_lifted: bool,
    lifted_since: [[Option<f64>; 2]; MAX_LEAVES],
    /// When the obstacle was first touched, s.
    pub touched_at: Option<f64>,
    touching: bool,
    /// Force on the obstacle at the end of the last step, N.
    push_n: f64,
    slack_since: [Option<f64>; MAX_SPANS],
    /// How far each span was from slack at the last step.
    tautness: [f64; MAX_SPANS],
    in_stop: [bool; MAX_LEAVES],
    /// Greatest speed at which rotor and pulley met after crossing their play, m/s.
    pub knock_m_per_s: f64,
    /// Greatest speed of the rotor, either way, rad/s.
    pub top_motor_speed: Extreme,
    /// Energy stored at the start, J: kinetic, strain, magnetic, contact springs.
    at_start: [f64; 4],
}

/// Notes what may happen over and over.
fn note(log: &mut Vec<Event>, at: Moment, kind: EventKind) {
    if log.len() < MOST_EVENTS {
        log.push(Event { at, kind });
    }
}

impl<const B: usize> Sim<B> {
    /// A door whose leaves stand or move together, belt unstrained beyond its installed tension.
    pub fn at<const S: usize, const R: usize>(
        setup: &Setup<B, S, R>,
        opening_m: f64,
        speed_m_per_s: f64,
        state: State,
    ) -> Self {
        let mut continuous =
            Continuous { q: [opening_m; B], v: [speed_m_per_s; B], i: 0.0, contact: ContactState::default() };
        for body in R..R + (S - R) / 2 {
            (continuous.q[body], continuous.v[body]) = (opening_m / 2.0, speed_m_per_s / 2.0);
        }
        let mut sim = Self {
            tick: 0,
            state: continuous,
            controller: Controller::standing(&setup.settings, opening_m, state),
            winding: Winding::Volts(0.0),
            bus: Bus::standing(&setup.source),
            decay: setup.plant.decay_over(setup.tick_s),
            contact: Contact::NONE,
            work: [0.0; POWERS],
            slack_s: 0.0,
            lift_s: 0.0,
            loads: [[0.0; 2]; B],
            any_lifted: false,
            lifted_since: [[None; 2]; MAX_LEAVES],
            touched_at: None,
            touching: false,
            push_n: 0.0,
            slack_since: [None; MAX_SPANS],
            tautness: [f64::INFINITY; MAX_SPANS],
            in_stop: [false; MAX_LEAVES],
            knock_m_per_s: 0.0,
            top_motor_speed: Extreme::from(0.0),
            at_start: [0.0; 4],
        };
        sim.at_start = sim.stored(setup);
        for span in 0..S {
            sim.tautness[span] = setup.plant.tautness(span, &sim.state);
        }
        sim.loads = sim.rates_at_rest(setup, 0.0).loads;
        sim
    }

    /// Time since the first command, s.
    pub fn time<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> f64 {
        self.tick as f64 * setup.tick_s
    }

    /// When and where.
    pub fn moment<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> Moment {
        Moment { t_s: self.time(setup), clear_opening_m: setup.plant.clear_opening(&self.state).0 }
    }

    /// Tells the controller where to go.
    pub fn command<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        target: Target,
        log: &mut Vec<Event>,
    ) {
        let (state, kind) = match target {
            Target::Open => (State::Opening, EventKind::CommandOpen),
            Target::Closed => (State::Closing, EventKind::CommandClose),
        };
        log.push(Event { at: self.moment(setup), kind });
        self.controller.command(self.time(setup), target, state);
    }

    /// Tells the controller to find the ends of the travel.
    pub fn learn<const S: usize, const R: usize>(&mut self, setup: &Setup<B, S, R>) {
        self.controller.command(self.time(setup), Target::Closed, State::Learning);
    }

    /// Puts something in the way, or takes it away.
    pub fn put<const S: usize, const R: usize>(&mut self, setup: &Setup<B, S, R>, contact: Contact) {
        self.at_start[3] -= self.contact_energy(setup, &self.contact);
        self.state.contact = ContactState::default();
        self.touching = false;
        self.push_n = 0.0;
        self.at_start[3] += self.contact_energy(setup, &contact);
        self.contact = contact;
    }

    fn contact_energy<const S: usize, const R: usize>(
        &self,
        setup: &Setup<B, S, R>,
        contact: &Contact,
    ) -> f64 {
        let plant = &setup.plant;
        let (space, _) = plant.space(contact, &self.state);
        contact.energy(space, &self.state.contact, plant.edge(contact))
    }

    /// Energy stored now, J: kinetic, strain, magnetic, contact springs.
    fn stored<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> [f64; 4] {
        let plant = &setup.plant;
        [
            plant.kinetic_energy(&self.state),
            plant.strain_energy(&self.state) + plant.mesh_energy(&self.state),
            plant.magnetic_energy(&self.state),
            plant.stopper_energy(&self.state) + self.contact_energy(setup, &self.contact),
        ]
    }

    /// One tick: the controller reads and acts, the plant moves on.
    pub fn advance<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        log: &mut Vec<Event>,
    ) -> TickForce {
        let plant = &setup.plant;
        let t = self.time(setup);
        let at = self.moment(setup);
        let motor = self.state.q[Plant::<B, S, R>::MOTOR];
        self.winding = self.controller.tick(&setup.settings, t, motor, self.bus.volts, |kind| {
            log.push(Event { at, kind });
        });
        let drawn_before = self.work[power::BUS];
        let lost = if self.winding == Winding::Open { plant.magnetic_energy(&self.state) } else { 0.0 };
        self.work[power::COPPER] += lost; // an opened winding burns what its inductance held
        plant.settle_current(&mut self.state, self.winding);

        let undamped = if self.winding == Winding::Open { UNDAMPED_FINER } else { 1 };
        let substeps =
            setup.substeps * self.contact_factor(setup).max(self.current_factor(setup)).max(undamped);
        let h = setup.tick_s / f64::from(substeps);
        if h != self.decay.h {
            self.decay = plant.decay_over(h);
        }
        let mut force = TickForce::default();
        let impulse_before = self.work[power::CONTACT_FORCE];
        for n in 0..substeps {
            let now = t + f64::from(n) * h;
            let advanced = step::advance(
                plant,
                now,
                &self.decay,
                &mut self.state,
                self.winding,
                &self.contact,
                &mut self.work,
            );
            let loads_before = std::mem::replace(&mut self.loads, advanced.loads);
            self.watch_slack(setup, now + h, h, log);
            if let Some(speed_m_per_s) = advanced.knock_m_per_s {
                self.knock_m_per_s = self.knock_m_per_s.max(speed_m_per_s);
                let clear_opening_m = setup.plant.clear_opening(&self.state).0;
                let at = Moment { t_s: now + h, clear_opening_m };
                note(log, at, EventKind::GearKnocks { speed_m_per_s });
            }
            self.watch_wheels(setup, &loads_before, now + h, h, log);
            self.note_stops(setup, now, &advanced.stopped, log);
            if self.contact.gap > 0.0 {
                self.watch_contact(setup, now, h, advanced.touched, &mut force, log);
            }
        }
        for (leaf, body) in plant.leading_bodies().enumerate() {
            self.in_stop[leaf] = plant.stopper_depth(self.state.q[body]) > 0.0;
        }
        self.tick += 1;
        self.settle_bus(setup, drawn_before, setup.tick_s);
        let rotor = setup.rotor_rad_per_m * self.state.v[Plant::<B, S, R>::MOTOR].abs();
        self.top_motor_speed.see(rotor, self.moment(setup));
        force.mean = (self.work[power::CONTACT_FORCE] - impulse_before) / setup.tick_s;
        force
    }

    /// The bus follows what the winding took.
    fn settle_bus<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        drawn_before_j: f64,
        for_s: f64,
    ) {
        let at = self.moment(setup);
        self.bus.settle(&setup.source, self.work[power::BUS] - drawn_before_j, for_s, at);
    }

    /// A current that has far to go pulls the drive along while it decays with R/L: shorter steps where one is long for that.
    fn current_factor<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> u32 {
        let decays = setup.plant.electric_rate * setup.tick_s / f64::from(setup.substeps);
        let to_go = (setup.plant.static_current(self.winding, self.state.v[Plant::<B, S, R>::MOTOR])
            - self.state.i)
            .abs();
        match to_go / setup.greatest_current_a {
            _ if decays < SHORT_OF_DECAY => 1,
            ..0.1 => 1,
            ..0.4 => 2,
            _ => 4,
        }
    }

    /// In contact the edge's damper may ask for shorter steps.
    fn contact_factor<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> u32 {
        let plant = &setup.plant;
        let (space, rate) = plant.space(&self.contact, &self.state);
        // a compressed edge relaxes at its own fast rate also once it is clear
        let clear = space > self.contact.gap + 2.0 * rate.abs() * setup.tick_s + 1e-3;
        if !self.contact.is_there() || (clear && self.state.contact.z.abs() < 1e-12) {
            return 1;
        }
        let edge = plant.edge(&self.contact);
        let settle = edge.rate(self.contact.stiffness).unwrap_or(0.0);
        let swing = (self.contact.stiffness * edge.count
            / plant.masses[..R].iter().fold(f64::INFINITY, |a, &m| a.min(m)))
        .sqrt();
        let swing = if self.contact.mass.is_finite() {
            swing.max((self.contact.stiffness / self.contact.mass).sqrt())
        } else {
            swing
        };
        let wanted = (settle / 1.2).max(swing / 1.2) * setup.tick_s / f64::from(setup.substeps);
        (wanted.ceil() as u32).clamp(1, 64)
    }

    fn watch_slack<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        now: f64,
        h: f64,
        log: &mut Vec<Event>,
    ) {
        let mut slack_for: f64 = 0.0;
        for span in 0..S {
            let (before, tautness) = (self.tautness[span], setup.plant.tautness(span, &self.state));
            self.tautness[span] = tautness;
            if before > 0.0 && tautness > 0.0 {
                continue;
            }
            let share = share_below_zero(before, tautness);
            slack_for = slack_for.max(share * h);
            let slack = tautness <= 0.0;
            let crossed = if slack { now - share * h } else { now - h + share * h };
            let at = || {
                let (opening_m, rate) = setup.plant.clear_opening(&self.state);
                Moment { t_s: crossed, clear_opening_m: opening_m - rate * (now - crossed) }
            };
            match (slack, self.slack_since[span]) {
                (true, None) => {
                    self.slack_since[span] = Some(crossed);
                    note(log, at(), EventKind::SlackBegins { span });
                }
                (false, Some(since)) => {
                    self.slack_since[span] = None;
                    note(log, at(), EventKind::SlackEnds { span, lasted_s: crossed - since });
                }
                _ => {}
            }
        }
        self.slack_s += slack_for;
    }

    fn watch_wheels<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        before: &[Loads; B],
        now: f64,
        h: f64,
        log: &mut Vec<Event>,
    ) {
        if !self.any_lifted && self.loads.iter().flatten().all(|&load| load >= 0.0) {
            return;
        }
        let (mut any, mut lifted_for): (bool, f64) = (false, 0.0);
        for (leaf, &(body, _)) in setup.leaf_masses.iter().enumerate() {
            for (wheel, hanger) in [Hanger::Leading, Hanger::Trailing].into_iter().enumerate() {
                let load = self.loads[body][wheel];
                let share = share_below_zero(before[body][wheel], load);
                lifted_for = lifted_for.max(share * h);
                let lifted = load < 0.0;
                any |= lifted;
                let crossed = if lifted { now - share * h } else { now - h + share * h };
                let leaf_number = leaf + 1;
                let kind = match (lifted, self.lifted_since[leaf][wheel]) {
                    (true, None) => {
                        self.lifted_since[leaf][wheel] = Some(crossed);
                        EventKind::WheelLifts { leaf: leaf_number, hanger }
                    }
                    (false, Some(since)) => {
                        self.lifted_since[leaf][wheel] = None;
                        EventKind::WheelSits { leaf: leaf_number, hanger, lasted_s: crossed - since }
                    }
                    _ => continue,
                };
                note(
                    log,
                    Moment { t_s: crossed, clear_opening_m: setup.plant.clear_opening(&self.state).0 },
                    kind,
                );
            }
        }
        self.any_lifted = any;
        self.lift_s += lifted_for;
    }

    /// The edge and the obstacle over the sub-step of `h` seconds from `from_s`.
    fn watch_contact<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        from_s: f64,
        h: f64,
        met: Option<Met>,
        force: &mut TickForce,
        log: &mut Vec<Event>,
    ) {
        let now = from_s + h;
        let clear_opening_m = setup.plant.clear_opening(&self.state).0;
        let (_, rate) = setup.plant.space(&self.contact, &self.state);
        let push = self.contact_force(setup);
        if push > 0.0 && !self.touching {
            // without a way to the contact it was there from the start
            let met = met.unwrap_or(Met { after_s: 0.0, speed_m_per_s: rate, clear_opening_m });
            let at = Moment { t_s: from_s + met.after_s, clear_opening_m: met.clear_opening_m };
            self.touched_at.get_or_insert(at.t_s);
            note(log, at, EventKind::Touched { closing_speed_m_per_s: -met.speed_m_per_s });
        } else if push == 0.0 && self.touching {
            note(log, Moment { t_s: now, clear_opening_m }, EventKind::Cleared);
        }
        self.touching = push > 0.0;
        let before = std::mem::replace(&mut self.push_n, push);
        force.see(before, push, now, h, self.touched_at);
        if push > 0.0 && self.touched_at.is_some_and(|touched| now - touched <= IMPACT_S) {
            force.pressed_m = force.pressed_m.max(self.pressed_m(setup));
        }
    }

    /// How far the touching edges are pressed together in all, m.
    fn pressed_m<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> f64 {
        let (space, _) = setup.plant.space(&self.contact, &self.state);
        self.contact.compression(space, &self.state.contact, setup.plant.edge(&self.contact))
    }

    /// Force between edge and obstacle now, N.
    pub fn contact_force<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> f64 {
        let (space, _) = setup.plant.space(&self.contact, &self.state);
        self.contact.rates(space, &self.state.contact, setup.plant.edge(&self.contact)).force_n
    }

    /// Notes each stop that a leaf outside it met in the sub-step from `from_s`; a leaf that rattles on it once a tick.
    fn note_stops<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        from_s: f64,
        stopped: &[Option<Met>; B],
        log: &mut Vec<Event>,
    ) {
        for (leaf, body) in setup.plant.leading_bodies().enumerate() {
            if let Some(met) = stopped[body].filter(|_| !self.in_stop[leaf]) {
                self.in_stop[leaf] = true;
                let at = Moment { t_s: from_s + met.after_s, clear_opening_m: met.clear_opening_m };
                note(log, at, EventKind::StopHit { leaf: leaf + 1, speed_m_per_s: met.speed_m_per_s });
            }
        }
    }

    /// Whether the edge pushes on the obstacle.
    pub fn is_touching(&self) -> bool {
        self.touching
    }

    /// Whether nothing will move until the controller or a listed force changes.
    pub fn is_parked<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> bool {
        self.controller.is_still()
            && self.rests(setup)
            && (setup.source.is_stiff() || self.bus.is_settled(&setup.source, self.standing_power(setup)))
    }

    /// Whether every body is held by friction and the current has settled.
    pub fn rests<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> bool {
        self.state.v.iter().all(|&v| v == 0.0)
            && (self.state.i - setup.plant.standing_current(self.winding)).abs() < 1e-6
            && step::at_rest(&setup.plant, self.time(setup), &self.state, self.winding, &self.contact)
    }

    /// Power that the standing door draws at the bus, W.
    pub fn standing_power<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> f64 {
        match self.winding {
            Winding::Volts(volts) => volts * setup.plant.standing_current(self.winding),
            Winding::Open => 0.0,
        }
    }

    /// Lets a parked door stand for a whole number of ticks.
    pub fn stand<const S: usize, const R: usize>(&mut self, setup: &Setup<B, S, R>, ticks: u64) {
        let for_s = ticks as f64 * setup.tick_s;
        let drawn_before = self.work[power::BUS];
        self.loads = self.rates_at_rest(setup, for_s).loads;
        if (0..S).any(|s| setup.plant.span(s, &self.state).tension == 0.0) {
            self.slack_s += for_s;
        }
        self.tick += ticks;
        self.settle_bus(setup, drawn_before, for_s);
    }

    /// Rates with every body held; books what the door draws for so many seconds.
    fn rates_at_rest<const S: usize, const R: usize>(
        &mut self,
        setup: &Setup<B, S, R>,
        for_s: f64,
    ) -> Rates<B> {
        let (now, work) = (self.time(setup), &mut self.work);
        setup.plant.rates::<true>(now, &self.state, &[0.0; B], self.winding, &self.contact, for_s, work)
    }

    /// The door at this instant; `greatest_force_n` is the greatest at the closing edge within the tick that ends here.
    pub fn sample<const S: usize, const R: usize>(
        &self,
        setup: &Setup<B, S, R>,
        greatest_force_n: f64,
    ) -> Sample {
        let (q, v) = (&self.state.q, &self.state.v);
        let mut sample = Sample {
            t_s: self.time(setup),
            clear_opening_m: 0.0,
            leaf_position_m: [0.0; MAX_LEAVES],
            leaf_speed_m_per_s: [0.0; MAX_LEAVES],
            wanted_speed_m_per_s: self.controller.v_ref,
            energy_leaf_j: 0.0,
            energy_leaves_j: 0.0,
            energy_coupled_j: setup.plant.kinetic_energy(&self.state),
            tension_n: [0.0; MAX_SPANS],
            drive_position_m: q[0],
            drive_speed_m_per_s: v[0],
            current_a: self.state.i,
            voltage_v: if let Winding::Volts(volts) = self.winding { volts } else { 0.0 },
            contact_force_n: greatest_force_n,
            hanger_load_n: [[0.0; 2]; MAX_LEAVES],
            state: self.controller.state,
        };
        for (j, &(body, mass)) in setup.leaf_masses.iter().enumerate() {
            let energy = 0.5 * mass * v[body] * v[body];
            sample.clear_opening_m += if body < R { q[body] } else { 0.0 };
            sample.leaf_position_m[j] = q[body];
            sample.leaf_speed_m_per_s[j] = v[body];
            sample.hanger_load_n[j] = self.loads[body];
            sample.energy_leaves_j += energy;
            sample.energy_leaf_j = sample.energy_leaf_j.max(energy);
        }
        for s in 0..S {
            sample.tension_n[s] = setup.plant.span(s, &self.state).tension;
        }
        sample
    }

    /// Where the energy went so far.
    pub fn energy<const S: usize, const R: usize>(&self, setup: &Setup<B, S, R>) -> EnergyBalance {
        let now = self.stored(setup);
        let gained = |n: usize| now[n] - self.at_start[n];
        let integrated = EnergyBalance::integrated(&self.work);
        EnergyBalance {
            supply_j: if setup.source.is_stiff() { integrated.bus_j } else { self.bus.supply_j },
            supply_loss_j: self.bus.loss_j,
            braking_burnt_j: self.bus.burnt_j,
            bus_capacitor_j: self.bus.held_j,
            kinetic_j: gained(0),
            strain_j: gained(1),
            magnetic_j: gained(2),
            contact_springs_j: gained(3),
            ..integrated
        }
    }
}
