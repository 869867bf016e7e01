#!/usr/bin/env python3
"""Multi-precision solutions of the elastic line, for tests/oracle/line.rs.

    python3 line_vectors.py          writes line_ordinary.csv, line_extreme.csv and line_stiffening.csv

Needs mpmath only. Seeds are fixed: the same files come out every time. Every input is an exact double (written in
as few digits as name it), every output is correct to 17 digits.

A solution is found from the scalar form of the equations and *proved* by putting H and V, at 90 digits, back into the
two equations of Irvine (Cable Structures, 1981), which the library never evaluates:

    X = H L/EA + (H/w)[asinh(V_B/H) - asinh(V_A/H)]
    Z = V_m L/EA + (T_B - T_A)/w
"""

import math
import random
from pathlib import Path

from mpmath import mp, mpf

mp.dps = 90
HERE = Path(__file__).parent


def short(value, digits):
    """The double nearest to `value` in so many significant decimal digits."""
    return float(f"{value:.{digits - 1}e}")


def solve(X, Z, L, w, EA):
    """H, V_A, V_B of a linear rope, tension upward along the rope."""
    X, Z, L, w, EA = map(mpf, (X, Z, L, w, EA))
    eps = w * L / (2 * EA)
    x, z = X / L, abs(Z) / L
    if X == 0:
        if z - 1 >= eps:
            vm = mp.sign(Z) * EA * (z - 1)
        else:
            vm = w * Z / (2 * (1 + eps))
        return mpf(0), vm - w * L / 2, vm + w * L / 2

    def log_g(y):
        u = mp.exp(y)
        return mp.log((x * mp.sinh(u) / (u + eps)) ** 2 + (z * mp.tanh(u) / (mp.tanh(u) + eps)) ** 2)

    lo, hi = mpf(-60), mp.log(mpf(800))
    with mp.workdps(40):
        for _ in range(60):
            middle = (lo + hi) / 2
            if log_g(middle) > 0:
                hi = middle
            else:
                lo = middle
    y = mp.findroot(log_g, (lo, hi), solver="anderson", tol=mpf(10) ** -170, maxsteps=200)
    u = mp.exp(y)
    H = w * X / (2 * (u + eps))
    vm = w * Z / (2 * (mp.tanh(u) + eps))
    va, vb = vm - w * L / 2, vm + w * L / 2
    # The proof. 1e-50 of the length is far below what a stretch of 1e-20 would show.
    ta, tb = mp.hypot(H, va), mp.hypot(H, vb)
    gap_x = H * L / EA + H / w * (mp.asinh(vb / H) - mp.asinh(va / H)) - X
    gap_z = vm * L / EA + (tb - ta) / w - Z
    assert abs(gap_x) + abs(gap_z) < mpf(10) ** -50 * L, (X, Z, L, w, EA, gap_x, gap_z)
    return H, va, vb


def sag(X, Z, L, w, EA, H, va):
    """Greatest vertical distance below the chord: where the rope runs parallel to it."""
    X, Z, L, w, EA = map(mpf, (X, Z, L, w, EA))
    v = H * Z / X
    s = (v - va) / w
    t, ta = mp.hypot(H, v), mp.hypot(H, va)
    px = H * s / EA + H / w * (mp.asinh(v / H) - mp.asinh(va / H))
    pz = (va * s + w * s * s / 2) / EA + (t - ta) / w
    return Z / X * px - pz


def stiffening(X, Z, L, w, a, b):
    """H, V_A, V_B of a rope with T = a e + b e^2, by Newton's steps on both equations at 40 digits."""
    H, va, _ = solve(X, Z, L, w, a)
    with mp.workdps(40):
        nodes = gauss(24)
        X, Z, L, w, a, b = map(mpf, (X, Z, L, w, a, b))
        H, va = +H, +va

        def ends(H, va):
            eta = [mp.asinh(va / H), mp.asinh((va + w * L) / H)]
            n = int(mp.ceil(eta[1] - eta[0]))
            half = (eta[1] - eta[0]) / (2 * n)
            sx = sz = mpf(0)
            for i in range(n):
                for node, weight in nodes:
                    e = eta[0] + half * (2 * i + 1 + node)
                    t, v = H * mp.cosh(e), H * mp.sinh(e)
                    strain = 2 * t / (a + mp.sqrt(a * a + 4 * b * t))
                    ds = t / w * half * weight
                    sx += H / t * strain * ds
                    sz += v / t * strain * ds
            vb = va + w * L
            x = H / w * (eta[1] - eta[0]) + sx
            z = (mp.hypot(H, vb) - mp.hypot(H, va)) / w + sz
            return x - X, z - Z

        for _ in range(60):
            fx, fz = ends(H, va)
            scale = mp.hypot(H, va) * mpf(10) ** -15
            ax, az = ends(H + scale, va)
            bx, bz = ends(H, va + scale)
            j = mp.matrix([[(ax - fx) / scale, (bx - fx) / scale], [(az - fz) / scale, (bz - fz) / scale]])
            step = mp.lu_solve(j, mp.matrix([-fx, -fz]))
            part = mpf(1)
            while True:
                h, v = H + part * step[0], va + part * step[1]
                if h > 0:
                    gx, gz = ends(h, v)
                    if mp.hypot(gx, gz) < mp.hypot(fx, fz) or mp.hypot(fx, fz) < mpf(10) ** -32 * L:
                        break
                part /= 2
            H, va = h, v
            if mp.hypot(gx, gz) < mpf(10) ** -34 * L:
                return H, va, va + w * L
        raise ArithmeticError((X, Z, L, w, a, b))


def gauss(n):
    """Nodes and weights on [-1, 1]."""
    out = []
    for k in range(n):
        t = mp.cos(mp.pi * (k + mpf(3) / 4) / (n + mpf(1) / 2))
        for _ in range(20):
            p0, p1 = mpf(1), t
            for m in range(2, n + 1):
                p0, p1 = p1, ((2 * m - 1) * t * p1 - (m - 1) * p0) / m
            d = n * (t * p1 - p0) / (t * t - 1)
            t -= p1 / d
        out.append((t, 2 / ((1 - t * t) * d * d)))
    return out


def log_uniform(rng, lo, hi):
    return math.exp(rng.uniform(math.log(lo), math.log(hi)))


def ordinary(rng, count):
    """Ropes as they are rigged: 5 to 500 m, up to 60 degrees, 3 % strain to 50 % slack."""
    for i in range(count):
        chord = log_uniform(rng, 5, 500)
        angle = math.radians(rng.uniform(-60, 60)) if i % 4 else 0.0
        kind = i % 3
        if kind == 0:
            part = 1 - log_uniform(rng, 1e-5, 0.03)
        elif kind == 1:
            part = 1 + log_uniform(rng, 1e-5, 0.03)
        else:
            part = rng.uniform(0.98, 1.5)
        yield (
            short(chord * math.cos(angle), 6), short(chord * math.sin(angle), 6), short(chord * part, 7),
            short(log_uniform(rng, 0.3, 50), 4), short(log_uniform(rng, 1e4, 1e8), 4),
        )


TRIPLES = [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29), (33, 56, 65), (1, 0, 1), (0, 1, 1),
           (4, 3, 5), (12, 5, 13), (15, 8, 17), (119, 120, 169), (9, 40, 41), (11, 60, 61), (99, 20, 101)]


def extreme(rng, count):
    """Everything else: 0.5 to 100 times the chord and exactly once, plumb and nearly plumb, stiff and soft."""
    for i in range(count):
        w, EA = short(log_uniform(rng, 1e-6, 1e4), 4), short(log_uniform(rng, 1e3, 1e12), 4)
        chord = log_uniform(rng, 1e-2, 1e5)
        kind = i % 8
        part = log_uniform(rng, 0.5, 100)
        angle = math.radians(rng.uniform(-90, 90))
        X, Z, L = chord * math.cos(angle), chord * math.sin(angle), chord * part
        if kind == 0:
            # Rope exactly as long as the chord: a whole number of sixteenths.
            a, b, c = TRIPLES[i // 8 % len(TRIPLES)]
            k = rng.randint(1, 1000) / 16
            X, Z, L = a * k, b * k * rng.choice((-1, 1)), c * k
            yield X, Z, L, w, EA
            continue
        if kind == 1:
            # Nearly as long as the chord.
            L = chord * (1 + rng.choice((-1, 1)) * log_uniform(rng, 1e-15, 1e-3))
            yield short(X, 6), short(Z, 6), L, w, EA
            continue
        if kind == 2:
            # Plumb.
            X = 0.0
        elif kind == 3:
            # Nearly plumb: a micrometre to a decimetre off.
            X, Z = log_uniform(rng, 1e-6, 0.1), rng.choice((-1, 1)) * chord
        elif kind == 4:
            # Nearly plumb, and just as long as it takes to hang there.
            X, Z = log_uniform(rng, 1e-6, 0.1), rng.choice((-1, 1)) * chord
            L = chord * (1 + rng.choice((-1, 1)) * log_uniform(rng, 1e-12, 1e-2))
            yield short(X, 4), Z, L, w, EA
            continue
        elif kind == 5:
            X, Z = chord, 0.0
        yield short(X, 6), short(Z, 6), short(L, 7), w, EA


def number(value):
    """As few characters as name the double."""
    text = repr(float(value))
    return text[:-2] if text.endswith(".0") else text


def write(name, header, rows):
    with open(HERE / name, "w", newline="\n") as out:
        out.write(header + "\n")
        for row in rows:
            out.write(",".join(row) + "\n")


def linear_rows(cases):
    for case in cases:
        X, Z, L, w, EA = case
        H, va, vb = solve(*case)
        deepest = mp.nstr(sag(*case, H, va), 17) if X > 0 and abs(Z) < 500 * X else ""
        yield [number(v) for v in case] + [
            mp.nstr(H, 17), mp.nstr(-va, 17), mp.nstr(vb, 17), mp.nstr(max(mp.hypot(H, va), mp.hypot(H, vb)), 17),
            deepest,
        ]


def stiffening_rows(rng, count):
    for X, Z, L, w, a in ordinary(rng, count):
        a = short(log_uniform(rng, 1e4, 1e6), 4)
        b = short(a * log_uniform(rng, 0.1, 100), 4)
        H, va, vb = stiffening(X, Z, L, w, a, b)
        yield [number(v) for v in (X, Z, L, w, a, b)] + [mp.nstr(v, 17) for v in (H, -va, vb)]


if __name__ == "__main__":
    columns = "span_m,rise_m,length_m,weight_n_per_m,{},h_n,v_first_n,v_last_n{}"
    write("line_ordinary.csv", columns.format("ea_n", ",t_greatest_n,sag_m"),
          linear_rows(ordinary(random.Random(1), 2400)))
    write("line_extreme.csv", columns.format("ea_n", ",t_greatest_n,sag_m"),
          linear_rows(extreme(random.Random(2), 2400)))
    write("line_stiffening.csv", columns.format("a_n,b_n", ""), stiffening_rows(random.Random(3), 240))
