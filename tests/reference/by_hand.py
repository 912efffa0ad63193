"""What moves a door without power: the force of a hand, and what slope, rail and cords pull beyond friction.

All of it at the speed of the leaves with a closing edge; a slow leaf goes half as far, so its forces count by half. With
equation (13) of DEVELOPERS.md, where a leaf is at x:

    F = sum of (rolling + brush + guide + drag - what pushes the leaf open) + F_return
        + (F_bearing + rotor N/r [+ (N K/r)^2 v/R if shorted])/(1 - lambda)

The hardest place is looked for along the whole stroke, every millimetre and a hair on both sides of each kink of the rail
and of each end of a listed force. Starting from rest rolling resistance is beta c_rr m g; at 0.1 m/s it is c_rr m g, and
what is viscous is added, of rollers and of listed forces. The hangers carry what (14) gives for slope and listed forces. A
gear that locks cannot be moved by hand: no figure.

Which listed forces count the page does not say; the program's source does: those that act at any time of the run.
"""

import math

SHORTED_AT = 0.1  # m/s
BARELY_M_PER_S = 1e-12  # a leaf that goes, but so slowly that nothing viscous counts
HAIR_M = 1e-9
FOR_EVER_S = 1e6  # what a listed force without an end has as its end


def acting(door):
    """(body, listed force) of those that act at any time."""
    return [(body, f) for body, f in door.listed if f["start_s"] <= 0.0 and f["end_s"] >= FOR_EVER_S]


def places(door):
    """Leaf positions that are looked at, m."""
    steps = math.ceil(door.stroke / 1e-3)
    found = [door.stroke * k / steps for k in range(steps + 1)]
    edges = [x for body, f in acting(door) for x in (f["from_m"], f["to_m"])]
    edges += [kink for hangers in door.hangers.values() for kink in hangers.kinks]
    slow = {body for body, _ in door.links}
    edges += [2 * kink for body in slow for kink in door.hangers[body].kinks]
    edges += [2 * x for body, f in acting(door) if body in slow for x in (f["from_m"], f["to_m"])]
    found += [x + side * HAIR_M for x in edges for side in (-1, 1) if 0.0 <= x + side * HAIR_M <= door.stroke]
    return sorted(found)


def on_leaf(door, body, x, v, way):
    """(friction that holds the leaf or drags on it, all that pushes it open without its seal, push of the seal), N, on its
    way open (+1) or closed (-1) at speed v, which is 0 where it stands. Moved at the rail; what drags acts at its depth,
    against the way."""
    hangers = door.hangers[body]
    friction, push = door.brush + door.guide[body], door.weight_along[body]
    depths = push * door.gravity_depth - way * (door.brush * door.gravity_depth + door.guide[body] * door.guide_depth)
    for owner, f in acting(door):
        if owner == body and f["from_m"] <= x <= f["to_m"]:
            friction += f["drag_n"]
            depths -= way * f["drag_n"] * f["depth_m"]
            force = f["constant_n"] + f["stiffness_n_per_m"] * (f["rest_m"] - x) - f["damping_n_s_per_m"] * v
            push += force
            depths += force * f["depth_m"]
    loads = hangers.static[0] + depths / hangers.spacing, hangers.static[1] - depths / hangers.spacing
    friction += (1.0 if v else 1.0 + door.extra) * door.rolling * sum(map(abs, loads))
    push -= sum(load * wheel.rise(x) for load, wheel in zip(loads, hangers.wheels))
    seal = door.seal_k * max(0.0, door.seal_length - x) if body in door.fronts else 0.0
    if body not in door.fronts:  # the two pulleys of its loop
        friction += 2 * (door.bearing * 2 * door.second_t0 + door.pulley_drag)
    return friction, push - door.viscous * v, seal


def in_drive(door, v):
    """What return pulley and drive take at the rim, N; v > 0: with the winding shorted."""
    pulley = door.bearing * 2 * door.t0 + door.pulley_drag
    braking = door.k_rim**2 * v / door.resistance
    return pulley + (pulley + door.rotor_drag + braking) / (1.0 - door.gear_loss)


def along(door, v, way):
    """(friction of all, push of all without seals, push of the seals) at each place, N."""
    slow = {body for body, _ in door.links}
    drive = in_drive(door, v)
    for x in places(door):
        share = {body: 0.5 if body in slow else 1.0 for body in door.leaves}
        each = [[part * share[body] for part in on_leaf(door, body, x * share[body], v * share[body], way)]
                for body in door.leaves]
        friction, push, seal = map(sum, zip(*each))
        yield friction + drive, push, seal


def figures(door):
    """Hand forces and drift, N."""
    if door.gear_loss >= 1.0:
        return {"manual_opening_force_n": None, "manual_opening_force_shorted_n": None, "drift_force_n": 0.0}
    standing, going = list(along(door, 0.0, 1)), list(along(door, SHORTED_AT, 1))
    drifts = [way * push - f for way in (1, -1) for f, push, _ in along(door, 0.0, way)]
    return {"manual_opening_force_n": max(0.0, max(f - push - seal for f, push, seal in standing)),
            "manual_opening_force_shorted_n": max(0.0, max(f - push - seal for f, push, seal in going)),
            "drift_force_n": max(0.0, max(drifts))}
