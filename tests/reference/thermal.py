"""Steady temperatures of the motor over the period of the duty: two nodes, winding and housing.

    C_w dT_w/dt = i^2 R(T_w) - G_wh (T_w - T_h)        C_h dT_h/dt = G_wh (T_w - T_h) - G_ha (T_h - T_a)
    P_N = I_N^2 R(40 C + D_N)    G_wh = P_N/(s D_N)    G_ha = P_N/((1 - s) D_N)    C_w = t_w G_wh    C_h = t_h G_ha

The loss of every tick is taken as constant over the tick, so each tick maps (T_w, T_h, 1, integral of T_h) linearly, by
a matrix exponential; the state that a period brings back to itself is the one of the duty.
"""

import numpy
from scipy.linalg import expm

from door import COPPER_PER_K

RATED_AMBIENT_C = 40.0
BURNT_C = 1000.0
INSULATION_C = {"A": 105.0, "E": 120.0, "B": 130.0, "F": 155.0, "H": 180.0}  # what each class bears, IEC 60085


class Motor:
    def __init__(self, p):
        m = p["motor"]
        self.r25, rise, share = m["resistance_ohm"], m["rated_rise_k"], m["inner_rise_share"]
        loss = m["rated_current_a"] ** 2 * self.r25 * (1 + COPPER_PER_K * (RATED_AMBIENT_C + rise - 25))
        self.inner, self.outer = loss / (share * rise), loss / ((1 - share) * rise)
        self.c_w, self.c_h = m["winding_time_s"] * self.inner, m["housing_time_s"] * self.outer

    def over(self, square, seconds, ambient):
        """What (T_w, T_h, 1, integral of T_h) becomes after `seconds` at a mean square of the current, A2."""
        warm = square * self.r25
        return expm(seconds * numpy.array([
            [(warm * COPPER_PER_K - self.inner) / self.c_w, self.inner / self.c_w, warm * (1 - 25 * COPPER_PER_K) / self.c_w, 0],
            [self.inner / self.c_h, -(self.inner + self.outer) / self.c_h, self.outer * ambient / self.c_h, 0],
            [0, 0, 0, 0],
            [0, 1, 0, 0]]))

    def steady(self, blocks, ambient):
        """(greatest winding, mean housing) temperature of a period of (seconds, mean square current), C."""
        steps = [self.over(square, seconds, ambient) for seconds, square in blocks]
        period = numpy.eye(4)
        for step in steps:
            period = step @ period
        if max(abs(numpy.linalg.eigvals(period[:2, :2]))) >= 1.0:
            return BURNT_C, BURNT_C
        state = numpy.append(numpy.linalg.solve(numpy.eye(2) - period[:2, :2], period[:2, 2]), [1.0, 0.0])
        greatest = state[0]
        for step in steps:
            state = step @ state
            greatest = max(greatest, state[0])
        if greatest > BURNT_C:
            return BURNT_C, BURNT_C
        return greatest, state[3] / sum(seconds for seconds, _ in blocks)


def figures(door, times, squares, standing_a):
    """Figures of a run whose integral of i^2 is `squares` at these times, then standing for the rest of the period."""
    p = door.parameters
    period = 3600.0 / p["duty"]["cycles_per_hour"]
    blocks = [(b - a, (to - was) / (b - a)) for a, b, was, to in zip(times, times[1:], squares, squares[1:]) if b <= period]
    blocks.append((period - sum(seconds for seconds, _ in blocks), standing_a**2))
    motor = Motor(p)
    winding, housing = motor.steady(blocks, p["duty"]["ambient_c"])
    rated, _ = motor.steady(blocks, RATED_AMBIENT_C)
    return {"winding_temperature_c": winding, "housing_temperature_c": housing, "winding_rise_k": rated - RATED_AMBIENT_C,
            "insulation_margin_k": INSULATION_C[p["motor"]["insulation"]] - winding}
