"""The weightless rigs of rig.rs by SciPy: the least energy of straight elastic ropes, gradient and Hessian given."""
import time

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_array


def solve(fixed, ropes, loads, start):
    """ropes: (i, j, length, ea), points that move first."""
    movers = len(start)
    i, j = np.array([r[0] for r in ropes]), np.array([r[1] for r in ropes])
    length, ea = np.array([r[2] for r in ropes]), np.array([r[3] for r in ropes])
    fixed, loads = np.array(fixed, float), np.array(loads, float)

    def parts(x):
        at = np.vstack([x.reshape(-1, 3), fixed])
        d = at[j] - at[i]
        distance = np.linalg.norm(d, axis=1)
        strain = np.maximum(distance / length - 1, 0)
        return d / distance[:, None], distance, strain

    def energy(x):
        u, distance, strain = parts(x)
        e = (ea * length * strain**2 / 2).sum() - (loads * x.reshape(-1, 3)).sum()
        g = np.zeros((movers + len(fixed), 3))
        np.add.at(g, j, (ea * strain)[:, None] * u)
        np.add.at(g, i, -(ea * strain)[:, None] * u)
        return e, (g[:movers] - loads).ravel()

    def hessian(x):
        u, distance, strain = parts(x)
        uu = u[:, :, None] * u[:, None, :]
        k = np.where(strain > 0, ea / length, 0)[:, None, None] * uu + (ea * strain / distance)[:, None, None] * (np.eye(3) - uu)
        rows, columns, values = [], [], []
        for a, b, sign in ((i, i, 1), (j, j, 1), (i, j, -1), (j, i, -1)):
            keep = (a < movers) & (b < movers)
            for p in range(3):
                for q in range(3):
                    rows.append(3 * a[keep] + p), columns.append(3 * b[keep] + q), values.append(sign * k[keep, p, q])
        h = csr_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(3 * movers,) * 2)
        return h.toarray()

    begin = time.perf_counter()
    found = minimize(energy, np.array(start, float).ravel(), jac=True, hess=hessian, method="trust-exact", options=dict(gtol=1e-4, maxiter=500))
    return time.perf_counter() - begin, found.nit, np.abs(energy(found.x)[1]).max()


def chain(parts):
    span, load = 100.0, 4000.0 / parts
    fixed = [(0, 0, 0), (span, 0, 5)]
    name = lambda k: parts - 1 if k == 0 else (parts if k == parts else k - 1)
    ropes = [(name(k), name(k + 1), 1.05 * span / parts, 80e3) for k in range(parts)]
    start = [(span * k / parts, 0, 5 * k / parts - 60 * k / parts * (1 - k / parts)) for k in range(1, parts)]
    return fixed, ropes, [(0, 0, -load)] * (parts - 1), start


tops, lengths = [(0, 0, 5), (10, 0, 5), (4, 8, 5)], (9.0, 8.5, 9.5)
cases = [("3 weightless ropes to a node", tops, [(0, 1 + k, lengths[k], 40e3) for k in range(3)], [(0, 0, -2000)], [(4.7, 2.7, -2)])]
cases.append(("5 loads on a weightless cable", *chain(6)))
cases += [(f"chain of {k} weightless parts", *chain(k)) for k in (10, 100)]
for case_name, *case in cases:
    seconds, steps, left = min(solve(*case) for _ in range(5))
    print(f"SciPy, {case_name:27} {seconds * 1e6:12.1f} µs {steps:4} steps  {left:8.1e} N left")
