"""The force test: stall, impact and residual force, of the closing edge against the tester in the clear opening, and of the
rear edge of each leaf against the tester on the next fixed part behind it.

A run is broken off as soon as nothing can change any more: where everything rests for good its force is carried on, where the
leaf has turned round and cannot be back in time there is none.
"""

import math

import by_hand
from controller import Controller
from equations import Contact, RearContact
from simulation import Simulation

FIRST_SWING_S, MEAN_S = 2.0, 0.05  # a stall: after the command
IMPACT_S, FOLLOWED_S = 0.75, 5.0  # after touching
REAR_GAPS_M = (0.05, 0.3, 0.5)
NO_MORE = 1e-9  # m/s, V, A: what changes by less does not change
CLEAR_M = 0.02  # m; a leaf that is further away, and on its way, does not swing back
FASTER = 1.1  # a leaf goes at most so many times as fast as in the run that the test is forked off
STEADY_A = 1e-6  # a current that has settled to this


def tester(door, gap, body=None):
    """The tester, `gap` wide, before the closing edge, or behind the leaf `body`."""
    k = door.parameters["tester"]["stiffness_n_per_m"]
    return Contact(gap, k) if body is None else RearContact(body, gap, k)


# -- stall -----------------------------------------------------------------------------------------------------------


def stall_forces(door, gap, body=None, seconds=FOLLOWED_S):
    """(first swing, settled), N: the greatest mean over 50 ms within 2 s of a command from rest on the tester, and that
    over the last 50 ms of 5 s. Nothing reacts, nothing of the timeline happens."""
    each = gap / len(door.fronts) if body is None else RearContact.place(door, gap)
    sim = Simulation(door)
    sim.plant.place(each)
    sim.plant.contact = tester(door, gap, body)
    sim.plant.contact.touched_at = 0.0
    c = sim.controller = Controller(door, each)
    c.react, c.told = False, set()
    tick = sim.tick_s
    ticks, window = round(seconds / tick), max(1, round(MEAN_S / tick))
    steady = Steady(sim)
    sim.tick(before=lambda t: c.command(t, -1, "close") if body is None else c.command(t, 1, "open"))
    while sim.k < ticks and not steady.reached():
        sim.tick()
    sim.sample(sim.plant.t)
    impulse, force = sim.samples["contact_impulse_n_s"], sim.samples["contact_force_n"][-1]
    impulse += [impulse[-1] + force * tick * (k + 1) for k in range(ticks + 1 - len(impulse))]
    means = [(b - a) / (window * tick) for a, b in zip(impulse, impulse[window:])]
    return max(means[:round(FIRST_SWING_S / tick) - window + 1]), means[-1]


def stall_force(door, gap):
    """The first swing alone, N."""
    return stall_forces(door, gap, seconds=FIRST_SWING_S)[0]


class Steady:
    """Whether a door that pushes against the tester will go on just so: everything is held, the controller gives all it may
    and still wants more, and neither edge nor bus nor winding have changed since the tick before."""

    def __init__(self, sim):
        self.sim, self.before = sim, None

    def reached(self):
        sim, plant, c = self.sim, self.sim.plant, self.sim.controller
        now = (plant.voltage, sim.supply.voltage, plant.current(plant.y))
        same = self.before is not None and all(abs(a - b) < NO_MORE for a, b in zip(now, self.before))
        self.before = now
        return (same and is_held(plant) and c.direction != 0 and abs(c.i_ref) >= c.limit()
                and (c.v_ref - c.v_hat) * c.direction > 0.0 and c.v_ref * c.direction > 0.0)


def is_held(plant):
    """Every body at rest, the edge at rest, and no listed force that begins or ends later."""
    n = plant.n
    return (not any(plant.slide) and not any(plant.y[n:2 * n]) and abs(plant.contact_force(plant.y)[1]) < NO_MORE
            and not any(cut > plant.t and math.isfinite(cut) and cut < by_hand.FOR_EVER_S for cut in plant.cuts))


def slow_stall(door, gap):
    """What a gauge reads between the closing edge and what it is brought up to slowly, N:

        P = (N K i/r - D_0)/(1 + lambda)     D_0 = mu_b (d_b/d) 2 T_0 + drag + T_f N/r     D_ret the same without T_f
        F = max(0, (P - D_ret - sum of R)/n)

    i is what the winding carries at a stall, min(R_25 i_lim, V_bus)/R. R is what each leaf resists with where it is at this
    gap, going ever more slowly: rolling, brush, guide, slope, rail, end seal and the listed forces that act at any time, at
    the speed of the leaves with a closing edge, so those of a slow leaf by half. n leaves share what is left: the force
    between two leaves acts on both, and from P around the belt to the other end of it each takes it once."""
    p = door.parameters
    volts = min(door.r25 * p["closing"]["current_limit_a"], door.bus_v)
    pulley = door.bearing * 2 * door.t0 + door.pulley_drag
    pull = (door.k_rim * volts / door.resistance - pulley - door.rotor_drag) / (1.0 + door.gear_loss) - pulley
    return max(0.0, (pull - resistance_closing(door, gap)) / len(door.fronts))


def resistance_closing(door, gap):
    """What all leaves together resist with at this gap, N, at the speed of those with a closing edge."""
    slow, x, total = {body for body, _ in door.links}, gap / len(door.fronts), 0.0
    for body in door.leaves:
        share = 0.5 if body in slow else 1.0
        friction, push, seal = by_hand.on_leaf(door, body, x * share, -by_hand.BARELY_M_PER_S, -1)
        total += share * (friction + push + seal)
    return total


# -- impact ----------------------------------------------------------------------------------------------------------


def impact_forces(door, contact, fork, run):
    """Impact, residual and time above 150 N from the moment of touching, reaction as set; `run`: the one it is forked off."""
    t_touch, sim = fork
    may_end = run.lets_behind_end() if contact.body else not was_held_up(sim.controller.log)
    plant, n = sim.plant, door.n
    plant.contact, contact.touched_at = contact, t_touch
    speed = plant.y[n + contact.body] if contact.body else sum(plant.y[n + b] for b in door.fronts)
    start, edge, end = plant.y[2 * n + 2], contact.edge(door), t_touch + FOLLOWED_S
    trace = [(0.0, 0.0, 0.0)]  # since touching, force, impulse
    pressed = 0.0

    def watch(t0, y0, t1, y1, at):
        nonlocal pressed
        trace.append((t1 - t_touch, plant.contact_force(y1)[0], y1[2 * n + 2] - start))
        if t1 - t_touch <= IMPACT_S:
            pressed = max(pressed, plant.compression(y1))

    sim.watchers = [watch]
    sim.finish_tick()
    while plant.t < end and not (may_end and is_over(sim, end, run)) and not rests(sim):
        sim.tick()
    if plant.t < end:
        carried = plant.contact_force(plant.y)[0]
        trace.append((FOLLOWED_S, carried, trace[-1][2] + carried * (end - plant.t)))
    above, at_end, last = 0.0, force_at(trace, IMPACT_S), force_at(trace, FOLLOWED_S)
    for (t0, f0, _), (t1, f1, _) in zip(trace, trace[1:]):
        above += part_above(f0, f1, 150.0) * max(0.0, min(t1, FOLLOWED_S) - t0)
    return {"impact_force_n": max(at_end, *(f for t, f, _ in trace if t <= IMPACT_S)),
            "force_after_750ms_n": max(at_end, last, *(f for t, f, _ in trace if IMPACT_S < t <= FOLLOWED_S)),
            # how fast it changes where it is followed no longer, as with a leaf that comes back just then
            "ends_changing_n_per_s": abs(last - force_at(trace, FOLLOWED_S - 1e-3)) / 1e-3,
            "residual_force_n": (impulse_at(trace, FOLLOWED_S) - impulse_at(trace, FOLLOWED_S - MEAN_S)) / MEAN_S,
            "time_above_150n_s": above,
            "touched_at_s": t_touch,
            "acts_after_s": next((e["t_s"] - t_touch for e in sim.controller.log
                                  if e["what"] == "obstructed" and e["t_s"] >= t_touch), None),
            "edge_travel_used": None if math.isinf(edge.s) else pressed / edge.knee,
            "touch_speed_m_per_s": abs(speed)}


def rests(sim):
    """Whether it has stopped for good, and the edge with it."""
    plant, c = sim.plant, sim.controller
    if c.state != "stopped" or c.told or sim.supply.moves:
        return False
    stays = 0.0 if plant.open_winding else plant.voltage / sim.door.resistance
    return is_held(plant) and abs(plant.current(plant.y) - stays) < STEADY_A


class Run:
    """What is known of a door from the run that the tests are forked off."""

    def __init__(self, door, sim, extremes):
        self.log = sim.controller.log
        self.fastest = {way: FASTER * len(door.fronts) * speed for way, speed in extremes.top_speed.items()}
        self.uneven = any(hangers.kinks for hangers in door.hangers.values())

    def lets_behind_end(self):
        """Whether a leaf that sets off to close gets there: it did, and was not held up on any way."""
        return not was_held_up(self.log) and any(e["state"] == "closed" for e in self.log)

    def travel(self, distance, way):
        """Least time in which the clear opening changes by this much, s; on an uneven rail the leaf may turn round anywhere."""
        return 0.0 if self.uneven or distance <= 0.0 or not self.fastest[way] else distance / self.fastest[way]


def was_held_up(log):
    return any(e["what"] == "obstructed" for e in log)


def is_over(sim, end, run):
    """Whether nothing can be touched any more before `end`: the leaf is clear and on its way back or there, nothing but the
    controller moves it, and it will not be here again before."""
    c, plant, door = sim.controller, sim.plant, sim.door
    contact, n = plant.contact, door.n
    if door.listed or contact.depth(door, plant.y) > -CLEAR_M:
        return False
    if contact.body:
        return c.state == "closed" or (c.state == "closing" and plant.y[n + contact.body] < 0.0 and not run.uneven)
    w, back = door.clear_opening(plant.y), c.c["hold_open_s"] + run.travel(door.full - contact.gap, -1)
    if c.state == "opening" and min(plant.y[n + b] for b in door.fronts) > 0.0:
        return plant.t + run.travel(door.full - w, 1) + back > end
    return c.state == "open" and c.t_arrival + back > end


def part_above(a, b, level):
    """Share of a straight line from a to b that is above the level."""
    if a > level and b > level:
        return 1.0
    if a <= level and b <= level:
        return 0.0
    return (max(a, b) - level) / abs(a - b)


def force_at(trace, t):
    """The force at a time since touching, N, straight between what is known; 0 where the run was broken off before."""
    return next((f0 + (f1 - f0) * (t - t0) / (t1 - t0) for (t0, f0, _), (t1, f1, _) in zip(trace, trace[1:])
                 if t0 <= t <= t1 and t1 > t0), 0.0)


def impulse_at(trace, t):
    for (t0, _, j0), (t1, _, j1) in zip(trace, trace[1:]):
        if t0 <= t <= t1 and t1 > t0:
            return j0 + (j1 - j0) * (t - t0) / (t1 - t0)
    raise ValueError(f"the run ends before {t} s after touching")


# -- the whole test --------------------------------------------------------------------------------------------------


def rear_tests(door):
    """(body, gap) of every test behind a leaf: the gaps that the leaf leaves free when it is open and reaches by opening."""
    if door.rear_clearance is None:
        return []
    return [(body, gap) for body in door.fronts for gap in REAR_GAPS_M
            if gap >= door.rear_clearance and 0.0 < RearContact.place(door, gap) <= door.opens]


def force_figures(door, gaps, forks, run, stalls=None):
    """The forces at each gap; impact values are missing where the closing run never passes the gap, stall values where the
    gap is none of `stalls` (None: all)."""
    out = []
    for gap in gaps:
        entry = {"gap_m": gap}
        if stalls is None or gap in stalls:
            first, settled = stall_forces(door, gap)
            entry |= {"stall_force_n": first, "stall_force_settled_n": settled, "stall_force_slow_n": slow_stall(door, gap)}
        if gap in forks:
            entry |= impact_forces(door, tester(door, gap), forks[gap], run)
        out.append(entry)
    return out


def rear_figures(door, forks, run):
    """The forces behind each leaf."""
    out = []
    for body, gap in rear_tests(door):
        entry = {"leaf": door.leaves.index(body) + 1, "gap_m": gap, "stall_force_n": stall_forces(door, gap, body, FIRST_SWING_S)[0]}
        if (body, gap) in forks:
            entry |= impact_forces(door, tester(door, gap, body), forks[body, gap], run)
        entry.pop("edge_travel_used", None)
        out.append(entry)
    return out


def edge_flat_speed(door, forces):
    """Speed above which the closing edges are pressed flat while the drive pushes with its greatest slow stall force, m/s."""
    pushed = max((entry["stall_force_slow_n"] for entry in forces if "stall_force_slow_n" in entry), default=0.0)
    return door.edge.flat_speed(door.moving_share(), pushed, door.parameters["tester"]["stiffness_n_per_m"])
