"""SciPy's fsolve on the lines that benches/line.rs sends: `x z l w ea` a line. Prints ns a solve, then tensions."""

import sys
import time
import warnings
from math import asinh, hypot, nan, sqrt, tanh

from scipy.optimize import fsolve

warnings.simplefilter("ignore")


def solve(x, z, l, w, ea):
    def gap(unknown):
        h, v = unknown
        va = v - w * l
        tb, ta = hypot(h, v), hypot(h, va)
        return (
            h * l / ea + h / w * (asinh(v / h) - asinh(va / h)) - x,
            (v - 0.5 * w * l) * l / ea + (tb - ta) / w - z,
        )

    slack = l * l - x * x - z * z
    lam = 0.2 if slack <= 0 else sqrt(3 * slack) / x
    start = (0.5 * w * x / lam, 0.5 * w * (z / tanh(lam) + l))
    try:
        (h, v), _, status, _ = fsolve(gap, start, xtol=1e-12, full_output=True)
    except (ArithmeticError, ValueError):
        return nan
    return max(hypot(h, v), hypot(h, v - w * l)) if status == 1 else nan


cases = [tuple(map(float, line.split())) for line in sys.stdin]
begun = time.perf_counter_ns()
tensions = [solve(*case) for case in cases]
print((time.perf_counter_ns() - begun) / len(cases))
print("\n".join(map(repr, tensions)))
