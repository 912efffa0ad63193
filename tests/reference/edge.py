"""The edge of a leaf: a spring that is pressed flat after its travel, with a damper; and what follows from it in closed form.

z is what the n touching edges are pressed together in all, F the force between edge and obstacle, k_t that of the obstacle:

    E(z) = k_1 z for z <= n s,  k_1 n s + k_2 (z - n s) beyond      (c dz/dt + E(z))/n = F = max(0, k_t (depth - z))     (12')
    k_1(T) = k_1 max(1, exp(-b (T - 20 C)))

Without damping z is at rest, which is two springs in a row, softer and then harder.
"""

import math

RUBBER_C = 20.0  # temperature at which the stiffness of an edge is given


def cold_factor(b, celsius):
    """How many times stiffer an edge is at this temperature than at 20 C, never less than 1; b in 1/K."""
    return max(1.0, math.exp(-b * (celsius - RUBBER_C)))


class Edge:
    """`n` touching edges, each of stiffness k_1 up to the travel s and k_2 beyond, N/m and m, with damping c, N s/m."""

    def __init__(self, k_1, c, n=1, s=math.inf, k_2=None):
        self.k_1, self.c, self.n, self.s = k_1, c, n, s
        self.k_2 = k_1 if k_2 is None else k_2
        self.knee = n * s  # z at which all of them are pressed flat, m
        self.flat_n = k_1 * s  # force that just presses them flat

    def spring(self, z):
        """E(z), N."""
        return self.k_1 * z if z <= self.knee else self.k_1 * self.knee + self.k_2 * (z - self.knee)

    def rate(self, z, force):
        """dz/dt under this force, m/s; without damping z is no state."""
        return (self.n * force - self.spring(z)) / self.c if self.c else 0.0

    def at_rest(self, depth, k_t):
        """Force where both springs are at rest and share this depth, N."""
        soft = self.in_a_row(self.k_1, k_t)
        if soft * depth <= self.flat_n:
            return max(0.0, soft * depth)
        return self.flat_n + self.in_a_row(self.k_2, k_t) * (depth - self.flat_n / soft)

    def in_a_row(self, k, k_t):
        """Stiffness of the n edges and the obstacle in a row, N/m."""
        return 1.0 / (self.n / k + 1.0 / k_t)

    def impact(self, mass, speed, pushed, k_t):
        """Greatest force of rigid leaves of this mass, kg, and this speed each, m/s, pushed by this force each, N:

            F_1 = k_1 s    1/k_a = n/k_1 + 1/k_t    1/k_b = n/k_2 + 1/k_t
            F   = F_0 + sqrt(F_0^2 + n k_a m v^2)                                                  if that is at most F_1
            F   = F_0 + sqrt((F_1 - F_0)^2 + k_b (n m v^2 + (2 F_0 F_1 - F_1^2)/k_a))              else
        """
        k_a, k_b, moving = self.in_a_row(self.k_1, k_t), self.in_a_row(self.k_2, k_t), self.n * mass * speed**2
        soft = pushed + math.sqrt(pushed**2 + k_a * moving)
        if soft <= self.flat_n:
            return soft
        left = moving + (2 * pushed * self.flat_n - self.flat_n**2) / k_a
        return pushed + math.sqrt((self.flat_n - pushed) ** 2 + k_b * left)

    def flat_speed(self, mass, pushed, k_t):
        """Speed above which such leaves press the edges flat, v_b = sqrt(max(0, F_1^2 - 2 F_0 F_1)/(n k_a m)), m/s; None for
        an edge without end."""
        if math.isinf(self.s):
            return None
        room = max(0.0, self.flat_n**2 - 2 * pushed * self.flat_n)
        return math.sqrt(room / (self.n * self.in_a_row(self.k_1, k_t) * mass))
