"""The sampled controller: sees the motor encoder only, gives a voltage that is held until the next tick.

    1  q_hat = floor(q N counts/(2 pi r)) (2 pi r)/(N counts);  v_hat += (dq_hat/T_s - v_hat) T_s/(tau_f + T_s)
    2  state: commands, arrival, obstruction
    3  v_t = min(v_set, sqrt(v_creep^2 + 2 a_brake max(0, d - d_creep))), 0 within d_stop; v_ref follows by ramps,
       with a jerk limit j by an acceleration of at most sqrt(2 j |v_t - v_ref|) that changes by at most j T_s
    4  u = K_p (v_ref - v_hat) + I + i_ff;  i_ref = clamp(u, +-i_lim)
    5  V = clamp(R_25 i_ref + K_25 w_hat, +-V_bus)
    6  I += T_s (K_i (v_ref - v_hat) + ((V - K_25 w_hat)/R_25 - u)/T_aw)
"""

import math

ARRIVED_BELOW = 0.005  # m/s
NEAR_LIMIT = 0.98  # share of the current limit that counts as pushing hard
SAME_TIME = 1e-9  # s; a time that is due within this is due


def clamp(value, bound):
    return max(-bound, min(bound, value))


class Controller:
    """One door's controller. `direction` is +1 opening, -1 closing, 0 standing.

    Where the speed that it sees is within one count of the arrival speed, it arrives at the ticks of `arrivals`, if any.
    A learning run sets out with `learn`: at creep speed closed, then open; an end is where the leaf is held up."""

    def __init__(self, door, q_drive=0.0):
        p = door.parameters
        c = p["controller"]
        self.settings = {1: p["opening"], -1: p["closing"]}
        self.c, self.obstruction = c, p["obstruction"]
        self.tick = c["tick_s"]
        self.kp, self.ki = c["proportional_gain_a_s_per_m"], c["integral_gain_a_per_m"]
        self.full = door.opens
        self.timeline = door.parameters["timeline"]
        self.told = {key for key in ("beam_broken_s", "open_again_s", "power_lost_s") if self.timeline[key] is not None}
        self.r25, self.bus_v = door.r25, door.bus_v
        self.per_metre = door.ratio * c["counts_per_turn"] / (2 * math.pi * door.r)
        self.w_per_v = door.ratio / door.r
        self.k25 = door.k25
        self.react = True
        self.q_hat = math.floor(q_drive * self.per_metre) / self.per_metre
        self.v_hat = self.v_ref = self.a_ref = self.integral = self.i_ref = 0.0
        self.state, self.direction = "closed", 0
        self.t_command = self.t_arrival = 0.0
        self.held_since = self.act_at = None
        self.arrivals = []
        self.one_count = 1.0 / self.per_metre / (c["speed_filter_s"] + self.tick)  # m/s
        self.ends = []  # encoder readings of a learning run, m
        self.log = []

    def command(self, t, direction, why):
        """Set off towards open (+1) or closed (-1), or stop (0)."""
        self.v_ref = self.a_ref = self.integral = 0.0
        self.held_since = self.act_at = None
        if direction:
            self.last_direction = direction
        self.direction, self.t_command = direction, t
        self.state = {1: "opening", -1: "closing", 0: "stopped"}[direction]
        self.log.append({"t_s": t, "what": why, "state": self.state})

    def learn(self, t, direction):
        """Find the end that lies this way, at creep speed."""
        self.command(t, direction, "learn")
        self.state = self.log[-1]["state"] = "learning"

    def step(self, t, q_drive):
        """One tick. Returns the voltage for the next tick, and whether the winding is open instead."""
        self.read_encoder(q_drive)
        self.advance_state(t)
        w_hat = self.w_per_v * self.v_hat
        if self.state == "off":
            self.i_ref = 0.0
            return 0.0, self.timeline["power_lost_winding"] == "open"
        if self.state == "open":
            hold = self.c["hold"]
            self.i_ref = 0.0
            voltage = 0.0 if hold == "shorted" else clamp(self.k25 * w_hat, self.bus_v)
            return voltage, hold == "free"
        if self.state == "closed":
            self.i_ref = -self.c["press_current_a"]
            return clamp(self.r25 * self.i_ref + self.k25 * w_hat, self.bus_v), False
        self.move_reference()
        error = self.v_ref - self.v_hat
        u = self.kp * error + self.integral + self.c["feed_forward_a"] * self.direction
        self.i_ref = clamp(u, self.limit())
        voltage = clamp(self.r25 * self.i_ref + self.k25 * w_hat, self.bus_v)
        applied = (voltage - self.k25 * w_hat) / self.r25
        self.integral += self.tick * (self.ki * error + (applied - u) / self.c["antiwindup_s"])
        return voltage, False

    def read_encoder(self, q_drive):
        q_hat = math.floor(q_drive * self.per_metre) / self.per_metre
        rate = (q_hat - self.q_hat) / self.tick
        self.v_hat += (rate - self.v_hat) * self.tick / (self.c["speed_filter_s"] + self.tick)
        self.q_hat = q_hat

    def distance(self):
        """Way still to go, m; negative beyond the target."""
        return self.full - self.q_hat if self.direction > 0 else self.q_hat

    def limit(self):
        return self.settings[self.direction or self.last_direction]["current_limit_a"]

    def advance_state(self, t):
        self.hear(t)
        open_since = max(self.t_arrival, self.timeline["presence_until_s"] or 0.0)
        if self.state == "open" and t - open_since >= self.c["hold_open_s"] - SAME_TIME:
            self.command(t, -1, "close")
        elif self.state == "learning":
            self.look_for_end(t)
        elif self.direction:
            if self.distance() <= self.c["stop_distance_m"] and self.v_ref == 0.0 and self.is_slow(t):
                self.state = "open" if self.direction > 0 else "closed"
                self.direction, self.t_arrival = 0, t
                self.log.append({"t_s": t, "what": "arrival", "state": self.state})
            elif self.react:
                self.watch(t)

    def is_slow(self, t):
        """Whether it sees less than the arrival speed, in doubt as `arrivals` say."""
        beyond = abs(self.v_hat) - ARRIVED_BELOW
        if abs(beyond) <= self.one_count:
            if any(abs(t - told) < SAME_TIME for told in self.arrivals):
                return True
            if any(told > t for told in self.arrivals):
                return False
        return beyond < 0.0

    def hear(self, t):
        """What the timeline tells the controller, each once: a broken beam after the sensor's delay, a command to open,
        and that there is no power any more, after which it hears nothing."""
        delays = {"beam_broken_s": self.timeline["sensor_delay_s"], "open_again_s": 0.0, "power_lost_s": 0.0}
        for what in sorted(self.told):
            if t < self.timeline[what] + delays[what] - SAME_TIME:
                continue
            self.told.remove(what)
            if what == "power_lost_s":
                self.command(t, 0, what)
                self.state = self.log[-1]["state"] = "off"
            elif self.state == "off":
                continue
            elif self.state == "open":
                self.t_arrival = t  # the hold-open time counts anew
            elif self.direction < 0 or (self.state == "stopped" and what == "open_again_s"):
                stops = what == "beam_broken_s" and self.timeline["beam_action"] == "stop"
                self.command(t, 0 if stops else 1, what)

    def held_up(self, t):
        """Whether it has pushed with all it may, hardly moving, for detect_s without a break."""
        o = self.obstruction
        held_up = (t - self.t_command >= o["blind_s"] - SAME_TIME
                   and abs(self.i_ref) >= NEAR_LIMIT * self.limit()
                   and self.v_hat * self.direction < o["speed_m_per_s"])
        if not held_up:
            self.held_since = None
        elif self.held_since is None:
            self.held_since = t
        return held_up and t - self.held_since >= o["detect_s"] - SAME_TIME

    def look_for_end(self, t):
        """A learning run: closed first, then open, then it stands."""
        if self.held_up(t):
            self.ends.append(self.q_hat)
            if self.direction < 0:
                self.learn(t, 1)
            else:
                self.command(t, 0, "learned")

    def watch(self, t):
        """Held up: act react_s later."""
        o = self.obstruction
        if self.act_at is None and self.held_up(t):
            self.act_at = t + o["react_s"]
        if self.act_at is not None and t >= self.act_at - SAME_TIME:
            self.command(t, -self.direction if o["action"] == "reverse" else 0, "obstructed")

    def move_reference(self):
        if not self.direction:
            self.v_ref = 0.0
            return
        s, d, tick, jerk = self.settings[self.direction], self.distance(), self.tick, self.c["jerk_m_per_s3"]
        learning = self.state == "learning"
        stopping = not learning and d <= self.c["stop_distance_m"]
        target = s["creep_speed_m_per_s"] if learning else 0.0 if stopping else self.allowed_speed(s, max(0.0, d - s["creep_distance_m"]), jerk)
        speed = self.direction * self.v_ref  # towards the target
        change = target - speed
        growing = change * speed >= 0.0 and target * speed >= 0.0
        rate = s["acceleration_m_per_s2"] if growing else 2 * s["braking_m_per_s2"]
        if jerk is None or stopping:
            self.a_ref = clamp(change, rate * tick) / tick
        else:
            wished = math.copysign(min(rate, math.sqrt(2 * jerk * abs(change))), change)
            self.a_ref += clamp(wished - self.a_ref, jerk * tick)
        step = self.a_ref * tick
        if step * change > 0.0 and abs(step) > abs(change):
            step = change
        self.v_ref = self.direction * (speed + step)

    @staticmethod
    def allowed_speed(s, way, jerk):
        """Speed from which braking ends at creep speed after `way`: with a jerk limit
        way = (v^2 - v_c^2)/(2 a) + (v + v_c) a/(2 j), m/s."""
        a, creep = s["braking_m_per_s2"], s["creep_speed_m_per_s"]
        if jerk is None:
            return min(s["speed_m_per_s"], math.sqrt(creep**2 + 2 * a * way))
        half = a * a / (2 * jerk)  # v^2 + 2 half v + (2 half v_c - v_c^2 - 2 a way) = 0
        square = half * half - (2 * half * creep - creep * creep - 2 * a * way)
        v = math.sqrt(max(0.0, square)) - half
        return min(s["speed_m_per_s"], max(v, creep))
