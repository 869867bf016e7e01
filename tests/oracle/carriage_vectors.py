#!/usr/bin/env python3
"""Carriages on elastic catenaries at 40 digits: writes carriage_vectors.txt beside this file.

    pip install mpmath==1.3.0
    python3 tests/oracle/carriage_vectors.py

Each case begins from forces and lengths, which give the geometry in closed form (Irvine 1981, for each part):

    span = H*L/EA + (H/w)*(asinh((V + w*L)/H) - asinh(V/H))
    rise = (V + w*L/2)*L/EA + (hypot(H, V + w*L) - hypot(H, V))/w

with (H, V) the pull of a part on the carriage. That geometry, rounded to f64, is the input of the case; the
answer for the rounded input is then found by Newton's method at 40 digits, with numerical derivatives, on these
printed forms. A rope that stiffens, T = a*e + b*e^2, is integrated numerically. Nothing is shared with the
library.

Columns: kind, inputs, answers, and the worst relative change of an answer for a relative change of 1 in the track
length, geometry or load: an error of half a unit of the last place in an input does not let f64 do better.
"""
import random
import sys
from pathlib import Path

import mpmath as mp

mp.mp.dps = 40
RANDOM = random.Random(20240917)


def part(rope, h, v, length):
    """Span and rise of a part that pulls with (h, v) at its lower end."""
    w, a, b = rope
    end = v + w * length
    t, t_end = mp.hypot(h, v), mp.hypot(h, end)
    if w == 0:
        span, rise = h * length / t, v * length / t
    else:
        span = h / w * (mp.asinh(end / h) - mp.asinh(v / h))
        rise = (t_end - t) / w
    if b == 0:
        return span + h * length / a, rise + (v + w * length / 2) * length / a, t_end
    def softness(s):
        vs = v + w * s
        return 2 / (a + mp.sqrt(a * a + 4 * b * mp.hypot(h, vs)))
    cuts = [0, length]
    if w > 0 and v < 0 < end:
        cuts = [0, -v / w, length]
    span += h * mp.quad(softness, cuts)
    rise += mp.quad(lambda s: (v + w * s) * softness(s), cuts)
    return span, rise, t_end


def solve(equations, start):
    """Newton's method with numerical derivatives, until a step below 1e-17, after which the error is its square."""
    x = mp.matrix(start)
    n = len(start)
    for _ in range(12):
        f = mp.matrix(equations(x))
        jacobian = mp.matrix(n, n)
        for j in range(n):
            step = mp.mpf(10) ** -20 * (1 + abs(x[j]))
            moved = x.copy()
            moved[j] += step
            g = equations(moved)
            for i in range(n):
                jacobian[i, j] = (g[i] - f[i]) / step
        d = mp.lu_solve(jacobian, -f)
        x += d
        if mp.norm(d, mp.inf) < mp.mpf(10) ** -17 * (1 + mp.norm(x, mp.inf)):
            return x
    raise ValueError("did not converge")


def f64(x):
    return mp.mpf(float(x))


def number(x):
    return repr(float(x))


def sensitivity(answer, inputs):
    """The worst relative change of an answer by a relative change of an input, over all inputs."""
    base, place = answer(inputs)
    worst = mp.mpf(1)
    for i, value in enumerate(inputs):
        if value == 0:
            continue
        moved = list(inputs)
        moved[i] = value * (1 + mp.mpf(10) ** -12)
        for old, new in zip(base, answer(moved, place)[0]):
            if old != 0:
                worst = max(worst, abs(new / old - 1) * mp.mpf(10) ** 12)
    return base, worst


def span_of(low, high):
    return mp.mpf(10) ** RANDOM.uniform(low, high)


def draw(kind, extreme):
    """One random case: forces and lengths, which give its geometry."""
    stiffening = RANDOM.random() < 0.12
    if extreme:
        w, a, load = span_of(-6, 2), span_of(3, 11), span_of(-1, 6)
        upper, lower = span_of(-1, 3), span_of(-1, 3)
        steep = lambda: mp.mpf(RANDOM.uniform(-0.5, 6))
        a = max(a, load / 50)
    else:
        w, a, load = span_of(-1, 1), span_of(4, 7), span_of(2.5, 4)
        upper, lower = span_of(0.3, 2.3), span_of(0.3, 2.3)
        steep = lambda: mp.mpf(RANDOM.uniform(0.05, 1.2))
    b = a * span_of(-1, 1) if stiffening else mp.mpf(0)
    if RANDOM.random() < 0.05:
        w = mp.mpf(0)
    w, a, b, load, upper, lower = map(f64, (w, a, b, load, upper, lower))
    if kind == "rolling":
        h, v1 = load / (2 * steep()), load / 2
        if h < 0:
            return None
        return (w, a, b), load, upper, lower, h, v1, h, load - v1
    if kind == "fixed":
        share = RANDOM.uniform(0.05, 0.95)
        h = load / (abs(steep()) + mp.mpf("0.05"))
        v1 = load * share
        return (w, a, b), load, upper, lower, h, v1, h, load - v1
    # held: equal tension, the upper part steeper, the lower one as it may
    psi1 = mp.mpf(RANDOM.uniform(0.1, 1.5) if not extreme else RANDOM.uniform(0.02, 5))
    psi2 = -psi1 + 2 * psi1 * mp.mpf(RANDOM.uniform(0.03 if not extreme else 0.002, 0.97))
    # T*(cos a1 - cos a2 ...) : the haul pull along a line that climbs by delta
    up = mp.atan(mp.sinh(psi1)) * mp.mpf(RANDOM.uniform(0.6, 1.2))
    if not 0.01 < up < 1.5:
        return None
    c1, s1, c2, s2 = 1 / mp.cosh(psi1), mp.tanh(psi1), 1 / mp.cosh(psi2), mp.tanh(psi2)
    # level: T*c1 + P*cos(up) = T*c2; upward: T*(s1 + s2) + P*sin(up) = load, s2 < 0 where it falls
    pull = (c2 - c1) / mp.cos(up)
    s2 = -s2
    t = load / (s1 + s2 + pull * mp.sin(up))
    if t <= 0 or pull < 0 or t > 1e4 * load:
        return None
    return (w, a, b), load, upper, lower, t * c1, t * s1, t * c2, t * s2, up


def rolling_case(extreme):
    case = draw("rolling", extreme)
    if case is None:
        return None
    rope, load, upper, lower, h, v1, _, v2 = case
    s1, r1, _ = part(rope, h, v1, upper)
    s2, r2, _ = part(rope, h, v2, lower)
    inputs = [f64(x) for x in (s1 + s2, r2 - r1, upper + lower, *rope, load)]
    if inputs[0] <= 0:
        return None

    def answer(given, start=None):
        x, z, length, w, a, b, p = given
        def equations(u):
            sa, ra, _ = part((w, a, b), mp.exp(u[0]), p / 2, u[1])
            sb, rb, _ = part((w, a, b), mp.exp(u[0]), p / 2, length - u[1])
            return [sa + sb - x, rb - ra - z]
        u = solve(equations, start or [mp.log(h), upper])
        return report((w, a, b), mp.exp(u[0]), p / 2, u[1], mp.exp(u[0]), p / 2, length - u[1]), list(u)
    return inputs, answer


def fixed_case(extreme):
    case = draw("fixed", extreme)
    rope, load, upper, lower, h, v1, _, v2 = case
    s1, r1, _ = part(rope, h, v1, upper)
    s2, r2, _ = part(rope, h, v2, lower)
    inputs = [f64(x) for x in (s1 + s2, r2 - r1, upper + lower, *rope, load, upper)]

    def answer(given, start=None):
        x, z, length, w, a, b, p, l1 = given
        def equations(u):
            sa, ra, _ = part((w, a, b), mp.exp(u[0]), u[1] * p, l1)
            sb, rb, _ = part((w, a, b), mp.exp(u[0]), p - u[1] * p, length - l1)
            return [sa + sb - x, rb - ra - z]
        u = solve(equations, start or [mp.log(h), v1 / load])
        return report((w, a, b), mp.exp(u[0]), u[1] * p, l1, mp.exp(u[0]), p - u[1] * p, length - l1), list(u)
    return inputs, answer


def held_case(extreme):
    case = draw("held", extreme)
    if case is None:
        return None
    rope, load, upper, lower, h1, v1, h2, v2, up = case
    s1, r1, _ = part(rope, h1, v1, upper)
    s2, r2, _ = part(rope, h2, v2, lower)
    reach = s1 * mp.mpf(RANDOM.uniform(0.8, 1.1))
    inputs = [f64(x) for x in (s1 + s2, r2 - r1, upper + lower, *rope, load, s1, s1 - reach, -r1 + reach * mp.tan(up))]

    def answer(given, start=None):
        x, z, length, w, a, b, p, at, hx, hz = given
        def equations(u):
            t = mp.exp(u[0])
            ha, va, hb, vb = t / mp.cosh(u[1]), t * mp.tanh(u[1]), t / mp.cosh(u[2]), t * mp.tanh(u[2])
            sa, ra, _ = part((w, a, b), ha, va, u[3])
            sb, rb, _ = part((w, a, b), hb, vb, length - u[3])
            across = (ha - hb) * (hz + ra) - (p - va - vb) * (hx - sa)
            return [sa - at, sa + sb - x, rb - ra - z, across / p]
        u = solve(equations, start or [mp.log(mp.hypot(h1, v1)), mp.asinh(v1 / h1), mp.asinh(v2 / h2), upper])
        t = mp.exp(u[0])
        ha, va, hb, vb = t / mp.cosh(u[1]), t * mp.tanh(u[1]), t / mp.cosh(u[2]), t * mp.tanh(u[2])
        found = report((w, a, b), ha, va, u[3], hb, vb, length - u[3])
        return [*found, mp.hypot(ha - hb, p - va - vb)], list(u)
    return inputs, answer


def odd(inputs, values):
    """A haul point hardly above the carriage and far below the head, or a rope stretched to several times its
    length: there is a second balance, at least as good, and the library may find that."""
    x, z, length, depth, haul_z = inputs[0], inputs[1], inputs[2], values[1], inputs[9]
    return haul_z + depth < 0.2 * depth or mp.hypot(x, z) > 3 * length


def report(rope, h1, v1, l1, h2, v2, l2):
    """x, depth below the head, L1, tension at head, carriage (both sides), far."""
    s1, r1, t_head = part(rope, h1, v1, l1)
    _, _, t_far = part(rope, h2, v2, l2)
    return [s1, r1, l1, t_head, mp.hypot(h1, v1), mp.hypot(h2, v2), t_far]


def main():
    lines = ["# made by carriage_vectors.py; kind | inputs | answers | sensitivity"]
    for kind, make in (("rolling", rolling_case), ("fixed", fixed_case), ("held", held_case)):
        for extreme, count in ((False, 180), (True, 120)):
            done = 0
            while done < count:
                case = make(extreme)
                if case is None:
                    continue
                inputs, answer = case
                try:
                    values, worst = sensitivity(answer, inputs)
                except (ValueError, ZeroDivisionError):
                    continue
                if values[2] <= 0 or values[2] >= inputs[2]:
                    continue
                done += 1
                if kind == "held" and odd(inputs, values):
                    continue
                name = f"{kind}-extreme" if extreme else kind
                lines.append(" | ".join([
                    name,
                    " ".join(map(number, inputs)),
                    " ".join(map(number, values)),
                    f"{float(worst):.3g}",
                ]))
            print(kind, extreme, done, file=sys.stderr, flush=True)
    Path(__file__).with_suffix(".txt").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
