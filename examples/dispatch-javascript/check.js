// What the dispatch example leaves of the binding: lists, texts, handles, failures.
'use strict';
const assert = require('assert');
const rm = require('./rope_mechanics');

const fails = (status, field, call) => assert.throws(call, (why) => why instanceof rm.Failure && why.status === status && why.field === field);

// Two ropes of equal length at equal height carry half each by symmetry: w/2 over the cosine of their angle to plumb.
const ropes = [-3, 3].map((x) => ({ from: { x: rm.m(x), z: rm.m(4) }, stretch: { a: rm.kn(40) } }));
const { hang, each } = rm.bridle_at_lengths(800, ropes, [5, 5]);
const drop = 4 - hang.position.z;
assert(Math.abs((2 * each[0].tension * drop) / Math.hypot(drop, 3) - 800) < 1e-6);
assert(Math.abs(hang.position.x) < 1e-9);
assert.throws(() => rm.bridle_at_lengths(800, ropes, [5]), RangeError);
assert.throws(() => rm.line_solve({ spam: 1 }), TypeError);
fails(rm.ERR_VALUE, 'weight', () => rm.line_solve({ span: 20, length: 22, weight: -1, stretch: { a: rm.kn(50) } }));

// A list inside a struct, and arrays as long as it.
const legs = [[1, 1.1], [1, -1.1], [-1.8, 0]].map(([x, y]) => ({ foot: { x, y } }));
const pull = { kind: rm.AT_HEAD_ALONG, direction: { z: -1 }, tension: 900 };
const frame = rm.frame_solve({ head: { z: 3 }, legs }, [pull]);
assert(frame.legs.length === 3 && frame.guys.length === 0 && Math.abs(frame.forces.resultant.z + 900) < 1e-9);

const rig = rm.rig.create();
const left = rig.add_fixed('left', { z: 5 });
const right = rig.add_fixed('right', { x: 30, z: 2 });
const load = rig.add_point('load', { weight: 900 });
const first = rig.add_rope('first', { from: left, to: load, length: 17, stretch: { a: rm.kn(41) } }, []);
rig.add_rope('second', { from: load, to: right, length: 15, stretch: { a: rm.kn(41) } }, []);
fails(rm.ERR_BUDGET, 'steps', () => rig.solve_within(1));
const solution = rig.solve();
assert.strictEqual(solution.length(first), 17);
assert.strictEqual(solution.certificate().unique, 1);
assert(Math.abs(solution.point(load).rope_force.z - 900) < 1e-6);
const twin = rm.rig.read_json(rig.write_json());
assert.strictEqual(twin.solve().write_json(), solution.write_json());
fails(rm.ERR_TEXT, 'json', () => rm.rig.read_json('{'));
rig.destroy();
fails(rm.ERR_POINTER, 'rig', () => rig.solve());
assert.strictEqual(rm.status_text(rm.OK), 'fine');
console.log('ok');
