"""Controller and plant together, tick by tick, and what is read off while they run."""

import copy

from controller import Controller
from plant import Plant
from supply import Supply


SAMPLED = ("t_s", "clear_opening_m", "speed_m_per_s", "leaf_positions_m", "tension_n", "current_a", "voltage_v",
           "drive_position_m", "hanger_loads_n", "contact_force_n", "contact_impulse_n_s", "energy_j", "drawn_j", "i2_a2_s")


class Simulation:
    """One door. Stands closed at t = 0 until commanded; `watchers` see every integration step of the plant."""

    def __init__(self, door, obstacle=None, make_plant=Plant):
        """The obstacle is put in the way when the door first closes."""
        self.door, self.obstacle = door, obstacle
        self.plant = make_plant(door)
        self.controller = Controller(door)
        self.supply = Supply(door.parameters)
        self.k, self.taken = 0, 0.0
        self.watchers = []
        self.samples = {name: [] for name in SAMPLED}

    def fork(self, t, y, contact):
        """A copy in the middle of the present tick, at (t, y), with another thing in the way. Nothing is watched."""
        other = copy.copy(self)
        other.controller, other.supply = copy.deepcopy(self.controller), copy.copy(self.supply)
        other.plant, other.obstacle = copy.copy(self.plant), None
        p = other.plant
        p.t, p.y, p.contact = t, list(y), contact
        p.y[2 * p.n + 6:2 * p.n + 8] = [0.0, 0.0]  # the tester stands fast
        p.slide, p.touching, p.windows = list(p.slide), dict(p.touching), list(p.windows)
        other.watchers = []
        other.samples = {name: [] for name in self.samples}
        return other

    def tick(self, before=None):
        """One tick of the controller (after `before(t)`, a command say), then the plant up to the next tick."""
        t = self.k * self.door.parameters["controller"]["tick_s"]
        if before:
            before(t)
        p = self.plant
        self.sample(t)
        self.controller.bus_v = self.supply.voltage
        p.voltage, p.open_winding = self.controller.step(t, p.y[0])
        if self.obstacle is not None and self.controller.state == "closing":
            p.contact = self.obstacle
        if p.open_winding:
            p.y[2 * p.n] = 0.0
        self.finish_tick()

    def finish_tick(self):
        """The plant up to the next tick; from the middle of a tick for a fork."""
        tick, p = self.door.parameters["controller"]["tick_s"], self.plant
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
        _, _, _, contact, current, tension = p.forces(t, p.y)
        s["t_s"].append(t)
        s["clear_opening_m"].append(self.door.clear_opening(p.y))
        s["speed_m_per_s"].append(sum(p.y[n + b] for b in self.door.leaves))
        s["leaf_positions_m"].append([p.y[b] for b in self.door.leaves])
        s["tension_n"].append(tension)
        s["current_a"].append(current)
        s["voltage_v"].append(p.voltage)
        s["drive_position_m"].append(p.y[0])
        s["hanger_loads_n"].append([load for pair in p.hanger_loads(t, p.y) for load in pair])
        s["contact_force_n"].append(contact)
        for name, index in (("contact_impulse_n_s", 2), ("energy_j", 3), ("drawn_j", 4), ("i2_a2_s", 5)):
            s[name].append(p.y[2 * n + index])


class Extremes:
    """Watches the plant's own steps: tensions, slack time, energies, speeds."""

    def __init__(self, simulation):
        self.sim, self.plant, self.door = simulation, simulation.plant, simulation.door
        n = self.door.n
        self.least, self.greatest = [float("inf")] * n, [0.0] * n
        self.slack_time = [0.0] * n
        self.any_slack_time = 0.0
        self.peak_current = 0.0
        self.leaf_energy = {1: (0.0, 0.0), -1: (0.0, 0.0)}  # direction: (J, s)
        self.coupled_energy = {1: (0.0, 0.0), -1: (0.0, 0.0)}
        self.all_leaves_energy = {1: (0.0, 0.0), -1: (0.0, 0.0)}
        self.top_speed = {1: 0.0, -1: 0.0}
        self.lift_time, self.lifted = 0.0, False
        self.before = self.plant.tensions(self.plant.y)
        self.direction = 1

    def __call__(self, t0, y0, t1, y1, at):
        n, d = self.door.n, self.door
        now = self.plant.tensions(y1)
        slack = [old == 0.0 and new == 0.0 for old, new in zip(self.before, now)]
        for b in range(n):
            self.least[b] = min(self.least[b], now[b])
            self.greatest[b] = max(self.greatest[b], now[b])
            if slack[b]:
                self.slack_time[b] += t1 - t0
            elif 0.0 in (self.before[b], now[b]) and self.before[b] != now[b]:
                self.slack_time[b] += 0.5 * (t1 - t0)
        if 0.0 in now or 0.0 in self.before:
            self.any_slack_time += t1 - t0 if (0.0 in now and 0.0 in self.before) else 0.5 * (t1 - t0)
        self.before = now
        lifted = any(min(pair) < 0.0 for pair in self.plant.hanger_loads(t1, y1))
        self.lift_time += (t1 - t0) * 0.5 * (lifted + self.lifted)
        self.lifted = lifted
        self.peak_current = max(self.peak_current, abs(self.plant.current(y1)))
        direction = self.direction = self.sim.controller.direction or self.direction
        leaf = [0.5 * d.m_leaf[b] * y1[n + b] ** 2 for b in d.leaves]
        coupled = sum(0.5 * d.mass[b] * y1[n + b] ** 2 for b in range(n))
        for record, value in ((self.leaf_energy, max(leaf)), (self.all_leaves_energy, sum(leaf)),
                              (self.coupled_energy, coupled)):
            if value > record[direction][0]:
                record[direction] = (value, t1)
        self.top_speed[direction] = max(self.top_speed[direction], max(abs(y1[n + b]) for b in d.leaves))


class Crossings:
    """Keeps a fork of the simulation from the moment at which the closing leaf passes each gap."""

    def __init__(self, simulation, gaps):
        self.sim, self.gaps, self.forks = simulation, set(gaps), {}

    def __call__(self, t0, y0, t1, y1, at):
        if self.sim.controller.state != "closing":
            return
        w0, w1 = self.sim.door.clear_opening(y0), self.sim.door.clear_opening(y1)
        for gap in [g for g in self.gaps if w1 <= g < w0]:
            low, high = t0, t1
            while high - low > 1e-13:
                middle = 0.5 * (low + high)
                if middle in (low, high):
                    break
                low, high = (middle, high) if self.sim.door.clear_opening(at(middle)) > gap else (low, middle)
            self.gaps.discard(gap)
            self.forks[gap] = (t0, y0) if high == t0 else (high, at(high))
            t, y = self.forks[gap]
            self.forks[gap] = (t, self.sim.fork(t, y, None))
