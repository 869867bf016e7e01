"""Derivatives of a rig in space by forty digits: a heavy stiffening track over a load, a heavy haul rope of set tension
over the head, a weightless stiffening guy. Every part obeys dr/ds = (1 + strain)·F/T with F rising evenly by the weight
(the elastic catenary, for any curve T = a·strain + b·strain²), integrated by Gauss's rule; all equations are solved
together, an input changed by 1e-15 each way. The integrand is smooth up to H/w, thirty times the half length of a part
and more, so that 16 nodes leave 60^-32 of it: 57 digits.

    python3 tests/oracle/rig_space.py > tests/oracle/rig_space.json        (needs numpy, scipy, mpmath; half a minute)
"""
import json

import numpy as np
from mpmath import acos, findroot, legendre, lu_solve, matrix, mp, mpf, sqrt
from scipy.optimize import least_squares

mp.dps = 40

GIVEN = dict(
    head_x=0, head_y=0, head_z=3, far_x=60, far_y=5, far_z=-12, post_x=10, post_y=20, post_z=4, winch_x=-6, winch_y=-2, winch_z=1,
    load_x=40, load_y=25, load_z=-2100,
    track_length="64.5", track_a=60000, track_b=90000, track_w="1.4",
    haul_tension=500, haul_a=30000, haul_b=40000, haul_w="0.8",
    guy_length=27, guy_a=30000, guy_b=80000,
)
DEPENDS = ["track_length", "track_a", "track_b", "track_w", "haul_tension", "haul_a", "haul_b", "haul_w", "guy_length", "guy_a", "guy_b"]
DEPENDS += [p + "_" + k for p in ("load", "head", "far", "post", "winch") for k in "xyz"]


def point(g, name):
    return [g[name + "_x"], g[name + "_y"], g[name + "_z"]]


def run(h, v, w, s, a, b, root, integral):
    """How far a part runs level and upward from its first end, where it pulls (h, v) towards its last."""

    def slope(at):
        up = v + w * at
        t = root(h * h + up * up)
        strain = 2 * t / (a + root(a * a + 4 * b * t))
        return (1 + strain) / t, up

    return integral(lambda at: slope(at)[0] * h, s), integral(lambda at: slope(at)[0] * slope(at)[1], s)


def equations(g, u, root, integral):
    """What is amiss; u: place of the load, share of the track, shares of the haul rope, (h, v) of four parts."""
    load, (first, lead, hang), ends = u[:3], u[3:6], u[6:]
    head, far, post, winch = (point(g, p) for p in ("head", "far", "post", "winch"))
    chord = lambda p, q: [q[i] - p[i] for i in range(3)]
    tension = lambda h, v: root(h * h + v * v)
    amiss, pulls = [], []
    parts = [("track", head, load, first), ("track", load, far, g["track_length"] - first), ("haul", winch, head, lead), ("haul", head, load, hang)]
    for (rope, p, q, s), (h, v) in zip(parts, zip(ends[::2], ends[1::2])):
        w = g[rope + "_w"]
        x, z = run(h, v, w, s, g[rope + "_a"], g[rope + "_b"], root, integral)
        c = chord(p, q)
        level = root(c[0] ** 2 + c[1] ** 2)
        amiss += [x - level, z - c[2]]
        along = [h * c[0] / level, h * c[1] / level]
        pulls.append((along + [v], along + [v + w * s], tension(h, v), tension(h, v + w * s)))
    c = chord(post, load)
    distance = root(sum(x * x for x in c))
    strain = distance / g["guy_length"] - 1
    guy = g["guy_a"] * strain + g["guy_b"] * strain**2
    for i in range(3):
        held = pulls[0][1][i] + pulls[3][1][i] + guy * c[i] / distance
        amiss.append(pulls[1][0][i] + g["load_" + "xyz"[i]] - held)
    amiss += [pulls[0][3] - pulls[1][2], pulls[2][3] - pulls[3][2], pulls[2][2] - g["haul_tension"]]
    return amiss, pulls, guy


def by_gauss(f, s):
    nodes, weights = np.polynomial.legendre.leggauss(40)
    return 0.5 * s * sum(w * f(0.5 * s * (1 + x)) for x, w in zip(nodes, weights))


COUNT = 16
NODES = [findroot(lambda x: legendre(COUNT, x), mpf(float(x))) for x in np.polynomial.legendre.leggauss(COUNT)[0]]
# 2(1 − x²)/(n·P(n−1))²
RULE = [(x, 2 * (1 - x * x) / (COUNT * legendre(COUNT - 1, x)) ** 2) for x in NODES]
assert abs(sum(w * x**30 for x, w in RULE) - mpf(2) / 31) < mpf(10) ** -36


def integral(f, s):
    return s / 2 * sum(w * f(s * (1 + x) / 2) for x, w in RULE)


def newton(g, u):
    for _ in range(12):
        amiss = equations(g, u, sqrt, integral)[0]
        if max(abs(x) for x in amiss) < mpf(10) ** -32:
            return u
        n, h = len(u), mpf(10) ** -18
        slopes = matrix(n, n)
        for j in range(n):
            moved = list(u)
            moved[j] += h
            for i, x in enumerate(equations(g, moved, sqrt, integral)[0]):
                slopes[i, j] = (x - amiss[i]) / h
        step = lu_solve(slopes, matrix(amiss))
        u = [x - d for x, d in zip(u, step)]
    raise ArithmeticError("no equilibrium found")


def said(g, u):
    _, pulls, guy = equations(g, u, sqrt, integral)
    before, after = pulls[0][1], pulls[1][0]
    cos = sum(a * b for a, b in zip(before, after)) / (pulls[0][3] * pulls[1][2])
    out = dict(x=u[0], y=u[1], z=u[2], share=u[3], haul_length=u[4] + u[5], turn=acos(cos))
    out.update(track_head=pulls[0][2], track_far=pulls[1][3], haul_load=pulls[3][3], guy=guy)
    for i, k in enumerate("xyz"):
        # What holds the head: against the track, and the haul rope on both sides.
        out["head_" + k] = -(pulls[0][0][i] + pulls[3][0][i] - pulls[2][1][i])
        out["far_" + k] = pulls[1][1][i]
    return out


given = {k: mpf(v) for k, v in GIVEN.items()}
rough = {k: float(v) for k, v in given.items()}
guess = [28, 6, -9, 30, 7, 29, 3000, -1100, 3000, 1000, 450, 150, 450, -200]
found = least_squares(lambda u: equations(rough, u, np.sqrt, by_gauss)[0], guess, xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=5000)
assert max(abs(found.fun)) < 1e-6, found
u = newton(given, [mpf(float(x)) for x in found.x])
assert 0 < u[3] < given["track_length"] and u[4] > 0 and u[5] > 0 and said(given, u)["guy"] > 0
value, by = said(given, u), {}
for name in DEPENDS:
    ends = []
    for sign in (-1, 1):
        changed = dict(given)
        changed[name] += sign * mpf(10) ** -15
        ends.append(said(changed, newton(changed, u)))
    by[name] = {k: float((ends[1][k] - ends[0][k]) / (2 * mpf(10) ** -15)) for k in value}
print(json.dumps(dict(given={k: float(v) for k, v in given.items()}, value={k: float(v) for k, v in value.items()}, by=by), indent=1))
