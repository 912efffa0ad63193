"""Controller and plant together, tick by tick, and what is read off while they run."""

import copy

from controller import Controller
from equations import RearContact
from plant import Plant
from supply import Supply

FASTER_BY = 1.02
NO_FURTHER_S, LONGEST_STOP_S = 0.3, 10.0  # a leaf swings on its belt for less than the first

SAMPLED = ("t_s", "clear_opening_m", "speed_m_per_s", "leaf_positions_m", "leaf_speeds_m_per_s", "tension_n", "current_a", "voltage_v",
           "drive_position_m", "hanger_loads_n", "contact_force_n", "contact_impulse_n_s", "energy_j", "drawn_j", "i2_a2_s")


class Simulation:
    """One door. Stands closed at t = 0 until commanded; `watchers` see every integration step of the plant."""

    def __init__(self, door, obstacle=None, make_plant=Plant):
        """The obstacle is put in the way when the door first closes."""
        self.door, self.obstacle = door, obstacle
        self.plant = make_plant(door)
        self.controller = Controller(door)
        self.supply = Supply(door.parameters)
        self.tick_s = door.parameters["controller"]["tick_s"]
        self.k, self.taken = 0, 0.0
        self.watchers = []
        self.course = None  # what else is read off while it runs
        self.worst = None  # a WorstPlace, where the stopping distance is asked for
        self.samples = {name: [] for name in SAMPLED}

    def fork(self, t, y, contact):
        """A copy in the middle of the present tick, at (t, y), with another thing in the way. Nothing is watched, and
        nothing more of the timeline happens."""
        other = copy.copy(self)
        other.controller, other.supply = copy.deepcopy(self.controller), copy.copy(self.supply)
        other.plant, other.obstacle = copy.copy(self.plant), None
        other.controller.told, other.controller.arrivals, other.worst = set(), [], None
        p = other.plant
        p.t, p.y, p.contact = t, list(y), contact
        p.y[2 * p.n + 6:2 * p.n + 8] = [0.0, 0.0]  # the tester stands fast
        p.slide, p.touching, p.windows = list(p.slide), dict(p.touching), list(p.windows)
        other.watchers, other.course = [], None
        other.samples = {name: [] for name in self.samples}
        return other

    def tick(self, before=None):
        """One tick of the controller (after `before(t)`, a command say), then the plant up to the next tick."""
        t = self.k * self.tick_s
        if before:
            before(t)
        p = self.plant
        self.sample(t)
        if self.worst:
            self.worst.look(self, t)
        self.controller.bus_v = self.supply.voltage
        p.voltage, p.open_winding = self.controller.step(t, p.y[self.door.motor])
        if self.obstacle is not None and self.controller.state == "closing":
            p.contact = self.obstacle
        if p.open_winding:
            p.y[2 * p.n] = 0.0
        self.finish_tick()

    def finish_tick(self):
        """The plant up to the next tick; from the middle of a tick for a fork."""
        tick, p = self.tick_s, self.plant
        p.advance((self.k + 1) * tick, self.watch)
        taken = p.y[2 * p.n + 3]
        self.supply.settle(taken - self.taken, tick)
        self.taken = taken
        self.k += 1

    def watch(self, t0, y0, t1, y1, at):
        for watcher in self.watchers:
            watcher(t0, y0, t1, y1, at)

    def sample(self, t):
        """The door as the tick finds it, under the voltage of the tick before."""
        p, s, n = self.plant, self.samples, self.door.n
        it = p.now(p.y)
        s["t_s"].append(t)
        s["clear_opening_m"].append(self.door.clear_opening(p.y))
        s["speed_m_per_s"].append(sum(p.y[n + b] for b in self.door.fronts))
        s["leaf_positions_m"].append([p.y[b] for b in self.door.leaves])
        s["leaf_speeds_m_per_s"].append([p.y[n + b] for b in self.door.leaves])
        s["tension_n"].append(it.tension)
        s["current_a"].append(it.current)
        s["voltage_v"].append(p.voltage)
        s["drive_position_m"].append(p.y[0])
        s["hanger_loads_n"].append([load for pair in p.hanger_loads(t, p.y) for load in pair])
        s["contact_force_n"].append(it.contact)
        for name, index in (("contact_impulse_n_s", 2), ("energy_j", 3), ("drawn_j", 4), ("i2_a2_s", 5)):
            s[name].append(p.y[2 * n + index])


STANDING_M_PER_S = 1e-12  # slower is rounding


class Extremes:
    """Watches the plant's own steps: tensions, slack time, energies, speeds.

    What is told of opening or closing is told by how the leaves move, also where they swing or are thrown back."""

    def __init__(self, simulation):
        self.plant, self.door = simulation.plant, simulation.door
        self.before = self.plant.tensions(self.plant.y)
        self.least, self.greatest = [float("inf")] * len(self.before), [0.0] * len(self.before)
        self.slack_time = [0.0] * len(self.before)
        self.any_slack_time = 0.0
        self.peak_current = 0.0
        self.leaf_energy = self.all_leaves_energy = self.coupled_energy = self.coupled_energy_closing = 0.0
        self.leaf_energy_closing = self.leaf_coupled_energy_closing = 0.0
        self.top_speed = {1: 0.0, -1: 0.0}
        self.motor_speed = 0.0
        self.lift_time = 0.0

    def __call__(self, t0, y0, t1, y1, at):
        n, d = self.door.n, self.door
        self.see_tensions(t1 - t0, self.plant.tensions(y1, slack_too=True))
        lightest = [min(min(pair) for pair in self.plant.hanger_loads(t, y)) for t, y in ((t0, y0), (t1, y1))]
        self.lift_time += (t1 - t0) * share_below_zero(*lightest)
        self.peak_current = max(self.peak_current, abs(self.plant.current(y1)))
        speeds = [y1[n + b] for b in d.leaves]
        each = [0.5 * d.m_leaf[b] * v * v for b, v in zip(d.leaves, speeds)]
        coupled = sum([0.5 * m * v * v for m, v in zip(d.mass, y1[n:2 * n])])
        self.leaf_energy = max(self.leaf_energy, *each)
        self.all_leaves_energy = max(self.all_leaves_energy, sum(each))
        self.coupled_energy = max(self.coupled_energy, coupled)
        if min(speeds) < -STANDING_M_PER_S:
            self.coupled_energy_closing = max(self.coupled_energy_closing, coupled)
            self.top_speed[-1] = max(self.top_speed[-1], -min(speeds))
            closing = max(energy for energy, v in zip(each, speeds) if v < 0.0)
            self.leaf_energy_closing = max(self.leaf_energy_closing, closing)
            self.leaf_coupled_energy_closing = max(self.leaf_coupled_energy_closing, closing + coupled - sum(each))
        self.top_speed[1] = max(self.top_speed[1], *speeds)
        rotor = self.door.parameters["gear"]["ratio"] / d.r * y1[n + d.motor]
        self.motor_speed = max(self.motor_speed, abs(rotor))

    def see_tensions(self, dt, now):
        """`now`: tensions, negative where a span is slack."""
        for k, (old, new) in enumerate(zip(self.before, now)):
            self.least[k] = min(self.least[k], max(0.0, new))
            self.greatest[k] = max(self.greatest[k], new)
            self.slack_time[k] += dt * share_below_zero(old, new)
        self.any_slack_time += dt * share_below_zero(min(self.before), min(now))
        self.before = now


def share_below_zero(a, b):
    """Share of a straight line from a to b that is below zero."""
    if a >= 0.0 and b >= 0.0:
        return 0.0
    return 1.0 if a < 0.0 and b < 0.0 else -min(a, b) / abs(a - b)


class Crossings:
    """Keeps a fork of the simulation from the moment at which a place is first passed; of each place the key, by which
    `forks` knows it, a function of the state, and the level through which that rises."""

    def __init__(self, simulation, places):
        self.sim, self.places, self.forks = simulation, dict(places), {}

    def counts(self):
        """Whether what is passed now is passed by the run that is asked for."""
        raise NotImplementedError

    def __call__(self, t0, y0, t1, y1, at):
        if not self.places or not self.counts():
            return
        for key in [key for key, (place, level) in self.places.items() if place(y0) < level <= place(y1)]:
            place, level = self.places.pop(key)
            low, high = t0, t1
            while high - low > 1e-13:
                middle = 0.5 * (low + high)
                if middle in (low, high):
                    break
                low, high = (middle, high) if place(at(middle)) < level else (low, middle)
            t, y = (t0, y0) if high == t0 else (high, at(high))
            self.forks[key] = (t, self.sim.fork(t, y, None))


class ClosingCrossings(Crossings):
    """Where the closing leaf passes each gap."""

    def __init__(self, simulation, gaps):
        super().__init__(simulation, {gap: (lambda y: -simulation.door.clear_opening(y), -gap) for gap in gaps})

    def counts(self):
        return self.sim.controller.state == "closing"


class OpeningCrossings(Crossings):
    """Where, opening for the first time, each leaf with a closing edge leaves a gap behind itself; by (body, gap)."""

    def __init__(self, simulation, tests):
        super().__init__(simulation, {(body, gap): (lambda y, body=body: y[body], RearContact.place(simulation.door, gap))
                                      for body, gap in tests})

    def counts(self):
        c = self.sim.controller
        return c.state == "opening" and len(c.log) == 1


class WorstPlace:
    """Keeps the simulation at the tick at which the opening closes fastest, to 2 %, for a beam trip there."""

    def __init__(self):
        self.fastest, self.fork = 0.0, None

    def look(self, sim, t):
        speed = -sum(sim.plant.y[sim.door.n + b] for b in sim.door.fronts)
        if sim.controller.state == "closing" and speed > FASTER_BY * self.fastest:
            self.fastest, self.fork = speed, sim.fork(t, sim.plant.y, copy.copy(sim.plant.contact))

    def stopping_distance(self):
        """How far a leaf still goes after the beam is broken there, until it has gone no further for 0.3 s, m."""
        sim = self.fork
        if sim is None:
            return None
        plant, fronts = sim.plant, sim.door.fronts
        start, begin = sim.k * sim.tick_s, [plant.y[b] for b in fronts]
        sim.controller.timeline = dict(sim.controller.timeline, beam_broken_s=start)
        sim.controller.told = {"beam_broken_s"}
        furthest, since = 0.0, start
        while plant.t < start + LONGEST_STOP_S:
            sim.tick()
            gone = max(was - plant.y[b] for was, b in zip(begin, fronts))
            if gone > furthest:
                furthest, since = gone, plant.t
            if not sim.controller.told and plant.t > since + NO_FURTHER_S:
                break
        return furthest
