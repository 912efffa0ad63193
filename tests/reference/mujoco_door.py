"""The mechanics of a door in MuJoCo, a general-purpose rigid-body engine; controller and winding stay in Python.

Drive, leaves and return pulley are bodies on slide joints along the belt, without gravity; each span is a fixed
tendon with spring and damper; friction is MuJoCo's friction loss at each joint. What differs from the twin: friction
loss is a soft constraint, so a body at rest creeps a little; a tendon can push, so a belt that goes slack is outside;
span stiffness, friction bounds and current are set once a tick. Without contact: no obstacle and no listed forces.
"""

import math
import time

import mujoco

from controller import SAME_TIME, Controller
from twin import AFTER_CLOSED_S, LONGEST_RUN_S



class NotCovered(Exception):
    """The door has something that the MuJoCo model leaves out."""


# The engine's fastest; on the reference door as close to the twin as 40, for friction loss stays soft.
STEPS_PER_TICK = 1


def model_text(door, step):
    bodies, spans = [], []
    for b, mass in enumerate(door.mass):
        viscous = door.viscous if b in door.leaves else 0.0
        bodies.append(f'<body><joint name="q{b}" type="slide" axis="1 0 0" damping="{viscous}" frictionloss="1" '
                      f'solreffriction="{2 * step} 1" solimpfriction="0.99 0.9999 0.001 0.5 2"/>'
                      f'<geom type="sphere" size="0.01" mass="{mass}" contype="0" conaffinity="0"/></body>')
    for number, s in enumerate(door.spans):
        spans.append(f'<fixed name="span{number}" stiffness="1" damping="1"><joint joint="q{s.i}" coef="-1"/>'
                     f'<joint joint="q{s.j}" coef="1"/></fixed>')
    return (f'<mujoco><option timestep="{step}" gravity="0 0 0" integrator="implicitfast"/>'
            f'<worldbody>{"".join(bodies)}</worldbody><tendon>{"".join(spans)}</tendon></mujoco>')


class MujocoDoor:
    """The mechanics, tick by tick. `stepping_s` is the time spent inside the engine."""

    def __init__(self, door):
        p = door.parameters
        if door.listed or p["faults"] or p["obstacle"] is not None or door.links or door.motor:
            raise NotCovered("listed forces, uneven rails, obstacles, slow leaves and play are not in the MuJoCo model")
        self.door, self.tick = door, door.parameters["controller"]["tick_s"]
        self.model = mujoco.MjModel.from_xml_string(model_text(door, self.tick / STEPS_PER_TICK))
        self.data = mujoco.MjData(self.model)
        self.current = self.stepping_s = 0.0

    def step(self, voltage, open_winding):
        self.set_belt()
        force = self.applied_forces()
        force[0] += self.door.k_rim * self.mean_current(voltage, open_winding)
        self.data.qfrc_applied[:] = force
        start = time.perf_counter()
        mujoco.mj_step(self.model, self.data, nstep=STEPS_PER_TICK)
        self.stepping_s += time.perf_counter() - start

    def set_belt(self):
        """Stiffness of each span at this leaf position, and the friction bounds that follow from the tensions."""
        d, q, v = self.door, self.data.qpos, self.data.qvel
        tension = []
        for number, s in enumerate(d.spans):
            k = d.ea / (s.base + s.sign * q[s.leaf])
            self.model.tendon_stiffness[number] = k
            self.model.tendon_damping[number] = d.tau_b * k
            self.model.tendon_lengthspring[number] = -d.t0 / k
            tension.append(d.t0 + k * (q[s.j] - q[s.i] + d.tau_b * (v[s.j] - v[s.i])))
        for b in range(d.n):
            ahead, behind = tension[b], tension[b - 1]
            if b in d.leaves:
                weight = sum(d.hangers[b].static)
                fade = 1 + d.extra * math.exp(-((v[b] / d.v_fade) ** 2))
                bound = d.rolling * weight * fade + d.brush + d.guide[b]
            else:
                bound = d.bearing * (ahead + behind) + d.pulley_drag
                if b == 0:
                    bound += d.rotor_drag + d.gear_loss * abs(ahead - behind)
            self.model.dof_frictionloss[b] = bound

    def applied_forces(self):
        """Slope, end seal and stops on the leaves, N."""
        d, force = self.door, [0.0] * self.door.n
        for b in d.leaves:
            x, v = self.data.qpos[b], self.data.qvel[b]
            force[b] = d.weight_along[b] + d.seal_k * max(0.0, d.seal_length - x)
            if x < d.closed_stop:
                force[b] += max(0.0, d.stop_k * (d.closed_stop - x) - d.stop_c * v)
            if x > d.open_stop:
                force[b] -= max(0.0, d.stop_k * (x - d.open_stop) + d.stop_c * v)
        return force

    def mean_current(self, voltage, open_winding):
        """Over the next tick, at the speed of now: i goes to (V - K w)/R with L/R."""
        d = self.door
        if open_winding:
            self.current = 0.0
            return 0.0
        end = (voltage - d.k_rim * self.data.qvel[0]) / d.resistance
        if d.quasi_static:
            self.current = end
            return end
        tau = d.inductance / d.resistance
        left = math.exp(-self.tick / tau)
        mean = end + (self.current - end) * tau / self.tick * (1 - left)
        self.current = end + (self.current - end) * left
        return mean


def run_cycle(door):
    """One whole cycle. Returns the clear opening at every tick, m, and the time spent inside the engine, s."""
    plant, controller = MujocoDoor(door), Controller(door)
    controller.command(0.0, 1, "open")
    openings, k = [], 0
    while k * plant.tick < LONGEST_RUN_S:
        t = k * plant.tick
        if controller.state == "closed" and t - controller.t_arrival >= AFTER_CLOSED_S - SAME_TIME:
            break
        openings.append(door.clear_opening(plant.data.qpos))
        plant.step(*controller.step(t, float(plant.data.qpos[0])))
        k += 1
    return openings, plant.stepping_s, controller.log
