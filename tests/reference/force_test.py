"""The three closing forces: stall, impact and residual, each against the tester in the clear opening."""

from controller import Controller
from equations import Contact
from simulation import Simulation

IMPACT_S, FOLLOWED_S = 0.75, 5.0  # after touching


def stall_force(door, gap):
    """Greatest 50 ms mean within 2 s of a closing command from rest on the tester, no reaction, N."""
    each = gap / len(door.fronts)
    sim = Simulation(door)
    sim.plant.place(each)
    sim.plant.contact = Contact(gap, door.parameters["tester"]["stiffness_n_per_m"])
    sim.plant.contact.touched_at = 0.0
    sim.controller = Controller(door, each)
    sim.controller.react = False
    tick = door.parameters["controller"]["tick_s"]
    ticks, window = round(2.0 / tick), max(1, round(0.05 / tick))
    sim.tick(before=lambda t: sim.controller.command(t, -1, "close"))
    while sim.k < ticks:
        sim.tick()
    sim.sample(sim.plant.t)
    impulse = sim.samples["contact_impulse_n_s"]
    return max((b - a) / (window * tick) for a, b in zip(impulse, impulse[window:]))


def impact_forces(door, gap, fork):
    """Impact, residual and time above 150 N from the moment of touching, reaction as set."""
    t_touch, sim = fork
    plant = sim.plant
    plant.contact = Contact(gap, door.parameters["tester"]["stiffness_n_per_m"])
    plant.contact.touched_at = t_touch
    start = plant.y[2 * plant.n + 2]
    trace = [(0.0, 0.0, 0.0)]  # since touching, force, impulse

    def watch(t0, y0, t1, y1, at):
        trace.append((t1 - t_touch, plant.contact_force(y1)[0], y1[2 * plant.n + 2] - start))

    sim.watchers = [watch]
    sim.finish_tick()
    while plant.t < t_touch + FOLLOWED_S and not is_over(sim, t_touch + FOLLOWED_S):
        sim.tick()
    if plant.t < t_touch + FOLLOWED_S:
        trace.append((FOLLOWED_S, 0.0, trace[-1][2]))
    above = 0.0
    for (t0, f0, _), (t1, f1, _) in zip(trace, trace[1:]):
        above += part_above(f0, f1, 150.0) * max(0.0, min(t1, FOLLOWED_S) - t0)
    return {"impact_force_n": max(f for t, f, _ in trace if t <= IMPACT_S),
            "force_after_750ms_n": max(f for t, f, _ in trace if IMPACT_S < t <= FOLLOWED_S),
            "residual_force_n": (impulse_at(trace, FOLLOWED_S) - impulse_at(trace, FOLLOWED_S - 0.05)) / 0.05,
            "time_above_150n_s": above,
            "touched_at_s": t_touch,
            "acts_after_s": next((e["t_s"] - t_touch for e in sim.controller.log
                                  if e["what"] == "obstructed" and e["t_s"] >= t_touch), None),
            "speed_at_touch_m_per_s": sim.speed_at_touch}


def is_over(sim, end):
    """Whether nothing can be touched any more before `end`: the leaf is clear and on its way open or open, nothing but the
    controller moves it, and that will not close before. Where a door was obstructed on its way open it may be again."""
    c, plant = sim.controller, sim.plant
    if sim.door.listed or plant.contact_force(plant.y)[0] > 0.0 or sim.was_obstructed:
        return False
    going = sum(plant.y[sim.door.n + b] for b in sim.door.fronts) >= 0.0
    clear = going and sim.door.clear_opening(plant.y) > plant.contact.gap
    waits = {"open": c.t_arrival, "opening": plant.t}.get(c.state)
    return clear and waits is not None and waits + c.c["hold_open_s"] > end


def part_above(a, b, level):
    """Share of a straight line from a to b that is above the level."""
    if a > level and b > level:
        return 1.0
    if a <= level and b <= level:
        return 0.0
    return (max(a, b) - level) / abs(a - b)


def impulse_at(trace, t):
    for (t0, _, j0), (t1, _, j1) in zip(trace, trace[1:]):
        if t0 <= t <= t1 and t1 > t0:
            return j0 + (j1 - j0) * (t - t0) / (t1 - t0)
    raise ValueError(f"the run ends before {t} s after touching")


def force_figures(door, gaps, forks):
    """The three forces at each gap; impact values are missing where the closing run never passes the gap."""
    out = []
    for gap in gaps:
        entry = {"gap_m": gap, "stall_force_n": stall_force(door, gap)}
        if gap in forks:
            t, sim = forks[gap]
            sim.speed_at_touch = sum(sim.plant.y[door.n + b] for b in door.fronts)
            sim.was_obstructed = any(e["what"] == "obstructed" for e in sim.controller.log)
            entry.update(impact_forces(door, gap, (t, sim)))
        out.append(entry)
    return out
