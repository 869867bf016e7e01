"""The rigs of rig.rs by SciPy on the same energy, gradient and Hessian given.

Weightless ropes are straight; a heavy part is cut into 8 straight pieces with their weight at their ends (the oracle in
tests/oracle/rig.py, whose error there is of the order of 1e-3 of a sag). Rigs of up to 3000 variables: trust-exact of
scipy.optimize.minimize. Larger ones, whose matrices are too large when full: Newton's method with a line search and
SciPy's sparse factors, which is the best that SciPy offers.
"""
import os
import pathlib
import sys
import time

# Matrices this small are slower on several threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np  # noqa: E402
from scipy.optimize import minimize  # noqa: E402
from scipy.sparse import csc_array, eye_array  # noqa: E402
from scipy.sparse.linalg import splu  # noqa: E402

sys.path.insert(0, str(pathlib.Path(__file__).parents[2] / "tests" / "oracle"))
from rig import Divided  # noqa: E402
from rig_cases import Rig  # noqa: E402


class Straight:
    """ropes: (i, j, length, ea), points that move first."""

    def __init__(self, fixed, ropes, loads, start):
        self.i, self.j = np.array([r[0] for r in ropes]), np.array([r[1] for r in ropes])
        self.length, self.ea = np.array([r[2] for r in ropes], float), np.array([r[3] for r in ropes], float)
        self.fixed, self.loads = np.array(fixed, float), np.array(loads, float)
        self.start = np.array(start, float).ravel()
        self.movers = len(start)

    def parts(self, x):
        at = np.vstack([x.reshape(-1, 3), self.fixed])
        d = at[self.j] - at[self.i]
        distance = np.linalg.norm(d, axis=1)
        return d / distance[:, None], distance, np.maximum(distance / self.length - 1, 0)

    def energy(self, x):
        u, _, strain = self.parts(x)
        e = (self.ea * self.length * strain**2 / 2).sum() - (self.loads * x.reshape(-1, 3)).sum()
        g = np.zeros((self.movers + len(self.fixed), 3))
        np.add.at(g, self.j, (self.ea * strain)[:, None] * u)
        np.add.at(g, self.i, -(self.ea * strain)[:, None] * u)
        return e, (g[: self.movers] - self.loads).ravel()

    def hessian(self, x):
        u, distance, strain = self.parts(x)
        uu = u[:, :, None] * u[:, None, :]
        k = np.where(strain > 0, self.ea / self.length, 0)[:, None, None] * uu
        k += (self.ea * strain / distance)[:, None, None] * (np.eye(3) - uu)
        rows, columns, values = [], [], []
        for a, b, sign in ((self.i, self.i, 1), (self.j, self.j, 1), (self.i, self.j, -1), (self.j, self.i, -1)):
            keep = (a < self.movers) & (b < self.movers)
            for p in range(3):
                for q in range(3):
                    rows.append(3 * a[keep] + p), columns.append(3 * b[keep] + q), values.append(sign * k[keep, p, q])
        return csc_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(3 * self.movers,) * 2)


def full(energy, hessian, start):
    found = minimize(energy, start, jac=True, hess=hessian, method="trust-exact", options=dict(gtol=1e-4, maxiter=1000))
    return found.nit, np.abs(energy(found.x)[1]).max()


def sparse(energy, hessian, x):
    shift = 0.0
    e, g = energy(x)
    for step_number in range(1, 1001):
        h = hessian(x)
        step = splu(h + (shift + 1e-9) * eye_array(len(x), format="csc")).solve(-g)
        part, slope = 1.0, g @ step
        if not slope < 0:
            shift = max(10 * shift, 1e-3)
            continue
        while part > 1e-6:
            e_new, g_new = energy(x + part * step)
            if e_new <= e + 1e-4 * part * slope or np.abs(g_new).max() < np.abs(g).max() * (1 - 0.1 * part) and part == 1.0:
                break
            part /= 2
        shift = max(10 * shift, 1e-3) if part < 0.1 else shift / 10
        x, e, g = x + part * step, e_new, g_new
        if np.abs(g).max() < 1e-4:
            break
    return step_number, np.abs(g).max()


def report(name, how, energy, hessian, start, rounds=5):
    least = np.inf
    for _ in range(rounds):
        begin = time.perf_counter()
        steps, left = how(energy, hessian, start.copy())
        least = min(least, time.perf_counter() - begin)
        if least > 5:
            break
    print(f"SciPy, {name:40} {least * 1e6:14.1f} µs {steps:5} steps  {left:8.1e} N left", flush=True)
    return least


def chain_points(parts):
    return [(100.0 * k / parts, 0, 5 * k / parts - 60 * k / parts * (1 - k / parts)) for k in range(1, parts)]


def chain(parts):
    name = lambda k: parts - 1 if k == 0 else (parts if k == parts else k - 1)
    ropes = [(name(k), name(k + 1), 105.0 / parts, 80e3) for k in range(parts)]
    return Straight([(0, 0, 0), (100, 0, 5)], ropes, [(0, 0, -4000.0 / parts)] * (parts - 1), chain_points(parts))


def heavy(name, rig):
    cut = Divided(rig, 8, grounded=frozenset())

    def energy(x):
        e = cut.energy(x)
        # Where a part would have less than nothing there is no slope either.
        return (e, cut.c.T @ cut.gradient(x)) if e < np.inf else (e, np.zeros_like(x))

    return report(name, full, energy, lambda x: (cut.c.T @ cut.hessian(x) @ cut.c).toarray(), cut.x0)


def heavy_chain(parts):
    rig = Rig("chain")
    ids = [rig.fixed(0, 0, 0)] + [rig.free(p, (0, 0, -4000.0 / parts)) for p in chain_points(parts)] + [rig.fixed(100, 0, 5)]
    for a, b in zip(ids, ids[1:]):
        rig.rope([a, b], 105.0 / parts, 80e3, w=1.6)
    return rig


def heavy_node():
    rig = Rig("node")
    load = rig.free((4.7, 2.7, -2), (0, 0, -2000))
    for x, y, length in ((0, 0, 9.0), (10, 0, 8.5), (4, 8, 9.5)):
        rig.rope([rig.fixed(x, y, 5), load], length, 40e3, w=0.8)
    return rig


def site():
    """The numbers of tests/sites/reference.toml, as in rig.rs."""
    ground, g = 0.2 * 1.5 / 13.5, 9.80665
    rig = Rig("example site")
    places = dict(
        capstan=(-7, 2, 0.9 + ground), redirect=(-0.4, 1.3, 0.3 + ground), head=(0, 0, 3.2 + ground), far=(62, 0, 0.8 - 43.4),
        cell=(-6, -1, 0.6 + ground), haul=(-0.3, -0.8, 0.4 + ground), winch=(-7, -2, 0.9 + ground),
    )
    path = lambda *p: sum(np.linalg.norm(np.subtract(a, b)) for a, b in zip(p, p[1:]))
    at = {name: rig.fixed(*p) for name, p in places.items()}
    carriage = rig.free((31, 0, -24), (0, 0, -220 * g))
    way = ["capstan", "redirect", "head", "far", "head", "cell"]
    nodes = [at[k] for k in way[:3]] + [carriage, at["far"], carriage] + [at[k] for k in way[4:]]
    rig.rope(nodes, path(*(places[k] for k in way)) / (1 + 1500 / 50e3), 50e3, w=0.105 * g)
    way = ["winch", "haul", "head"]
    rig.rope([at[k] for k in way] + [carriage], path(*(places[k] for k in way), (31, 0, -24)), 80e3, w=0.085 * g)
    return rig


tops, lengths = [(0, 0, 5), (10, 0, 5), (4, 8, 5)], (9.0, 8.5, 9.5)
node = Straight(tops, [(0, 1 + k, lengths[k], 40e3) for k in range(3)], [(0, 0, -2000)], [(4.7, 2.7, -2)])
for name, of in [("3 weightless ropes to a node", node), ("5 loads on a weightless cable", chain(6)), *((f"chain of {k} weightless parts", chain(k)) for k in (10, 100))]:
    report(name, full, of.energy, lambda x, of=of: of.hessian(x).toarray(), of.start)
heavy("3 heavy ropes to a node", heavy_node())
heavy("5 loads on a heavy cable", heavy_chain(6))
heavy("the example site, doubled track", site())
heavy("chain of 10 heavy parts", heavy_chain(10))
last = 0.0
for k in (100, 1000, 10_000):
    # What took t for a tenth of the parts may take 10 t and more steps.
    if 30 * last > 60:
        print(f"SciPy, chain of {k} weightless parts, sparse Newton: left out, as it would take more than a minute")
        continue
    of = chain(k)
    last = report(f"chain of {k} weightless parts, sparse Newton", sparse, of.energy, of.hessian, of.start, rounds=3)
