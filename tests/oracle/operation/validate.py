"""Checks of the simulation on its own, before it is held against anything: closed forms, orders of convergence, and
the figures of the reference site that another code has found.

Run with `python3 validate.py`; a check that fails ends it with an error.
"""
import copy
import json
import math
import pathlib
import sys
import numpy as np
import motion
from motion import Motion
from still import G, Chains, Rig, Track, newton, settle

HERE = pathlib.Path(__file__).parent
RIGS = json.loads((HERE / "rigs.json").read_text())
ROWS, NOTES = [], []


def row(what, want, found, within):
    """One check; `within` is the largest difference that its error analysis or the printed digits allow."""
    good = abs(found - want) <= within
    ROWS.append((what, want, found, within, good))
    print(f"{'agrees  ' if good else 'DIFFERS '} {what}: wanted {want:.6g}, found {found:.6g}, within {within:.2g}",
          flush=True)
    return good


def order(errors):
    return [math.log2(a / b) for a, b in zip(errors, errors[1:])]


def catenary():
    """An inextensible catenary with a stiff chain: the horizontal force at a sag known in closed form."""
    w, span, a = 2.0, 60.0, 80.0
    length = 2 * a * math.sinh(span / (2 * a))
    errors = []
    for cuts in (10, 20, 40, 80):
        chain = Chains([1e12], [w], cuts)

        def residual(u):
            place, by_force, *_ = chain.ends(u.reshape(1, 2), np.array([length]))
            return place[0] - np.array([span, 0.0]), by_force[0]

        u = newton(residual, np.array([w * a, -0.5 * w * length]), np.ones(2), np.full(2, 1e3), "catenary")
        errors.append(abs(u[0] / (w * a) - 1))
    for found in order(errors):
        row("catenary, order of the horizontal force in the number of pieces", 2.0, found, 0.02)
    row("catenary, w·a with 80 pieces, relative error", 0.0, errors[-1], 2e-4)


def one_turn():
    """One turn between two springs: sticks until T₁ = T₂/η, then dT₁/dΔ = k₁k₂/(k₂ + ηk₁), dT₂ = η·dT₁."""
    k, eta, start = (3000.0, 1200.0), 0.85, 1000.0
    rope = [0.0, 0.0]
    slip = [0]

    def at(stretch):
        def solve(free):
            # Rope s goes from side 2 to side 1.
            t = lambda s: (start + k[0] * (stretch - rope[0] - s), start + k[1] * (rope[1] + s))
            s = 0.0
            if free[0]:
                # T₁ − η^(∓1)·T₂ = 0 is linear in s.
                ratio = eta ** -free[0]
                a0, b0 = t(0.0)
                s = (a0 - ratio * b0) / (k[0] + ratio * k[1])
            a, b = t(s)
            return (a, b, s), [s], [math.log(a / b)]

        (a, b, s), now = settle(solve, slip, [eta])
        slip[:] = now
        rope[0] += s
        rope[1] += s
        return a, b

    stick = (start / eta - start) / k[0]
    steps = np.linspace(0, 3 * stick, 301)[1:]
    path = [at(x) for x in steps]
    a, b = path[99]
    row("one turn, T₁ when it begins to slip", start / eta, a, 1e-6)
    beyond = k[0] * k[1] / (k[1] + eta * k[0])
    row("one turn, dT₁/dΔ while it slips", beyond, (path[-1][0] - path[-2][0]) / (steps[-1] - steps[-2]), 1e-6)
    row("one turn, dT₂/dT₁ while it slips", eta, (path[-1][1] - path[-2][1]) / (path[-1][0] - path[-2][0]), 1e-9)
    top, still = path[-1]
    back = steps[-1] - (top - eta * still) / k[0]
    a, b = at(back + 1e-9)
    row("one turn, T₂ has not moved when the way back begins to slip", still, b, 1e-6)
    a, b = at(back - stick)
    row("one turn, T₁/T₂ on the way back", eta, a / b, 1e-9)


def bouncer(pieces, slack, mass=100.0, ea=40e3, length=20.0, share=1.0):
    """A mass below a fixed point, `slack` metres of rope loose; how hard the rope pulls at most at the top."""
    world = Motion(cut=length / pieces)
    top = world.node([0, 0, 0], fixed=True)
    inner = [world.node([0, 0, -(length - slack) * i / pieces]) for i in range(1, pieces)]
    low = world.node([0, 0, -(length - slack)], mass)
    world.rope("rope", [top, *inner, low], [length / pieces] * pieces, ea, 0.0 if pieces == 1 else 1e-3,
               loss=0.0 if pieces == 1 else 0.05)
    world.build()
    world.touching = ()
    k, most = ea / length, 0.0
    peak = mass * G + math.sqrt((mass * G) ** 2 + 2 * mass * G * k * slack)
    dt = share * (0.02 * math.sqrt(mass / k) if pieces == 1 else world.longest_step())
    span = math.sqrt(2 * slack / G) + 4.0 * math.sqrt(mass / k)
    for _ in range(int(span / dt)):
        most = max(most, float(world.step(dt)[-1]))
    return peak, most


def falls():
    """A load let go on a rope, at once and after a fall."""
    peak, found = bouncer(1, 0.0, share=0.05)
    row("sudden load, 2P", peak, found, 1e-3 * peak)
    peak, found = bouncer(1, 1.5, share=0.05)
    row("fall on a rope, W + √(W² + 2Wkh)", peak, found, 1e-3 * peak)
    # The rope in pieces has mass of its own, 0.02 kg under 100 kg: its waves pull at the top as well.
    peak, found = bouncer(12, 1.5)
    row("the same with a rope of 1 g/m in 12 pieces", peak, found, 0.03 * peak)


def pendulum():
    """A pendulum let go at ψ₀: T = W(3cos ψ − 2cos ψ₀) on its way."""
    mass, length, psi0 = 100.0, 30.0, math.radians(50)
    errors = []
    for share in (1.0, 0.5, 0.25):
        world = Motion(cut=length)
        top = world.node([0, 0, 0], fixed=True)
        ea = 3e7
        unstretched = length / (1 + mass * G * math.cos(psi0) / ea)
        low = world.node([length * math.sin(psi0), 0, -length * math.cos(psi0)], mass)
        world.rope("rope", [top, low], [unstretched], ea, 0.0, loss=0.0)
        world.build()
        world.touching = ()
        dt = share * 0.1 * math.sqrt(mass * length / ea)
        worst = 0.0
        while world.x[low, 0] > 0:
            place = world.x[low].copy()
            t = world.step(dt)[0]
            psi = math.atan2(place[0], -place[2])
            worst = max(worst, abs(t / (mass * G) - (3 * math.cos(psi) - 2 * math.cos(psi0))))
        errors.append(worst)
    row("pendulum, worst |T/W − (3cos ψ − 2cos ψ₀)| on the way down", 0.0, errors[-1], 2e-3)


def resting():
    """The whole rig laid out in time without a failure stays where it is: its ropes are in balance as nodes too."""
    track = Track(Rig(RIGS["reference"], 40))
    track.tension(RIGS["reference"]["set"]["unloaded_tension"])
    track.load_on()
    state = to(track, 31.0)
    # Without the belay, whose half weight the slow model hangs on the carriage: here as a mass on it.
    world = motion.lay_out(track, state, belay=False)
    chord = float(np.hypot(*(track.rig.far - track.rig.head)))
    world.body[world.carriage] += 0.5 * chord * RIGS["reference"]["belay"]["mass"]
    out = motion.follow(world, 1.5)
    row("the whole rig at rest for 1.5 s moves by [m]", 0.0, out["moved"], 0.005)
    row("and its outgoing strand keeps its tension [N]", out["start"]["out"], out["peaks"]["out"], 6.0)


def to(track, x, step=0.5, moving=-1):
    """Hauls from where the load is to x."""
    rig = track.rig
    n = max(1, math.ceil(abs(track.x - x) / step))
    for place in np.linspace(track.x, x, n + 1)[1:]:
        state = track.at(float(place), moving=moving)
    return state


def converging():
    """Slow model: order in the number of pieces; fast model: half the piece, half the step."""
    found = []
    for cuts in (20, 40, 80):
        track = Track(Rig(RIGS["reference"], cuts))
        track.tension(RIGS["reference"]["set"]["unloaded_tension"])
        track.load_on()
        found.append(to(track, 40.0))
    change = lambda key: (found[0][key] - found[1][key]) / (found[1][key] - found[2][key])
    row("history, order of the height in the number of pieces", 2.0, math.log2(abs(change("height"))), 0.1)
    row("history, order of the mean strand tension in the number of pieces", 2.0, math.log2(abs(change("mean"))), 0.1)
    row("history, height with 40 pieces by 80 [m]", found[2]["height"], found[1]["height"], 1e-3)
    row("history, mean strand tension with 40 pieces by 80 [N]", found[2]["mean"], found[1]["mean"], 0.2)
    track = Track(Rig(RIGS["reference"], 40))
    track.tension(RIGS["reference"]["set"]["unloaded_tension"])
    track.load_on()
    fine = []
    for step in (1.0, 0.5, 0.25):
        track = Track(Rig(RIGS["reference"], 40))
        track.tension(RIGS["reference"]["set"]["unloaded_tension"])
        track.load_on()
        fine.append(to(track, 20.0, step=step))
    row("history, cell with steps of 1 m by 0.25 m [N]", fine[2]["cell"], fine[0]["cell"], 2.0)
    for part, key in (("haul", "device"), ("track", "haul_head"), ("track_redirect", "capstan")):
        peaks = []
        for cut, share in ((2.5, 1.0), (1.25, 1.0), (2.5, 0.5)):
            track = Track(Rig(RIGS["reference"], 40))
            track.tension(RIGS["reference"]["set"]["unloaded_tension"])
            track.load_on()
            world = motion.lay_out(track, to(track, 31.0), dynamic=2.08, cut=cut)
            motion.fail(world, part)
            peaks.append(motion.follow(world, 1.6, share=share)["peaks"][key])
        within = 0.06 if key == "capstan" else 0.03
        row(f"{part} lost, peak of {key} with pieces of 2.5 m by 1.25 m [N]", peaks[1], peaks[0], within * peaks[1])
        row(f"{part} lost, peak of {key} with half the step [N]", peaks[2], peaks[0], 0.01 * peaks[2])


def reference():
    """Figures of the reference site found by another code (methods of the operation, sections 0 to 2)."""
    data = copy.deepcopy(RIGS["reference"])
    plain = dict(friction=False, heavy_haul=False, behind=False)
    floating = data["far"][0] - 10.0

    set_to = data["set"]["unloaded_tension"]
    for name, wheels, forced, tension, height, pull in (
            ("hauling", True, [2, 2, 1, 2, -1, 2], 3200, 0.228, 1636),
            ("without wheel friction", False, [2] * 6, 3235, 0.176, 1522),
            ("lowering", True, [2, 2, -1, 2, 1, 2], 3271, 0.124, 1406)):
        track = Track(Rig(data, 60, wheels=wheels, **plain))
        track.tension(set_to, by="mean")
        track.load_on()
        track.forced = forced
        states = [track.at(float(x)) for x in np.linspace(track.rig.start, track.rig.end, 225)]
        row(f"{name}: greatest strand tension [N]", tension, max(s["mean"] for s in states), 1.0)
        # The other code took the least and the greatest over places of its own; these are where it found them. Half
        # a step of ours changes the height there by 0.0005 m and the pull by 1 N.
        near = lambda x, key: min((abs(s["x"] - x), s[key]) for s in states)[1]
        row(f"{name}: height at x = 47.7 m [m]", height, near(47.7, "height"), 0.0015)
        row(f"{name}: pull at x = 4.1 m [N]", pull, near(4.1, "pull"), 2.0)
        least = min((s["height"], s["x"]) for s in states if track.rig.end + 1 < s["x"] < data["far"][0] - 10)
        most = max((s["pull"], s["x"]) for s in states)
        NOTES.append(f"{name}: over 225 places the least height is {least[0]:.4f} m at x = {least[1]:.2f} m, "
                     f"the greatest pull {most[0]:.1f} N at x = {most[1]:.2f} m")

    # With friction, set by the cell to the announced reading.
    track = Track(Rig(data, 60))
    track.tension(set_to)
    track.load_on()
    states = [track.at(float(x), moving=-1) for x in np.linspace(track.rig.start, track.rig.end, 225)]
    upper = [s["cell"] for s in states if s["x"] < 0.5 * (data["far"][0] + data["head"][0])]
    row("with friction, set by the cell: the cell's change over the upper half [N]", 0.0, max(upper) - min(upper), 1.0)
    mean = max(s["mean"] for s in states)
    row("the cell by the greatest mean of the strands", 0.87, max(s["cell"] for s in states) / mean, 0.01)
    top = max(states, key=lambda s: s["mean"])
    row("the outgoing strand by the mean", 1.05, top["out"] / top["mean"], 0.005)
    away = lambda s: math.hypot(s["x"] - track.rig.head[0], s["z"] - track.rig.head[1])
    path = sum(math.hypot(b["x"] - a["x"], b["z"] - a["z"]) for a, b in zip(states, states[1:]))
    NOTES.append(f"winch rope taken in is {100 - 100 * (away(states[0]) - away(states[-1])) / path:.2f} % less than "
                 "the path of the carriage (another code: 1.1 %)")

    # The track redirect gone, at rest and without friction: its slack enters the rope.
    base = np.array([0, 0, data["base"]])
    capstan = np.array(data["track"]["capstan"]) + base
    rig = Rig(data, 60)
    direct = float(np.linalg.norm(capstan - np.array([rig.head[0], 0, rig.head[1]])))
    slack = rig.back[0] + rig.back[1] - direct
    row("slack that the track redirect gives [m]", 2.232, slack, 0.0005)
    for x, before, after, height in ((32.5, 3200, 2612, -0.78), (3.0, 2823, 2110, 0.42)):
        track = Track(Rig(data, 60, **plain))
        track.tension(set_to, by="mean")
        track.load_on()
        state = to(track, x)
        row(f"mean strand tension at x = {x} m [N]", before, state["mean"], 1.5)
        # The slack comes in gradually, every turn passing it on, the wheels as while hauling.
        track.forced = [2, 2, 1, 2, -1, 2]
        for _ in range(100):
            track.amounts[3] += slack / 100
            state = track._solve(x, 1.0, None, -1)
        level = state["z"] - track.rig.hang - track.rig.ground.at(x)
        row(f"redirect lost: height without ground at x = {x} m [m]", height, level, 0.006)
        row(f"redirect lost: mean strand tension at x = {x} m [N]", after, state["mean"], 1.5)


if __name__ == "__main__":
    for check in (catenary, one_turn, falls, pendulum, resting, converging, reference):
        print(f"-- {check.__doc__.splitlines()[0]}" if check.__doc__ else f"-- {check.__name__}")
        check()
    wrong = [r for r in ROWS if not r[4]]
    print(f"{len(ROWS) - len(wrong)} of {len(ROWS)} agree")
    for note in NOTES:
        print("note:", note)
    sys.exit(bool(wrong))
