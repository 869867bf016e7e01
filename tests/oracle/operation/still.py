"""A doubled track rope, its load and its haul rope at rest or moving slowly, with the history of its friction.

Every rope that hangs is a chain: straight weightless springs between lumped masses. Every turn of the track rope
passes rope only while the tensions beside it stand at the edge of their band, and remembers what it has passed.
The rope is followed in small steps: tensioned by its capstan, locked, loaded, hauled in and let out again.

Needs Python 3 and numpy. Lengths in m, forces in N, z up.
"""
import math
import numpy as np

G = 9.80665


class Ground:
    """A polyline; `smooth` rounds its corners over that distance either way, as a litter with a length does."""

    def __init__(self, points, smooth=0.2):
        self.x, self.z = np.array(points, float).T
        self.smooth = smooth
        self.area = np.concatenate([[0.0], np.cumsum(0.5 * (self.z[1:] + self.z[:-1]) * np.diff(self.x))])

    def at(self, x):
        return float(np.interp(x, self.x, self.z))

    def _integral(self, x):
        i = min(max(int(np.searchsorted(self.x, x)) - 1, 0), len(self.x) - 2)
        return self.area[i] + 0.5 * (self.z[i] + self.at(x)) * (x - self.x[i])

    def rounded(self, x):
        """Height and slope with the corners rounded."""
        s = self.smooth
        height = (self._integral(x + s) - self._integral(x - s)) / (2 * s)
        return height, (self.at(x + s) - self.at(x - s)) / (2 * s)


class Stuck(Exception):
    """No equilibrium was found."""


class Chains:
    """Ropes hanging between two points each, cut into the same number of pieces."""

    def __init__(self, ea, weight, cuts):
        self.ea, self.weight, self.cuts = np.array(ea, float), np.array(weight, float), cuts
        self.steps = np.arange(cuts)

    def ends(self, force, length):
        """Where each chain ends, seen from its beginning, when its first piece pulls with `force`.

        Returns the place, its derivatives by the force and by the unstretched length, and the pull at both ends with
        their derivatives by the length; the last half piece of a rope hangs on its own end.
        """
        n = self.cuts
        piece = length / n
        fx = force[:, 0:1]
        fz = force[:, 1:2] + self.weight[:, None] * piece[:, None] * self.steps
        t = np.sqrt(fx * fx + fz * fz)
        ux, uz = fx / t, fz / t
        stretched = 1.0 + t / self.ea[:, None]
        place = np.stack([(ux * stretched).sum(1), (uz * stretched).sum(1)], 1) * piece[:, None]
        inverse_ea = 1.0 / self.ea[:, None]
        xx = (inverse_ea + uz * uz / t).sum(1) * piece
        zz = (inverse_ea + ux * ux / t).sum(1) * piece
        xz = -(ux * uz / t).sum(1) * piece
        by_force = np.stack([np.stack([xx, xz], 1), np.stack([xz, zz], 1)], 1)
        # A longer rope lengthens each piece and makes each mass heavier.
        grows = self.weight[:, None] / n * self.steps
        by_length = place / length[:, None] + piece[:, None] * np.stack(
            [(-ux * uz / t * grows).sum(1), ((inverse_ea + ux * ux / t) * grows).sum(1)], 1)
        start, end = force.copy(), force.copy()
        start[:, 1] -= self.weight * length / (2 * n)
        end[:, 1] += self.weight * length * (1 - 1 / (2 * n))
        return place, by_force, by_length, start, end, -self.weight / (2 * n), self.weight * (1 - 1 / (2 * n))


class Rig:
    """A rig of the file `rigs.json`, with the numbers that the chains need."""

    def __init__(self, data, cuts=40, friction=True, wheels=True, heavy_haul=True, behind=True):
        self.data, self.cuts = data, cuts
        self.head, self.far = np.array(data["head"], float), np.array(data["far"], float)
        self.ground = Ground(data["ground"])
        track, haul, load = data["track"], data["haul"], data["load"]
        base = np.array([self.head[0], 0.0, data["base"]])
        place = lambda key: np.array(track[key], float) + base
        head = np.array([self.head[0], 0.0, self.head[1]])
        ways = [place("capstan"), place("redirect"), head]
        self.back = [np.linalg.norm(ways[1] - ways[0]), np.linalg.norm(ways[2] - ways[1]),
                     np.linalg.norm(place("cell") - head)]
        self.ea, self.w = track["ea"], track["mass"] * G
        # Without what lies behind: as if the rope did not stretch there.
        self.back_ea = self.ea * (1.0 if behind else 1e5)
        eta = track["efficiency"]
        one = lambda value, on: value if on else 1.0
        wheel = one(1.0 / (1.0 + load["wheel_friction"]), wheels)
        self.eta = [one(eta["redirect"], friction), one(eta["head_out"], friction), wheel,
                    one(eta["far"], friction), wheel, one(eta["head_back"], friction)]
        chord = float(np.hypot(*(self.far - self.head)))
        self.haul_w = haul["mass"] * G if heavy_haul else 0.0
        self.litter = load["litter"] * G
        # Half of the belay rope, and of a haul rope without weight of its own, hangs on the carriage.
        half = 0.5 * chord * G * (data["belay"]["mass"] + (0.0 if heavy_haul else haul["mass"]))
        self.carriage = load["carriage"] * G + half
        self.hang, self.mu = load["hang"], load["ground_friction"]
        self.start = self.far[0] - data["travel"]["start"]
        self.end = self.head[0] + data["travel"]["end"]
        self.haul_ea = haul["ea"]


def newton(residual, unknowns, scale, limit, what, tries=60):
    """Newton's method, its step cut where it would go too far or where the residual would not fall."""
    r, jacobian = residual(unknowns)
    size = np.abs(r / scale).max()
    for _ in range(tries):
        if size < 1e-10:
            return unknowns
        step = np.linalg.solve(jacobian, -r)
        share = min(1.0, float((limit / np.maximum(np.abs(step), 1e-300)).min()))
        for _ in range(12):
            trial = unknowns + share * step
            r, jacobian = residual(trial)
            new = np.abs(r / scale).max()
            if np.isfinite(new) and (new < 2.0 * size or size < 1e-7):
                break
            share *= 0.5
        if not np.isfinite(new):
            break
        if new >= size and size < 1e-8:
            return unknowns
        unknowns, size = trial, new
    raise Stuck(f"{what}: residual {size:.1e}")


def settle(solve, slipping, eta):
    """Friction at rest: which turns pass rope, and which way.

    `solve(slipping)` gives the state, what each turn passes and ln(tension after/before); a turn at rest may hold
    anything within ±ln η. A turn without friction passes whatever it must.
    """
    slip = [0 if e == 1.0 else s for e, s in zip(eta, slipping)]
    edge = [-math.log(e) for e in eta]
    seen = set()
    for _ in range(60):
        free = [s if e < 1.0 else 2 for s, e in zip(slip, eta)]
        state, passed, logs = solve(free)
        worst, change = 1e-10, None
        for j, s in enumerate(free):
            if s == 0 and abs(logs[j]) - edge[j] > worst:
                worst, change = abs(logs[j]) - edge[j], (j, 1 if logs[j] > 0 else -1)
        if change is None:
            backwards = [(-s * passed[j], j) for j, s in enumerate(free) if s in (1, -1) and -s * passed[j] > 1e-12]
            if not backwards:
                return state, slip
            change = (max(backwards)[1], 0)
        slip[change[0]] = change[1]
        key = tuple(slip)
        if key in seen and change[1] == 0:
            # Round in a circle: let this one rest for good in this step.
            edge[change[0]] += 1e-9
        seen.add(key)
    raise Stuck(f"no set of slipping turns, last {slip}")


class Track:
    """The rig followed through its history. `amounts` are the unstretched lengths of the seven parts of the track
    rope: capstan–redirect, redirect–head, out above, out below the carriage, back below, back above it, head–cell."""

    def __init__(self, rig):
        self.rig, self.slip = rig, [1] * 6
        # Which turns pass rope and which way, whatever would come of it: for questions without a history.
        self.forced = None
        self.chains = Chains([rig.ea] * 4 + [rig.haul_ea], [rig.w] * 4 + [rig.haul_w], rig.cuts)
        self.strands = Chains([rig.ea] * 2, [rig.w] * 2, rig.cuts)
        self.lying, self.litter_guess = False, None

    def _backs(self, lengths):
        """Tensions of the three straight parts and their derivatives by their lengths."""
        ways = self.rig.back
        ea = self.rig.back_ea
        return [ea * (d / l - 1.0) for d, l in zip(ways, lengths)], [-ea * d / (l * l) for d, l in zip(ways, lengths)]

    # Before the load is on: two strands without a carriage.

    def tension(self, wanted, steps=40, by="cell"):
        """Hauls rope in at the capstan until the cell shows the wanted force, or until the mean of the strands at
        the head has it. Every turn begins without friction's help and hauls."""
        rig = self.rig
        d = rig.far - rig.head
        chord = math.hypot(*d)
        pull = 0.5 * wanted
        length = chord / (1 + pull / rig.ea) + rig.w ** 2 * d[0] ** 2 * chord / (24 * pull ** 2)
        start = np.array([[d[0], d[1]]] * 2) / chord * pull
        start[:, 1] -= 0.5 * rig.w * chord
        self.force = start
        behind = [w / (1 + pull / rig.back_ea) for w in rig.back]
        self.amounts = np.array([*behind[:2], length, length, behind[2]])
        haul = lambda amount: self._unloaded(amount)
        reading = haul(0.0)
        shown = lambda s: s["cell"] if by == "cell" else 0.5 * (s["out"] + s["ret"])
        step = 0.01 * chord / steps
        amounts, force, slip = self.amounts.copy(), self.force.copy(), list(self.slip)
        while shown(reading) < wanted:
            amounts, force, slip = self.amounts.copy(), self.force.copy(), list(self.slip)
            before = shown(reading)
            reading = haul(step)
            if shown(reading) - before > 0.05 * wanted:
                step *= 0.5
        # Back to before the last step, and as far as wanted.
        low, high = 0.0, step
        for _ in range(60):
            self.amounts, self.force, self.slip = amounts.copy(), force.copy(), list(slip)
            reading = haul(0.5 * (low + high))
            if shown(reading) < wanted:
                low = 0.5 * (low + high)
            else:
                high = 0.5 * (low + high)
            if high - low < 1e-12:
                break
        return reading

    def _unloaded(self, hauled):
        rig, d = self.rig, self.rig.far - self.rig.head
        amounts = self.amounts.copy()
        amounts[0] -= hauled
        eta = [self.rig.eta[j] for j in (0, 1, 3, 5)]

        def solve(slip):
            moving = [j for j, s in enumerate(slip) if s]

            def unpack(u):
                passed = np.zeros(4)
                passed[moving] = u[4:]
                lengths = amounts.copy()
                lengths[:4] -= passed
                lengths[1:] += passed
                return u[:4].reshape(2, 2), passed, lengths

            def tensions(u):
                force, _, lengths = unpack(u)
                place, by_force, by_length, start, end, ds, de = self.strands.ends(force, lengths[2:4])
                back, slope = self._backs([lengths[0], lengths[1], lengths[4]])
                # Tension at the beginning and the end of each part, with derivatives by its own unknowns.
                return lengths, place, by_force, by_length, start, end, ds, de, back, slope

            def residual(u):
                lengths, place, by_force, by_length, start, end, ds, de, back, slope = tensions(u)
                size = 4 + len(moving)
                r, jac = np.zeros(size), np.zeros((size, size))
                r[0:2], r[2:4] = place[0] - d, place[1] - d
                jac[0:2, 0:2], jac[2:4, 2:4] = by_force[0], by_force[1]
                dl = np.zeros((5, size))
                for column, j in enumerate(moving):
                    dl[j, 4 + column], dl[j + 1, 4 + column] = -1.0, 1.0
                jac[0:2] += np.outer(by_length[0], dl[2])
                jac[2:4] += np.outer(by_length[1], dl[3])
                side, gradient = self._sides(u, start, end, ds, de, back, slope, dl, size)
                for row, j in enumerate(moving):
                    (b, gb), (a, ga) = (side[2 * j], gradient[2 * j]), (side[2 * j + 1], gradient[2 * j + 1])
                    ratio = eta[j] ** (-slip[j]) if slip[j] != 2 else 1.0
                    r[4 + row] = a - ratio * b
                    jac[4 + row] = ga - ratio * gb
                return r, jac

            size = 4 + len(moving)
            scale = np.array([1.0] * 4 + [1e3] * len(moving))
            limit = np.array([1500.0] * 4 + [0.3] * len(moving))
            u = newton(residual, np.concatenate([self.force.ravel(), np.zeros(len(moving))]), scale, limit, "strands")
            force, passed, lengths = unpack(u)
            _, _, _, _, start, end, ds, de, back, slope = tensions(u)
            side, _ = self._sides(u, start, end, ds, de, back, slope, np.zeros((5, size)), size)
            logs = [math.log(side[2 * j + 1] / side[2 * j]) for j in range(4)]
            return (force, lengths, side), passed, logs

        slip4 = [self.slip[j] for j in (0, 1, 3, 5)]
        (force, lengths, side), slip4 = settle(solve, slip4, eta)
        self.force, self.amounts = force, lengths
        self.slip = [slip4[0], slip4[1], 0, slip4[2], 0, slip4[3]]
        return {"capstan": side[0], "out": side[3], "ret": side[6], "cell": side[7],
                "strand": [float(lengths[2]), float(lengths[3])]}

    @staticmethod
    def _sides(u, start, end, ds, de, back, slope, dl, size):
        """Tension before and after each of the four turns, and their gradients."""
        def support(vector, chain, by_length, length_row):
            t = math.hypot(*vector)
            g = np.zeros(size)
            g[2 * chain:2 * chain + 2] = vector / t
            return t, g + vector[1] / t * by_length[chain] * dl[length_row]

        out_head = support(start[0], 0, ds, 2)
        out_far = support(end[0], 0, de, 2)
        ret_far = support(end[1], 1, de, 3)
        ret_head = support(start[1], 1, ds, 3)
        straight = [(back[i], slope[i] * dl[row]) for i, row in ((0, 0), (1, 1), (2, 4))]
        pairs = [straight[0], straight[1], straight[1], out_head, out_far, ret_far, ret_head, straight[2]]
        return [p[0] for p in pairs], [p[1] for p in pairs]

    # With the load on.

    def load_on(self, steps=12, x=None):
        """Locks the capstan and lays the load on, held by the haul rope at the start of the travel."""
        rig = self.rig
        x = rig.start if x is None else x
        length = self.amounts[2:4]
        split, at, force = [], [], []
        for i in range(2):
            piece = length[i] / rig.cuts
            fz = self.force[i, 1] + rig.w * piece * np.arange(rig.cuts)
            t = np.hypot(self.force[i, 0], fz)
            xs = rig.head[0] + np.concatenate([[0.0], np.cumsum(self.force[i, 0] / t * piece * (1 + t / rig.ea))])
            zs = rig.head[1] + np.concatenate([[0.0], np.cumsum(fz / t * piece * (1 + t / rig.ea))])
            share = float(np.interp(x, xs, np.arange(rig.cuts + 1)))
            split.append(share * piece)
            at.append(float(np.interp(x, xs, zs)))
            force.append((self.force[i], np.array([self.force[i, 0], self.force[i, 1] + rig.w * split[i]])))
        a = self.amounts
        self.amounts = np.array([a[0], a[1], split[0], a[2] - split[0], a[3] - split[1], split[1], a[4]])
        z = 0.5 * (at[0] + at[1])
        r = math.hypot(x - rig.head[0], z - rig.head[1])
        pull = 0.03 * 0.5 * (rig.carriage + rig.litter)
        along = np.array([x - rig.head[0], z - rig.head[1]]) / r
        haul = along * pull - np.array([0.0, 0.5 * 0.03 * rig.haul_w * r])
        self.force = np.array([force[0][0], force[0][1], force[1][1], force[1][0], haul])
        self.z, self.haul_length = z, r
        # The wheels run freely until the whole load is on, as a carriage does that is being put on its ropes.
        wheels, self.rig.eta = self.rig.eta, [1.0 if j in (2, 4) else e for j, e in enumerate(self.rig.eta)]
        for i in range(1, steps + 1):
            state = self.at(x, share=(i / steps) ** 2 * 0.97 + 0.03)
        self.rig.eta = wheels
        return state

    def at(self, x, share=1.0, moving=0, halvings=5):
        """The load at x, from where it was; `moving` −1 inwards, 1 outwards, 0 laid on at x."""
        kept = self._keep()
        before = getattr(self, "x", x)
        try:
            state = self._floating_or_lying(x, share, moving)
            self.x = x
            return state
        except Stuck:
            if halvings == 0 or not moving or abs(x - before) < 1e-3:
                raise
        self._restore(kept)
        self.at(0.5 * (before + x), share, moving, halvings - 1)
        return self.at(x, share, moving, halvings - 1)

    def _floating_or_lying(self, x, share, moving):
        """Tries what it was at the last place first, then the other; a carriage that moves passes rope over its
        wheels, unless that turns out wrong."""
        rig = self.rig
        floor = rig.ground.rounded(x)[0]
        kept, why = self._keep(), None
        side = -moving or 1
        for lying in (self.lying, not self.lying):
            # Where the litter may lie and what its sling may carry, as first guesses.
            leans = ([None] if self.lying else []) + [(0.03, 0.97), (0.15, 0.9), (0.4, 0.6)] if lying else [None]
            for guess, lean in [(g, lean) for lean in leans for g in ((True, False) if moving else (False,))]:
                self._restore(kept)
                if lean:
                    self.litter_guess = (x + side * lean[0] * rig.hang, lean[1] * rig.litter * share)
                if guess:
                    self.slip[2], self.slip[4] = -moving, moving
                try:
                    state = self._solve(x, share, rig.litter * share if lying else None, moving)
                except Stuck as stuck:
                    why = stuck
                    continue
                good = state["sling"] >= 0 and state["normal"] >= 0 if lying else state["z"] - rig.hang >= floor
                if good:
                    self.lying = lying
                    return state
                break
        raise Stuck(f"x {x:.2f}: neither floats nor lies: {why}")

    def _keep(self):
        return (self.force.copy(), self.z, self.haul_length, self.amounts.copy(), list(self.slip), self.lying,
                self.litter_guess)

    def _restore(self, kept):
        force, self.z, self.haul_length, amounts, slip, self.lying, self.litter_guess = kept
        self.force, self.amounts, self.slip = force.copy(), amounts.copy(), list(slip)

    def _solve(self, x, share, dragged, moving):
        rig = self.rig
        amounts = self.amounts.copy()
        self.chains.weight[4] = rig.haul_w * share
        weight = rig.carriage * share if dragged is not None else (rig.carriage + rig.litter) * share
        drag = dragged is not None

        def solve(slip):
            active = [j for j, s in enumerate(slip) if s]
            fixed = 14 if drag else 12
            size = fixed + len(active)

            def residual(u, full=False):
                force, z, haul = u[:10].reshape(5, 2), u[10], u[11]
                lengths = amounts.copy()
                passed = np.zeros(6)
                passed[active] = u[fixed:]
                lengths[:6] -= passed
                lengths[1:] += passed
                dl = np.zeros((8, size))
                for column, j in enumerate(active):
                    dl[j, fixed + column] = -1.0
                    dl[j + 1, fixed + column] = 1.0
                dl[7, 11] = 1.0
                rows = [2, 3, 4, 5, 7]
                place, by_force, by_length, start, end, ds, de = self.chains.ends(
                    force, np.array([*lengths[2:6], haul]))
                back, slope = self._backs([lengths[0], lengths[1], lengths[6]])
                r, jac = np.zeros(size), np.zeros((size, size))
                here = np.array([x, z])
                for i in range(5):
                    inner = i in (0, 3, 4)
                    want = here - rig.head if inner else rig.far - here
                    r[2 * i:2 * i + 2] = place[i] - want
                    jac[2 * i:2 * i + 2, 2 * i:2 * i + 2] = by_force[i]
                    jac[2 * i:2 * i + 2] += np.outer(by_length[i], dl[rows[i]])
                    jac[2 * i + 1, 10] -= 1.0 if inner else -1.0
                # What pulls at the carriage: inner ropes by their ends, outer ones by their beginnings.
                total = np.array([0.0, -weight])
                for i in range(5):
                    if i in (0, 3, 4):
                        total = total - end[i]
                        jac[10, 2 * i] -= 1.0
                        jac[11, 2 * i + 1] -= 1.0
                        jac[11] -= de[i] * dl[rows[i]]
                    else:
                        total = total + start[i]
                        jac[10, 2 * i] += 1.0
                        jac[11, 2 * i + 1] += 1.0
                        jac[11] += ds[i] * dl[rows[i]]
                extra = {}
                if drag:
                    # The litter at y on the ground, its sling pulling with `tight`.
                    y, tight = u[12], u[13]
                    g, tan = rig.ground.rounded(y)
                    h = 1e-6
                    tan2 = rig.ground.rounded(y + h)[1]
                    dx, dz = x - y, z - g
                    size2 = math.hypot(dx, dz)
                    ux, uz = dx / size2, dz / size2
                    total = total - tight * np.array([ux, uz])
                    r[12] = size2 - rig.hang
                    jac[12, 10], jac[12, 12] = uz, -ux - uz * tan
                    # Derivatives of the unit vector by z and by y.
                    uz_z, ux_z = ux * ux / size2, -ux * uz / size2
                    ux_y = (-1 + ux * (ux + uz * tan)) / size2
                    uz_y = (-tan + uz * (ux + uz * tan)) / size2
                    jac[10, 10] -= tight * ux_z
                    jac[11, 10] -= tight * uz_z
                    jac[10, 12] -= tight * ux_y
                    jac[11, 12] -= tight * uz_y
                    jac[10, 13] -= ux
                    jac[11, 13] -= uz
                    # Along and across the ground; friction against the motion.
                    # along: tight·(ux + uz·tan) − w·tan − moving·μ·N' = 0, N' = w − tight·(uz − ux·tan), by cos
                    w = dragged
                    normal = lambda a, b, c: w - b * (c - a * tan)
                    f = lambda a, b, c, k: b * (a + c * k) - w * k - (moving or -1) * rig.mu * (w - b * (c - a * k))
                    r[13] = f(ux, tight, uz, tan)
                    by_ux = tight - (moving or -1) * rig.mu * tight * tan
                    by_uz = tight * tan + (moving or -1) * rig.mu * tight
                    by_tan = tight * uz - w - (moving or -1) * rig.mu * tight * ux
                    jac[13, 13] = (ux + uz * tan) + (moving or -1) * rig.mu * (uz - ux * tan)
                    jac[13, 10] = by_ux * ux_z + by_uz * uz_z
                    jac[13, 12] = by_ux * ux_y + by_uz * uz_y + by_tan * (tan2 - tan) / h
                    extra = {"sling": tight, "normal": normal(ux, tight, uz), "litter": (y, g)}
                r[10:12] = total
                ends = [(back[0], slope[0] * dl[0]), (back[1], slope[1] * dl[1])]

                def support(i, vector, by):
                    t = math.hypot(*vector)
                    gradient = vector[1] / t * by * dl[rows[i]]
                    gradient[2 * i:2 * i + 2] += vector / t
                    return t, gradient

                before = [ends[0], ends[1], support(0, end[0], de[0]), support(1, end[1], de[1]),
                          support(2, start[2], ds[2]), support(3, start[3], ds[3])]
                after = [ends[1], support(0, start[0], ds[0]), support(1, start[1], ds[1]),
                         support(2, end[2], de[2]), support(3, end[3], de[3]), (back[2], slope[2] * dl[6])]
                for row, j in enumerate(active):
                    ratio = rig.eta[j] ** (-slip[j]) if slip[j] != 2 else 1.0
                    r[fixed + row] = after[j][0] - ratio * before[j][0]
                    jac[fixed + row] = after[j][1] - ratio * before[j][1]
                if full:
                    logs = [math.log(max(a[0], 1e-9) / max(b[0], 1e-9)) for b, a in zip(before, after)]
                    tensions = {
                        "capstan": before[0][0], "behind_head": before[1][0], "out": after[1][0],
                        "out_above": before[2][0], "out_below": after[2][0], "out_far": before[3][0],
                        "ret_far": after[3][0], "ret_below": before[4][0], "ret_above": after[4][0],
                        "ret": before[5][0], "cell": after[5][0],
                        "pull": float(np.hypot(*end[4])), "pull_head": float(np.hypot(*start[4])),
                        "x": x, "z": z, "haul_length": haul, "balance": float(np.abs(total).max()),
                        "sling": dragged or rig.litter * share, "normal": 0.0,
                        "litter": (x, z - rig.hang)}
                    tensions.update(extra)
                    return (u, lengths, tensions), passed, logs
                return r, jac

            start = [self.force.ravel(), [self.z, self.haul_length]]
            if drag:
                # From the nearest place of the ground that the sling reaches, on the side it trails.
                place, tight = self.litter_guess or (x - 0.2 * (moving or -1), 0.7 * dragged)
                if abs(place - x) > rig.hang:
                    place = x - 0.2 * (moving or -1)
                start.append([place, tight])
            start.append(np.zeros(len(active)))
            scale = np.array([1.0] * 10 + [1e3] * 2 + ([1.0, 1e3] if drag else []) + [1e3] * len(active))
            limit = np.array([1500.0] * 10 + [0.5, 0.5] + ([0.3, 1500.0] if drag else []) + [0.3] * len(active))
            u = newton(residual, np.concatenate(start), scale, limit, f"load at {x:.2f}")
            return residual(u, full=True)

        if self.forced:
            (u, lengths, tensions), _, _ = solve(self.forced)
            slip = self.slip
        else:
            (u, lengths, tensions), slip = settle(solve, self.slip, rig.eta)
        self.force, self.z, self.haul_length = u[:10].reshape(5, 2), u[10], u[11]
        self.amounts, self.slip = lengths, slip
        if drag:
            self.litter_guess = (u[12], u[13])
        tensions["height"] = tensions["litter"][1] - rig.ground.at(tensions["litter"][0])
        tensions["mean"] = 0.5 * (tensions["out"] + tensions["ret"])
        tensions["slip"] = list(slip)
        return tensions

    def travel(self, step=0.2, to=None):
        """Hauls to the end of the travel, then lets out to its start: the states of both ways."""
        rig = self.rig
        to = rig.end if to is None else to
        n = max(2, round(abs(rig.start - to) / step))
        places = np.linspace(rig.start, to, n + 1)
        inward = [self.at(float(x), moving=-1) for x in places]
        outward = [self.at(float(x), moving=1) for x in places[::-1]]
        return inward, outward
