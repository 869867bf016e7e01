"""Rigs with sheaves, solved without any formula for a hanging rope: every part of a heavy rope is cut into n straight
elastic pieces with their weight at their ends, and SciPy looks for the least energy. Sheaves pass rope freely: the
length of each part is a variable. The error falls with 1/n².

- A point on a plane or a line has the coordinates along it as variables. One above ground is looked for as if there
  were none; if that is below, then on it as on a plane, and the ground has to push.
- Rope that a set tension T has pulled out of a rig is coiled up at the height of the end, stretched as T stretches it,
  and has let a weight of T sink by the stretched length. Rope that it lets in comes from there.
- Strands are as many ropes.

Beside each minimum stands how far it may be from the true one (`within`): |H⁻¹|·(|g| + δ), H the stiffness, g the
gradient that is left, δ a bound for what rounding does to it, all elements without their sign.

    python3 tests/oracle/rig.py > tests/oracle/rig.json          (needs numpy and scipy; ten seconds)
    python3 tests/oracle/rig.py check                            (the same, against the vectors that are there)
"""
import json
import math
import os
import sys
from pathlib import Path

# The matrices are small: more threads only wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize
from scipy.sparse import coo_matrix

from rig_cases import rigs

DIVISIONS = (4, 8, 16, 32)
EPS = np.finfo(float).eps


def stretched(a, b, tension):
    """The strain at a tension, and the energy per metre: tension = a·strain + b·strain²."""
    strain = 2 * tension / (a + math.sqrt(a * a + 4 * b * tension))
    return strain, a * strain**2 / 2 + b * strain**3 / 3


def along(point):
    """What a point may move along, as columns, at right angles to each other."""
    if point["hold"] == "free":
        return np.eye(3)
    direction = np.array(point["direction"])
    if point["hold"] == "line":
        return direction[:, None]
    return np.linalg.svd(direction[None, :])[2][1:].T


class Divided:
    """A rig cut into pieces. `y` are all places and lengths, one vector; `x` those that are free: y = y0 + C·x."""

    def __init__(self, rig, n, grounded):
        self.rig, self.n, self.grounded = rig, n, grounded
        self.y0, self.columns, self.start = [], [], []
        self.point = [self.place_of(i, p) for i, p in enumerate(rig.points)]
        pieces, self.parts, self.marks, self.lengths = [], [], [], []
        self.linear = []  # (index of y, energy per metre)
        for i, p in enumerate(rig.points):
            self.linear += [(v, -f) for v, f in zip(self.point[i], p["load"])]
        for rope in rig.ropes:
            strands = [self.strand(rope, pieces) for _ in range(rope["strands"])]
            self.lengths.append(strands[0])
        self.x0, self.y0 = np.array(self.start), np.array(self.y0)
        rows, cols, values = zip(*self.columns)
        self.c = coo_matrix((values, (rows, cols)), (len(self.y0), len(self.x0))).tocsr()
        places, bounds, data = zip(*pieces)
        # Of both ends of a piece, and of where along the rope its part begins and ends.
        self.index = np.hstack([np.array(places), np.array(bounds)])
        self.m, self.a, self.b, self.w = np.array(data).T

    def add(self, values, moves=None):
        """So many new y. They move along the columns of `moves`; if it is none they stay."""
        first = len(self.y0)
        values = np.atleast_1d(np.array(values, float))
        if moves is None:
            self.y0 += values.tolist()
        else:
            base = values - moves @ (moves.T @ values)
            self.y0 += base.tolist()
            for column in moves.T:
                self.columns += [(first + k, len(self.start), v) for k, v in enumerate(column) if v != 0.0]
                self.start.append(column @ values)
        return list(range(first, len(self.y0)))

    def place_of(self, i, p):
        hold, at = p["hold"], np.array(p["at"], float)
        if hold == "fixed":
            return self.add(at)
        if hold == "free" or (hold == "ground" and i not in self.grounded):
            return self.add(at, np.eye(3))
        moves, through = along(p), np.array(p["through"], float)
        return self.add(through + moves @ (moves.T @ (at - through)), moves)

    def strand(self, rope, pieces):
        """Cuts a strand into pieces. The lengths of its parts are told by where they begin and end along it."""
        at = [np.array(self.rig.points[i]["at"], float) for i in rope["nodes"]]
        chords = [np.linalg.norm(q - p) for p, q in zip(at, at[1:])]
        a, b, w, strands = rope["a"], rope["b"], rope["w"], rope["strands"]
        length = rope.get("length", sum(chords))
        free = np.eye(1)
        ends = {"first": (free, None), "last": (None, free)}.get(rope.get("pulled"), (None, None))
        marks = np.concatenate([[0.0], np.cumsum(chords)]) / sum(chords) * length
        if ends[0] is not None:
            marks -= length
        moves = [ends[0]] + [free] * (len(chords) - 1) + [ends[1]]
        marks = [self.add(s, move)[0] for s, move in zip(marks, moves)]
        if "pulled" in rope:
            tension = rope["tension"] / strands
            strain, energy = stretched(a, b, tension)
            coiled = energy - tension * (1 + strain) + w * at[0 if rope["pulled"] == "first" else -1][2]
            self.linear += [(marks[-1], -coiled), (marks[0], coiled)]
        count = self.n if w > 0 else 1
        for k, chord in enumerate(chords):
            chain = [self.point[rope["nodes"][k]]]
            for i in range(1, count):
                t = i / count
                sag = 4 * t * (1 - t) * 0.02 * chord
                chain.append(self.add(at[k] + t * (at[k + 1] - at[k]) - [0, 0, sag], np.eye(3)))
            chain.append(self.point[rope["nodes"][k + 1]])
            self.parts.append(chain)
            pieces += [(p + q, marks[k : k + 2], (count, a, b, w)) for p, q in zip(chain, chain[1:])]
        self.marks.append(marks)
        return marks[0], marks[-1]

    def start_from(self, coarse, y):
        """x for what another division of the same rig found."""
        here = self.y0.copy()
        for mine, other in zip(self.point + self.marks, coarse.point + coarse.marks):
            here[mine] = y[other]
        for mine, other in zip(self.parts, coarse.parts):
            t, known = np.linspace(0, 1, len(mine)), np.linspace(0, 1, len(other))
            for k in range(3):
                here[[v[k] for v in mine[1:-1]]] = np.interp(t, known, y[[v[k] for v in other]])[1:-1]
        return self.c.T @ (here - self.y0)

    def y(self, x):
        return self.y0 + self.c @ x

    def pieces(self, y):
        """Of every piece: length, distance between its ends, direction, strain, tension, energy per metre, height."""
        v = y[self.index]
        length = (v[:, 7] - v[:, 6]) / self.m
        d = v[:, 3:6] - v[:, :3]
        distance = np.sqrt((d * d).sum(1))
        strain = np.maximum(distance / length - 1, 0.0)
        tension = self.a * strain + self.b * strain**2
        energy = self.a * strain**2 / 2 + self.b * strain**3 / 3
        return length, distance, d / distance[:, None], strain, tension, energy, (v[:, 2] + v[:, 5]) / 2

    def energy(self, x):
        y = self.y(x)
        v = y[self.index]
        if (v[:, 7] <= v[:, 6]).any():
            return np.inf
        length, _, _, _, _, energy, height = self.pieces(y)
        return (length * (energy + self.w * height)).sum() + sum(y[i] * f for i, f in self.linear)

    def gradient(self, x):
        """By y. At the place of a point that is held it is the force that holds it."""
        length, _, u, strain, tension, energy, height = self.pieces(self.y(x))
        by_length = (energy - tension * (1 + strain) + self.w * height) / self.m
        pull, half = tension[:, None] * u, self.w * length / 2
        each = np.column_stack([-pull, pull, -by_length, by_length])
        each[:, 2] += half
        each[:, 5] += half
        g = np.zeros(len(self.y0))
        np.add.at(g, self.index, each)
        for i, f in self.linear:
            g[i] += f
        return g

    def rounding(self, x):
        """How far rounding may move the gradient by y: a distance by a length is known to some six units of the last
        place, which moves a tension by a slope of it; each sum adds its own."""
        length, _, _, strain, tension, energy, height = self.pieces(self.y(x))
        slope = (self.a + 2 * self.b * strain) * (1 + strain)
        pull = slope + tension + self.w * length
        by_length = (slope * (1 + strain) + energy + tension * (1 + strain) + self.w * np.abs(height)) / self.m
        each = np.column_stack([pull] * 6 + [by_length] * 2)
        g = np.zeros(len(self.y0))
        np.add.at(g, self.index, each)
        for i, f in self.linear:
            g[i] += abs(f)
        return 8 * EPS * g

    def hessian(self, x):
        """By y."""
        length, distance, u, strain, tension, _, _ = self.pieces(self.y(x))
        slope = np.where(strain > 0, self.a + 2 * self.b * strain, 0.0) / length
        uu = u[:, :, None] * u[:, None, :]
        stiff = slope[:, None, None] * uu + (tension / distance)[:, None, None] * (np.eye(3) - uu)
        weight = np.array([0.0, 0.0, 0.5]) * self.w[:, None]
        cross = (slope * (1 + strain))[:, None] * u
        cross = np.hstack([cross + weight, -cross + weight])
        h = np.zeros((len(u), 8, 8))
        h[:, :3, :3] = h[:, 3:6, 3:6] = stiff
        h[:, :3, 3:6] = h[:, 3:6, :3] = -stiff
        by = np.column_stack([-1 / self.m, 1 / self.m])
        h[:, :6, 6:] = cross[:, :, None] * by[:, None, :]
        h[:, 6:, :6] = h[:, :6, 6:].transpose(0, 2, 1)
        h[:, 6:, 6:] = (slope * (1 + strain) ** 2)[:, None, None] * by[:, :, None] * by[:, None, :]
        rows, cols = np.broadcast_arrays(self.index[:, :, None], self.index[:, None, :])
        return coo_matrix((h.ravel(), (rows.ravel(), cols.ravel())), (len(self.y0),) * 2).tocsr()

    def least(self, x):
        """The least energy near x, and how far x and the gradient by y may be off."""

        def reduced(x):
            return (self.c.T @ self.hessian(x) @ self.c).toarray()

        found = minimize(
            self.energy,
            x,
            jac=lambda x: self.c.T @ self.gradient(x),
            hess=reduced,
            method="trust-exact",
            options=dict(gtol=1e-7, maxiter=400),
        )
        x = found.x
        for _ in range(4):
            factor = cho_factor(reduced(x))  # a minimum, or an exception
            x = x - cho_solve(factor, self.c.T @ self.gradient(x))
        h = self.hessian(x) @ self.c
        flexible = np.linalg.inv((self.c.T @ h).toarray())
        rounding = self.rounding(x)
        left = np.abs(self.c.T @ self.gradient(x)) + np.abs(self.c).T @ rounding
        return x, np.abs(self.c @ flexible) @ left + EPS * np.abs(self.y(x)), np.abs(h @ flexible) @ left + rounding


def solve(rig, n, coarse):
    """The least energy above the ground; from what a coarser division found, if there is one."""
    divided, x = coarse or (None, None)
    grounded = divided.grounded if divided else frozenset()
    grounds = [(i, p) for i, p in enumerate(rig.points) if p["hold"] == "ground"]
    for _ in range(2 ** len(grounds)):
        finer = Divided(rig, n, grounded)
        x = finer.start_from(divided, divided.y(x)) if divided else finer.x0
        divided = finer
        x, off, off_force = divided.least(x)
        y, force = divided.y(x), divided.gradient(x)
        push = {i: force[divided.point[i]] @ p["direction"] for i, p in grounds}
        height = {i: (y[divided.point[i]] - p["through"]) @ p["direction"] for i, p in grounds}
        ought = frozenset(i for i, _ in grounds if (push[i] > 0 if i in grounded else height[i] < 0))
        if ought == grounded:
            return divided, x, y, off, force, off_force
        grounded = ought
    raise ArithmeticError(f"{rig.name}: on the ground or not?")


def up(value):
    """Rounded up to one digit."""
    return float(f"{value * 1.5:.0e}")


def found(rig):
    coarse = None
    for n in DIVISIONS:
        divided, x, y, off, force, off_force = solve(rig, n, coarse)
        coarse = divided, x
        at = [v for v, p in zip(divided.point, rig.points) if p["hold"] != "fixed"]
        held = [v for v, p in zip(divided.point, rig.points) if p["hold"] != "free"]
        pulled = [v for v, r in zip(divided.lengths, rig.ropes) if "pulled" in r]
        yield dict(
            pieces=n,
            within=[
                up(max([np.linalg.norm(off[v]) for v in at] + [off[first] + off[last] for first, last in pulled])),
                up(max(np.linalg.norm(off_force[v]) for v in held)),
            ],
            at=[y[v].tolist() for v in at],
            lengths=[y[last] - y[first] for first, last in pulled],
            # Of fixed points, of ground, planes and lines.
            forces=[force[v].tolist() for v in held],
            grounded=[i in divided.grounded for i, p in enumerate(rig.points) if p["hold"] != "fixed"],
        )


def made():
    for rig in rigs():
        case = dict(name=rig.name, points=rig.points, ropes=rig.ropes, found=list(found(rig)))
        places, forces = case["found"][-1]["within"]
        print(f"{rig.name:32} within {places:.0e} m, {forces:.0e} N", flush=True, file=sys.stderr)
        yield case


def check(known, case):
    def same(so, *what):
        if not so:
            raise ValueError(f"the vectors are not these: {case['name']}, {what}")

    same(all(known[k] == case[k] for k in ("name", "points", "ropes")), "points and ropes")
    for old, new in zip(known["found"], case["found"], strict=True):
        same(old["grounded"] == new["grounded"], old["pieces"], "on the ground")
        for key, kind in (("at", 0), ("lengths", 0), ("forces", 1)):
            apart = np.abs(np.array(old[key]) - np.array(new[key])).max(initial=0.0)
            same(apart <= old["within"][kind] + new["within"][kind], old["pieces"], key, apart)


def main():
    if sys.argv[1:] == ["check"]:
        vectors = json.loads((Path(__file__).parent / "rig.json").read_text())
        for known, case in zip(vectors, made(), strict=True):
            check(known, case)
    else:
        print(json.dumps(list(made()), separators=(",", ":")).replace('{"name"', '\n{"name"'))


if __name__ == "__main__":
    main()
