"""The equations of motion between two ticks: state in, rates out.

    M_b dv_b/dt = pull of the belt + other forces - friction          dq_b/dt = v_b
    T = max(0, T_0 + k e + tau_b k de/dt),  k = EA/l(x)
    second loop, two lengths: e = +-(2 q_slow - q_front),  k = EA_2/L_2;  pull T_A - T_B in front, 2 (T_B - T_A) behind
    rotor parted from its pulley: F = k d + c dd/dt, pushing only, d = q_rotor - q_drive beyond half the play
    L di/dt = V - R i - K w                                           (i at once where L/R is under 50 us)
    edge and obstacle: F = max(0, k_t (d - z)),  c dz/dt = n F - E(z)   (edge.py); at the closing edge d = g - w - y, at the
    rear edge of leaf j  d = x_j - (c_r + S - g)

Friction is set-valued on each body: a body at v = 0 stays exactly there while the other forces on it stay within its
bound. Each body is therefore either at rest (slide 0) or sliding (slide +1 or -1), and which it is changes only at an
event (plant.py).

The state is [q of each body, v of each body, i, z, four running integrals: of the contact force, of V i, of the
positive part of V i, of i^2, place and speed of an obstacle that is pushed along].
"""

import math


class Contact:
    """Something `gap` from closed: the tester, or an obstacle that goes `stays` after it was first touched. With a mass
    it is pushed along, as far as `room`."""

    def __init__(self, gap, stiffness, stays=math.inf, mass=None, room=0.0):
        self.gap, self.k, self.stays, self.mass, self.room = gap, stiffness, stays, mass, room
        self.touched_at, self.body = None, None
        self.moves = mass is not None

    def present(self, t):
        return self.touched_at is None or t < self.touched_at + self.stays

    def edge(self, door):
        return door.edge

    def depth(self, door, y):
        """How far leaf, or leaves, and obstacle are into each other, m; negative: apart."""
        return self.gap - door.clear_opening(y) - y[2 * door.n + 6]

    def push(self, door, body, force):
        """(force, its depth below the rail) on this leaf, opening positive, N and m."""
        return force, door.contact_depth


class RearContact(Contact):
    """The tester on the next fixed part behind the leaf `body`, in what is left there when it is `gap` wide."""

    def __init__(self, body, gap, stiffness):
        super().__init__(gap, stiffness)
        self.body = body

    def edge(self, door):
        return door.rear

    @staticmethod
    def place(door, gap):
        """Leaf position at which the space behind it is `gap` wide, m."""
        return door.rear_clearance + door.stroke - gap

    def depth(self, door, y):
        return y[self.body] - self.place(door, self.gap)

    def push(self, door, body, force):
        return (-force if body == self.body else 0.0), door.rear_depth


class Now:
    """What every body feels at one instant: tensions of the spans, pull of the belt on each body, current, push of the
    rotor on the pulley, force at the edge and rate of the edge compression."""

    __slots__ = ("tension", "pull", "current", "push", "contact", "z_rate")


class Equations:
    """A door between two ticks. `voltage`, `open_winding` and `contact` are set from outside."""

    def __init__(self, door):
        self.door, self.contact = door, None
        self.n = door.n
        self.t, self.y = 0.0, [0.0] * (2 * door.n + 8)
        self.slide = [0] * door.n
        self.touching = {(body, end): False for body in door.fronts for end in (-1, 1)}
        self.windows = [f["from_m"] <= 0.0 <= f["to_m"] for _, f in door.listed]
        self.pressing = False  # the contact acts, during the step in hand
        self.flat = False  # the edge is pressed flat, as told by the last event there
        self.mesh_side = 0 if door.half_play > 0.0 else 1  # flank on which rotor and pulley meet; 0: within their play
        self.voltage, self.open_winding = 0.0, False
        self.rows = [(s.i, s.j, s.base, s.leaf, s.sign) for s in door.spans]
        self.behind = dict(door.links)

    def place(self, opening):
        """Puts the leaves, and the belt with them, at rest at this opening of each leaf with a closing edge, m."""
        self.y[:self.n] = [opening] * self.n
        for slow, _ in self.door.links:
            self.y[slow] = opening / 2
        self.windows = [f["from_m"] <= self.y[body] <= f["to_m"] for body, f in self.door.listed]

    def current(self, y):
        """Winding current, A."""
        if self.open_winding:
            return 0.0
        if self.door.quasi_static:
            return (self.voltage - self.door.k_rim * y[self.n + self.door.motor]) / self.door.resistance
        return y[2 * self.n]

    def tensions(self, y, slack_too=False):
        """Tension of each span, of the second loops last, N; `slack_too`: negative where a span is slack."""
        d, n = self.door, self.n
        ea, t0, tau = d.ea, d.t0, d.tau_b
        out = []
        for i, j, base, leaf, sign in self.rows:
            out.append(t0 + ea / (base + sign * y[leaf]) * (y[j] - y[i] + tau * (y[n + j] - y[n + i])))
        for slow, front in d.links:
            pull = d.second_k * (2 * y[slow] - y[front] + tau * (2 * y[n + slow] - y[n + front]))
            out += [d.second_t0 + pull, d.second_t0 - pull]
        return out if slack_too or min(out) >= 0.0 else [max(0.0, pull) for pull in out]

    def pulls(self, tension):
        """Net pull of the belts on each body, N."""
        d = self.door
        out = [tension[b] - tension[b - 1 if b else d.ring - 1] for b in range(d.ring)]
        for number, (_, front) in enumerate(d.links):
            apart = tension[d.ring + 2 * number] - tension[d.ring + 2 * number + 1]
            out[front] += apart
            out.append(-2 * apart)
        return out

    def contact_force(self, y):
        """Force between edge and obstacle, N, and the rate of the edge compression, m/s."""
        d, c = self.door, self.contact
        z, edge = y[2 * self.n + 1], self.edge_in_touch()
        if c is None or not self.pressing:
            return 0.0, edge.rate(z, 0.0)
        depth = c.depth(d, y)
        if edge.c == 0.0:
            return edge.at_rest(depth, c.k), 0.0
        force = c.k * (depth - z) if depth > z else 0.0
        return force, edge.rate(z, force)

    def edge_in_touch(self):
        return self.door.edge if self.contact is None else self.contact.edge(self.door)

    def compression(self, y):
        """How far the touching edges are pressed together in all, m."""
        if self.edge_in_touch().c:
            return y[2 * self.n + 1]
        if self.contact is None or not self.pressing:
            return 0.0
        return max(0.0, self.contact.depth(self.door, y)) - self.contact_force(y)[0] / self.contact.k

    def mesh_push(self, y):
        """What the rotor pushes its pulley with, opening positive, N: teeth push and never pull."""
        side, d = self.mesh_side, self.door
        if not d.motor or not side:
            return 0.0
        depth = y[d.motor] - y[0] - side * d.half_play
        closing = y[self.n + d.motor] - y[self.n]
        return side * max(0.0, side * (d.mesh_k * depth + d.mesh_c * closing))

    def now(self, y):
        """What all bodies share at this state."""
        it = Now()
        it.tension = self.tensions(y)
        it.pull = self.pulls(it.tension)
        it.current = self.current(y)
        it.push = self.mesh_push(y)
        it.contact, it.z_rate = self.contact_force(y)
        return it

    def leaf_forces(self, t, y, body, contact):
        """All on a leaf but belt, rails and set-valued friction, N; sum of force times depth, N m; and the set-valued
        friction of listed forces with that sum of it, N and N m."""
        d, n = self.door, self.n
        x, v = y[body], y[n + body]
        weight = d.weight_along[body]
        force, depths = weight - d.viscous * v, weight * d.gravity_depth
        if body not in self.behind:  # seal, stops and obstacle meet the leaf in front
            seal = d.seal_k * (d.seal_length - x) if x < d.seal_length else 0.0
            pushed, pushed_depth = self.contact.push(d, body, contact) if self.contact else (contact, d.contact_depth)
            force += seal + pushed
            depths += seal * d.contact_depth + pushed * pushed_depth
            if self.touching[body, -1]:
                force += max(0.0, d.stop_k * (d.closed_stop - x) - d.stop_c * v)
            if self.touching[body, 1]:
                force -= max(0.0, d.stop_k * (x - d.open_stop) + d.stop_c * v)
        drag = drag_depths = 0.0
        for (owner, f), active in zip(d.listed, self.windows):
            if owner == body and active and f["start_s"] <= t <= f["end_s"]:
                push = (f["constant_n"] + f["stiffness_n_per_m"] * (f["rest_m"] - x)
                        - f["damping_n_s_per_m"] * v)
                force += push
                depths += push * f["depth_m"]
                drag += f["drag_n"]
                drag_depths += f["drag_n"] * f["depth_m"]
        return force, depths, drag, drag_depths

    def hang(self, t, y, body, it, slide):
        """A leaf on its hangers: (force without set-valued friction, bound of that friction, loads), N.

        What friction holds a leaf at rest is not known place by place: its loads leave it out. Whether it is overcome is
        asked with all friction against the force, so that a leaf that sets off slides as it was told to."""
        d, hangers, v, pull = self.door, self.door.hangers[body], y[self.n + body], it.pull[body]
        other, depths, drag, drag_depths = self.leaf_forces(t, y, body, it.contact)
        drag += d.brush + d.guide[body]
        drag_depths += d.brush * d.gravity_depth + d.guide[body] * d.guide_depth
        if body in self.behind:  # the pulleys of its loop rub at its own speed, at rail height
            number = 2 * body - d.ring
            drag += 2 * (d.bearing * (it.tension[number] + it.tension[number + 1]) + d.pulley_drag)
        rolling = d.rolling * (1.0 + d.extra * math.exp(-((v / d.v_fade) ** 2)))
        moment = pull * hangers.belt_height - depths + slide * drag_depths
        loads, rise = hangers.carry(y[body], pull + other - slide * drag, moment, rolling, slide, d.mass[body])
        carried = loads
        if not slide:
            towards = math.copysign(1.0, pull + other - loads[0] * rise[0] - loads[1] * rise[1])
            carried, _ = hangers.carry(y[body], 0.0, moment + towards * drag_depths, rolling, 0, d.mass[body])
        rails = -carried[0] * rise[0] - carried[1] * rise[1]
        return pull + other + rails, drag + rolling * (abs(carried[0]) + abs(carried[1])), loads

    def on_body(self, b, t, y, it, slide):
        """Force on a body without set-valued friction, and the bound of that friction, N."""
        d = self.door
        if b in d.hangers:
            return self.hang(t, y, b, it, slide)[:2]
        force = bound = 0.0
        if b < d.ring:
            force = it.pull[b]
            bound = d.bearing * (it.tension[b] + it.tension[b - 1 if b else d.ring - 1]) + d.pulley_drag
        if b == d.motor:
            through_gear = -it.push if d.motor else force
            bound += d.rotor_drag + d.gear_loss * abs(through_gear)
            force = through_gear + d.k_rim * it.current
        elif b == 0:
            force += it.push
        return force, bound

    def forces(self, t, y, slide=None):
        """`on_body` of every body, as two lists, and what they share. `slide`: taken as sliding so."""
        slide, it = self.slide if slide is None else slide, self.now(y)
        each = [self.on_body(b, t, y, it, slide[b]) for b in range(self.n)]
        return [force for force, _ in each], [bound for _, bound in each], it

    def hanger_loads(self, t, y):
        """(leading, trailing) of each leaf, N."""
        it = self.now(y)
        return [self.hang(t, y, b, it, self.slide[b])[2] for b in self.door.leaves]

    def rate(self, t, y):
        """Time derivative of the state, with the slides of this step held."""
        if not isinstance(y, list):
            y = y.tolist()
        d, n, it = self.door, self.n, self.now(y)
        out = [0.0] * len(y)
        for b, s in enumerate(self.slide):
            if s:
                force, bound = self.on_body(b, t, y, it, s)
                out[b], out[n + b] = y[n + b], (force - s * bound) / d.mass[b]
        current = it.current
        if not (d.quasi_static or self.open_winding):
            out[2 * n] = (self.voltage - d.resistance * current - d.k_rim * y[n + d.motor]) / d.inductance
        power = self.voltage * current
        out[2 * n + 1:2 * n + 6] = [it.z_rate, it.contact, power, max(0.0, power), current * current]
        if self.contact is not None and self.contact.moves:
            out[2 * n + 6:2 * n + 8] = [y[2 * n + 7], it.contact / self.contact.mass]
        return out
