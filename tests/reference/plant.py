"""A door between two ticks, integrated by SciPy's DOP853 with located events.

The step is cut where a sliding body stops, where a body at rest is overcome, where an end stop is touched or left, where
rotor and pulley meet or part, where a wheel comes to a kink of the rail, where an edge is pressed flat or springs back, and
where a listed force begins or ends. Other kinks (slack, seal, contact) are continuous and left to the error control.
"""

import bisect
import math

import numpy
from scipy.integrate import DOP853
from scipy.optimize import brentq

from equations import Equations

RTOL = 1e-9
ATOL = 1e-11  # m, m/s, A, N s, J: far under what is compared
ROUNDING_N = 1e-10  # N; a body at rest is overcome by more than its bound and this, or rounding makes it chatter
KINK_M = 1e-12  # m; nearer to a kink of the rail than this is on it
# s; the longest step while anything moves: its ends are what extremes are read off, two of them a tick. A hair over half
# a tick, so that rounding leaves no third step.
FINEST_SAMPLING = 0.500001e-3
FIRST_STEP = 2e-5  # s; after a switch


class Plant(Equations):
    """The equations, and their way through time."""

    rtol, atol, finest = RTOL, ATOL, FINEST_SAMPLING
    method = DOP853

    def __init__(self, door):
        super().__init__(door)
        self.next_step = FIRST_STEP  # what the error control asked for last, s
        self.knock = 0.0  # greatest speed at which rotor and pulley have met across their play, m/s
        self.cuts = sorted({f[key] for _, f in door.listed for key in ("start_s", "end_s")})

    # -- events ------------------------------------------------------------------------------------------------

    def settle(self):
        """Chooses rest or sliding for every body at v = 0, and the flags that are exactly on an edge."""
        n, d = self.n, self.door
        if self.open_winding:
            self.y[2 * n] = 0.0
        standing = [0 if self.y[n + b] == 0.0 and not d.frictionless[b] else s for b, s in enumerate(self.slide)]
        it = None
        for b in range(n):
            if d.frictionless[b]:
                self.slide[b] = 1  # moves freely either way; the sign multiplies a bound of zero
            elif self.y[n + b] == 0.0:
                it = it or self.now(self.y)
                force, bound = self.on_body(b, self.t, self.y, it, standing[b])
                self.slide[b] = 0 if abs(force) <= bound + ROUNDING_N else (1 if force > 0 else -1)
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
                force, bound = self.on_body(b, t, y, self.now(y), 0)
                return abs(force) - bound - ROUNDING_N
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
        out += self.mesh_switches()
        for body, hangers in self.door.hangers.items():
            if not hangers.kinks:
                continue
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
            out.append((lambda t, y: self.contact.depth(self.door, y), ("contact", None)))
        knee = self.edge_in_touch().knee
        if math.isfinite(knee):
            sign = -1.0 if self.flat else 1.0
            out.append((lambda t, y: sign * (self.compression(y) - knee), ("knee", None)))
        return out

    def mesh_switches(self):
        """Where the rotor comes to a flank of the play, or leaves it."""
        d, side = self.door, self.mesh_side
        if not d.motor:
            return []
        ahead = lambda y: y[d.motor] - y[0]  # noqa: E731
        if side:
            return [(lambda t, y: d.half_play - side * ahead(y), ("mesh", 0 if d.half_play > 0.0 else -side))]
        return [(lambda t, y: ahead(y) - d.half_play, ("mesh", 1)), (lambda t, y: -ahead(y) - d.half_play, ("mesh", -1))]

    def switch(self, what, t):
        kind, which = what
        if kind == "stop":
            self.y[self.n + which] = 0.0
        elif kind == "overcome":
            force, _ = self.on_body(which, t, self.y, self.now(self.y), 0)
            self.slide[which] = 1 if force > 0 else -1
        elif kind == "touch":
            self.touching[which] = not self.touching[which]
        elif kind == "mesh":
            self.mesh_side = which
            if which and self.door.half_play > 0.0:
                self.knock = max(self.knock, abs(self.y[self.n + self.door.motor] - self.y[self.n]))
        elif kind == "window":
            self.windows[which] = not self.windows[which]
        elif kind == "contact":
            self.contact.touched_at = t
        elif kind == "knee":
            self.flat = not self.flat
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
                             first_step=min(stop - self.t, self.next_step) if moving else stop - self.t)
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
                self.next_step = FIRST_STEP
                return t_hit - start, what
            self.t, self.y = t1, y1
            watch(t0, y0, t1, y1, at)
        self.next_step = max(FIRST_STEP, min(solver.h_abs, self.finest))
        return None
