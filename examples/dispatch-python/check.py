"""What the dispatch example leaves of the binding: lists, arrays in and out, texts, handles, failures; and the stub."""
import ast
import pathlib

import rope_mechanics as rm


def fails(status, field, call, *given):
    try:
        call(*given)
    except rm.Failure as why:
        assert (why.status, why.field) == (status, field), (why.status, why.field, str(why))
        return str(why)
    raise AssertionError(f"{call.__name__} does not fail")


# Two ropes of equal length at equal height carry half each by symmetry: w/2 over the cosine of their angle to plumb.
ropes = [rm.bridle_rope((rm.m(x), 0.0, rm.m(4)), rm.stretch(rm.kn(40))) for x in (-3, 3)]
hang, each = rm.bridle_at_lengths(800.0, ropes, [5.0, 5.0])
assert abs(hang.position.x) < 1e-9
drop = 4.0 - hang.position.z
pull = each[0]["tension"] if rm.numpy else each[0].tension
assert abs(2 * pull * drop / (drop * drop + 9) ** 0.5 - 800.0) < 1e-6
if rm.numpy:
    again, _ = rm.bridle_at_lengths(800.0, ropes, rm.numpy.array([5.0, 5.0]))
    assert again.position.z == hang.position.z
    assert each.dtype.names[:2] == ("tension", "length") and rm.line_points(rm.line(
        span=20.0, length=22.0, weight=5.0, stretch=(rm.kn(50),)), 5).shape == (5,)
try:
    rm.bridle_at_lengths(800.0, ropes, [5.0])
except ValueError as why:
    assert "lengths has 1 elements, but 2 are needed" in str(why), why

# A list inside a struct sets its count; what is wrong in it is named.
frame = rm.frame(head=(0.0, 0.0, 3.0))
frame.legs = [rm.leg((x, y, 0.0)) for x, y in ((1.0, 1.1), (1.0, -1.1), (-1.8, 0.0))]
pull = rm.at_head(rm.AT_HEAD_ALONG, direction=(0.0, 0.0, -1.0), tension=900.0)
assert frame.leg_count == 3
forces, legs, guys, hobbles = rm.frame_solve(frame, [pull])
assert len(legs) == 3 and len(guys) == len(hobbles) == 0 and abs(forces.resultant.z + 900.0) < 1e-9
frame.legs = []
fails(rm.ERR_VALUE, "weight", rm.line_solve, rm.line(span=20.0, length=22.0, weight=-1.0, stretch=(rm.kn(50),)))

with rm.rig.create() as rig:
    left, right = rig.add_fixed("left", (0.0, 0.0, 5.0)), rig.add_fixed("right", (30.0, 0.0, 2.0))
    load = rig.add_point("load", rm.rig_point(weight=900.0))
    rope = rm.rig_rope(to=load, length=17.0, stretch=(rm.kn(41),))
    setattr(rope, "from", left)
    first = rig.add_rope("first", rope, [])
    setattr(rope, "from", load)
    rope.to, rope.length = right, 15.0
    rig.add_rope("second", rope, [])
    fails(rm.ERR_BUDGET, "steps", rig.solve_within, 1)
    solution = rig.solve()
    assert solution.length(first) == 17.0 and solution.certificate().unique == 1
    twin = rm.rig.read_json(rig.write_json())
    assert twin.solve().write_json() == solution.write_json()
    assert abs(solution.point(load).rope_force.z - 900.0) < 1e-6
fails(rm.ERR_POINTER, "rig", rig.solve)  # closed
fails(rm.ERR_TEXT, "json", rm.rig.read_json, "{")
assert rm.winch_turning.__doc__.startswith("winch_turning(winch, motion, pull, line_speed)")

# Everything that is there has its type in the stub, and the other way round.
stub = ast.parse(pathlib.Path(__file__).with_name("rope_mechanics.pyi").read_text("utf-8"))
named = {node.name for node in stub.body if isinstance(node, (ast.FunctionDef, ast.ClassDef))}
named |= {node.target.id for node in stub.body if isinstance(node, ast.AnnAssign)}
there = {name for name in vars(rm) if not name.startswith("_")} - {"ctypes", "json", "os", "pathlib", "numpy"}
assert named == there, named ^ there
print("ok")
