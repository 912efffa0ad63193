"""The mechanics of a door in MuJoCo, a general-purpose rigid-body engine; controller, winding and supply stay in Python.

Drive, leaves, slow leaves, return pulley and an obstacle that is pushed along are bodies on slide joints along the belt,
without gravity. Each span, and each of the two lengths of a second loop, is a fixed tendon with spring and damper, whose
spring has a dead band below its free length, so that a slack belt carries nothing. Friction is MuJoCo's friction loss at each
joint. What acts on a leaf besides (slope, seal, stops, listed forces, uneven rails under the hangers) and how much friction it
has comes from the equations of the twin, once a step, as does the force of an obstacle.

What differs from the twin: friction loss is a soft constraint, so a body at rest creeps a little; stiffness, friction bounds
and applied forces are set once a step; the edge of an obstacle is followed with the leaf taken as going on at its speed
for the step. The integrator implicitfast is not used: it takes the damping of a tendon between bodies of different trees at
its own place alone, which is as if each body had more mass, 2 % of a door at a step of 1 ms. The impedance of friction is the
greatest that the engine knows: with 0.99 a door at rest creeps until its belt has lost what friction held in it. Left out is a
rotor parted from its pulley: the pulley alone is so light and its mesh so stiff (2000 N/mm on 0.3 kg: 2600 rad/s) that the
springs, which are set once a step, would not follow.
"""

import math
import time

import mujoco

from controller import SAME_TIME, Controller
from equations import Contact, Equations
from supply import Supply
from twin import AFTER_CLOSED_S, LONGEST_RUN_S

STEPS_PER_TICK = 4  # Runge-Kutta is stable up to c h/m = 2.8; a return pulley has tau_b k/m of some 5000 to 7000/s
FINER_WHERE_LOCKED = 4  # a gear that locks rubs with more than what turns it, and by little: the bound of a step ago is too old
STANDS_BELOW = 1e-4  # m/s; a body on soft friction creeps slower than this
AT_REST_S = 0.5  # a stopped door, or one without power, has come to rest once it has stood so long
NO_PUSH = -1e6  # m; lower end of the dead band: a tendon never gets so short


def locks(door):
    return door.gear_loss >= 1.0


class NotCovered(Exception):
    """The door has something that the MuJoCo model leaves out."""


def body_text(name, mass, damping, friction, step):
    loss = f'frictionloss="1" solreffriction="{2 * step} 1" solimpfriction="0.9999 0.9999 0.001 0.5 2"' if friction else ""
    return (f'<body><joint name="{name}" type="slide" axis="1 0 0" damping="{damping}" {loss}/>'
            f'<geom type="sphere" size="0.01" mass="{mass}" contype="0" conaffinity="0"/></body>')


def model_text(door, obstacle, step):
    bodies = [body_text(f"q{b}", mass, door.viscous if b in door.leaves else 0.0, True, step)
              for b, mass in enumerate(door.mass)]
    if obstacle and obstacle.moves:
        bodies.append(body_text("obstacle", obstacle.mass, 0.0, False, step))
    rows = [{s.i: -1.0, s.j: 1.0} for s in door.spans]
    for slow, front in door.links:
        rows += [{slow: 2.0, front: -1.0}, {slow: -2.0, front: 1.0}]
    tendons = []
    for row in rows:
        joints = "".join(f'<joint joint="q{b}" coef="{share}"/>' for b, share in row.items())
        tendons.append(f'<fixed stiffness="1" damping="1">{joints}</fixed>')
    return (f'<mujoco><option timestep="{step}" gravity="0 0 0" integrator="RK4"/>'
            f'<worldbody>{"".join(bodies)}</worldbody><tendon>{"".join(tendons)}</tendon></mujoco>')


class Edge:
    """An obstacle at the closing edge: F = max(0, k_t (d - z)), c dz/dt + E(z) = n F, exact over a step for the depth d in
    its middle, the branch of E(z) being that of its beginning."""

    def __init__(self, door, contact):
        self.door, self.contact, self.z, self.greatest = door, contact, 0.0, 0.0

    def force(self, t, depth, step):
        """Mean over the step, N."""
        c, edge, n = self.contact, self.door.edge, len(self.door.fronts)
        if c.touched_at is None and depth > 0.0:
            c.touched_at = t
        pressed = depth > self.z and c.touched_at is not None and c.present(t)
        if edge.c == 0.0:
            found = edge.at_rest(depth, c.k) if pressed else 0.0
        else:
            k = edge.k_2 if self.z > edge.knee else edge.k_1
            pushing, held = (n * c.k if pressed else 0.0), edge.spring(self.z) - k * self.z  # E(z) = k z + held
            rate = (pushing + k) / edge.c
            end = (pushing * depth - held) / (pushing + k)
            left = math.exp(-rate * step)
            mean = end + (self.z - end) * (1 - left) / (rate * step)
            self.z = end + (self.z - end) * left
            found = max(0.0, c.k * (depth - mean)) if pressed else 0.0
        self.greatest = max(self.greatest, found)
        return found


class MujocoDoor:
    """The mechanics, tick by tick. `stepping_s` is the time spent inside the engine."""

    def __init__(self, door):
        o = door.parameters["obstacle"]
        if door.motor:
            raise NotCovered("a rotor parted from its pulley is not in the MuJoCo model")
        contact = o and Contact(o["gap_m"], o["stiffness_n_per_m"], o["stays_s"], o["mass_kg"],
                                max(0.0, o["gap_m"] - o["depth_m"]))
        self.door, self.tick = door, door.parameters["controller"]["tick_s"]
        self.steps = STEPS_PER_TICK * (FINER_WHERE_LOCKED if locks(door) else 1)
        self.step_s = self.tick / self.steps
        self.model = mujoco.MjModel.from_xml_string(model_text(door, contact, self.step_s))
        self.data = mujoco.MjData(self.model)
        self.equations, self.edge, self.in_the_way = Equations(door), contact and Edge(door, contact), False
        self.current = self.speed_before = self.stepping_s = self.t = 0.0

    def advance(self, voltage, open_winding):
        """One tick; returns what the winding took, J."""
        current = self.mean_current(voltage, open_winding)
        for _ in range(self.steps):
            self.set_forces(current)
            start = time.process_time()
            mujoco.mj_step(self.model, self.data)
            self.stepping_s += time.process_time() - start
            self.t += self.step_s
        return voltage * current * self.tick

    def set_forces(self, current):
        """Springs, friction bounds and applied forces of the next step, from the state of now."""
        d, eq, data, n = self.door, self.equations, self.data, self.door.n
        y = eq.y
        y[:n], y[n:2 * n] = data.qpos[:n].tolist(), data.qvel[:n].tolist()
        for body in d.fronts:
            eq.touching[body, -1], eq.touching[body, 1] = y[body] < d.closed_stop, y[body] > d.open_stop
        eq.windows = [f["from_m"] <= y[body] <= f["to_m"] for body, f in d.listed]
        it = eq.now(y)
        it.contact = self.contact_force()
        self.set_tendons(y)
        for b in range(n):
            data.qfrc_applied[b] = d.k_rim * current if b == d.motor else 0.0
            if b in d.hangers:
                slide = 0 if abs(y[n + b]) < STANDS_BELOW else (1 if y[n + b] > 0.0 else -1)
                force, self.model.dof_frictionloss[b], _ = eq.hang(self.t, y, b, it, slide)
                data.qfrc_applied[b] = force - it.pull[b] + d.viscous * y[n + b]  # the joint has that damping
            else:
                self.model.dof_frictionloss[b] = eq.on_body(b, self.t, y, it, 0)[1]

    def set_tendons(self, y):
        """Stiffness at these leaf positions; a slack one has no damping either."""
        d, m = self.door, self.model
        springs = [(d.ea / (s.base + s.sign * y[s.leaf]), d.t0) for s in d.spans]
        springs += [(d.second_k, d.second_t0)] * (2 * len(d.links)) if d.links else []
        for number, ((k, t0), pull) in enumerate(zip(springs, self.equations.tensions(y))):
            m.tendon_stiffness[number] = k
            m.tendon_damping[number] = d.tau_b * k if pull > 0.0 else 0.0
            m.tendon_lengthspring[number] = NO_PUSH, -t0 / k

    def contact_force(self):
        if not self.in_the_way:
            return 0.0
        d, q, v, c, n = self.door, self.data.qpos, self.data.qvel, self.edge.contact, self.door.n
        if c.moves and q[n] >= c.room:  # at the jamb, where it stays
            c.moves, q[n], v[n], self.data.qfrc_applied[n] = False, c.room, 0.0, 0.0
        pushed = (q[n], v[n]) if c.mass is not None else (0.0, 0.0)
        closing = -sum(v[b] for b in d.fronts) - pushed[1]
        depth = c.gap - d.clear_opening(q) - pushed[0] + 0.5 * self.step_s * closing
        force = self.edge.force(self.t, depth, self.step_s)
        if c.moves:
            self.data.qfrc_applied[n] = force
        return force

    def mean_current(self, voltage, open_winding):
        """Over the next tick, at the speed in its middle if the drive goes on as in the tick before: i goes to (V - K w)/R
        with L/R."""
        d, speed = self.door, float(self.data.qvel[0])
        middle, self.speed_before = 1.5 * speed - 0.5 * self.speed_before, speed
        if open_winding:
            self.current = 0.0
            return 0.0
        end = (voltage - d.k_rim * middle) / d.resistance
        if d.quasi_static:
            self.current = end
            return end
        tau = d.inductance / d.resistance
        left = math.exp(-self.tick / tau)
        mean = end + (self.current - end) * tau / self.tick * (1 - left)
        self.current = end + (self.current - end) * left
        return mean


class Rest:
    """Whether a stopped door, or one without power, stands for good."""

    def __init__(self, plant):
        self.plant, self.since = plant, 0.0

    def reached(self, controller):
        plant, n = self.plant, self.plant.door.n
        if controller.state not in ("stopped", "off") or controller.told or max(map(abs, plant.data.qvel[:n])) > STANDS_BELOW:
            self.since = plant.t
        return plant.t - self.since >= AT_REST_S


def run_cycle(door, arrivals=()):
    """One whole run. Returns the clear opening at every tick, m, the plant, and the controller's log. `arrivals`: see the
    controller."""
    plant, controller, supply = MujocoDoor(door), Controller(door), Supply(door.parameters)
    controller.arrivals, rest = list(arrivals), Rest(plant)
    if door.parameters["timeline"]["run"] == "learning":
        controller.learn(0.0, -1)
    else:
        controller.command(0.0, 1, "open")
    openings, k = [], 0
    while k * plant.tick < LONGEST_RUN_S and not rest.reached(controller):
        t = k * plant.tick
        if controller.state == "closed" and t - controller.t_arrival >= AFTER_CLOSED_S - SAME_TIME:
            break
        openings.append(door.clear_opening(plant.data.qpos))
        controller.bus_v = supply.voltage
        command = controller.step(t, float(plant.data.qpos[0]))
        plant.in_the_way = plant.in_the_way or (plant.edge is not None and controller.state == "closing")
        supply.settle(plant.advance(*command), plant.tick)
        k += 1
    return openings, plant, controller.log
