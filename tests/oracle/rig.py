"""Rigs with sheaves, solved without any formula for a hanging rope: every rope part is cut into n straight elastic
pieces with their weight at their ends, and SciPy looks for the least energy. Sheaves pass rope freely: the length of
each part is a variable. The error falls with 1/n².

    python3 tests/oracle/rig.py > tests/oracle/rig.json          (needs numpy and scipy; about five minutes)
"""
import json

import numpy as np
from scipy.optimize import minimize

DIVISIONS = (4, 8, 16, 32)


class Rig:
    def __init__(self, name):
        self.name, self.points, self.ropes = name, [], []

    def fixed(self, x, y, z):
        self.points.append(dict(at=[x, y, z], free=False, load=[0.0, 0.0, 0.0]))
        return len(self.points) - 1

    def free(self, guess, load):
        self.points.append(dict(at=list(guess), free=True, load=list(load)))
        return len(self.points) - 1

    def rope(self, nodes, length, a, b=0.0, w=0.0):
        self.ropes.append(dict(nodes=list(nodes), length=length, a=a, b=b, w=w))


class Divided:
    """The energy of a rig cut into pieces, as a function of one vector."""

    def __init__(self, rig, n):
        self.rig, self.n = rig, n
        self.count = 0
        self.point = []
        for p in rig.points:
            self.point.append(self.take(3) if p["free"] else None)
        self.parts = []  # (rope, node indices, inner variables)
        self.knots = []
        for rope in rig.ropes:
            parts = len(rope["nodes"]) - 1
            self.knots.append([self.take(1) for _ in range(parts - 1)])
            pieces = n if rope["w"] > 0 else 1
            for k in range(parts):
                inner = [self.take(3) for _ in range(pieces - 1)]
                self.parts.append((rope, k, inner, self.knots[-1]))

    def take(self, k):
        self.count += k
        return self.count - k

    def start(self):
        x = np.zeros(self.count)
        at = [np.array(p["at"], float) for p in self.rig.points]
        for p, v in zip(self.rig.points, self.point):
            if v is not None:
                x[v : v + 3] = p["at"]
        for rope, k, inner, knots in self.parts:
            a, b = at[rope["nodes"][k]], at[rope["nodes"][k + 1]]
            for i, v in enumerate(inner):
                t = (i + 1) / (len(inner) + 1)
                sag = 4 * t * (1 - t) * 0.02 * np.linalg.norm(b - a)
                x[v : v + 3] = a + t * (b - a) - [0, 0, sag]
        for rope, knots in zip(self.rig.ropes, self.knots):
            chords = [np.linalg.norm(at[j] - at[i]) for i, j in zip(rope["nodes"], rope["nodes"][1:])]
            s = np.cumsum(chords) / sum(chords) * rope["length"]
            for v, value in zip(knots, s):
                x[v] = value
        return x

    def all(self, x, order):
        """Energy, gradient, Hessian."""
        e, g = 0.0, np.zeros(self.count)
        h = np.zeros((self.count, self.count)) if order == 2 else None
        for p, v in zip(self.rig.points, self.point):
            if v is not None:
                e -= np.dot(p["load"], x[v : v + 3])
                g[v : v + 3] -= p["load"]
        for rope, k, inner, knots in self.parts:
            a, b, w = rope["a"], rope["b"], rope["w"]
            m = len(inner) + 1
            lo = x[knots[k - 1]] if k > 0 else 0.0
            hi = x[knots[k]] if k < len(knots) else rope["length"]
            length = (hi - lo) / m
            if length <= 0:
                return np.inf, g, h
            ends = [rope["nodes"][k], rope["nodes"][k + 1]]
            chain = [self.point[ends[0]]] + inner + [self.point[ends[1]]]
            where = [
                x[v : v + 3] if v is not None else np.array(self.rig.points[ends[0 if i == 0 else 1]]["at"], float)
                for i, v in enumerate(chain)
            ]
            for i in range(m):
                d = where[i + 1] - where[i]
                distance = np.linalg.norm(d)
                u = d / distance
                strain = max(distance / length - 1, 0.0)
                t = a * strain + b * strain**2
                slope = (a + 2 * b * strain) / length if strain > 0 else 0.0
                energy = a * strain**2 / 2 + b * strain**3 / 3
                height = (where[i][2] + where[i + 1][2]) / 2
                e += length * (energy + w * height)
                # by the length of this piece
                by_length = energy - t * (1 + strain) + w * height
                cells = []
                for v, sign in ((chain[i], -1.0), (chain[i + 1], 1.0)):
                    if v is not None:
                        g[v : v + 3] += sign * t * u
                        g[v + 2] += w * length / 2
                        cells.append((v, sign))
                ties = []
                if k > 0:
                    ties.append((knots[k - 1], -1.0 / m))
                if k < len(knots):
                    ties.append((knots[k], 1.0 / m))
                for v, sign in ties:
                    g[v] += sign * by_length
                if order < 2:
                    continue
                uu = np.outer(u, u)
                stiff = slope * uu + t / distance * (np.eye(3) - uu)
                for v, sv in cells:
                    for q, sq in cells:
                        h[v : v + 3, q : q + 3] += sv * sq * stiff
                    for q, sq in ties:
                        cross = sq * (-sv * slope * (1 + strain) * u + [0, 0, w / 2])
                        h[v : v + 3, q] += cross
                        h[q, v : v + 3] += cross
                for v, sv in ties:
                    for q, sq in ties:
                        h[v, q] += sv * sq * slope * (1 + strain) ** 2
        return e, g, h

    def solve(self):
        x = self.start()
        found = minimize(
            lambda x: self.all(x, 1)[0],
            x,
            jac=lambda x: self.all(x, 1)[1],
            hess=lambda x: self.all(x, 2)[2],
            method="trust-exact",
            options=dict(gtol=1e-7, maxiter=400),
        )
        x = found.x
        for _ in range(4):
            _, g, h = self.all(x, 2)
            np.linalg.cholesky(h)  # a minimum, or an exception
            x = x - np.linalg.solve(h, g)
        residual = np.abs(self.all(x, 1)[1]).max()
        assert residual < 1e-6, (self.rig.name, self.n, residual, found.message)
        return [x[v : v + 3].tolist() for v in self.point if v is not None]


def rigs():
    g = 9.80665
    # A carriage that rolls: level, steep, across, light and heavy.
    for i, (x, y, z, slack, a, w, p) in enumerate(
        [
            (60, 0, 0, 1.01, 80e3, 1.6, 2400),
            (50, 0, -30, 1.02, 80e3, 1.6, 2400),
            (40, 12, 6, 1.05, 40e3, 0.8, 900),
            (30, -8, -20, 1.03, 120e3, 2.5, 1500),
            (80, 5, 10, 1.0, 60e3, 1.2, 3000),
            (25, 3, 2, 1.2, 35e3, 6.0, 400),
        ]
    ):
        rig = Rig(f"rolling carriage {i}")
        head, far = rig.fixed(0, 0, 0), rig.fixed(x, y, z)
        low = [0.55 * x, 0.55 * y, 0.55 * z - 0.12 * x]
        load = rig.free(low, [0, 0, -p])
        rig.rope([head, load, far], slack * np.linalg.norm([x, y, z]), a, b=5 * a if i % 2 else 0.0, w=w)
        yield rig
    # A carriage held by a haul rope that comes over a sheave at the head.
    for i, (x, y, z, haul) in enumerate([(70, 0, -45, 42.0), (60, 6, -20, 30.0), (50, -4, -40, 25.0), (90, 0, -50, 60.0)]):
        rig = Rig(f"held carriage {i}")
        head, far = rig.fixed(0, 0, 0), rig.fixed(x, y, z)
        winch = rig.fixed(-5, 1, -2)
        t = haul / np.linalg.norm([x, y, z])
        load = rig.free([t * x, t * y, t * z - 8], [0, 0, -250 * g])
        rig.rope([head, load, far], 0.995 * np.linalg.norm([x, y, z]), 80e3, w=1.66)
        rig.rope([winch, head, load], haul + 5.5, 40e3, w=0.83)
        yield rig
    # One rope doubled through a sheave at the far anchor, both parts over the carriage.
    for i, (x, y, z) in enumerate([(70, 0, -45), (55, 4, -10), (40, -3, -30)]):
        rig = Rig(f"doubled track {i}")
        head, post, far = rig.fixed(0, 0, 0), rig.fixed(0, 0.4, 0), rig.fixed(x, y, z)
        load = rig.free([0.45 * x, 0.45 * y, 0.45 * z - 0.1 * x], [0, 0, -200 * g])
        rig.rope([head, load, far, load, post], 2.0 * np.linalg.norm([x, y, z]), 40e3, w=0.83)
        rig.rope([head, load], 0.46 * np.linalg.norm([x, y, z]) * 1.03, 40e3)
        yield rig
    # A redirect that floats on a sling.
    for i, (sling, pull) in enumerate([(2.0, 800), (3.0, 1500), (1.2, 400), (4.0, 2500)]):
        rig = Rig(f"floating redirect {i}")
        tree, anchor, edge = rig.fixed(0, 3, 4), rig.fixed(-8, -2, 0.5), rig.fixed(6, 0, 0)
        redirect = rig.free([-0.5, 1, 2.0], [0, 0, -15])
        load = rig.free([6, 0, -10], [0, 0, -pull])
        rig.rope([tree, redirect], sling, 30e3)
        rig.rope([anchor, redirect, edge, load], 27.0, 35e3, b=70e3 if i % 2 else 0.0, w=0.75)
        yield rig
    # A load between two ropes that come over fixed sheaves.
    for i, (side, down) in enumerate([(4, 12), (8, 20), (-6, 15), (2, 30), (10, 8)]):
        rig = Rig(f"load between two sheaves {i}")
        head, left, right, post = rig.fixed(0, 0, 0), rig.fixed(-6, -3, -1), rig.fixed(20, side, 1), rig.fixed(12, side, 2)
        load = rig.free([5, 0.3 * side, -down], [150.0, -40.0, -1800])
        rig.rope([left, head, load], np.hypot(down, 5) + 7.2, 40e3, w=0.8)
        rig.rope([load, post, right], np.hypot(down, 7) + 8.2, 40e3, b=80e3, w=1.1)
        yield rig


def main():
    cases = []
    for rig in rigs():
        found = {n: Divided(rig, n).solve() for n in DIVISIONS}
        for rope in rig.ropes:
            rope["length"] = float(rope["length"])
        cases.append(dict(name=rig.name, points=rig.points, ropes=rig.ropes, found=[dict(pieces=n, at=a) for n, a in found.items()]))
        print(rig.name, flush=True, file=__import__("sys").stderr)
    print(json.dumps(cases, indent=None, separators=(",", ":")).replace('{"name"', '\n{"name"'))


if __name__ == "__main__":
    main()
