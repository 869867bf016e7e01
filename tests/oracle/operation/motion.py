"""What moves when a part of the rig fails: lumped masses stepped explicitly in time, in space.

Ropes are chains of springs that only pull, between masses; the carriage and the litter on its sling are two more
masses. A rope passes over a turn as much as brings the tensions beside it to the edge of their band. Pieces beside a
turn that grow long are cut, those that grow short are joined to the next. The ground is a stiff, plastic floor with
friction. Nothing dampens but the ground, the turns, and a little the shortest waves: peaks come out on the high side.

Needs Python 3 and numpy. Lengths in m, forces in N, times in s, z up.
"""
import math
import numpy as np
from still import G, Chains, newton


class Motion:
    """Nodes and ropes. `cut` is the length of a piece of rope."""

    def __init__(self, ground=None, friction=0.4, cut=2.5):
        self.x, self.v, self.body, self.fixed, self.solid = [], [], [], [], []
        self.ropes, self.ground, self.friction, self.cut = [], ground, friction, cut
        self.time, self.ready = 0.0, False

    def node(self, place, mass=0.0, fixed=False):
        self.x.append(np.array(place, float))
        self.v.append(np.zeros(3))
        self.body.append(mass)
        self.fixed.append(fixed)
        return len(self.x) - 1

    def rope(self, name, nodes, lengths, ea, rho, turns=None, source=None, loss=0.05):
        """`turns` maps a node to the efficiency there; `source` is the tension at which the first end gives rope;
        `loss` the share of critical damping of the shortest waves."""
        self.ropes.append({"name": name, "nodes": list(nodes), "l": list(lengths), "ea": ea, "rho": rho,
                           "turns": dict(turns or {}), "source": source, "loss": loss})
        self.ready = False
        return self.ropes[-1]

    def take_off(self, name):
        self.ropes = [rope for rope in self.ropes if rope["name"] != name]
        self.ready = False

    def named(self, name):
        return next(rope for rope in self.ropes if rope["name"] == name)

    def build(self):
        """The flat arrays of all pieces."""
        self.x, self.v = np.array(self.x, float), np.array(self.v, float)
        first, second, ea, rho, loss = [], [], [], [], []
        self.turns, self.sources = [], []
        for rope in self.ropes:
            rope["at"] = len(first)
            nodes = rope["nodes"]
            for k in range(1, len(nodes) - 1):
                if nodes[k] in rope["turns"]:
                    self.turns.append((rope["at"] + k - 1, rope["at"] + k, rope["turns"][nodes[k]], rope))
            if rope["source"] is not None:
                self.sources.append((rope["at"], rope["source"]))
            first += nodes[:-1]
            second += nodes[1:]
            ea += [rope["ea"]] * (len(nodes) - 1)
            rho += [rope["rho"]] * (len(nodes) - 1)
            loss += [rope["loss"]] * (len(nodes) - 1)
        self.a, self.b = np.array(first), np.array(second)
        self.ea, self.rho, self.loss = np.array(ea, float), np.array(rho, float), np.array(loss, float)
        self.l = np.concatenate([np.array(rope["l"], float) for rope in self.ropes])
        n, s = len(self.x), len(self.a)
        self.incidence = np.zeros((n, s))
        self.incidence[self.a, np.arange(s)] = 1.0
        self.incidence[self.b, np.arange(s)] -= 1.0
        self.share = 0.5 * np.abs(self.incidence)
        self.bodies = np.array(self.body, float)
        used = self.share.sum(1) > 0
        self.free = used & ~np.array(self.fixed)
        self.still = ~self.free
        self.movable = np.flatnonzero(self.free)
        self.ready = True

    def keep_lengths(self):
        for rope in self.ropes:
            rope["l"] = list(self.l[rope["at"]:rope["at"] + len(rope["nodes"]) - 1])

    def remesh(self):
        """Cuts and joins the pieces beside turns that move along their rope."""
        todo = False
        for i, j, _, rope in self.turns:
            for k in (i, j):
                if self.l[k] > 1.6 * self.cut or (self.l[k] < 0.35 * self.cut):
                    todo = True
        if not todo:
            return
        self.keep_lengths()
        changed = False
        for rope in self.ropes:
            for turn in list(rope["turns"]):
                for side in (-1, 1):
                    # From the end, so that what is cut or joined does not shift what is still to come.
                    for k in [k for k, node in enumerate(rope["nodes"]) if node == turn and k > 0][::-1]:
                        changed |= self._remesh_one(rope, k, side)
        if changed:
            self.x, self.v = list(self.x), list(self.v)
            self.build()

    def _remesh_one(self, rope, k, side):
        nodes, l = rope["nodes"], rope["l"]
        if k >= len(nodes) - 1:
            return False
        piece = k - 1 if side < 0 else k
        other = nodes[k + side]
        if l[piece] > 1.6 * self.cut and not (self.fixed[other] and self.fixed[nodes[k]]):
            middle = 0.5 * (self.x[other] + self.x[nodes[k]])
            speed = 0.5 * (self.v[other] + self.v[nodes[k]])
            self.x = np.vstack([self.x, middle])
            self.v = np.vstack([self.v, speed])
            self.body.append(0.0)
            self.fixed.append(False)
            nodes.insert(k if side < 0 else k + 1, len(self.x) - 1)
            half = 0.5 * l[piece]
            l[piece:piece + 1] = [half, half]
            return True
        if l[piece] < 0.35 * self.cut and self.body[other] == 0 and not self.fixed[other]:
            beyond = piece + side
            if 0 <= beyond < len(l) and other not in rope["turns"]:
                l[beyond] += l[piece]
                del l[piece]
                del nodes[k + side]
                return True
        return False

    def _pass_rope(self, length):
        """Over each turn, until the tensions beside it stand at the edge of their band."""
        l = self.l
        for i, j, eta, _ in self.turns:
            ea = self.ea[i]
            ta, tb = ea * (length[i] / l[i] - 1.0), ea * (length[j] / l[j] - 1.0)
            if tb > 0.0 and tb * eta > ta:
                l[i], l[j] = self._pass(ea, length[i], l[i], length[j], l[j], eta)
            elif ta > 0.0 and ta * eta > tb:
                l[j], l[i] = self._pass(ea, length[j], l[j], length[i], l[i], eta)
        for i, tension in self.sources:
            wanted = length[i] / (1.0 + tension / self.ea[i])
            if l[i] < wanted:
                l[i] = wanted

    @staticmethod
    def _pass(ea, before, lb, after, la, eta):
        """Rope goes from `before` to `after`, which pulls harder: what is slack first, then by the springs."""
        slack = max(lb - before, 0.0)
        to_rest = max(after - la, 0.0)
        s = min(slack, to_rest)
        lb, la = lb - s, la + s
        if s < to_rest:
            for _ in range(2):
                tb, ta = ea * (before / lb - 1.0), ea * (after / la - 1.0)
                gap = ta - max(tb, 0.0) / eta
                s = gap / (ea * before / (lb * lb) / eta + ea * after / (la * la))
                lb, la = lb - s, la + s
        return lb, la

    def tension(self):
        d = self.x[self.b] - self.x[self.a]
        return self.ea * np.maximum(np.sqrt((d * d).sum(1)) / self.l - 1.0, 0.0)

    def step(self, dt):
        d = self.x[self.b] - self.x[self.a]
        length = np.sqrt(np.einsum("ij,ij->i", d, d)) + 1e-12
        self._pass_rope(length)
        mass = self.share @ (self.rho * self.l) + self.bodies
        mass[self.still] = 1.0
        stiff = self.ea / self.l
        rate = np.einsum("ij,ij->i", d, self.v[self.b] - self.v[self.a]) / length
        light = np.minimum(mass[self.a], mass[self.b])
        t = self.ea * (length / self.l - 1.0)
        damp = self.loss * np.sqrt(stiff * light)
        self.t = np.where(t > 0.0, np.maximum(t + damp * rate, 0.0), 0.0)
        force = self.incidence @ (d * (self.t / length)[:, None])
        force[:, 2] -= mass * G
        if self.ground is not None:
            self._contact(force, mass, dt)
        self.v += force / mass[:, None] * dt
        self.v[self.still] = 0.0
        self.x += self.v * dt
        self.time += dt
        return self.t

    def _contact(self, force, mass, dt):
        m = self.movable
        x = self.x[m]
        gx, gz = self.ground.x, self.ground.z
        depth = np.interp(x[:, 0], gx, gz) - x[:, 2]
        hit = np.flatnonzero(depth > 0.0)
        if not len(hit):
            self.touching = ()
            return
        i = m[hit]
        k = np.clip(np.searchsorted(gx, x[hit, 0]) - 1, 0, len(gx) - 2)
        slope = (gz[k + 1] - gz[k]) / (gx[k + 1] - gx[k])
        size = np.sqrt(1.0 + slope * slope)
        nx, nz = -slope / size, 1.0 / size
        v = self.v[i]
        vn = v[:, 0] * nx + v[:, 2] * nz
        # Stiff enough to sink by some millimetres, damped so that nothing bounces.
        omega = 50.0
        push = np.maximum(mass[i] * (omega * omega * depth[hit] / size - 2.0 * omega * vn), 0.0)
        # Along the ground: tangent (nz, −nx) and y.
        vt, vy = v[:, 0] * nz - v[:, 2] * nx, v[:, 1]
        speed = np.sqrt(vt * vt + vy * vy)
        rub = np.minimum(self.friction * push / np.sqrt(speed * speed + 4e-4), 0.5 * mass[i] / dt)
        force[i, 0] += push * nx - rub * vt * nz
        force[i, 2] += push * nz + rub * vt * nx
        force[i, 1] -= rub * vy
        self.touching = i

    def longest_step(self):
        """Half of what stays stable for the shortest piece that a remesh leaves."""
        heavy = self.rho > 0
        speed = np.sqrt(self.ea[heavy] / self.rho[heavy])
        moving = ~(np.array(self.fixed)[self.a[heavy]] & np.array(self.fixed)[self.b[heavy]])
        l = np.minimum(self.l[heavy], 0.35 * self.cut)[moving]
        return 0.4 * float((l / speed[moving]).min())


PARTS = ("winch", "haul_head", "haul_carriage", "device", "belay_carriage", "capstan", "out", "ret", "cell", "sling")


def lay_out(track, state, belay=True, dynamic=1.0, cut=2.5):
    """The rig of `still.Track` in a state, as nodes and ropes; `dynamic` multiplies every stiffness, while each
    piece keeps the tension it has."""
    rig, data = track.rig, track.rig.data
    world = Motion(rig.ground, rig.mu, cut)
    base = np.array([rig.head[0], 0.0, data["base"]])
    at = lambda place: np.array(place, float) + base
    flat = lambda place: np.array([place[0], 0.0, place[1]])
    head = world.node(flat(rig.head), fixed=True)
    far = world.node(flat(rig.far), fixed=True)
    here = np.array([state["x"], state["z"]])
    own = data["load"]["carriage"]
    world.carriage = world.node(flat(here), own)
    lit = np.array(state["litter"])
    world.litter = world.node(flat(lit), data["load"]["litter"])
    world.track_force, world.state = track, state

    def natural(distance, tension, ea):
        return distance / (1.0 + tension / (ea * dynamic))

    def chain(begin, end, unstretched, force, ea, weight, nodes):
        """Nodes of one hanging part, with its lengths for the dynamic stiffness."""
        n = max(2, round(unstretched / cut))
        one = Chains([ea], [weight], n)

        def residual(u):
            place, by_force, *_ = one.ends(u.reshape(1, 2), np.array([unstretched]))
            return place[0] - (end - begin), by_force[0]

        u = newton(residual, np.array(force, float), np.array([1.0, 1.0]), np.array([800.0, 800.0]), "part")
        piece = unstretched / n
        fz = u[1] + weight * piece * np.arange(n)
        t = np.hypot(u[0], fz)
        xs = begin[0] + np.cumsum(u[0] / t * piece * (1 + t / ea))
        zs = begin[1] + np.cumsum(fz / t * piece * (1 + t / ea))
        inner = [world.node([x, 0.0, z]) for x, z in zip(xs[:-1], zs[:-1])]
        lengths = [piece * (1 + tension / ea) / (1 + tension / (ea * dynamic)) for tension in t]
        return [nodes[0], *inner, nodes[1]], lengths

    # The track rope, from the capstan to the cell.
    places, eta = data["track"], track.rig.eta
    cap, red, cell = [world.node(at(places[k]), fixed=True) for k in ("capstan", "redirect", "cell")]
    a = track.amounts
    straight = lambda p, q, l: natural(float(np.linalg.norm(world.x[p] - world.x[q])),
                                       rig.ea * (float(np.linalg.norm(world.x[p] - world.x[q])) / l - 1.0), rig.ea)
    nodes, lengths = [cap, red, head], [straight(cap, red, a[0]), straight(red, head, a[1])]
    # The rope crosses the head a second time on its way back, over a sheave of its own.
    world.head_back = back = world.node(flat(rig.head), fixed=True)
    spans = [(rig.head, here, a[2], track.force[0], head, world.carriage),
             (here, rig.far, a[3], track.force[1], world.carriage, far),
             (here, rig.far, a[4], track.force[2], world.carriage, far),
             (rig.head, here, a[5], track.force[3], back, world.carriage)]
    for i, (p, q, l, f, m, n) in enumerate(spans):
        got, ls = chain(p, q, l, f, rig.ea, rig.w, (m, n))
        if i >= 2:
            got, ls = got[::-1], ls[::-1]
        nodes += got[1:]
        lengths += ls
    nodes.append(cell)
    lengths.append(straight(back, cell, a[6]))
    world.rope("track", nodes, lengths, rig.ea * dynamic, data["track"]["mass"],
               {red: eta[0], head: eta[1], world.carriage: eta[2], far: eta[3], back: eta[5]})

    # The haul rope, from the winch; it was hauling.
    haul = data["haul"]
    winch, hred = world.node(at(haul["winch"]), fixed=True), world.node(at(haul["redirect"]), fixed=True)
    e = haul["efficiency"]
    t1 = state["pull_head"] / e["head"]
    t2 = t1 / e["redirect"]
    gap = lambda p, q: float(np.linalg.norm(world.x[p] - world.x[q]))
    got, ls = chain(rig.head, here, track.haul_length, track.force[4], haul["ea"], haul["mass"] * G,
                    (head, world.carriage))
    world.rope("haul", [winch, hred, *got],
               [natural(gap(winch, hred), t2, haul["ea"]), natural(gap(hred, head), t1, haul["ea"]), *ls],
               haul["ea"] * dynamic, haul["mass"], {hred: e["redirect"], head: e["head"]})

    if belay:
        spec = data["belay"]
        device = world.node(at(spec["device"]), fixed=True)
        chord = float(np.linalg.norm(here - rig.head))
        n = max(2, round(chord / cut))
        inner = [world.node(flat(rig.head + (here - rig.head) * i / n)) for i in range(1, n)]
        world.rope("belay", [device, head, *inner, world.carriage],
                   [gap(device, head)] + [(chord + spec["slack"]) / n] * n, spec["ea"] * dynamic, spec["mass"],
                   {head: spec["efficiency"]})
    hung = float(np.linalg.norm(world.x[world.carriage] - world.x[world.litter]))
    sling_ea = 200e3
    world.rope("sling", [world.carriage, world.litter], [hung / (1.0 + state["sling"] / sling_ea)], sling_ea, 0.0)
    return world


def fail(world, part):
    """Takes a part away."""
    data = world.track_force.rig.data
    if part in ("track", "haul"):
        world.take_off(part)
    elif part in ("track_redirect", "haul_redirect"):
        rope = world.named(part.split("_")[0])
        gone = rope["nodes"].pop(1)
        rope["l"][0:2] = [rope["l"][0] + rope["l"][1]]
        del rope["turns"][gone]
    elif part == "capstan_tail":
        # The tail pulls with nothing but two metres of itself; the capstan holds by friction what it can.
        drum = data["capstan"]
        tail = 2.0 * data["track"]["mass"] * G
        world.named("track")["source"] = tail * math.exp(2 * math.pi * drum["wraps"] * drum["friction"])
    elif part == "jam":
        world.fixed[world.carriage] = True
    else:
        raise ValueError(part)
    world.ready = False


def follow(world, duration, winch_speed=0.0, share=1.0, stop_after_landing=1.5, smooth=5e-3):
    """Steps on and keeps what matters: drop, landing, peaks of the tensions behind a filter of `smooth`."""
    world.build()
    dt = world.longest_step() * share
    if world.ropes and any(rope["name"] == "sling" for rope in world.ropes):
        sling = world.named("sling")
        light = min(world.body[world.carriage], world.body[world.litter])
        dt = min(dt, 0.3 * math.sqrt(light * sling["l"][0] / sling["ea"]))
    lit, car = world.litter, world.carriage
    ground = world.ground
    start_l, start_c = world.x[lit].copy(), world.x[car].copy()
    lay = start_l[2] - ground.at(start_l[0]) < 0.02
    out = {"lay": bool(lay), "drop": 0.0, "landing": None, "moved": 0.0, "fastest": 0.0}
    ids, keys, filtered, peaks, first = _parts(world), None, None, {}, {}
    last_shape = len(world.a)
    landed_at = None
    steps = int(duration / dt)
    for i in range(steps):
        before = world.v[lit].copy()
        if winch_speed:
            at = world.named("haul")["at"]
            world.l[at] -= winch_speed * dt
        t = world.step(dt)
        if len(world.a) != last_shape:
            ids, last_shape = _parts(world), len(world.a)
            keys = None
        if keys != list(ids):
            now = {k: float(t[j]) for k, j in ids.items()}
            filtered = np.array([(first or now).get(k, now[k]) for k in ids])
            keys, index = list(ids), np.array(list(ids.values()))
            if i == 0:
                out["start"] = {k: float(v) for k, v in now.items()}
            top = np.array([peaks.get(k, 0.0) for k in ids])
        filtered += (t[index] - filtered) * min(1.0, dt / smooth)
        np.maximum(top, filtered, out=top)
        first = dict(zip(keys, filtered))
        peaks = dict(zip(keys, top))
        if i % 8 == 0:
            world.remesh()
            if len(world.a) != last_shape:
                ids, last_shape, keys = _parts(world), len(world.a), None
        here = world.x[lit]
        speed = math.sqrt(before @ before)
        if landed_at is None:
            out["drop"] = max(out["drop"], float(start_l[2] - here[2]))
            out["fastest"] = max(out["fastest"], speed)
            if not lay and lit in getattr(world, "touching", ()):
                k = min(max(int(np.searchsorted(ground.x, here[0])) - 1, 0), len(ground.x) - 2)
                slope = (ground.z[k + 1] - ground.z[k]) / (ground.x[k + 1] - ground.x[k])
                normal = (before[0] * slope - before[2]) / math.sqrt(1 + slope * slope)
                out["landing"] = {"time": world.time, "speed": speed, "normal": float(normal),
                                  "x": float(here[0]), "drop": float(start_l[2] - here[2])}
                landed_at = world.time
        gone = world.x[car] - start_c
        out["moved"] = max(out["moved"], math.sqrt(gone @ gone))
        if landed_at is not None and world.time > landed_at + stop_after_landing:
            break
    end = world.x[lit]
    out["end"] = {"x": float(end[0]), "z": float(end[2]), "height": float(end[2] - ground.at(end[0])),
                  "speed": float(np.linalg.norm(world.v[lit])), "time": world.time}
    out["end"]["lies"] = bool(out["end"]["height"] < 0.02)
    out["peaks"] = {k: float(v) for k, v in peaks.items()}
    out["dt"] = dt
    return out


def _parts(world):
    """Which piece tells the tension of which part."""
    ids = {}
    for rope in world.ropes:
        at, nodes = rope["at"], rope["nodes"]
        last = at + len(nodes) - 2
        if rope["name"] == "haul":
            ids["winch"], ids["haul_head"], ids["haul_carriage"] = at, at + nodes.index(0), last
        elif rope["name"] == "belay":
            ids["device"], ids["belay_carriage"] = at, last
        elif rope["name"] == "track":
            ids["capstan"], ids["cell"] = at, last
            ids["out"], ids["ret"] = at + nodes.index(0), at + nodes.index(world.head_back) - 1
        elif rope["name"] == "sling":
            ids["sling"] = at
    return ids
