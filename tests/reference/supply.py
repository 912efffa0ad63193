"""The bus: settled once a tick from the mean power that the winding took in the tick before.

    battery   V = (V_oc + sqrt(V_oc^2 - 4 R_i P))/2, at least V_oc/2     gives P + R_i i^2 from V_oc, i = P/V
    mains     gives at most V i_max                                      bus capacitor: V^2 = V_s^2 + 2 E/C, at least 0.1 V_s

E is what the capacitor holds beyond the supply's own voltage. It is taken before the supply is; a supply that takes
nothing back fills it up to the clamp (blocked), or burns all at once (resistor).
"""

import math


class Supply:
    """`voltage` is what the next tick has; `net` is what the source has given, its inner resistance included, J."""

    def __init__(self, p):
        s = p["supply"]
        self.own, self.battery = s["voltage_v"], s["kind"] == "battery"
        self.most_a = math.inf if s["current_limit_a"] is None else s["current_limit_a"]
        self.inner, self.takes_back = s["resistance_ohm"], s["braking"] == "back"
        self.capacitance = s["capacitance_f"]
        clamp = s["clamp_voltage_v"] or 1.25 * self.own
        self.most_e = 0.5 * self.capacitance * (clamp**2 - self.own**2) if s["braking"] == "blocked" else 0.0
        self.voltage, self.held = self.own, 0.0
        self.net = 0.0
        self.moves = self.battery or self.most_a < math.inf or not self.takes_back
        self.least = self.greatest = self.own
        self.most_current = 0.0

    def settle(self, energy, tick):
        """After a tick in which the winding took this much energy, J."""
        wanted = energy - self.held  # brings the capacitor back to where it belongs
        given = wanted if self.takes_back else max(0.0, wanted)
        if not self.battery:
            given = min(given, self.voltage * self.most_a * tick)
        before = self.voltage
        self.held = min(self.held + given - energy, self.most_e if not self.takes_back else math.inf)
        power = given / tick
        if self.battery:
            square = self.own**2 - 4 * self.inner * power
            self.voltage = 0.5 * (self.own + math.sqrt(square)) if square > 0.0 else 0.5 * self.own
            self.most_current = max(self.most_current, power / self.voltage)
            power = self.from_the_source(power)
        else:
            self.most_current = max(self.most_current, power / before)
        if not self.battery or self.held > 0.0:
            self.voltage = max(0.1 * self.own, math.sqrt(max(0.0, self.own**2 + 2 * self.held / self.capacitance)))
        self.net += power * tick
        self.least, self.greatest = min(self.least, self.voltage), max(self.greatest, self.voltage)

    def from_the_source(self, power):
        """Of a battery that gives this much at its terminals, W."""
        return power + self.inner * (power / self.voltage) ** 2
