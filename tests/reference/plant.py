"""The equations of motion between two ticks, and their integration by SciPy's DOP853 with located events.

    M_b dv_b/dt = T_ahead - T_behind + other forces - friction        dq_b/dt = v_b
    T = max(0, T_0 + k e + tau_b k de/dt),  k = EA/l(x)
    L di/dt = V - R i - K w                                           (i at once where L/R is under 50 us)
    edge and obstacle: F = max(0, k_t (d - z)),  c dz/dt = n F - k_e z

Friction is set-valued on each body: a body at v = 0 stays exactly there while the other forces on it stay within its
bound. Each body is therefore either at rest (slide 0) or sliding (slide +1 or -1); the step is cut where a sliding
body stops, where a body at rest is overcome, where an end stop is touched or left, where a wheel comes to a kink of the rail
and where a listed force begins or ends. Other kinks (slack, seal, contact) are continuous and left to the error control.

The state is [q of each body, v of each body, i, z, four running integrals: of the contact force, of V i, of the
positive part of V i, of i^2, place and speed of an obstacle that is pushed along].
"""

import bisect
import math

import numpy
from scipy.integrate import DOP853
from scipy.optimize import brentq

RTOL = 1e-9
ATOL = 1e-11  # m, m/s, A, N s, J: far under what is compared
ROUNDING_N = 1e-10  # N; a body at rest is overcome by more than its bound and this, or rounding makes it chatter
KINK_M = 1e-12  # m; nearer to a kink of the rail than this is on it
FINEST_SAMPLING = 0.25e-3  # s; the longest step while anything moves, so that belt tones are seen


class Contact:
    """Something `gap` from closed: the tester, or an obstacle that goes `stays` after it was first touched. With a mass
    it is pushed along, as far as `room`."""

    def __init__(self, gap, stiffness, stays=math.inf, mass=None, room=0.0):
        self.gap, self.k, self.stays, self.mass, self.room = gap, stiffness, stays, mass, room
        self.touched_at = None
        self.moves = mass is not None

    def present(self, t):
        return self.touched_at is None or t < self.touched_at + self.stays


class Plant:
    """A door between two ticks. `voltage`, `open_winding` and `contact` are set from outside."""

    rtol, atol, finest = RTOL, ATOL, FINEST_SAMPLING
    method = DOP853

    def __init__(self, door):
        self.door, self.contact = door, None
        self.n = door.n
        self.t, self.y = 0.0, [0.0] * (2 * door.n + 8)
        self.slide = [0] * door.n
        self.touching = {(body, end): False for body in door.leaves for end in (-1, 1)}
        self.windows = [f["from_m"] <= 0.0 <= f["to_m"] for _, f in door.listed]
        self.pressing = False  # the contact acts, during the step in hand
        self.voltage, self.open_winding = 0.0, False
        self.cuts = sorted({f[key] for _, f in door.listed for key in ("start_s", "end_s")})

    def place(self, leaf_positions):
        """Puts the leaves, and the belt with them, at rest at the given opening of each leaf (all equal), m."""
        for b in range(self.n):
            self.y[b] = leaf_positions
        self.windows = [f["from_m"] <= leaf_positions <= f["to_m"] for _, f in self.door.listed]

    # -- equations ---------------------------------------------------------------------------------------------

    def current(self, y):
        """Winding current, A."""
        if self.open_winding:
            return 0.0
        if self.door.quasi_static:
            return (self.voltage - self.door.k_rim * y[self.n]) / self.door.resistance
        return y[2 * self.n]

    def tensions(self, y):
        """Tension of each span, N."""
        d, n = self.door, self.n
        out = []
        for s in d.spans:
            k = d.ea / (s.base + s.sign * y[s.leaf])
            out.append(max(0.0, d.t0 + k * (y[s.j] - y[s.i] + d.tau_b * (y[n + s.j] - y[n + s.i]))))
        return out

    def contact_force(self, y):
        """Force between edge and obstacle, N, and the rate of the edge compression, m/s."""
        d, c = self.door, self.contact
        n_edges, z = len(d.leaves), y[2 * self.n + 1]
        depth = c.gap - d.clear_opening(y) - y[2 * self.n + 6] if c is not None and self.pressing else -math.inf
        if d.edge_c == 0.0:
            if depth <= 0.0:
                return 0.0, 0.0
            return depth / (1.0 / c.k + n_edges / d.edge_k), 0.0
        force = c.k * (depth - z) if depth > z else 0.0
        return force, (n_edges * force - d.edge_k * z) / d.edge_c

    def leaf_forces(self, t, y, body, contact):
        """All on a leaf but belt, rails and set-valued friction, N; sum of force times depth, N m; and the set-valued
        friction of listed forces with that sum of it, N and N m."""
        d, n = self.door, self.n
        x, v = y[body], y[n + body]
        at_edge = contact + (d.seal_k * (d.seal_length - x) if x < d.seal_length else 0.0)
        weight = d.weight_along[body]
        force = at_edge - d.viscous * v + weight
        depths = at_edge * d.contact_depth + weight * d.gravity_depth
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

    def hang(self, t, y, body, pull, contact, slide):
        """A leaf on its hangers: (force without set-valued friction, bound of that friction, loads), N.

        What friction holds a leaf at rest is not known place by place: its loads leave it out. Whether it is overcome is
        asked with all friction against the force, so that a leaf that sets off slides as it was told to."""
        d, hangers, v = self.door, self.door.hangers[body], y[self.n + body]
        other, depths, drag, drag_depths = self.leaf_forces(t, y, body, contact)
        drag += d.brush + d.guide[body]
        drag_depths += d.brush * d.gravity_depth + d.guide[body] * d.guide_depth
        rolling = d.rolling * (1.0 + d.extra * math.exp(-((v / d.v_fade) ** 2)))
        moment = pull * hangers.belt_height - depths + slide * drag_depths
        loads, rise = hangers.carry(y[body], pull + other - slide * drag, moment, rolling, slide, d.mass[body])
        carried = loads
        if not slide:
            towards = math.copysign(1.0, pull + other - loads[0] * rise[0] - loads[1] * rise[1])
            carried, _ = hangers.carry(y[body], 0.0, moment + towards * drag_depths, rolling, 0, d.mass[body])
        rails = -carried[0] * rise[0] - carried[1] * rise[1]
        return pull + other + rails, drag + rolling * (abs(carried[0]) + abs(carried[1])), loads

    def forces(self, t, y, slide=None):
        """For each body the force on it without set-valued friction, and the bound of that friction, N; also the
        rate of the edge compression, the contact force, the current and the tensions. `slide`: taken as sliding so."""
        d, n = self.door, self.n
        slide = self.slide if slide is None else slide
        tension = self.tensions(y)
        contact, z_rate = self.contact_force(y)
        current = self.current(y)
        force, bound = [], []
        for b in range(n):
            ahead, behind = tension[b], tension[b - 1]
            pull = ahead - behind
            if b == 0:
                force.append(pull + d.k_rim * current)
                bound.append(d.bearing * (ahead + behind) + d.pulley_drag + d.rotor_drag + d.gear_loss * abs(pull))
            elif b == d.back:
                force.append(pull)
                bound.append(d.bearing * (ahead + behind) + d.pulley_drag)
            else:
                held, most, _ = self.hang(t, y, b, pull, contact, slide[b])
                force.append(held)
                bound.append(most)
        return force, bound, z_rate, contact, current, tension

    def hanger_loads(self, t, y):
        """(leading, trailing) of each leaf, N."""
        tension, (contact, _) = self.tensions(y), self.contact_force(y)
        return [self.hang(t, y, b, tension[b] - tension[b - 1], contact, self.slide[b])[2] for b in self.door.leaves]

    def rate(self, t, y):
        """Time derivative of the state, with the slides of this step held."""
        if not isinstance(y, list):
            y = y.tolist()
        d, n = self.door, self.n
        force, bound, z_rate, contact, current, _ = self.forces(t, y)
        q_rate, v_rate = [], []
        for b, s in enumerate(self.slide):
            q_rate.append(y[n + b] if s else 0.0)
            v_rate.append((force[b] - s * bound[b]) / d.mass[b] if s else 0.0)
        di = 0.0
        if not (d.quasi_static or self.open_winding):
            di = (self.voltage - d.resistance * current - d.k_rim * y[n]) / d.inductance
        power = self.voltage * current
        pushed = [y[2 * n + 7], contact / self.contact.mass] if self.contact and self.contact.moves else [0.0, 0.0]
        return q_rate + v_rate + [di, z_rate, contact, power, max(0.0, power), current * current] + pushed

    # -- events ------------------------------------------------------------------------------------------------

    def settle(self):
        """Chooses rest or sliding for every body at v = 0, and the flags that are exactly on an edge."""
        n, d = self.n, self.door
        if self.open_winding:
            self.y[2 * n] = 0.0
        standing = [0 if self.y[n + b] == 0.0 and not d.frictionless[b] else s for b, s in enumerate(self.slide)]
        force, bound, *_ = self.forces(self.t, self.y, standing)
        for b in range(n):
            if d.frictionless[b]:
                self.slide[b] = 1  # moves freely either way; the sign multiplies a bound of zero
            elif self.y[n + b] == 0.0:
                self.slide[b] = 0 if abs(force[b]) <= bound[b] + ROUNDING_N else (1 if force[b] > 0 else -1)
            else:
                self.slide[b] = 1 if self.y[n + b] > 0 else -1
        for (body, end), touching in self.touching.items():
            if not touching and self.stop_depth(self.y, body, end) == 0.0 and self.slide[body] == end:
                self.touching[body, end] = True

    def stop_depth(self, y, body, end):
        """How far the leaf is beyond the closed (-1) or open (+1) stop, m."""
        return self.door.closed_stop - y[body] if end < 0 else y[body] - self.door.open_stop

    def switches(self):
        """Functions of (t, y) that turn positive where the step has to be cut, each with what to do then."""
        n, out = self.n, []

        def excess(b):
            def g(t, y):
                force, bound, *_ = self.forces(t, y)
                return abs(force[b]) - bound[b] - ROUNDING_N
            return g

        for b, s in enumerate(self.slide):
            if self.door.frictionless[b]:
                continue
            if s:
                out.append((lambda t, y, b=b, s=s: -s * y[n + b], ("stop", b)))
            else:
                out.append((excess(b), ("overcome", b)))
        for (body, end), touching in self.touching.items():
            sign = -1.0 if touching else 1.0
            out.append((lambda t, y, body=body, end=end, sign=sign: sign * self.stop_depth(y, body, end),
                        ("touch", (body, end))))
        for body, hangers in self.door.hangers.items():
            below = bisect.bisect_right(hangers.kinks, self.y[body] + KINK_M)
            above = bisect.bisect_left(hangers.kinks, self.y[body] - KINK_M)
            if below < len(hangers.kinks):
                out.append((lambda t, y, body=body, x=hangers.kinks[below]: y[body] - x, ("kink", body)))
            if above > 0:
                out.append((lambda t, y, body=body, x=hangers.kinks[above - 1]: x - y[body], ("kink", body)))
        for index, (body, f) in enumerate(self.door.listed):
            sign = 1.0 if self.windows[index] else -1.0
            out.append((lambda t, y, body=body, f=f, sign=sign: sign * max(f["from_m"] - y[body], y[body] - f["to_m"]),
                        ("window", index)))
        if self.contact is not None and self.contact.moves:
            out.append((lambda t, y: y[2 * n + 6] - self.contact.room, ("jamb", None)))
        if self.contact is not None and self.contact.touched_at is None:
            out.append((lambda t, y: self.contact.gap - self.door.clear_opening(y), ("contact", None)))
        return out

    def switch(self, what, t):
        kind, which = what
        if kind == "stop":
            self.y[self.n + which] = 0.0
        elif kind == "overcome":
            force, *_ = self.forces(t, self.y)
            self.slide[which] = 1 if force[which] > 0 else -1
        elif kind == "touch":
            self.touching[which] = not self.touching[which]
        elif kind == "window":
            self.windows[which] = not self.windows[which]
        elif kind == "contact":
            self.contact.touched_at = t
        elif kind == "jamb":
            self.contact.moves, self.y[2 * self.n + 7] = False, 0.0
        elif kind == "kink":
            # just beyond it, so that the slope is that of the far side
            self.y[which] += math.copysign(KINK_M / 2, self.y[self.n + which])

    # -- time --------------------------------------------------------------------------------------------------

    def advance(self, t_end, watch):
        """Integrates to `t_end`; `watch(t0, y0, t1, y1, at)` sees each step, `at(t)` gives the state inside it."""
        while self.t < t_end:
            stop = min([c for c in self.cuts if self.t < c < t_end], default=t_end)
            c = self.contact
            if c is not None and c.touched_at is not None and self.t < c.touched_at + c.stays < stop:
                stop = c.touched_at + c.stays
            self.smooth_stretch(stop, watch)

    def smooth_stretch(self, stop, watch):
        """From one cut to the next: new solver after every switch."""
        self.pressing = self.contact is not None and self.contact.present(self.t)
        forced, idle = None, 0
        while self.t < stop:
            self.settle()
            if forced:  # just overcome: |force| - bound is zero to rounding here
                self.slide[forced[0]] = forced[1]
            done = self.until_switch(stop, watch)
            forced = None
            if done is None:
                return
            moved, what = done
            idle = 0 if moved > 0.0 else idle + 1
            if idle > 50:
                raise RuntimeError(f"no progress at t = {self.t} s: {what}")
            self.switch(what, self.t)
            if what[0] == "overcome" and idle < 3:
                forced = (what[1], self.slide[what[1]])

    def until_switch(self, stop, watch):
        """Steps until `stop` (returns None) or until something switches (returns the time moved, and what)."""
        switches = self.switches()
        moving = any(self.slide)
        start = self.t
        solver = self.method(self.rate, self.t, self.y, stop, rtol=self.rtol, atol=self.atol,
                             max_step=self.finest if moving else math.inf,
                             first_step=min(stop - self.t, 2e-5))
        while solver.status == "running":
            with numpy.errstate(invalid="ignore"):  # DOP853 divides by an error that may underflow, then retries
                message = solver.step()
            if solver.status == "failed":
                raise RuntimeError(f"integration failed at t = {solver.t} s: {message}")
            t0, y0, t1, y1 = self.t, self.y, solver.t, solver.y.tolist()
            dense = None

            def at(t):
                nonlocal dense
                if dense is None:
                    dense = solver.dense_output()
                return dense(t).tolist()

            hits = []
            for g, what in switches:
                if g(t1, y1) > 0.0:
                    before = g(t0, y0)
                    hits.append((t0 if before >= 0.0 else brentq(lambda t: g(t, at(t)), t0, t1, xtol=1e-14), what))
            if hits:
                t_hit, what = min(hits, key=lambda h: h[0])
                if t_hit > t0:
                    self.t, self.y = t_hit, at(t_hit)
                    watch(t0, y0, self.t, self.y, at)
                return t_hit - start, what
            self.t, self.y = t1, y1
            watch(t0, y0, t1, y1, at)
        return None
