// rope-mechanics for Node by koffi: npm install koffi. Made from include/api.json when it is loaded.
//
// CAUTION. An aid for planning and training by qualified people. It is not a certified safety function and must never be the
// only limit on a load. The inputs, the inspection and the equipment are the user's; results are estimates, good to about
// +-15 % in tension where nothing was measured. Local codes, makers' instructions and the authority having jurisdiction come
// first.
//
//     const rm = require('./rope_mechanics');
//     const state = rm.line_solve({ span: rm.m(52), rise: rm.m(-31), length: rm.m(60), weight: rm.n_per_m(1.804),
//                                   stretch: { a: rm.kn(124) } });
//     console.log(rm.in_lbf(state.first_tension));
//
// Quantities are numbers in SI: rm.lbf(875) is 3892.19. Structs are plain objects with the members of rope_mechanics.h, what is
// left out is zero, lists are arrays without their counts. A function takes its inputs in the order of the header and returns
// its outputs: one, or an object of them by name. A failure throws rm.Failure. Handles are classes, their functions methods;
// free them with destroy(). Names are those of the header without rmech_ and RMECH_.
//
// The library: ROPE_MECHANICS_LIBRARY, else target/release of this repository.
'use strict';
const fs = require('fs');
const path = require('path');
const koffi = require('koffi');

const top = path.join(__dirname, '../..');
const api = JSON.parse(fs.readFileSync(path.join(top, 'include/api.json'), 'utf8'));
const library = koffi.load(process.env.ROPE_MECHANICS_LIBRARY || path.join(top, 'target/release/librope_mechanics.so'));
const structs = new Map(api.structs.map((of) => [of.name, of]));
const bare = (name) => name.replace(/^rmech_/, '').replace(/^RMECH_/, '');

class Failure extends Error {
    constructor(status, field, message) {
        super(message || `status ${status}`);
        Object.assign(this, { status, field });
    }
}

const numbers = {
    float: [4, (view, at) => view.getFloat32(at, true), (view, at, value) => view.setFloat32(at, value, true)],
    double: [8, (view, at) => view.getFloat64(at, true), (view, at, value) => view.setFloat64(at, value, true)],
    int32_t: [4, (view, at) => view.getInt32(at, true), (view, at, value) => view.setInt32(at, value, true)],
    uint32_t: [4, (view, at) => view.getUint32(at, true), (view, at, value) => view.setUint32(at, value, true)],
    uint64_t: [8, (view, at) => Number(view.getBigUint64(at, true)), (view, at, value) => view.setBigUint64(at, BigInt(value), true)],
};
numbers.size_t = numbers.uint64_t;
const viewOf = (buffer) => new DataView(buffer.buffer, buffer.byteOffset, buffer.byteLength);
const sizeOf = (type) => (structs.has(type) ? structs.get(type).size : numbers[type][0]);

/// Writes a value; `alive` keeps what it points to.
function write(buffer, at, type, value, alive) {
    const of = structs.get(type);
    if (!of) return numbers[type][2](viewOf(buffer), at, value ?? 0);
    if (of.quantity) return numbers.double[2](viewOf(buffer), at, value ?? 0);
    const known = new Set(of.members.map((member) => member.name));
    for (const name of Object.keys(value ?? {})) if (!known.has(name)) throw new TypeError(`${type} has no ${name}`);
    for (const member of of.members) {
        const given = (value ?? {})[member.name];
        if (member.name === 'struct_size' && of.grows) {
            numbers.uint32_t[2](viewOf(buffer), at, of.size);
        } else if (member.length) {
            if (!given || given.length === 0) continue;
            const list = array(member.type, member.length === '1' ? [given] : given, alive);
            viewOf(buffer).setBigUint64(at + member.offset, BigInt(koffi.address(list)), true);
            const count = of.members.find((one) => one.name === member.length);
            if (count) numbers.size_t[2](viewOf(buffer), at + count.offset, given.length);
        } else if (member.count) {
            const size = member.size / member.count;
            (given ?? []).forEach((one, i) => write(buffer, at + member.offset + i * size, member.type, one, alive));
        } else if (!of.members.some((one) => one.length === member.name)) {
            write(buffer, at + member.offset, member.type, given, alive);
        }
    }
}

function array(type, values, alive) {
    const size = sizeOf(type);
    const buffer = Buffer.alloc(Math.max(1, size * values.length));
    values.forEach((value, i) => write(buffer, i * size, type, value, alive));
    alive.push(buffer);
    return buffer;
}

function text(buffer, at, size) {
    const end = buffer.indexOf(0, at);
    return buffer.toString('utf8', at, end < 0 ? at + size : Math.min(end, at + size));
}

function read(buffer, at, type) {
    const of = structs.get(type);
    if (!of) return numbers[type][1](viewOf(buffer), at);
    if (of.quantity) return numbers.double[1](viewOf(buffer), at);
    const value = {};
    for (const member of of.members) {
        const place = at + member.offset;
        if (member.type === 'char') {
            value[member.name] = text(buffer, place, member.size);
        } else if (member.count) {
            const size = member.size / member.count;
            value[member.name] = Array.from({ length: member.count }, (_, i) => read(buffer, place + i * size, member.type));
        } else if (!member.length) {
            value[member.name] = read(buffer, place, member.type);
        }
    }
    return value;
}

/// The value of a length, as "count*(step_count+1)" or "frame.leg_count", where a count of a struct is that of its list.
function lengthOf(length, values) {
    const names = length.match(/[a-z_][a-z_.]*/g) ?? [];
    const terms = names.map((name) => {
        const [first, member] = name.split('.');
        if (!member) return Number(values[first]);
        const list = member.replace(/_count$/, '');
        return (values[first][list] ?? values[first][`${list}s`] ?? []).length;
    });
    return new Function(...names.map((_, i) => `n${i}`), `return ${names.reduce((all, name, i) => all.replace(name, `n${i}`), length)}`)(...terms);
}

const handles = new Map();
for (const of of api.handles) {
    const destroy = library.func(of.destroy, 'void', ['void *']);
    handles.set(of.name, class {
        constructor(pointer) {
            this.pointer = pointer;
        }

        destroy() {
            destroy(this.pointer);
            this.pointer = null;
        }
    });
    exports[bare(of.name)] = handles.get(of.name);
}

function define(of) {
    const types = of.parameters.map((one) => (one.pointer ? 'void *' : one.type));
    const call = library.func(of.name, of.returns === 'status' ? 'int32_t' : of.returns, types);
    if (of.returns !== 'status') return (...given) => call(...given);
    const inputs = new Set(['in', 'in-array', 'number', 'text', 'bytes', 'handle']);
    const known = new Set(of.parameters.filter((one) => ['in-array', 'bytes', 'buffer', 'view'].includes(one.role)).map((one) => one.length));
    const taken = of.parameters.filter((one) => inputs.has(one.role) || (one.role === 'size' && !known.has(one.name) && !one.enough));
    const roles = new Set(of.parameters.map((one) => one.role));

    function attempt(values) {
        const alive = [];
        const back = [];
        for (const one of of.parameters.filter((one) => one.role === 'in-array')) {
            const { length } = values[one.name];
            values[one.length] ??= length;
            if (values[one.length] !== length) throw new RangeError(`${one.name} has ${length} elements, but ${values[one.length]} are needed`);
        }
        const error = array('rmech_error', [{}], alive);
        const given = of.parameters.map((one) => {
            const { name, role, type } = one;
            const value = values[name];
            if (one.enough) values[name] = lengthOf(one.enough, values);
            const room = (size) => {
                const buffer = Buffer.alloc(Math.max(8, size));
                alive.push(buffer);
                return buffer;
            };
            switch (role) {
                case 'number': return value;
                case 'size': return values[name] ?? 0;
                case 'in': return value == null ? null : array(type, [value], alive);
                case 'in-array': return array(type, value, alive);
                case 'text': return Buffer.from(`${value}\0`, 'utf8');
                case 'bytes': {
                    const bytes = Buffer.from(value, 'utf8');
                    values[one.length] = bytes.length;
                    return bytes;
                }
                case 'handle': return value.pointer;
                case 'new-handle': {
                    const made = room(8);
                    back.push([name, () => new (handles.get(type))(koffi.decode(made, 'void *'))]);
                    return made;
                }
                case 'out': {
                    const made = structs.has(type) ? array(type, [{}], alive) : room(8);
                    values[name] = { valueOf: () => read(made, 0, type) };
                    if (type !== 'size_t' || !(roles.has('view') || roles.has('buffer'))) back.push([name, () => read(made, 0, type)]);
                    return made;
                }
                case 'out-array': {
                    const count = lengthOf(one.length, values);
                    const made = array(type, Array.from({ length: count }, () => (structs.get(type)?.quantity === false ? {} : 0)), alive);
                    back.push([name, () => {
                        const told = values[`${name.replace(/s$/, '')}_count`];
                        const there = told === undefined ? count : Math.min(count, Number(told));
                        return Array.from({ length: there }, (_, i) => read(made, i * sizeOf(type), type));
                    }]);
                    return made;
                }
                case 'view': {
                    const made = room(8);
                    back.push([name, () => koffi.decode(koffi.decode(made, 'void *'), 'char', Number(values[one.length]))]);
                    return made;
                }
                case 'buffer': return values.buffer ?? null;
                default: return error;
            }
        });
        const status = call(...given);
        if (status !== exports.OK) {
            const why = read(error, 0, 'rmech_error');
            throw new Failure(status, why.field, why.message);
        }
        return back;
    }

    return (...given) => {
        const values = Object.fromEntries(taken.map((one, i) => [one.name, given[i]]));
        let back = attempt(values);
        if (roles.has('buffer')) { // it said how much room it needs
            values.capacity = Number(values.needed);
            values.buffer = Buffer.alloc(values.capacity);
            attempt(values);
            return text(values.buffer, 0, values.capacity);
        }
        back = back.map(([name, value]) => [name, value()]);
        return back.length === 1 ? back[0][1] : Object.fromEntries(back);
    };
}

for (const { name, value } of api.constants) exports[bare(name)] = value;
for (const { build, read: of, size } of api.units) {
    exports[bare(build)] = (value) => value * size;
    exports[bare(of)] = (si) => si / size;
}
exports.celsius = (degrees) => degrees + 273.15;
exports.in_celsius = (kelvin) => kelvin - 273.15;
exports.Failure = Failure;
for (const of of api.functions) {
    if (of.returns === 'void' || of.parameters.some((one) => one.role === 'memory')) continue;
    const made = define(of);
    const owner = of.parameters.find((one) => one.role === 'handle');
    const maker = of.parameters.find((one) => one.role === 'new-handle');
    const name = (type) => of.name.replace(`${type}_`, '').replace('rmech_rig_', '');
    if (owner) {
        handles.get(owner.type).prototype[name(owner.type)] = function method(...given) {
            return made(this, ...given);
        };
    } else if (maker) {
        handles.get(maker.type)[name(maker.type)] = made;
    } else {
        exports[bare(of.name)] = made;
    }
}
exports.check_version(exports.ABI_VERSION, exports.VERSION_MAJOR, exports.VERSION_MINOR);
