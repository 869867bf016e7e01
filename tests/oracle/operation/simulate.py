"""A second world for the operation: the rigs of `rigs.json`, simulated, their findings written to `found.json`.

    python3 -m venv venv && venv/bin/pip install numpy    # 2.4.6 made the committed digits
    venv/bin/python tests/oracle/operation/validate.py    # what the simulation itself is held against
    venv/bin/python tests/oracle/operation/simulate.py    # writes found.json and the table for the documentation

Nothing is drawn at random, so there is no seed: the same numpy gives the same digits. No formula is shared with the
library: ropes are lumped masses between straight springs (`still.py` at rest and moving slowly, `motion.py` in time).
"""
import json
import math
import pathlib
import sys
import numpy as np
import motion
from still import Rig, Stuck, Track

HERE = pathlib.Path(__file__).parent
DOCS = HERE.parents[2] / "rope-mechanics" / "src" / "docs" / "second_world.md"
CASES = ("track", "haul", "track_redirect", "haul_redirect", "capstan_tail", "jam")
# Share of the travel already done where a part fails.
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
# Stiffness while things fall by the static one: the mean of 101 measured falls.
DYNAMIC = 2.08
SPEED = 0.1


def places(rig, count):
    return np.linspace(rig.start, rig.end, count)


def plain(data, wheels):
    """Without friction but, if wanted, that of the wheels; a haul rope without weight; a rope that does not stretch
    behind the head: what the study means by its mean tension. Every figure with its error: chains of 40 and of 80
    pieces differ by three times the error of the finer one, which falls with the square of their number."""
    both = []
    for cuts in (40, 80):
        rig = Rig(data, cuts, friction=False, wheels=wheels, heavy_haul=False, behind=False)
        track = Track(rig)
        unloaded = track.tension(data["set"]["unloaded_tension"], by="mean")
        track.load_on()
        # The wheels as while hauling, from the first place on.
        track.forced = [2, 2, 1, 2, -1, 2] if wheels else [2] * 6
        states = []
        for x in places(rig, 121):
            state = track.at(float(x))
            states.append([float(x), state["mean"], state["z"], state["pull"], state["normal"] > 0])
        both.append((unloaded["strand"][0], states))
    (coarse_l, coarse), (fine_l, fine) = both
    rows = []
    for a, b in list(zip(coarse, fine))[::5]:
        if not b[4]:
            rows.append([b[0]] + [b[i] for i in (1, 2, 3)] + [rounded(abs(a[i] - b[i]) / 3, 2) for i in (1, 2, 3)])
    return {"strand_length": [fine_l, abs(coarse_l - fine_l) / 3], "rows": rows}


KEYS = ("x", "height", "mean", "out", "ret", "cell", "capstan", "pull", "pull_head", "haul_length")


def history(data):
    """Tension by the cell, lock, load on, haul all the way, let out all the way."""
    rig = Rig(data, 40)
    track = Track(rig)
    unloaded = track.tension(data["set"]["unloaded_tension"])
    unloaded = {key: unloaded[key] for key in ("capstan", "out", "ret", "cell")}
    track.load_on()
    ways = places(rig, 1 + 2 * max(24, round((rig.start - rig.end) / 0.5 / 2)))
    inward = [track.at(float(x), moving=-1) for x in ways]
    outward = [track.at(float(x), moving=1) for x in ways[::-1]]
    every = max(1, len(ways) // 24)
    pick = lambda states: [[float(state[key]) for key in KEYS] for state in states[::every]]
    fewer = Track(Rig(data, 40))
    fewer.tension(data["set"]["unloaded_tension"])
    fewer.load_on()
    half = [fewer.at(float(x), moving=-1) for x in ways[::2]]
    step_error = max(abs(a["cell"] - b["cell"]) for a, b in zip(inward[::2], half))
    return {"unloaded": unloaded, "keys": KEYS, "inward": pick(inward), "outward": pick(outward),
            "greatest": {key: max(s[key] for s in inward + outward) for key in ("mean", "out", "cell", "pull")},
            "least_height": [min(s["height"] for s in inward), min(s["height"] for s in outward)],
            "step_error": step_error}


def light(data):
    """The same history with a haul rope without weight, as the library's history has it: x, cell, both strands at the
    head and pull, where the litter floats and has floated all the way. Nothing of a rig whose litter lies early."""
    track = Track(Rig(data, 40, heavy_haul=False))
    track.tension(data["set"]["unloaded_tension"])
    track.load_on()
    rows = []
    ways = places(track.rig, 25)
    for moving, way in ((-1, ways), (1, ways[::-1])):
        for x in way:
            state = track.at(float(x), moving=moving)
            if state["normal"] > 0:
                return rows
            rows.append([float(x), state["cell"], state["out"], state["ret"], state["pull"]])
    return rows


def failures(data):
    rig = Rig(data, 40)
    track = Track(rig)
    track.tension(data["set"]["unloaded_tension"])
    track.load_on()
    found = []
    for share in SHARES:
        x = rig.start + (rig.end - rig.start) * share
        n = max(1, math.ceil(abs(track.x - x) / 0.5))
        for place in np.linspace(track.x, x, n + 1)[1:] if x != track.x else [x]:
            state = track.at(float(place), moving=-1)
        for case in CASES:
            # A stall is slow: statics, with the static stiffness.
            jam = case == "jam"
            world = motion.lay_out(track, state, dynamic=1.0 if jam else DYNAMIC)
            motion.fail(world, case)
            out = motion.follow(world, 1.2 if jam else 3.6, winch_speed=SPEED if jam else 0.0)
            del out["dt"]
            out.update({"case": case, "x": float(x), "height": float(state["height"])})
            if jam:
                out["rate"] = (out["peaks"]["winch"] - out["start"]["winch"]) / (SPEED * out["end"]["time"])
            found.append(None)
            del out["start"]
            out = {**{key: out.pop(key) for key in ("case", "x", "height")}, **out}
            found[-1] = out
            print(f"  {case} at x = {x:.1f}: drop {out['drop']:.2f}, landing {out['landing']}", flush=True)
    return found


def rounded(value, digits=6):
    if isinstance(value, dict):
        return {key: rounded(v, digits) for key, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [rounded(v, digits) for v in value]
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, (float, np.floating)):
        return float(f"{value:.{digits}g}")
    return value


def table(found, rigs):
    """The findings, for the documentation."""
    lines = []
    say = lines.append
    say("| site | set: cell, mean of strands, capstan (kN) | cell at its greatest, hauling and lowering (kN) | greatest mean of the strands (kN), and its place | cell by the announced greatest | least height hauling, lowering (m) |")
    say("|---|---|---|---|---|---|")
    for name, site in found.items():
        h, u = site["history"], site["history"]["unloaded"]
        mean = max(h["inward"], key=lambda r: r[KEYS.index("mean")])
        cell = lambda rows: max(r[KEYS.index("cell")] for r in rows)
        announced = max(r[1] for r in site["wheels"]["rows"])
        say(f"| {name} | {u['cell'] / 1e3:.2f}, {(u['out'] + u['ret']) / 2e3:.2f}, {u['capstan'] / 1e3:.2f} "
            f"| {cell(h['inward']) / 1e3:.2f}, {cell(h['outward']) / 1e3:.2f} "
            f"| {mean[2] / 1e3:.2f} at {mean[0]:.0f} m | {cell(h['inward']) / announced:.2f} "
            f"| {h['least_height'][0]:.2f}, {h['least_height'][1]:.2f} |")
    say("")
    say("What fails, at the start, a quarter, half, three quarters and the end of the travel: how far the litter falls (m) and how fast it lands (m/s) (— where it does not land within 3.6 s), or for a jam by how much the winch's pull grows for each metre of rope (kN/m).")
    say("")
    say("| site | " + " | ".join(case.replace("_", " ") for case in CASES) + " |")
    say("|---|" + "---|" * len(CASES))
    for name, site in found.items():
        cells = []
        for case in CASES:
            parts = []
            for out in [o for o in site["failures"] if o["case"] == case]:
                if case == "jam":
                    parts.append(f"{out['rate'] / 1e3:.2f}")
                elif out["lay"]:
                    parts.append("lay")
                else:
                    parts.append(f"{out['drop']:.2f}" + (f"/{out['landing']['speed']:.1f}" if out["landing"] else "/—"))
            cells.append(" · ".join(parts))
        say(f"| {name} | " + " | ".join(cells) + " |")
    say("")
    say("The greatest tension that each failure brings at any of the five places, behind a filter of 5 ms (kN).")
    say("")
    say("| site | haul rope, track lost | belay, haul lost | capstan part, track redirect lost | haul rope, haul redirect lost | belay, haul redirect lost |")
    say("|---|---|---|---|---|---|")
    for name, site in found.items():
        top = lambda case, *keys: max(max(o["peaks"].get(k, 0.0) for k in keys)
                                      for o in site["failures"] if o["case"] == case) / 1e3
        say(f"| {name} | {top('track', 'winch', 'haul_head', 'haul_carriage'):.2f} "
            f"| {top('haul', 'device', 'belay_carriage'):.2f} | {top('track_redirect', 'capstan'):.2f} "
            f"| {top('haul_redirect', 'winch', 'haul_head', 'haul_carriage'):.2f} "
            f"| {top('haul_redirect', 'device', 'belay_carriage'):.2f} |")
    return "\n".join(lines) + "\n"


def main():
    rigs = json.loads((HERE / "rigs.json").read_text())
    # `simulate.py plain long` does again only what takes seconds, of that rig.
    quick = sys.argv[1:2] == ["plain"]
    names = sys.argv[2 if quick else 1:] or list(rigs)
    path = HERE / "found.json"
    found = json.loads(path.read_text()) if path.exists() else {}
    for name in names:
        if name not in rigs:
            sys.exit(f"{name}: no such rig")
        print(name, flush=True)
        data = rigs[name]
        site = {"plain": rounded(plain(data, False), 11), "wheels": rounded(plain(data, True), 11),
                "history": rounded(history(data), 5), "light": {"rows": rounded(light(data))}}
        site["failures"] = rounded(found[name]["failures"] if quick else failures(data), 4)
        found[name] = site
        found = {key: found[key] for key in rigs if key in found}
        path.write_text(dump(found))
    if DOCS.exists():
        text = DOCS.read_text()
        begin, end = "<!-- found: begin -->\n", "<!-- found: end -->"
        if begin in text:
            head, rest = text.split(begin)
            DOCS.write_text(head + begin + table(found, rigs) + end + rest.split(end)[1])


def dump(found):
    """JSON with one row or one failure on a line."""
    lines = []
    for name, site in found.items():
        parts = []
        for key, value in site.items():
            if key == "failures":
                body = "[\n" + ",\n".join("    " + json.dumps(v) for v in value) + "\n  ]"
            else:
                inner = []
                for k, v in value.items():
                    if isinstance(v, list) and v and isinstance(v[0], list):
                        inner.append(f'    "{k}": [\n' + ",\n".join("      " + json.dumps(r) for r in v) + "\n    ]")
                    else:
                        inner.append(f'    "{k}": {json.dumps(v)}')
                body = "{\n" + ",\n".join(inner) + "\n  }"
            parts.append(f'  "{key}": {body}')
        lines.append(f'"{name}": {{\n' + ",\n".join(parts) + "\n}")
    return "{\n" + ",\n".join(lines) + "\n}\n"


if __name__ == "__main__":
    main()
