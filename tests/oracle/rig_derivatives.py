"""Derivatives of a carriage that rolls on a heavy elastic track, by 60 digits: the equations of the elastic catenary
(Irvine 1981) solved twice, an input changed by 1e-20 each way.

    python3 tests/oracle/rig_derivatives.py > tests/oracle/rig_derivatives.json        (needs mpmath)
"""
import json

from mpmath import asinh, findroot, mp, mpf, sqrt

mp.dps = 60


def run(h, v, w, s, ea):
    """How far a rope runs from an end with tension (h, v), upward."""
    t0, t1 = sqrt(h * h + v * v), sqrt(h * h + (v + w * s) ** 2)
    return h * s / ea + h / w * (asinh((v + w * s) / h) - asinh(v / h)), s / ea * (v + w * s / 2) + (t1 - t0) / w


def carriage(span, rise, length, ea, w, load, guess):
    """x, z, tension at the head, share on the head's side. The head is at 0; each part carries half of the load."""

    def gap(h, first):
        x1, z1 = run(h, load / 2, w, first, ea)
        x2, z2 = run(h, load / 2, w, length - first, ea)
        return x1 + x2 - span, z2 - z1 - rise

    h, first = findroot(gap, guess)
    assert h > 0 and 0 < first < length, "not between the supports"
    x, z = run(h, load / 2, w, first, ea)
    return [x, -z, sqrt(h * h + (load / 2 + w * first) ** 2), first]


cases = []
for span, rise, length, ea, w, load in [(60, -8, "61.5", 80000, "1.6", 2400), (50, -20, "55.5", 40000, "0.8", 1200), (90, 5, "90.3", 120000, "2.4", 900)]:
    inputs = [mpf(span), mpf(rise), mpf(length), mpf(ea), mpf(w), mpf(load)]
    guess = (mpf(load), inputs[2] * (mpf("0.5") - mpf(rise) / span * mpf("0.9")))
    value = carriage(*inputs, guess)
    near = (sqrt(value[2] ** 2 - (inputs[5] / 2 + inputs[4] * value[3]) ** 2), value[3])
    by = {}
    for name, k in [("length", 2), ("stiffness", 3), ("weight", 4), ("load", 5)]:
        ends = []
        for sign in (-1, 1):
            changed = list(inputs)
            changed[k] += sign * mpf(10) ** -20
            ends.append(carriage(*changed, near))
        by[name] = [float((b - a) / (2 * mpf(10) ** -20)) for a, b in zip(*ends)]
    cases.append(dict(span=span, rise=rise, length=float(length), ea=ea, w=float(w), load=load, value=[float(v) for v in value], by=by))
print(json.dumps(cases, indent=1))
