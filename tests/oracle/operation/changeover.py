"""The load taken over at the head of the frame: the track let down over a load on its locked haul rope, then swung in.

The track is cut into straight pieces, each with the tension of its middle, so that the error falls with the square of
their number; it is solved with 80 and with 160, and the two are extrapolated. The carriage, its place and all forces are
solved at once by Newton's method with differences for derivatives. The load between two ropes is found by moments, the
legs of a tripod by three equations. Nothing of it is the library's.

`python3 changeover.py > changeover.json`. Needs Python 3 only. Lengths in m, forces in N, z up.
"""
import json
import math
import pathlib

G = 9.80665
# Haul rope between head and load when the track is let down, for each rig, and how far inward it is swung.
ROPE = {"reference": 1.7, "flat": 1.2, "steep": 1.6, "long": 1.9, "soft": 1.4, "bulge": 1.8, "guyed": 2.1, "demo": 1.5}
# The leans that are solved, as twenty-fourths of the first one.
LEANS = [24, 21, 18, 14, 10, 6]

# The demonstration site.
DEMO = {
    "head": [0.0, 2.835294117647059], "base": 0.03529411764705882, "far": [47.0, -27.6],
    "ground": [[-9, 0.3], [1.2, 0], [2.4, -1.9], [6.5, -6.2], [12, -11.3], [17, -15.1], [21, -16.4], [27, -20.6],
               [33, -24.1], [40, -27], [47, -28.7], [58, -29.8]],
    "feet": [[-0.9, 1.1, 0], [-0.9, -1.1, 0]], "guys": [[-6.5, 2.5, 0.2], [-6.5, -2.5, 0.2]],
    "track": {"ea": 62000, "mass": 0.092, "capstan": [-6.4, 2.2, 0.7], "redirect": [-0.7, 1, 0.2],
              "cell": [-5.5, -1.4, 0.4], "half_turn": 0.9},
    "load": {"litter": 101, "carriage": 12, "hang": 0.9, "ground_friction": 0.45, "wheel_friction": 0.02},
    "haul": {"ea": 80000, "mass": 0.085, "redirect": [-0.5, -1, 0.3], "winch": [-7.5, -1.6, 0.7]},
    "belay": {"ea": 35000, "mass": 0.077, "device": [-4.2, 1.8, 0.6], "slack": 0.4},
    "capstan": {"wraps": 4}, "set": {"unloaded_tension": 1250.0}, "travel": {"start": 2.5, "end": 2.8},
}


def solve(matrix, right):
    """Gauss with partial pivots."""
    n = len(right)
    rows = [list(row) + [r] for row, r in zip(matrix, right)]
    for i in range(n):
        p = max(range(i, n), key=lambda j: abs(rows[j][i]))
        rows[i], rows[p] = rows[p], rows[i]
        for j in range(i + 1, n):
            f = rows[j][i] / rows[i][i]
            for k in range(i, n + 1):
                rows[j][k] -= f * rows[i][k]
    x = [0.0] * n
    for i in reversed(range(n)):
        x[i] = (rows[i][n] - sum(rows[i][k] * x[k] for k in range(i + 1, n))) / rows[i][i]
    return x


def newton(f, x, scale):
    size = math.inf
    for _ in range(200):
        r = f(x)
        new = max(abs(a) for a in r)
        if new < 1e-12 or (new >= size and new < 1e-9):
            return x
        size = new
        columns = []
        for i in range(len(x)):
            h = 1e-6 * scale[i]
            up, down = list(x), list(x)
            up[i] += h
            down[i] -= h
            columns.append([(a - b) / (2 * h) for a, b in zip(f(up), f(down))])
        step = solve([list(row) for row in zip(*columns)], [-a for a in r])
        share = min([1.0] + [0.3 * s / abs(d) for s, d in zip(scale, step) if d != 0.0 and abs(d) > 0.3 * s])
        while share > 1e-6:
            trial = [a + share * d for a, d in zip(x, step)]
            if max(abs(a) for a in f(trial)) < new or new < 1e-8:
                break
            share *= 0.5
        x = [a + share * d for a, d in zip(x, step)]
    raise RuntimeError(f"no equilibrium: {size}")


class Rig:
    def __init__(self, data, cuts):
        self.data, self.cuts = data, cuts
        self.head, self.far = data["head"], data["far"]
        track, haul, load = data["track"], data["haul"], data["load"]
        self.ea, self.w = 2 * track["ea"], 2 * track["mass"] * G
        chord = math.dist(self.head, self.far)
        # Half of the haul and the belay rope hang on the carriage.
        beside = 0.5 * chord * (haul["mass"] + data["belay"]["mass"])
        self.weight = (load["litter"] + load["carriage"] + beside) * G
        self.friction = load["wheel_friction"]
        self.haul_ea = haul["ea"]
        top = [0.0, 0.0, self.head[1] - data["base"]]
        self.behind = math.dist(top, haul["redirect"]) + math.dist(haul["redirect"], haul["winch"])
        self.top = top
        # Of each strand, unloaded.
        t = 2 * data["set"]["unloaded_tension"]
        dx, dz = self.far[0] - self.head[0], self.far[1] - self.head[1]

        def miss(u):
            x, z = self.chain(u[0] * t, u[1] * t, u[2] * chord)
            return [(x - dx) / chord, (z - dz) / chord, math.hypot(u[0], u[1]) - 1.0]

        guess = [dx / chord, dz / chord, 1.0 - t / self.ea]
        self.strand = newton(miss, guess, [1.0, 1.0, 1.0])[2] * chord

    def chain(self, fx, fz, length):
        """From the upper end, which pulls along the rope with this force, to the other end."""
        piece = length / self.cuts
        x = z = 0.0
        for i in range(self.cuts):
            z_force = fz + self.w * piece * (i + 0.5)
            t = math.hypot(fx, z_force)
            by = (1.0 / t + 1.0 / self.ea) * piece
            x += fx * by
            z += z_force * by
        return x, z

    def state(self, guess, last, pull):
        """Unknown: pull and length of the upper part, of the lower one, place of the load, and one more. `last` gives the
        two conditions that are not balance, `pull` the haul rope's."""
        w, scale = self.weight, math.dist(self.head, self.far)

        def miss(u):
            f1x, f1z, l1, gx, gz, l2, x, z, more = u
            f1x, f1z, gx, gz = (a * w for a in (f1x, f1z, gx, gz))
            ax, az = self.chain(f1x, f1z, l1)
            bx, bz = self.chain(gx, gz, l2)
            ex, ez = f1x, f1z + self.w * l1
            r = math.hypot(x - self.head[0], z - self.head[1])
            t = pull(r, more)
            ux, uz = (self.head[0] - x) / r, (self.head[1] - z) / r
            return [
                (self.head[0] + ax - x) / scale, (self.head[1] + az - z) / scale,
                (x + bx - self.far[0]) / scale, (z + bz - self.far[1]) / scale,
                # Hauled inward: the far side pulls harder by the wheel's friction.
                (math.hypot(gx, gz) - (1 + self.friction) * math.hypot(ex, ez)) / w,
                (gx - ex + t * ux) / w, (gz - ez + t * uz - w) / w,
            ] + last(l1 + l2, r, x, z, more)

        sizes = [max(abs(guess[0]), 0.1), max(abs(guess[1]), 0.1), max(guess[2], 0.1), max(abs(guess[3]), 0.1),
                 max(abs(guess[4]), 0.1), guess[5], 1.0, 1.0, max(abs(guess[8]), 0.1)]
        return newton(miss, guess, sizes)


def straight(rig, rope):
    """Straight parts: the first guess."""
    dx, dz = rig.far[0] - rig.head[0], rig.far[1] - rig.head[1]
    lean = math.atan2(dx, -dz)
    lean *= 0.8
    x, z = rig.head[0] + rope * math.sin(lean), rig.head[1] - rope * math.cos(lean)
    lower = math.dist((x, z), rig.far)
    s = 2.5
    up = [(x - rig.head[0]) / rope * s, (z - rig.head[1]) / rope * s]
    down = [(rig.far[0] - x) / lower * s, (rig.far[1] - z) / lower * s]
    return up + [rope * (1 - s * rig.weight / rig.ea)] + down + [lower * (1 - s * rig.weight / rig.ea), x, z, 0.7]


def let_down(rig, rope):
    w, strand = rig.weight, rig.strand
    guess = straight(rig, rope)
    # From a longer track, on which the load hangs lower, to the one that is set.
    for more in (1.02, 1.01, 1.005, 1.002, 1.0):
        guess = rig.state(
            guess, lambda length, r, x, z, t: [length / strand - more, r / rope - 1.0], lambda r, t: t * w)
    first = guess
    before = first[8] * w
    locked = (rope + rig.behind) / (1 + before / rig.haul_ea)
    lean = math.atan2(first[6] - rig.head[0], rig.head[1] - first[7])
    rows = []
    guess = first[:8] + [1.0]
    for share in LEANS:
        wanted = lean * share / 24

        def last(length, r, x, z, more):
            return [length / strand - more,
                    ((x - rig.head[0]) * math.cos(wanted) - (rig.head[1] - z) * math.sin(wanted)) / r]

        guess = rig.state(guess, last, lambda r, more: rig.haul_ea * ((r + rig.behind) / locked - 1))
        f1x, f1z, _, _, _, _, x, z, more = guess
        r = math.dist((x, z), rig.head)
        rows.append([wanted, x, z - rig.data["base"], rig.haul_ea * ((r + rig.behind) / locked - 1),
                     0.5 * w * math.hypot(f1x, f1z), 2 * strand * (more - 1)])
    return rows, locked


def found(data, name):
    coarse, fine = Rig(data, 80), Rig(data, 160)
    (a, _), (b, locked) = let_down(coarse, ROPE[name]), let_down(fine, ROPE[name])
    rows = [[q + (q - p) / 3 for p, q in zip(*pair)] for pair in zip(a, b)]
    errors = [max(abs(q - p) / 3 for p, q in zip(*column)) for column in
              ([[row[i] for row in a], [row[i] for row in b]] for i in range(6))]
    # Below the head, on the haul rope alone.
    w = fine.weight
    plumb = locked * (1 + w / fine.haul_ea) - fine.behind
    # Swung in at that height: moments about the place from which the belay pulls, and about the head.
    px, py, pz = data["belay"]["device"]
    far, height = math.hypot(px, py), fine.top[2] - plumb
    swings = []
    for inward in (0.2, 0.5, 0.9):
        load, head, place = (inward, height), (0.0, fine.top[2]), (far, pz)
        arm = lambda a, b, c: abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / math.dist(a, b)
        swings.append([inward, w * (far - inward) / arm(head, load, place), w * inward / arm(place, load, head)])
    legs = []
    if len(data["feet"]) == 3 and not data["guys"]:
        red = data["haul"]["redirect"]
        back = [(r - t) / math.dist(red, fine.top) for r, t in zip(red, fine.top)]
        legs = tripod(fine, back)
    return {"rig": data, "rope": ROPE[name], "strand": fine.strand, "rows": rows, "errors": errors,
            "plumb": plumb, "weight": w, "swings": swings, "legs": legs}


def tripod(rig, back):
    """The legs of a tripod without friction at the head: the load plumb below it, the haul rope as tight behind."""
    w, top = rig.weight, rig.top
    force = [w * back[0], w * back[1], w * (back[2] - 1.0)]
    units = [[(t - f) / math.dist(top, foot) for t, f in zip(top, foot)] for foot in rig.data["feet"]]
    return solve([list(row) for row in zip(*units)], [-f for f in force])


def main():
    rigs = json.loads((pathlib.Path(__file__).parent / "rigs.json").read_text())
    rigs["demo"] = DEMO
    print(json.dumps({name: found(data, name) for name, data in rigs.items()}, indent=1))


if __name__ == "__main__":
    main()
