"""What makes tones on a door and what answers, a second time: `tautleaf tones FILE --json`, from (32) of DEVELOPERS.md.

    makes     f = v x (1/p; 1/(2 pi r) of each pulley; 1/(pi D); N/(2 pi r) x 1, rotor teeth, pole pairs, 6 pole pairs, bars)
    answers   n (c^2 - v^2)/(2 l(x) c), n = 1, 2, c = sqrt(T_0/m'); square roots of the eigenvalues of M^-1 K(x), drive free
    along     v(x) = min(sqrt(2 a s), v_set, sqrt(v_creep^2 + 2 a_brake max(0, d - d_creep)))
    meet      |f_source/f_answer - 1| <= 0.03; over a stretch the source makes (its swings a metre) x (stretch) swings; from
              3/(2 pi 0.03) on the door sings there

An even number of commutator bars makes itself felt at twice the bars only where it is odd (2 x odd). Where a meeting begins
and ends is found between the places of a grid by bisection.
"""

import math

import numpy
from scipy.optimize import brentq

WITHIN = 0.03
SWINGS_TO_SING = 3 / (2 * math.pi * WITHIN)
PLACES = 20000


def sources(door):
    """{name: swings for each metre of belt}."""
    p = door.parameters
    rotor = door.ratio / (2 * math.pi * door.r)
    bars, poles = p["motor"]["commutator_bars"], p["motor"]["pole_pairs"]
    found = {"drive pulley": 1 / (2 * math.pi * door.r), "roller": 1 / (math.pi * p["rollers"]["diameter_m"]),
             "rotor": rotor, "belt meshing": 1 / p["belt"]["pitch_m"]}
    if door.r_back != door.r:
        found["return pulley"] = 1 / (2 * math.pi * door.r_back)
    if p["gear"]["rotor_teeth"]:
        found["gear meshing"] = rotor * p["gear"]["rotor_teeth"]
    if poles:
        found["magnet poles"], found["commutation"] = rotor * poles, rotor * 6 * poles
    if bars:
        found["commutator"] = rotor * bars * (2 if bars % 2 else 1)
    return found


def place_names(door):
    """Of the bodies of the ring, as the program calls them."""
    names = {0: "drive pulley", door.back: "return pulley"}
    several = len(door.fronts) > 1 or door.links
    for number, body in enumerate(door.fronts, 1):
        names[body] = f"leaf {number}" if several else "leaf"
    return names


def stiffness(door, x):
    """K of ring, slow leaves and rotor with each leaf at x (an array), N/m. Every spring is a row a: K = sum of k a a'."""
    out = numpy.zeros((len(x), door.n, door.n))

    def spring(k, row):
        a = numpy.zeros(door.n)
        for body, share in row.items():
            a[body] = share
        out[:] += numpy.multiply.outer(k * numpy.ones(len(x)), numpy.outer(a, a))

    for s in door.spans:
        spring(door.ea / (s.base + s.sign * x), {s.i: -1.0, s.j: 1.0})
    for slow, front in door.links:
        spring(2 * door.second_k, {slow: 2.0, front: -1.0})  # two lengths, one each way round
    if door.motor:
        spring(door.mesh_k, {0: -1.0, door.motor: 1.0})
    return out


def modes_at(door, x):
    """Frequencies along the loop at each of these places, without the one in which all goes round, Hz."""
    root = numpy.sqrt(door.mass)
    squares = numpy.linalg.eigvalsh(stiffness(door, numpy.atleast_1d(x)) / numpy.outer(root, root))
    return numpy.sqrt(numpy.maximum(0.0, squares[:, 1:])) / (2 * math.pi)


class Tones:
    def __init__(self, door):
        self.door, p = door, door.parameters
        self.wave = math.sqrt(door.t0 / (p["belt"]["specific_mass_kg_per_m2"] * p["belt"]["width_m"]))
        self.sources, self.opens = sources(door), door.opens
        self.answers = {}  # name: frequency of (x, v), Hz
        names = place_names(door)
        for s in door.spans:
            for octave, more in ((1, ""), (2, ", octave")):
                self.answers[f"{names[s.i]} to {names[s.j]}{more}"] = self.strand(s, octave)
        for mode in range(door.n - 1):
            self.answers[f"along the loop, mode {mode + 1}"] = self.mode(mode)
        self.ways = {"opening": (1, p["opening"]), "closing": (-1, p["closing"])}

    def strand(self, span, octave):
        return lambda x, v: octave * (self.wave**2 - v**2) / (2 * (span.base + span.sign * x) * self.wave)

    def mode(self, mode):
        return lambda x, v: modes_at(self.door, x)[:, mode]

    def at_rest(self, answer, x):
        """Frequency of an answer with the leaf at x and the belt at rest, Hz."""
        return float(numpy.squeeze(self.answers[answer](x, 0.0)))

    def speed(self, way, x):
        """Of the leaf on its way at these places, m/s."""
        sign, s = self.ways[way]
        gone, left = (x, self.opens - x) if sign > 0 else (self.opens - x, x)
        to_creep = numpy.maximum(0.0, left - s["creep_distance_m"])
        braking = numpy.sqrt(s["creep_speed_m_per_s"] ** 2 + 2 * s["braking_m_per_s2"] * to_creep)
        starting = numpy.sqrt(2 * s["acceleration_m_per_s2"] * gone)
        return numpy.minimum(numpy.minimum(starting, braking), s["speed_m_per_s"])

    def meetings(self):
        """Every stretch on which a source is within 3 % of an answer: {(source, answer, way): [(from, to), ...]}, m, in the
        order of the way."""
        found = {}
        for way in self.ways:
            places = self.opens * numpy.arange(PLACES + 1) / PLACES
            places = places if way == "opening" else places[::-1]
            speeds = self.speed(way, places)
            for answer, tone in self.answers.items():
                heard = tone(places, speeds)
                for source, swings in self.sources.items():
                    near = abs(swings * speeds / heard - 1) <= WITHIN
                    stretches = self.stretches(way, answer, source, places, near)
                    if stretches:
                        found[source, answer, way] = stretches
        return found

    def stretches(self, way, answer, source, places, near):
        """Where it is near without a break, from and to, in the order of the way, m."""
        edges = [self.border(way, answer, source, *places[k:k + 2]) for k in numpy.flatnonzero(near[1:] != near[:-1])]
        edges = [float(places[0])] * bool(near[0]) + edges + [float(places[-1])] * bool(near[-1])
        return list(zip(edges[::2], edges[1::2]))

    def border(self, way, answer, source, one, other):
        def beyond(x):
            v = self.speed(way, x)
            return float(numpy.squeeze(abs(self.sources[source] * v / self.answers[answer](x, v) - 1))) - WITHIN

        return brentq(beyond, one, other, xtol=1e-9)
