"""How a leaf hangs, a second time: `tautleaf hang FILE --json`, from (33) and (14) of DEVELOPERS.md.

    level  slope t/(rail length), which is S + W, of a pair twice that      plumb  psi = t/H      lean  dh = t s_h/H
    gap    H dh/s_h + H slope against a plumb jamb, of a pair 2 H dh/s_h
    loads  (14), at rest, and at the accelerations that are set: starting and braking, both ways, with rolling resistance,
           brush and guide against the way, without listed forces and faults of the rail

The loads at rest are those of leaf 1, all else is of the leaf that is worst. Each tolerance is the same door with one thing changed: what is set in the file stays, and the tolerance comes on top.
"""

import copy

import by_hand
from door import Door
from hanging import G, guide_load

STEEPEST = 0.05  # as far as the program looks for the slope from which a door drifts


def rail_length(p):
    return (p["leaf"]["stroke_m"] + p["leaf"]["width_m"]) * (2 if p["arrangement"] == "bi-parting" else 1)


def changed(p, group, key, value):
    other = copy.deepcopy(p)
    other[group][key] = value
    return other


def cases(p):
    """{name: parameters}: the door as it is, and at each tolerance."""
    leaf, w = p["leaf"], p["workbench"]
    t, width, height, spacing = w["frame_tolerance_m"], leaf["width_m"], leaf["height_m"], leaf["hanger_spacing_m"]
    slope, lean, psi = p["rail"]["slope"], leaf["hanger_height_difference_m"], p["guide"]["out_of_plumb"]
    return {"as-filed": p,
            "hangers-out": changed(p, "leaf", "hanger_spacing_m", width - 2 * w["hanger_end_least_m"]),
            "hangers-in": changed(p, "leaf", "hanger_spacing_m", width - 2 * w["hanger_end_most_m"]),
            "rail-rises": changed(p, "rail", "slope", slope + t / rail_length(p)),
            "rail-falls": changed(p, "rail", "slope", slope - t / rail_length(p)),
            "out-of-plumb": changed(p, "guide", "out_of_plumb", abs(psi) + t / height),
            "trailing-higher": changed(p, "leaf", "hanger_height_difference_m", lean + t * spacing / height),
            "leading-higher": changed(p, "leaf", "hanger_height_difference_m", lean - t * spacing / height)}


def gap(p):
    """At the foot of the closing edge when its head touches, m."""
    leaf = p["leaf"]
    leans = leaf["height_m"] * leaf["hanger_height_difference_m"] / leaf["hanger_spacing_m"]
    return 2 * leans if p["arrangement"] == "bi-parting" else leans + leaf["height_m"] * p["rail"]["slope"]


def loads_at(door, body, acceleration, way):
    """(leading, trailing) of a leaf that is accelerated so while it goes this way (1 open, -1 closed, 0 at rest), N."""
    hangers, mass = door.hangers[body], door.m_leaf[body]
    weight = door.weight_along[body]
    rolled = mass * G  # sum of |N|: more where a wheel is off the rail
    for _ in range(50):
        friction = door.rolling * rolled + door.brush + door.guide[body]
        pull = mass * acceleration - weight + way * friction if way else 0.0
        depths = weight * door.gravity_depth - way * (door.brush * door.gravity_depth + door.guide[body] * door.guide_depth)
        shift = (pull * hangers.belt_height + mass * acceleration * door.gravity_depth - depths) / hangers.spacing
        loads = hangers.static[0] - shift, hangers.static[1] + shift
        rolled = sum(map(abs, loads))
    return loads


def loads_at_set_accelerations(door):
    """All hangers of all leaves, starting and braking both ways, N."""
    slow = {body for body, _ in door.links}
    found = []
    for way, name in ((1, "opening"), (-1, "closing")):
        s = door.parameters[name]
        for acceleration in (way * s["acceleration_m_per_s2"], -way * s["braking_m_per_s2"]):
            for body in door.leaves:
                found += loads_at(door, body, acceleration / (2 if body in slow else 1), way)
    return found


def case(p):
    """What is printed of one case, by the program's names."""
    door = Door(p)
    hand = by_hand.figures(door)
    leading, trailing = loads_at(door, door.leaves[0], 0.0, 0)
    moving = loads_at_set_accelerations(door)
    return {"opening_by_hand_n": hand["manual_opening_force_n"], "drift_n": hand["drift_force_n"], "gap_m": gap(p),
            "guide_load_n": max(guide_load(p, door.m_leaf[body]) for body in door.leaves), "leading_at_rest_n": leading,
            "trailing_at_rest_n": trailing, "least_load_at_set_accelerations_n": min(moving),
            "greatest_load_at_set_accelerations_n": max(moving)}


def drifts_from(p):
    """How far out of level the rail has to be over its length for the door to drift, m; None where it drifts already, or
    on no rail up to `STEEPEST`."""
    def drifts(slope):
        return by_hand.figures(Door(changed(p, "rail", "slope", slope)))["drift_force_n"] > 0.0

    if drifts(p["rail"]["slope"]):
        return None
    found = []
    for sign in (1, -1):
        low, high = 0.0, STEEPEST
        if not drifts(sign * high):
            continue
        while high - low > 1e-9:
            middle = 0.5 * (low + high)
            low, high = (low, middle) if drifts(sign * middle) else (middle, high)
        found.append(high * rail_length(p))
    return min(found, default=None)


def figures(p):
    """What stands above the cases."""
    leaf, drift = p["leaf"], by_hand.figures(Door(p))["drift_force_n"]
    return {"hanger_from_end_m": (leaf["width_m"] - leaf["hanger_spacing_m"]) / 2, "rail_length_m": rail_length(p),
            "drifts_from_m": drifts_from(p), "drifts_now_n": drift or None,
            "foot_per_hanger": leaf["height_m"] / leaf["hanger_spacing_m"]}
