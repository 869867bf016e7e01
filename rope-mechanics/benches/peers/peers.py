"""The elastic line by this library and by its peers: see `run`, which calls this.

    peers.py LIBRARY C_PROGRAM

A failure is a line for which a solver says itself that it has no answer, or raises. A silent error is an answer that is off
by more than 1e-6 of the greatest tension, or NaN given as one.
"""
import contextlib
import ctypes
import math
import os
import platform
import subprocess
import sys
import time
import warnings

import numpy as np
from scipy.optimize import fsolve, minimize

TOP = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "..")
WRONG = 1e-6
ROUNDS = 21
# A Python peer takes this many lines of each set, as it takes a thousand times as long.
FEW = 400


def rows(name):
    """Span, rise, length, weight, EA and the greatest tension, at 50 digits, of lines with span and weight."""
    with open(os.path.join(TOP, "tests", "oracle", name), encoding="utf-8") as lines:
        next(lines)
        table = [[float(field) if field else math.nan for field in line.strip().split(",")] for line in lines]
    return [(*row[:5], row[8]) for row in table if row[0] > 0.0 and row[3] > 0.0]


def program(*command):
    def run(cases):
        text = "".join(f"{x!r} {z!r} {l!r} {w!r} {ea!r}\n" for x, z, l, w, ea, _ in cases)
        out = subprocess.run([*command, str(ROUNDS)], input=text, text=True, check=True, stdout=subprocess.PIPE).stdout
        ns, *tensions = map(float, out.split())
        return ns, tensions
    return run


def each(solve):
    def run(cases):
        cases, tensions = cases[:FEW], []
        begun = time.thread_time_ns()
        for case in cases:
            try:
                with contextlib.redirect_stdout(None):  # some say on the standard output how they fail
                    tensions.append(solve(*case[:5]))
            except Exception:  # whatever a peer raises is a failure of it
                tensions.append(None)
        return (time.thread_time_ns() - begun) / len(cases), tensions
    return run


class Line(ctypes.Structure):
    _fields_ = [("struct_size", ctypes.c_uint32), ("flags", ctypes.c_uint32)] + [
        (name, ctypes.c_double) for name in ("span", "rise", "length", "weight", "a", "b")]


ENDS = np.dtype([(name, "f8") for name in ("h", "first", "last", "first_up", "last_up", "residual")]
                + [("status", "i4"), ("reserved", "u4")])


def ours_from_python(library):
    found = np.zeros(1, ENDS)
    at = found.ctypes.data_as(ctypes.c_void_p)

    def solve(x, z, l, w, ea):
        line = Line(ctypes.sizeof(Line), 0, x, z, l, w, ea, 0.0)
        if library.rmech_line_solve_ends(ctypes.byref(line), at, None):
            raise ValueError
        return max(found["first"][0], found["last"][0])
    return each(solve)


def ours_from_numpy(library):
    def run(cases):
        columns = [np.array(column) for column in zip(*cases)]
        stretches = np.stack([columns[4], np.zeros(len(cases))], axis=1).copy()
        found, solved, times = np.zeros(len(cases), ENDS), ctypes.c_size_t(), []
        pointers = [a.ctypes.data_as(ctypes.c_void_p) for a in (*columns[:4], stretches)]
        for _ in range(ROUNDS):
            begun = time.thread_time_ns()
            library.rmech_line_solve_many(*pointers, ctypes.c_size_t(len(cases)), found.ctypes.data_as(ctypes.c_void_p),
                                          ctypes.byref(solved), None)
            times.append((time.thread_time_ns() - begun) / len(cases))
        good = found["status"] == 0
        tensions = np.maximum(found["first"], found["last"])
        return sorted(times)[ROUNDS // 2], [t if ok else None for t, ok in zip(tensions, good)]
    return run


def guess(x, z, l, w):
    """Peyrot & Goulois (1979)."""
    lam = 0.2 if l * l <= x * x + z * z else math.sqrt(3.0 * ((l * l - z * z) / (x * x) - 1.0))
    return 0.5 * w * x / lam, 0.5 * w * (z / math.tanh(lam) + l)


def gaps(h, v, x, z, l, w, ea):
    """Irvine's two equations, by (H, V) at the second end."""
    va = v - w * l
    tb, ta = math.hypot(h, v), math.hypot(h, va)
    return (h * (l / ea + (math.asinh(v / h) - math.asinh(va / h)) / w) - x,
            (v - 0.5 * w * l) * l / ea + (tb - ta) / w - z)


def greatest(h, v, l, w):
    return max(math.hypot(h, v), math.hypot(h, v - w * l))


def by_fsolve(x, z, l, w, ea):
    root, _, flag, _ = fsolve(lambda f: gaps(*f, x, z, l, w, ea), guess(x, z, l, w), xtol=1e-12, full_output=True)
    if flag != 1:
        raise ValueError
    return greatest(*root, l, w)


def by_minimiser(method):
    """The complementary energy, whose gradient is the gap: convex in (H, V)."""
    def solve(x, z, l, w, ea):
        first = np.array(guess(x, z, l, w))
        size = abs(first).max()

        def energy(f):
            h, v = f * size
            va = v - w * l
            # ∫T ds and ∫T²/2EA ds, with ∫T ds = [V·T + H²·asinh(V/H)]/2w
            def integral(u):
                return 0.5 * (u * math.hypot(h, u) + h * h * math.asinh(u / h)) / w
            stretch = (h * h * l + (v ** 3 - va ** 3) / (3.0 * w)) / (2.0 * ea)
            gx, gz = gaps(h, v, x, z, l, w, ea)
            return (integral(v) - integral(va) + stretch - h * x - v * z) / (size * l), np.array([gx, gz]) / l
        options = {"gtol": 1e-12} if method == "BFGS" else {"gtol": 1e-12, "ftol": 1e-16}
        found = minimize(energy, first / size, jac=True, method=method, options=options)
        # BFGS says "precision loss" where it can go no further, which is no failure if the gap is closed.
        if abs(found.jac).max() > 1e-8:
            raise ValueError
        return greatest(*(found.x * size), l, w)
    return each(solve)


def by_moorpy():
    from moorpy.Catenary import catenary

    def solve(x, z, l, w, ea):
        # A negative CB: no seabed, so far below the lower end.
        fairlead, anchor = (1.0, -1.0)
        ha, va, hf, vf, _ = (*catenary(x, abs(z), l, ea, w, CB=-10.0 * (l + abs(z)))[0:4], fairlead + anchor)
        return max(math.hypot(ha, va), math.hypot(hf, vf))
    return each(solve)


def main(folder, c_program):
    library = ctypes.CDLL(os.path.join(folder, "librope_mechanics.so"))
    rust = os.path.join(folder, "examples", "peer-lines")
    peers = [
        ("this library, Rust", program(rust, "one")),
        ("  its robust path", program(rust, "robust")),
        ("  many at once", program(rust, "many")),
        ("this library, C", program(c_program, "ours")),
        ("  the ends alone", program(c_program, "ours_ends")),
        ("  many at once", program(c_program, "ours_many")),
        ("this library, Python (ctypes)", ours_from_python(library)),
        ("  many at once (numpy)", ours_from_numpy(library)),
        ("textbook Newton, C", program(c_program, "textbook")),
    ]
    if subprocess.run([c_program, "minpack", "1"], input="", text=True, stdout=subprocess.DEVNULL, check=False).returncode == 0:
        peers.append(("MINPACK hybrj, C", program(c_program, "minpack")))
    else:
        print("cminpack is not installed: left out")
    peers += [("SciPy fsolve", each(by_fsolve)), ("SciPy BFGS", by_minimiser("BFGS")),
              ("SciPy L-BFGS-B", by_minimiser("L-BFGS-B"))]
    try:
        peers.append(("MoorPy catenary", by_moorpy()))
    except ImportError as why:
        print("MoorPy is left out:", why)
    print("MoorDyn is left out: its quasi-static line is not offered to Python")
    processor = next((line.split(":")[1].strip() for line in open("/proc/cpuinfo") if line.startswith("model name")),
                     platform.machine()) if os.path.exists("/proc/cpuinfo") else platform.machine()
    print(f"{processor}, {platform.system()}, numpy {np.__version__}")
    warnings.simplefilter("ignore")
    np.seterr(all="ignore")
    for name in ("line_ordinary.csv", "line_extreme.csv"):
        cases = rows(name)
        print(f"\n{name}: {len(cases)} lines ({FEW} for Python peers)")
        print(f"  {'':<32}{'ns a line':>12}{'of Rust':>10}{'failures':>10}{'silent errors':>15}{'worst error':>13}")
        base = None
        for peer, run in peers:
            ns, tensions = run(cases)
            base = base or ns
            failures = sum(t is None or math.isnan(t) for t in tensions)
            errors = [abs(t / case[5] - 1.0) for t, case in zip(tensions, cases) if t is not None and not math.isnan(t)]
            silent, worst = sum(not e <= WRONG for e in errors), max(errors, default=math.nan)
            print(f"  {peer:<32}{ns:>12.0f}{ns / base:>10.2f}{failures:>10}{silent:>15}{worst:>13.1e}")
            if peer.startswith(("this", "  ")) and (failures or silent):
                sys.exit("this library failed or erred")


if __name__ == "__main__":
    main(*sys.argv[1:])
