//! The equations of motion between two ticks of the controller: state in, rates out.
//!
//! Friction is set-valued on each body's own speed: a body at rest stays exactly at rest while the force on it
//! is within its bound. The sign with which a sliding body is rubbed is fixed over a step; [`crate::step`]
//! finds the instants at which it changes.

mod edges;
mod stored;
mod winding;

use crate::belt::G;
use crate::contact::{Contact, ContactState, Place, Touch};
use crate::door::Door;
use crate::edge::Edge;
use crate::energy::{POWERS, power};
use crate::hanging::{Hanging, Loads, Pushed};
use crate::mesh::{Mesh, mesh};
use crate::motor::QUASI_STATIC_S;
use crate::parameters::LeafForce;
use crate::substeps::substeps_needed;

/// Shortest free span, m: a leaf that has broken through its stops does not turn the belt inside out.
const SHORTEST_SPAN_M: f64 = 1e-3;

/// Exponent beyond which breakaway has faded to nothing in double precision.
const FADED: f64 = 40.0;

/// What is continuous in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Continuous<const B: usize> {
    /// Belt displacement at each body, m.
    pub q: [f64; B],
    /// Its speed, m/s.
    pub v: [f64; B],
    /// Winding current, A.
    pub i: f64,
    /// Edge and obstacle.
    pub contact: ContactState,
}

/// How each body is rubbed: -1 or +1 against its sliding, 0 held.
pub(crate) type Rubbing<const B: usize> = [f64; B];

/// What the winding is connected to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Winding {
    /// A voltage, held over the tick, V.
    Volts(f64),
    /// Nothing: no current.
    Open,
}

/// Time derivative of the state, and what goes with it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rates<const B: usize> {
    pub v: [f64; B],
    pub a: [f64; B],
    /// What drives the winding current beside its own decay, (V - K v)/L, A/s; 0 where nothing does.
    pub drives_current: f64,
    pub contact: ContactState,
    /// Force on each body without its friction, N.
    pub applied: [f64; B],
    /// Most friction that each body can meet now, N.
    pub bound: [f64; B],
    /// What the hangers of each leaf carry, N.
    pub loads: [Loads; B],
}

/// A leaf as the equations see it.
#[derive(Clone, Debug)]
struct PlantLeaf {
    /// Which one, 1 or 2.
    number: usize,
    /// Weight along the rail, positive opening, N.
    slope_n: f64,
    /// Whether it has the closing edge, the end seal and the stoppers: the slow leaf of a telescopic door has not.
    leads: bool,
    hanging: Hanging,
    /// Friction of its floor guide, N.
    guide: f64,
}

/// A listed force with its depth worked out.
#[derive(Clone, Debug)]
struct Listed {
    force: LeafForce,
    depth: f64,
}

/// One of the two lengths of a second loop: e = sign (2 q_slow - q_fast).
#[derive(Clone, Copy, Debug, Default)]
struct Link {
    slow: usize,
    fast: usize,
    sign: f64,
    k: f64,
}

/// A door ready to be integrated: B bodies and S spans, the first R of each in the ring of the first belt. Then come
/// the slow leaves with two spans each, then a rotor that is parted from its pulley.
#[derive(Clone, Debug)]
pub(crate) struct Plant<const B: usize, const S: usize, const R: usize> {
    pub masses: [f64; B],
    pub inverse_masses: [f64; B],
    closed_length: [f64; S],
    /// Change of a span's length for a metre of travel of the body behind it, and of the one ahead.
    grows: [[f64; 2]; S],
    /// The leaf that a body is, if it is one.
    leaves: [Option<PlantLeaf>; B],
    /// Whether every rail is straight and every wheel round.
    even: bool,
    rolling: f64,
    contact_depth: f64,
    guide_depth: f64,
    links: [Link; S],
    second_installed: f64,
    mesh: Mesh,
    ea: f64,
    /// 1 / (2 EA), 1/N.
    half_compliance: f64,
    installed: f64,
    tau: f64,
    fade: f64,
    fade_speed: f64,
    viscous: f64,
    brush: f64,
    seal_k: f64,
    seal_len: f64,
    stop_closed: f64,
    stop_open: f64,
    stop_k: f64,
    stop_c: f64,
    /// mu_b d_b/d and constant drag of each body that is a pulley, else 0.
    bearing: [f64; B],
    pulley_drag: [f64; B],
    rotor_drag: f64,
    gear_loss: f64,
    /// N K / r: pull for an ampere and voltage for a speed.
    pull: f64,
    r: f64,
    l: f64,
    inverse_l: f64,
    quasi_static: bool,
    /// R/L where the current has inertia, else 0, 1/s.
    pub electric_rate: f64,
    forces: Vec<Listed>,
    /// The closing edges, and the rear edge of each leaf.
    closing_edge: Edge,
    rear_edge: Edge,
    rear_depth: f64,
    pub substeps: u32,
}

impl<const B: usize, const S: usize, const R: usize> Plant<B, S, R> {
    pub fn new(door: &Door) -> Self {
        let (p, ring, derived) = (door.parameters(), door.ring(), door.derived());
        let mut leaves = [const { None }; B];
        for (j, leaf) in ring.leaves.iter().enumerate() {
            leaves[leaf.body] = Some(PlantLeaf {
                number: j + 1,
                slope_n: -leaf.uphill * leaf.mass_kg * G * p.rail.slope,
                leads: leaf.ratio == 1.0,
                hanging: Hanging::new(p, j + 1, leaf),
                guide: p.guide.friction * derived.guide_load_n[j],
            });
        }
        // the two pulleys of a second loop turn on the slow leaf
        let pulley = |b: usize, of_each: f64, of_two: f64| match b {
            _ if b == 0 || b == ring.return_body => of_each,
            _ if b >= R && b < ring.masses_kg.len() => of_two,
            _ => 0.0,
        };
        let masses: [f64; B] =
            std::array::from_fn(|b| ring.masses_kg.get(b).copied().or(ring.rotor_kg).unwrap_or(f64::NAN));
        let bearing = p.pulleys.bearing_friction * p.pulleys.bearing_diameter_ratio;
        let inductance = p.motor.inductance_h;
        Self {
            masses,
            inverse_masses: masses.map(|mass| 1.0 / mass),
            closed_length: std::array::from_fn(|s| ring.spans[s].closed_length_m),
            links: std::array::from_fn(|s| {
                let row = &ring.spans[s].row;
                let slow = (R..row.len()).find(|&body| row[body] != 0.0);
                let fast = (0..R).find(|&body| row[body] != 0.0);
                let (Some(slow), Some(fast), true) = (slow, fast, s >= R) else { return Link::default() };
                let k = ring.second_ea_n / ring.spans[s].closed_length_m;
                Link { slow, fast, sign: row[slow].signum(), k }
            }),
            second_installed: p.telescope.map_or(0.0, |telescope| telescope.tension_n),
            mesh: mesh(p, ring),
            grows: std::array::from_fn(|s| {
                let by = |body: usize| {
                    let grows = ring.spans[s].grows_with.filter(|&(leaf, _)| ring.leaves[leaf].body == body);
                    grows.map_or(0.0, |(_, by)| by)
                };
                if s < R { [by(s), by((s + 1) % R)] } else { [0.0; 2] }
            }),
            even: leaves.iter().flatten().all(|leaf: &PlantLeaf| leaf.hanging.is_even()),
            leaves,
            rolling: p.rollers.resistance,
            contact_depth: p.edge.contact_depth_m.unwrap_or(f64::NAN),
            guide_depth: p.guide.depth_m.unwrap_or(f64::NAN),
            ea: ring.ea_n,
            half_compliance: 0.5 / ring.ea_n,
            installed: p.belt.tension_n,
            tau: p.belt.damping_time_s,
            fade: p.rollers.breakaway - 1.0,
            fade_speed: p.rollers.fade_speed_m_per_s,
            viscous: p.rollers.viscous_n_s_per_m,
            brush: p.seal.brush_n_per_m * p.leaf.height_m,
            seal_k: p.seal.end_stiffness_n_per_m,
            seal_len: p.seal.end_length_m,
            stop_closed: -p.stoppers.behind_closed_m,
            stop_open: p.leaf.stroke_m + p.stoppers.behind_open_m,
            stop_k: p.stoppers.stiffness_n_per_m,
            stop_c: p.stoppers.damping_n_s_per_m,
            bearing: std::array::from_fn(|b| pulley(b, bearing, bearing)),
            pulley_drag: std::array::from_fn(|b| pulley(b, p.pulleys.drag_n, 2.0 * p.pulleys.drag_n)),
            rotor_drag: p.motor.rotor_friction_n_m * p.gear.ratio / ring.radius_m,
            gear_loss: derived.gear_loss,
            pull: derived.pull_per_ampere_n,
            r: derived.resistance_ohm,
            l: inductance,
            inverse_l: 1.0 / inductance,
            quasi_static: inductance / derived.resistance_ohm < QUASI_STATIC_S,
            electric_rate: if inductance / derived.resistance_ohm < QUASI_STATIC_S {
                0.0
            } else {
                derived.resistance_ohm / inductance
            },
            forces: p
                .forces
                .iter()
                .map(|force| Listed {
                    depth: force.depth_m.unwrap_or(p.leaf.height_m / 2.0),
                    force: force.clone(),
                })
                .collect(),
            closing_edge: Edge::closing(&p.edge, ring.edges() as f64, p.duty.ambient_c),
            rear_edge: Edge::rear(&p.rear),
            rear_depth: p.rear.depth_m.unwrap_or(f64::NAN),
            substeps: substeps_needed(p, ring),
        }
    }

    /// The body whose turning the encoder reads and the motor drives.
    pub const MOTOR: usize = if B > R + (S - R) / 2 { B - 1 } else { 0 };

    /// Whether every rail is straight and every wheel round.
    pub fn is_even(&self) -> bool {
        self.even
    }

    /// Bodies of the leaves that reach the stoppers.
    pub fn leading_bodies(&self) -> impl Iterator<Item = usize> + '_ {
        (0..R).filter(|&b| self.leaves[b].is_some())
    }

    /// Gap between rotor and pulley beyond their play, m: 0 while they are apart.
    #[inline(always)]
    pub fn mesh_depth(&self, state: &Continuous<B>) -> f64 {
        let behind = state.q[Self::MOTOR] - state.q[0];
        behind - behind.clamp(-self.mesh.half_play, self.mesh.half_play)
    }

    /// Whether there is play between rotor and pulley.
    pub fn has_play(&self) -> bool {
        self.mesh.half_play > 0.0
    }

    /// Clear opening, m, and its rate, m/s.
    #[inline(always)]
    pub fn clear_opening(&self, state: &Continuous<B>) -> (f64, f64) {
        let (mut w, mut dw) = (0.0, 0.0);
        for b in 0..R {
            if self.leaves[b].is_some() {
                w += state.q[b];
                dw += state.v[b];
            }
        }
        (w, dw)
    }

    /// The space before the edge that a contact is with, m, and how fast it grows, m/s: the clear opening, or what is left behind a leaf.
    #[inline(always)]
    pub fn space(&self, contact: &Contact, state: &Continuous<B>) -> (f64, f64) {
        match contact.place {
            Place::ClosingEdge => self.clear_opening(state),
            Place::RearEdge { body, fixed_m } => (fixed_m - state.q[body], -state.v[body]),
        }
    }

    /// The edge that a contact is with.
    pub fn edge(&self, contact: &Contact) -> &Edge {
        match contact.place {
            Place::ClosingEdge => &self.closing_edge,
            Place::RearEdge { .. } => &self.rear_edge,
        }
    }

    /// Row s of A has -1 at body s and +1 at the next one: the loop's own rows are written out.
    ///
    /// Stretch e, stiffness k, and tension T of a span: T = max(0, T_0 + k e + tau k de/dt).
    #[inline(always)]
    pub fn span(&self, s: usize, state: &Continuous<B>) -> SpanNow {
        if s >= R {
            let link = &self.links[s];
            let e = link.sign * (2.0 * state.q[link.slow] - state.q[link.fast]);
            let de = link.sign * (2.0 * state.v[link.slow] - state.v[link.fast]);
            let elastic = self.second_installed + link.k * e;
            let tension = (elastic + self.tau * link.k * de).max(0.0);
            return SpanNow { stretch: link.k * e, rate: de, growth: 0.0, elastic, k: link.k, tension };
        }
        let ahead = (s + 1) % R;
        let [by_behind, by_ahead] = self.grows[s];
        let e = state.q[ahead] - state.q[s];
        let de = state.v[ahead] - state.v[s];
        let length = self.closed_length[s] + by_behind * state.q[s] + by_ahead * state.q[ahead];
        let length = length.max(SHORTEST_SPAN_M);
        let growth = by_behind * state.v[s] + by_ahead * state.v[ahead];
        let k = self.ea / length;
        let elastic = self.installed + k * e;
        SpanNow {
            stretch: k * e,
            rate: de,
            growth,
            elastic,
            k,
            tension: (elastic + self.tau * k * de).max(0.0),
        }
    }

    /// How far a span is from slack: T_0 l + EA (e + tau de/dt), N m, without a division; slack at or below zero.
    #[inline(always)]
    pub fn tautness(&self, s: usize, state: &Continuous<B>) -> f64 {
        if s >= R {
            let SpanNow { elastic, k, rate, .. } = self.span(s, state);
            return elastic + self.tau * k * rate;
        }
        let ahead = (s + 1) % R;
        let [by_behind, by_ahead] = self.grows[s];
        let length = self.closed_length[s] + by_behind * state.q[s] + by_ahead * state.q[ahead];
        let stretched = state.q[ahead] - state.q[s] + self.tau * (state.v[ahead] - state.v[s]);
        self.installed * length.max(SHORTEST_SPAN_M) + self.ea * stretched
    }

    /// How deep a leaf at x is in a stopper, m; 0: it touches none.
    pub fn stopper_depth(&self, x: f64) -> f64 {
        (self.stop_closed - x).max(x - self.stop_open).max(0.0)
    }

    /// Rates at a state. `rubbing` holds for sliding bodies; a body that is held gets no acceleration.
    /// Adds `weight` times each power to `work`.
    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    pub fn rates<const WITH_POWERS: bool>(
        &self,
        t: f64,
        state: &Continuous<B>,
        rubbing: &Rubbing<B>,
        winding: Winding,
        contact: &Contact,
        weight: f64,
        work: &mut [f64; POWERS],
    ) -> Rates<B> {
        let v = &state.v;
        let mut applied = [0.0; B];
        let mut bound = [0.0; B];
        let mut book = |item: usize, power: f64| {
            if WITH_POWERS {
                work[item] += weight * power;
            }
        };

        // Belt: f = -A^T T; the tensions at a body add up to |A|^T T.
        let mut pressing = [0.0; B];
        let (mut damped, mut carried) = (0.0, 0.0);
        for s in 0..S {
            let span = self.span(s, state);
            if s < R {
                let ahead = (s + 1) % R;
                applied[s] += span.tension;
                applied[ahead] -= span.tension;
                pressing[s] += span.tension;
                pressing[ahead] += span.tension;
            } else {
                let link = &self.links[s];
                applied[link.slow] -= 2.0 * link.sign * span.tension;
                applied[link.fast] += link.sign * span.tension;
                pressing[link.slow] += 2.0 * span.tension;
            }
            let pulled = span.elastic.max(0.0);
            damped += (span.tension - pulled) * span.rate;
            let over = self.installed * self.installed - span.stretch * span.stretch;
            carried += if pulled > 0.0 { over * span.growth } else { 0.0 };
        }
        book(power::BELT, damped);
        book(power::CARRIED, carried * self.half_compliance);

        // Pulleys, gear, motor
        let motor = Self::MOTOR;
        let current = if self.quasi_static { self.static_current(winding, v[motor]) } else { state.i };
        let meshing = if motor == 0 {
            applied[0]
        } else {
            let depth = self.mesh_depth(state);
            let sprung = self.mesh.k * depth;
            let closing = v[motor] - v[0];
            // teeth push and never pull
            let push = if depth == 0.0 {
                0.0
            } else {
                depth.signum() * (depth.signum() * (sprung + self.mesh.c * closing)).max(0.0)
            };
            book(power::MESH, (push - sprung) * closing);
            applied[0] += push;
            applied[motor] -= push;
            push
        };
        let gear = self.gear_loss * meshing.abs();
        let mut rubbed = 0.0;
        for b in 0..B {
            bound[b] = self.bearing[b] * pressing[b] + self.pulley_drag[b];
            rubbed += bound[b] * v[b].abs();
        }
        book(power::BEARINGS, rubbed);
        applied[motor] += self.pull * current;
        bound[motor] += self.rotor_drag + gear;
        book(power::COPPER, self.r * current * current);
        book(power::ROTOR, self.rotor_drag * v[motor].abs());
        book(power::GEAR, gear * v[motor].abs());
        let mut drives_current = 0.0;
        if let Winding::Volts(volts) = winding {
            book(power::BUS, volts * current);
            book(power::DRAWN, (volts * current).max(0.0));
            if !self.quasi_static {
                drives_current = (volts - self.pull * v[motor]) * self.inverse_l;
            }
        }

        // Edge and obstacle
        let touch = if contact.is_there() {
            let (space, _) = self.space(contact, state);
            let touch = contact.rates(space, &state.contact, self.edge(contact));
            book(power::EDGE, touch.lost_w);
            book(power::CONTACT_FORCE, touch.force_n);
            touch
        } else {
            Touch::default()
        };
        let (at_front, behind) = match contact.place {
            Place::ClosingEdge => (touch.force_n, None),
            Place::RearEdge { body, .. } => (0.0, Some(body)),
        };

        let mut a = [0.0; B];
        let mut dq = [0.0; B];
        for b in 0..B {
            if rubbing[b] != 0.0 {
                a[b] = (applied[b] - rubbing[b] * bound[b]) * self.inverse_masses[b];
                dq[b] = v[b];
            }
        }

        // Leaves
        let mut loads = [[0.0; 2]; B];
        for b in 0..B {
            let Some(leaf) = &self.leaves[b] else { continue };
            let (x, vx) = (state.q[b], v[b]);
            let speed = vx.abs();
            let faded = (vx / self.fade_speed).powi(2);
            let fade = if faded < FADED { self.fade * (-faded).exp() } else { 0.0 };
            let (seal, at_edge, depth) = if leaf.leads {
                let seal = self.seal_k * (self.seal_len - x).max(0.0);
                (seal, seal + at_front, self.stopper_depth(x))
            } else {
                (0.0, 0.0, 0.0)
            };
            let hanging = &leaf.hanging;
            let mut force = applied[b] + leaf.slope_n + at_edge - self.viscous * vx;
            let mut moment = applied[b] * hanging.belt_height
                - leaf.slope_n * hanging.gravity_depth
                - at_edge * self.contact_depth;
            if behind == Some(b) {
                force -= touch.force_n;
                moment += touch.force_n * self.rear_depth;
            }
            // friction that does not depend on the rollers, and its moment
            let mut drag = bound[b] + self.brush + leaf.guide;
            let mut drag_moment = self.brush * hanging.gravity_depth + leaf.guide * self.guide_depth;
            book(power::SLOPE, leaf.slope_n * vx);
            book(power::END_SEAL, seal * vx);
            book(power::BRUSH, self.brush * speed);
            book(power::GUIDE, leaf.guide * speed);

            if depth > 0.0 {
                let outward = if x < self.stop_closed { 1.0 } else { -1.0 };
                let deepening = -outward * vx;
                let push = (self.stop_k * depth + self.stop_c * deepening).max(0.0);
                force += outward * push;
                book(power::STOPPERS, (push - self.stop_k * depth) * deepening);
            }
            for Listed { force: listed, depth } in &self.forces {
                if listed.leaf.is_none_or(|number| number == leaf.number)
                    && (listed.from_m..=listed.to_m).contains(&x)
                    && (listed.start_s..=listed.end_s).contains(&t)
                {
                    let push = listed.constant_n + listed.stiffness_n_per_m * (listed.rest_m - x)
                        - listed.damping_n_s_per_m * vx;
                    force += push;
                    moment -= push * depth;
                    drag += listed.drag_n;
                    drag_moment += listed.drag_n * depth;
                    book(power::FORCES, push * vx);
                    book(power::FORCES_DRAG, listed.drag_n * speed);
                }
            }
            let rub = rubbing[b];
            let mut pushed = Pushed {
                x,
                force: force - rub * drag,
                moment: moment + rub * drag_moment,
                rolling: self.rolling * (1.0 + fade),
                rubbing: rub,
                inertia: self.masses[b],
                inverse_inertia: self.inverse_masses[b],
            };
            let mut carried = hanging.carry(&pushed);
            a[b] = carried.acceleration;
            loads[b] = carried.loads;
            if rub == 0.0 {
                // what it meets the moment it gives way, so that breaking away and sliding agree
                pushed.moment += (force + carried.rail).signum() * drag_moment;
                carried = hanging.carry(&pushed);
            }
            applied[b] = force + carried.rail;
            bound[b] = drag + carried.rolling;
            book(power::ROLLING, (carried.rolling + self.viscous * speed) * speed);
            book(power::RAIL, carried.rail * vx);
        }
        Rates { v: dq, a, drives_current, contact: touch.rate, applied, bound, loads }
    }
}

/// A span at one instant.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpanNow {
    /// k e, N.
    pub stretch: f64,
    /// de/dt, m/s.
    pub rate: f64,
    /// dl/dt, m/s.
    pub growth: f64,
    /// T_0 + k e, N; negative where the belt is slack.
    pub elastic: f64,
    /// EA / l, N/m.
    pub k: f64,
    /// Tension with damping, never negative, N.
    pub tension: f64,
}
