"""What a leaf hangs by: loads of its two hangers, an uneven rail under them, and the floor guide.

Leading hanger L at the closing edge, trailing hanger T, s_h apart. F is the net pull of the strands at z_c above the
rail, X every other force at its depth z below it, opening positive, a the acceleration of the leaf:

    dN = (F z_c + m a z_g - sum X z)/s_h    N_T = m g (1/2 - e/s_h) + dN    N_L = m g (1/2 + e/s_h) - dN

Rolling resistance is c (|N_L| + |N_T|) at rail height; the rail pushes with -N_L z'_L - N_T z'_T. All of it depends on
a, and a on it: for each of the four pairs of signs of N_L and N_T that is one linear equation, and the pair whose
solution has these signs is the one.
"""

import math

SIGNS = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))  # of N_L and N_T: usually both wheels stand on the rail
AIR_KG_PER_M3 = 1.25
G = 9.80665  # m/s2, standard gravity


def guide_load(p, mass):
    """Sideways load of a leaf on its floor guide, N: moments about the rail of pressure and of a frame out of plumb."""
    leaf, weather, guide = p["leaf"], p["weather"], p["guide"]
    pressure = 0.5 * AIR_KG_PER_M3 * weather["wind_m_per_s"] ** 2 + abs(weather["stack_pressure_pa"])
    pushed = pressure * leaf["width_m"] * leaf["height_m"] * leaf["height_m"] / 2
    leaning = mass * G * abs(guide["out_of_plumb"]) * leaf["gravity_depth_m"]
    return (pushed + leaning) / guide["depth_m"]


class Wheel:
    """One roller: slope of its path, and the leaf positions at which that slope has a kink."""

    def __init__(self, p, number, hanger, from_edge, opens, reach, rail):
        self.radius = p["rollers"]["diameter_m"] / 2
        self.from_edge, self.opens = from_edge, opens  # opens: +1, or -1 where the leaf opens towards negative s
        self.faults = [f for f in p["faults"]
                       if (f["leaf"] == number and f["hanger"] == hanger if f["kind"] == "flat" else f["leaf"] in rail)]
        self.kinks = sorted(x for f in self.faults for x in self.kinks_of(f, reach))

    def chord(self, height):
        """Half of what a wheel bridges over a corner of this height, m."""
        h = abs(height)
        return math.sqrt(2 * self.radius * h - h * h)

    def kinks_of(self, fault, reach):
        c, at = self.chord(fault["height_m"]), fault["at_m"]
        if fault["kind"] == "flat":
            turn = 2 * math.pi * self.radius
            first = math.floor((-reach - at) / turn)
            starts = [at + n * turn for n in range(first, math.ceil((2 * reach - at) / turn) + 1)]
            return [s + k * c for s in starts for k in (0, 1, 2)]
        places = {"sag": (at, at + fault["length_m"]), "bump": (at - c, at + c),
                  "step": (at - c, at) if fault["height_m"] > 0 else (at, at + c)}[fault["kind"]]
        return [self.opens * s - self.from_edge for s in places]

    def rise(self, x):
        """dz/dx: height gained by the wheel's centre for each metre that the leaf opens."""
        return sum(self.rise_of(f, x) for f in self.faults)

    def rise_of(self, fault, x):
        r, h, at = self.radius, fault["height_m"], fault["at_m"]
        c = self.chord(h)
        if fault["kind"] == "flat":
            along = (x - at) % (2 * math.pi * r)
            if along < c:  # tipping over the first corner of the chord
                return -along / math.sqrt(r * r - along * along)
            if along < 2 * c:  # and up again behind the second
                back = 2 * c - along
                return back / math.sqrt(r * r - back * back)
            return 0.0
        s = self.opens * (self.from_edge + x)
        if fault["kind"] == "sag":
            u = (s - at) / fault["length_m"]
            return -self.opens * math.pi * h / fault["length_m"] * math.sin(2 * math.pi * u) if 0 <= u < 1 else 0.0
        d = s - at
        inside = {"bump": -c < d < c, "step": (-c < d < 0) if h > 0 else (0 < d < c)}[fault["kind"]]
        return -self.opens * d / math.sqrt(r * r - d * d) if inside else 0.0


class Hangers:
    """The two hangers of leaf `number`, from 1, of this mass; `rail`: the numbers of the leaves on its rail."""

    def __init__(self, p, number, mass, opens, rail):
        leaf = p["leaf"]
        self.mass, self.spacing = mass, leaf["hanger_spacing_m"]
        self.belt_height, self.gravity_depth = leaf["belt_height_m"], leaf["gravity_depth_m"]
        e = leaf["gravity_offset_m"] - self.gravity_depth * leaf["hanger_height_difference_m"] / self.spacing
        self.static = (mass * G * (0.5 + e / self.spacing), mass * G * (0.5 - e / self.spacing))
        middle, reach = leaf["width_m"] / 2, leaf["stroke_m"] + 0.1
        self.wheels = (Wheel(p, number, "leading", middle - self.spacing / 2, opens, reach, rail),
                       Wheel(p, number, "trailing", middle + self.spacing / 2, opens, reach, rail))
        self.kinks = sorted(set(self.wheels[0].kinks + self.wheels[1].kinks))

    def carry(self, x, force, moment, rolling, slide, inertia):
        """Loads (N_L, N_T) of a leaf under `force` without rails and rolling, with `moment` F z_c - sum X z; at rest
        (slide 0) its acceleration is zero, N."""
        rise = (self.wheels[0].rise(x), self.wheels[1].rise(x)) if self.kinks else (0.0, 0.0)
        shift = moment / self.spacing
        if not slide:
            return (self.static[0] - shift, self.static[1] + shift), rise
        lever = self.mass * self.gravity_depth / self.spacing  # N for each m/s2
        leading, trailing = self.static[0] - shift, self.static[1] + shift
        best = None
        for sign_l, sign_t in SIGNS:
            # inertia a = force - sum of (slide rolling sign + rise) N,  N = leading - lever a, trailing + lever a
            w_l, w_t = slide * rolling * sign_l + rise[0], slide * rolling * sign_t + rise[1]
            a = (force - w_l * leading - w_t * trailing) / (inertia + (w_t - w_l) * lever)
            loads = (leading - lever * a, trailing + lever * a)
            wrong = max(0.0, -sign_l * loads[0]) + max(0.0, -sign_t * loads[1])
            if wrong == 0.0:
                return loads, rise
            if best is None or wrong < best[0]:
                best = (wrong, loads)
        return best[1], rise
