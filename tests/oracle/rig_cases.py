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


def several_moving():
    """Three and four points that move."""
    # A carriage on a track; a redirect on a heavy sling, over which its haul rope comes; a load below it with a tag line.
    rig = Rig("carriage, redirect and load")
    head, far, winch, tree = rig.fixed(0, 0, 0), rig.fixed(60, 8, -12), rig.fixed(-6, 4, -3), rig.fixed(-2, -3, 6)
    anchor, post = rig.fixed(20, -25, -22), rig.fixed(34, -16, -20)
    carriage = rig.free([30, 3, -12], [0, 0, -300])
    redirect = rig.free([-1, -1, 3], [0, 0, -40])
    load = rig.free([30, 2, -18], [60, 90, -1800])
    rig.rope([head, carriage, far], 63.0, 80e3, w=1.6)
    rig.rope([winch, redirect, carriage], 44.0, 40e3, w=0.83)
    rig.rope([tree, redirect], 4.0, 30e3, w=0.9)
    rig.rope([carriage, load], 6.0, 35e3, w=0.8)
    rig.rope([anchor, post, load], 37.0, 30e3, w=0.6)
    yield rig
    # Two skew tracks, a carriage on each; a rope from one to the other bears the load's sheave, a redirect hangs in one
    # of their haul ropes. All ropes stiffen.
    rig = Rig("two carriages, load and redirect")
    left, left_far = rig.fixed(0, 0, 0), rig.fixed(70, 10, -8)
    right, right_far = rig.fixed(4, 24, 5), rig.fixed(66, 40, -14)
    winch, brake, tree = rig.fixed(-7, 2, -2), rig.fixed(-4, 30, 1), rig.fixed(-3, -6, 5)
    one = rig.free([32, 4, -9], [0, 0, -250])
    other = rig.free([36, 32, -9], [0, 0, -250])
    load = rig.free([34, 18, -22], [-80, 30, -2200])
    redirect = rig.free([-2, -2, 2], [0, 0, -25])
    rig.rope([left, one, left_far], 73.0, 70e3, b=300e3, w=1.5)
    rig.rope([right, other, right_far], 69.0, 60e3, b=150e3, w=1.4)
    rig.rope([one, load, other], 40.0, 30e3, b=90e3, w=0.8)
    rig.rope([winch, redirect, left, one], 51.0, 30e3, b=60e3, w=0.7)
    rig.rope([tree, redirect], 5.0, 25e3, b=100e3, w=0.9)
    rig.rope([brake, right, other], 48.0, 30e3, b=60e3, w=0.7)
    yield rig


def pulled():
    """Ropes of set tension."""
    rig = Rig("track pulled at its first end")
    winch, post, far, tree = rig.fixed(-9, 3, -4), rig.fixed(0, 0, 0), rig.fixed(55, -9, -6), rig.fixed(20, 22, 4)
    carriage = rig.free([27, 0, -9], [0, 120, -1900])
    rig.pulled([winch, post, carriage, far], "first", 6500.0, 80e3, b=200e3, w=1.6)
    rig.rope([tree, carriage], 24.0, 40e3, w=0.8)
    yield rig
    rig = Rig("tag line pulled at its last end")
    anchor, head, bollard, brake = rig.fixed(-6, -4, 1), rig.fixed(0, 0, 8), rig.fixed(25, 12, -14), rig.fixed(33, 5, -12)
    load = rig.free([5, 3, -12], [0, 0, -1500])
    rig.rope([anchor, head, load], 31.0, 35e3, w=0.75)
    rig.pulled([load, bollard, brake], "last", 700.0, 25e3, b=50e3, w=0.6)
    yield rig


def held():
    """A point on a plane, on a line, on ground and just above it."""
    rig = Rig("sheave on a plane")
    left, right, post, winch = rig.fixed(0, -3, 12), rig.fixed(40, 9, 5), rig.fixed(12, 14, 3), rig.fixed(5, 20, -1)
    litter = rig.held("plane", [20, 0, -4], [0.3, -0.5, 1.0], [20, 2, -3], [100, 0, -1600])
    rig.rope([left, litter, right], 46.0, 50e3, w=1.3)
    rig.rope([winch, post, litter], 24.0, 35e3, w=0.8)
    yield rig
    rig = Rig("sheave on a line")
    left, right, post, winch = rig.fixed(0, -6, 9), rig.fixed(36, 12, 3), rig.fixed(30, -8, 14), rig.fixed(38, -15, 4)
    trolley = rig.held("line", [16, 1, -3], [1.0, 0.4, -0.35], [15, 1, -3], [40, -60, -1200])
    rig.rope([left, trolley, right], 43.0, 45e3, w=1.2)
    rig.rope([winch, post, trolley], 34.6, 30e3, b=60e3, w=0.7)
    yield rig
    # Without ground it would hang at one place, between the two.
    for name, level in (("litter that rests on a slope", -2.0), ("litter just above a slope", -3.1)):
        rig = Rig(name)
        head, winch, side = rig.fixed(0, 0, 10), rig.fixed(-12, 6, 2), rig.fixed(9, -16, 6)
        litter = rig.held("ground", [0, 0, level], [0.5, 0.2, 1.0], [6, -2, 0], [0, 0, -2000])
        rig.rope([winch, head, litter], 28.0, 40e3, w=0.9)
        rig.rope([side, litter], 17.5, 30e3, w=0.7)
        yield rig


def doubled():
    """Parallel strands."""
    rig = Rig("double track, threefold haul rope")
    head, far, post, winch = rig.fixed(0, 0, 0), rig.fixed(48, 7, -9), rig.fixed(-4, -5, 3), rig.fixed(-11, 1, -2)
    carriage = rig.free([22, 3, -8], [-150, 60, -3500])
    rig.rope([head, carriage, far], 50.5, 40e3, b=120e3, w=0.8, strands=2)
    rig.rope([winch, post, carriage], 33.0, 15e3, b=30e3, w=0.4, strands=3)
    yield rig


def all_of_it():
    """A carriage on a pulled double track, a litter on a slope below it, a litter above another, a trolley on a rail."""
    rig = Rig("all of it")
    winch, head, far, far_post = rig.fixed(-8, 4, 6), rig.fixed(0, 0, 12), rig.fixed(64, 6, 6), rig.fixed(30, 30, 10)
    brake = rig.fixed(38, 34, 2)
    carriage = rig.free([30, 3, 2], [0, 0, -200])
    litter = rig.held("ground", [30, 3, -8], [0.3, 0.1, 1.0], [30, 3, -7], [0, 0, -1800])
    other = rig.held("ground", [24, 16, -5.2], [-0.2, 0.4, 1.0], [24, 14, -5], [0, 0, -500])
    trolley = rig.held("line", [10, -12, 4], [1.0, -0.2, 0.1], [14, -12, 4], [0, 0, -300])
    rig.pulled([winch, head, carriage, far], "first", 14000.0, 40e3, b=100e3, w=0.8, strands=2)
    rig.rope([trolley, carriage, litter], 32.0, 35e3, w=0.8)
    rig.rope([carriage, other], 15.5, 30e3, b=60e3, w=0.7)
    rig.pulled([other, far_post, brake], "last", 350.0, 25e3, w=0.5)
    rig.rope([head, trolley], 19.0, 30e3, w=0.7)
    yield rig


def rigs():
    for some in (rolling_and_redirected, several_moving, pulled, held, doubled, all_of_it):
        yield from some()
