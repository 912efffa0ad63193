"""A door as the equations need it: bodies on the belt ring, spans, masses, friction, drive.

Reads the "parameters" of `tautleaf resolve FILE --json` (SI units, the unit in each name) and nothing else.
What this second calculation does not cover is refused with a message, so that it never agrees by leaving out.

The ring, in the order in which belt passes the bodies while the door opens (C centre distance, a clamp distance):

    away        drive, leaf, return           spans a + x, C - a - x, C
    towards     drive, return, leaf           spans C, a + x, C - a - x
    bi-parting  drive, leaf 1, return, leaf 2 spans a + x1, C - a - x1, a + x2, C - a - x2

After the bodies of the ring come the slow leaves of a telescopic door, each on a second loop with the leaf in front,
and last a rotor that is parted from its pulley by play and stiffness of the mesh.
"""

import math

from edge import Edge, cold_factor
from hanging import Hangers, guide_load

G = 9.80665  # m/s2, standard gravity
COPPER_PER_K = 0.00385  # rise of the winding resistance, per kelvin, referred to 25 C
QUASI_STATIC_BELOW_S = 50e-6  # a winding with a shorter L/R follows its voltage at once


class Span:
    """Free belt between body `i` and the next one ahead, body `j`; its length is base + sign * q[leaf], m."""

    def __init__(self, i, j, base, leaf=0, sign=0.0):
        self.i, self.j, self.base, self.leaf, self.sign = i, j, base, leaf, sign


class Door:
    """Every constant of the equations, worked out once from the resolved parameters."""

    def __init__(self, parameters):
        p = self.parameters = parameters
        self.stroke = p["leaf"]["stroke_m"]
        self.opens = p["leaf"]["partial_opening_m"] or self.stroke  # as far as the controller opens
        self.lay_out_ring(p)
        self.set_masses(p)
        self.set_friction(p)
        self.set_drive(p)
        self.set_edges(p)
        seal = p["seal"]
        self.seal_k, self.seal_length = seal["end_stiffness_n_per_m"], seal["end_length_m"]
        stops = p["stoppers"]
        self.stop_k, self.stop_c = stops["stiffness_n_per_m"], stops["damping_n_s_per_m"]
        self.closed_stop = -stops["behind_closed_m"]
        self.open_stop = self.stroke + stops["behind_open_m"]

    def lay_out_ring(self, p):
        belt = p["belt"]
        c, a = belt["centre_distance_m"], belt["clamp_m"]
        arrangement = p["arrangement"]
        if arrangement == "away":
            self.leaves, self.back = [1], 2
            self.spans = [Span(0, 1, a, 1, 1.0), Span(1, 2, c - a, 1, -1.0), Span(2, 0, c)]
        elif arrangement == "towards":
            self.leaves, self.back = [2], 1
            self.spans = [Span(0, 1, c), Span(1, 2, a, 2, 1.0), Span(2, 0, c - a, 2, -1.0)]
        elif arrangement == "bi-parting":
            self.leaves, self.back = [1, 3], 2
            self.spans = [Span(0, 1, a, 1, 1.0), Span(1, 2, c - a, 1, -1.0),
                          Span(2, 3, a, 3, 1.0), Span(3, 0, c - a, 3, -1.0)]
        else:
            raise ValueError(f"arrangement {arrangement!r}; away, towards and bi-parting are known")
        self.ring = self.n = len(self.spans)
        self.fronts = list(self.leaves)  # the leaves with a closing edge
        self.full = self.opens * len(self.fronts)
        self.ea = belt["specific_stiffness_n_per_m"] * belt["width_m"]
        self.t0, self.tau_b = belt["tension_n"], belt["damping_time_s"]
        self.links = []  # second loops: (body of the slow leaf, of the leaf in front)
        second = p["telescope"]
        if second is not None:
            self.links = [(self.ring + number, body) for number, body in enumerate(self.fronts)]
            self.leaves = self.fronts + [slow for slow, _ in self.links]
            self.n += len(self.links)
            width = second["belt_width_m"]
            self.second_length = second["belt_length_m"]
            self.second_k = belt["specific_stiffness_n_per_m"] * width / self.second_length
            self.second_t0 = second["tension_n"]
            self.second_kg_per_m = belt["specific_mass_kg_per_m2"] * width
        self.motor = 0  # the body at which the motor pulls and the encoder reads
        self.mesh_k = p["gear"]["mesh_stiffness_n_per_m"]
        self.half_play = p["gear"]["backlash_m"] / 2
        if self.mesh_k is not None:
            self.motor, self.n = self.n, self.n + 1

    def set_masses(self, p):
        """m_leaf: leaf alone, by body; mass: what accelerates, with half of the two free spans and the wrap.

        Of a second belt, two lengths long, half runs with the leaf in front; its two pulleys turn at the speed of the slow one."""
        belt, pulleys, leaf = p["belt"], p["pulleys"], p["leaf"]
        self.r = pulleys["teeth"] * belt["pitch_m"] / (2 * math.pi)
        self.r_back = pulleys["return_radius_m"] or self.r
        self.ratio = p["gear"]["ratio"]
        per_metre = belt["specific_mass_kg_per_m2"] * belt["width_m"]
        second = leaf["second_mass_kg"]
        masses = [leaf["mass_kg"], leaf["mass_kg"] if second is None else second]
        self.m_leaf = [0.0] * self.n
        for body, m in zip(self.fronts, masses):
            self.m_leaf[body] = m
        for slow, _ in self.links:
            self.m_leaf[slow] = p["telescope"]["mass_kg"]
        self.mass = list(self.m_leaf)
        back = pulleys["return_inertia_kg_m2"] / self.r_back**2
        rotor = self.ratio**2 * p["motor"]["rotor_inertia_kg_m2"] / self.r**2
        self.mass[0] += pulleys["drive_inertia_kg_m2"] / self.r**2 + math.pi * self.r * per_metre
        self.mass[self.motor] += rotor
        self.mass[self.back] += back + math.pi * self.r_back * per_metre
        for span in self.spans:
            half = 0.5 * per_metre * (span.base + span.sign * self.stroke / 2)
            self.mass[span.i] += half
            self.mass[span.j] += half
        for slow, front in self.links:
            self.mass[front] += self.second_kg_per_m * self.second_length
            self.mass[slow] += 2 * back
        if self.motor:
            in_series = rotor * self.mass[0] / (rotor + self.mass[0])
            self.mesh_c = 2 * p["gear"]["mesh_damping_ratio"] * math.sqrt(self.mesh_k * in_series)

    def set_friction(self, p):
        rollers, seal, pulleys = p["rollers"], p["seal"], p["pulleys"]
        slope = p["rail"]["slope"]
        self.rolling = rollers["resistance"]
        self.extra = rollers["breakaway"] - 1.0
        self.v_fade = rollers["fade_speed_m_per_s"]
        self.viscous = rollers["viscous_n_s_per_m"]
        self.brush = seal["brush_n_per_m"] * p["leaf"]["height_m"]
        self.weight_along, self.hangers, self.guide = [0.0] * self.n, {}, [0.0] * self.n
        ways = (1.0, -1.0)[:len(self.fronts)] * (2 if self.links else 1)
        for number, (opens, body) in enumerate(zip(ways, self.leaves), 1):
            mass = self.m_leaf[body]
            self.weight_along[body] = -opens * mass * G * slope
            # leaves in one plane share their rail, a slow leaf has its own
            rail = range(1, len(self.fronts) + 1) if body in self.fronts else (number,)
            self.hangers[body] = Hangers(p, number, mass, opens, rail)
            self.guide[body] = p["guide"]["friction"] * guide_load(p, mass)
        self.guide_depth, self.gravity_depth = p["guide"]["depth_m"], p["leaf"]["gravity_depth_m"]
        self.bearing = pulleys["bearing_friction"] * pulleys["bearing_diameter_ratio"]
        self.pulley_drag = pulleys["drag_n"]
        self.rotor_drag = p["motor"]["rotor_friction_n_m"] * self.ratio / self.r
        self.gear_loss = 1.0 / p["gear"]["efficiency"] - 1.0
        self.listed = [(body, f) for f in p["forces"] for number, body in enumerate(self.leaves, 1)
                       if f["leaf"] in (None, number)]
        pulley = self.bearing + self.pulley_drag
        dragged = {body for body, f in self.listed if f["drag_n"] > 0.0}
        self.frictionless = [self.rolling + self.brush + self.guide[b] == 0.0 and b not in dragged
                             for b in range(self.n)]
        for slow, _ in self.links:
            self.frictionless[slow] = self.frictionless[slow] and pulley == 0.0
        self.frictionless[0] = self.frictionless[self.back] = pulley == 0.0
        self.frictionless[self.motor] = self.rotor_drag + self.gear_loss + (0.0 if self.motor else pulley) == 0.0

    def set_edges(self, p):
        """Closing edges, those of a pair in a row, and the rear edge of each leaf, where its clearance is known. What a file
        from before them does not say: an edge without end, as stiff in the cold, and nothing behind the open leaf."""
        edge, rear = p["edge"], p.get("rear") or {}
        travel = edge.get("travel_m")
        self.edge = Edge(edge["stiffness_n_per_m"] * cold_factor(edge.get("cold_factor_per_k") or 0.0, p["duty"]["ambient_c"]),
                         edge["damping_n_s_per_m"], len(self.fronts), math.inf if travel is None else travel,
                         edge.get("hard_stiffness_n_per_m"))
        self.contact_depth = edge["contact_depth_m"]
        self.rear_clearance = rear.get("clearance_m")
        if self.rear_clearance is not None:
            self.rear = Edge(rear["stiffness_n_per_m"], rear["damping_n_s_per_m"])
            self.rear_depth = rear["depth_m"]

    def set_drive(self, p):
        motor = p["motor"]
        rise = motor["winding_temperature_c"] - 25.0
        self.r25, self.k25 = motor["resistance_ohm"], motor["torque_constant_n_m_per_a"]
        self.resistance = self.r25 * (1 + COPPER_PER_K * rise)
        self.k = self.k25 * (1 + motor["magnet_coefficient_per_k"] * rise)
        self.inductance = motor["inductance_h"]
        self.quasi_static = self.inductance / self.resistance < QUASI_STATIC_BELOW_S
        self.k_rim = self.k * self.ratio / self.r  # N/A at the rim, V s/m at the rim
        self.bus_v = p["supply"]["voltage_v"]

    def clear_opening(self, q):
        """Sum of the positions of the leaves with a closing edge, m."""
        return sum([q[body] for body in self.fronts])

    def moving_share(self):
        """What moves for each leaf with a closing edge, drive and belt included, at the speed of these leaves, kg; a slow leaf
        goes half as fast and counts by a quarter."""
        slow = {body for body, _ in self.links}
        return sum(m / (4 if body in slow else 1) for body, m in enumerate(self.mass)) / len(self.fronts)

