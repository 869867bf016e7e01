"""The rigs that `rig.py` cuts into pieces."""
from math import hypot

ZERO = [0.0, 0.0, 0.0]


class Rig:
    """Points and ropes as `rig.json` has them. Lengths in metres, forces in newtons; z is up."""

    def __init__(self, name):
        self.name, self.points, self.ropes = name, [], []

    def fixed(self, x, y, z):
        return self.add(dict(hold="fixed", at=[x, y, z], load=ZERO))

    def free(self, guess, load):
        return self.add(dict(hold="free", at=list(guess), load=list(load)))

    def held(self, hold, through, direction, guess, load):
        """On a "plane", on a "line", or on or above "ground": a point of it, and its normal or the line's direction."""
        unit = [v / hypot(*direction) for v in direction]
        return self.add(dict(hold=hold, through=list(through), direction=unit, at=list(guess), load=list(load)))

    def rope(self, nodes, length, a, b=0.0, w=0.0, strands=1):
        """Of so much length."""
        self.ropes.append(dict(nodes=list(nodes), length=float(length), a=a, b=b, w=w, strands=strands))

    def pulled(self, nodes, end, tension, a, b=0.0, w=0.0, strands=1):
        """As long as the tension at its "first" or "last" end, of all strands together, makes it."""
        self.ropes.append(dict(nodes=list(nodes), pulled=end, tension=tension, a=a, b=b, w=w, strands=strands))

    def add(self, point):
        self.points.append(point)
        return len(self.points) - 1


def rolling_and_redirected():
    """One or two points that move, free, on ropes of known length."""
    g = 9.80665
    # A carriage that rolls: level, steep, across, light and heavy.
    for i, (x, y, z, slack, a, w, p) in enumerate(
        [
            (60, 0, 0, 1.01, 80e3, 1.6, 2400),
            (50, 0, -30, 1.02, 80e3, 1.6, 2400),
            (40, 12, 6, 1.05, 40e3, 0.8, 900),
            (30, -8, -20, 1.03, 120e3, 2.5, 1500),
            (80, 5, 10, 1.0, 60e3, 1.2, 3000),
            (25, 3, 2, 1.2, 35e3, 6.0, 400),
        ]
    ):
        rig = Rig(f"rolling carriage {i}")
        head, far = rig.fixed(0, 0, 0), rig.fixed(x, y, z)
        low = [0.55 * x, 0.55 * y, 0.55 * z - 0.12 * x]
        load = rig.free(low, [0, 0, -p])
        rig.rope([head, load, far], slack * hypot(x, y, z), a, b=5 * a if i % 2 else 0.0, w=w)
        yield rig
    # A carriage held by a haul rope that comes over a sheave at the head.
    for i, (x, y, z, haul) in enumerate([(70, 0, -45, 42.0), (60, 6, -20, 30.0), (50, -4, -40, 25.0), (90, 0, -50, 60.0)]):
        rig = Rig(f"held carriage {i}")
        head, far = rig.fixed(0, 0, 0), rig.fixed(x, y, z)
        winch = rig.fixed(-5, 1, -2)
        t = haul / hypot(x, y, z)
        load = rig.free([t * x, t * y, t * z - 8], [0, 0, -250 * g])
        rig.rope([head, load, far], 0.995 * hypot(x, y, z), 80e3, w=1.66)
        rig.rope([winch, head, load], haul + 5.5, 40e3, w=0.83)
        yield rig
    # One rope doubled through a sheave at the far anchor, both parts over the carriage.
    for i, (x, y, z) in enumerate([(70, 0, -45), (55, 4, -10), (40, -3, -30)]):
        rig = Rig(f"doubled track {i}")
        head, post, far = rig.fixed(0, 0, 0), rig.fixed(0, 0.4, 0), rig.fixed(x, y, z)
        load = rig.free([0.45 * x, 0.45 * y, 0.45 * z - 0.1 * x], [0, 0, -200 * g])
        rig.rope([head, load, far, load, post], 2.0 * hypot(x, y, z), 40e3, w=0.83)
        rig.rope([head, load], 0.46 * hypot(x, y, z) * 1.03, 40e3)
        yield rig
    # A redirect that floats on a sling.
    for i, (sling, pull) in enumerate([(2.0, 800), (3.0, 1500), (1.2, 400), (4.0, 2500)]):
        rig = Rig(f"floating redirect {i}")
        tree, anchor, edge = rig.fixed(0, 3, 4), rig.fixed(-8, -2, 0.5), rig.fixed(6, 0, 0)
        redirect = rig.free([-0.5, 1, 2.0], [0, 0, -15])
        load = rig.free([6, 0, -10], [0, 0, -pull])
        rig.rope([tree, redirect], sling, 30e3)
        rig.rope([anchor, redirect, edge, load], 27.0, 35e3, b=70e3 if i % 2 else 0.0, w=0.75)
        yield rig
    # A load between two ropes that come over fixed sheaves.
    for i, (side, down) in enumerate([(4, 12), (8, 20), (-6, 15), (2, 30), (10, 8)]):
        rig = Rig(f"load between two sheaves {i}")
        head, left, right, post = rig.fixed(0, 0, 0), rig.fixed(-6, -3, -1), rig.fixed(20, side, 1), rig.fixed(12, side, 2)
        load = rig.free([5, 0.3 * side, -down], [150.0, -40.0, -1800])
        rig.rope([left, head, load], hypot(down, 5) + 7.2, 40e3, w=0.8)
        rig.rope([load, post, right], hypot(down, 7) + 8.2, 40e3, b=80e3, w=1.1)
        yield rig


def rigs():
    yield from rolling_and_redirected()
