"""Calls every function of the shipped C library with what a program may get wrong, and looks at what comes back.

    attack.py LIBRARY [calls] [seed]

Calls are made by include/api.json and start from those of tests/clients/abi/cases.txt, which succeed. Then one to four things
are made wrong: NULL and misaligned pointers, NaN, infinite, huge and denormal numbers, sizes of structs, enumerators, flags,
reserved members, short buffers, counts, outputs on top of inputs; hostile texts and JSON for those who read them.

Every block ends where a page begins that can't be touched, so that one byte too far ends the run; what stands before a block
must stay. A refused call leaves its outputs as they were, its error tells the same status and holds texts that end; a call
that succeeds gives no NaN, and an infinite number only where the header says so; none takes more than LONGEST_S of the processor. The library is called in a process of its own, so that a crash is
seen and its seed printed.
"""
import ctypes
import json
import math
import mmap
import os
import random
import re
import struct
import sys
import time

TOP = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PAGE = mmap.PAGESIZE
FILL = 0xA5
# The slowest known takes some 4 s here: the place of a nearly plumb line by its length of haul rope.
LONGEST_S = 60.0
ROOM = 24
NUMBERS = [math.nan, math.inf, -math.inf, 0.0, -0.0, 1.0, -1.0, 5e-324, -5e-324, 1e-320, 2.2250738585072014e-308,
           1e-30, 1e-12, 1e-3, 0.5, 2.0, 1e3, 1e7, 1e15, 1e30, 1e154, 1e300, 1.7976931348623157e308, -1e300, 273.15]
INTEGERS = [0, 1, 2, 3, 5, 9, 17, 64, 255, 4096, 65535, 2**31 - 1, 2**31, 2**32 - 1]
TEXTS = [b"", b"a", b"\xff\xfe", b"\xc3", b"\xed\xa0\x80", b"a" * 23, b"a" * 24, b"a" * 5000, b"\x1b[31m", b"\xe2\x80\xae",
         "é".encode() * 40, b"head", b"{}", b"\n"]
JSON = [b"", b"{", b"[" * 100_000, b'{"a":' * 50_000, b"null", b"1e999", b'"\\u0000"', b'"\\ud800"', b"\xef\xbb\xbf{}", b"\x00",
        b"{}" * 10, b'{"points": {}, "ropes": {}}', b'{"title": 1}', b'{"points": [' + b"0," * 50_000 + b"0]}",
        b'{"ground": [' + b'["0 m", "0 m"],' * 20_000 + b'["1 m", "0 m"]]}', b"9" * 100_000, b'"' + b"\xf0\x9f\xa7\x97" * 9_000 + b'"']

libc = ctypes.CDLL(None, use_errno=True)
libc.mmap.restype = ctypes.c_void_p
libc.mmap.argtypes = [ctypes.c_void_p, ctypes.c_size_t, ctypes.c_int, ctypes.c_int, ctypes.c_int, ctypes.c_long]
libc.mprotect.argtypes = [ctypes.c_void_p, ctypes.c_size_t, ctypes.c_int]


class Pages:
    """Some pages between two that can't be touched."""

    def __init__(self, size):
        self.size = -(-size // PAGE) * PAGE
        at = libc.mmap(None, self.size + 2 * PAGE, 3, 0x22, -1, 0)
        libc.mprotect(at, PAGE, 0)
        libc.mprotect(at + PAGE + self.size, PAGE, 0)
        self.end = at + PAGE + self.size

    def put(self, data):
        ctypes.memmove(self.end - len(data), bytes(data), len(data))
        return self.end - len(data)


class Arena:
    """Blocks for one call; pages are used again."""

    def __init__(self):
        self.free = {}
        self.used = []

    def reset(self):
        for pages in self.used:
            self.free.setdefault(pages.size, []).append(pages)
        self.used = []

    def put(self, data):
        size = max(PAGE, -(-len(data) // PAGE) * PAGE)
        pages = self.free[size].pop() if self.free.get(size) else Pages(size)
        self.used.append(pages)
        room = pages.size - len(data)
        # Before the block, what must stay.
        if room > 0:
            ctypes.memset(pages.end - len(data) - min(room, 64), FILL, min(room, 64))
        at = pages.put(data)
        return Block(at, len(data), min(room, 64))


class Block:
    def __init__(self, at, size, before):
        self.at, self.size, self.before = at, size, before

    def bytes(self):
        return ctypes.string_at(self.at, self.size)

    def ahead(self):
        return ctypes.string_at(self.at - self.before, self.before)


class Api:
    def __init__(self):
        with open(f"{TOP}/include/api.json", encoding="utf-8") as file:
            api = json.load(file)
        self.structs = {s["name"]: s for s in api["structs"]}
        self.functions = {f["name"]: f for f in api["functions"]}
        self.constants = {c["name"]: c["value"] for c in api["constants"] if isinstance(c["value"], (int, float))}
        self.statuses = {v for n, v in self.constants.items() if n == "RMECH_OK" or n.startswith("RMECH_ERR_")}
        self.destroy = {h["name"]: h["destroy"] for h in api["handles"]}

    def size(self, kind):
        scalars = {"double": 8, "float": 4, "int32_t": 4, "uint32_t": 4, "size_t": 8, "uint64_t": 8, "char": 1, "int64_t": 8, "uint8_t": 1}
        return scalars.get(kind) or self.structs[kind]["size"]


    def may_be_infinite(self, kind, member, function):
        """Whether the header says so: of the function, the struct or the member."""
        shape = self.structs.get(kind, {"doc": "", "members": []})
        said = [self.functions[function]["doc"], shape["doc"]]
        said += [m["doc"] for m in shape["members"] if m["name"] == member]
        return any("nfinit" in doc for doc in said)

    def grows(self, kind):
        return kind in self.structs and self.structs[kind]["grows"]


def write(kind, data, at, value):
    """A number as C has it; one that a float cannot hold is infinite."""
    if kind == "double":
        struct.pack_into("<d", data, at, value)
    else:
        struct.pack_into("<f", data, at, value if abs(value) < 3e38 or value != value else math.copysign(math.inf, value))


class Value:
    """A struct or scalar with what its pointers point to: `numbers` by offset, `lists` by offset."""

    def __init__(self, api, kind, count=1):
        self.api, self.kind, self.count = api, kind, count
        self.data = bytearray(api.size(kind) * count)
        self.lists = {}
        for i in range(count):
            self.sized(i)

    def sized(self, index):
        if self.api.grows(self.kind):
            size = self.api.size(self.kind)
            struct.pack_into("<I", self.data, index * size, size)

    def room(self, count):
        while self.count < count:
            self.data += bytes(self.api.size(self.kind))
            self.sized(self.count)
            self.count += 1

    def set(self, path, value):
        kind, at, holder = self.kind, 0, self
        rest = path
        while True:
            if found := re.match(r"\[(\d+)\]", rest):
                index = int(found[1])
                if at == 0 and kind == holder.kind:
                    holder.room(index + 1)
                at += index * self.api.size(kind)
                rest = rest[found.end():]
            rest = rest.lstrip(".")
            shape = self.api.structs.get(kind)
            if shape is None:
                break
            if not rest:
                kind = shape["members"][0]["type"]
                at += shape["members"][0]["offset"]
                continue
            name = re.match(r"\w+", rest)[0]
            rest = rest[len(name):]
            member = next(m for m in shape["members"] if m["name"] == name)
            at += member["offset"]
            kind = member["type"]
            if "length" in member and member["size"] == 8 and not self.count_of(member):
                holder = holder.lists.setdefault(at, Value(self.api, kind, 0))
                at = 0
        form = {"double": "<d", "float": "<f", "int32_t": "<i", "uint32_t": "<I", "size_t": "<Q", "uint64_t": "<Q"}[kind]
        struct.pack_into(form, holder.data, at, value if form in ("<d", "<f") else int(value) & (2**64 - 1 if form == "<Q" else 2**32 - 1)
                         if form != "<i" else int(value))

    @staticmethod
    def count_of(member):
        return "count" in member

    def leaves(self):
        """(holder, offset, kind, name of its member) of every number, everywhere."""
        size = self.api.size(self.kind)
        for index in range(self.count):
            yield from self.leaves_of(self.kind, index * size, "")
        for inner in self.lists.values():
            yield from inner.leaves()

    def leaves_of(self, kind, at, name):
        shape = self.api.structs.get(kind)
        if shape is None:
            yield self, at, kind, name
            return
        for member in shape["members"]:
            here = at + member["offset"]
            if "length" in member and "count" not in member:
                yield self, here, "pointer", member["name"]
                continue
            for i in range(member.get("count", 1)):
                yield from self.leaves_of(member["type"], here + i * self.api.size(member["type"]),
                                          name if shape["quantity"] else member["name"])

    def write(self, arena, wrong_pointers):
        data = bytearray(self.data)
        for at, inner in self.lists.items():
            block = inner.write(arena, wrong_pointers)
            struct.pack_into("<Q", data, at, block.at)
        for holder, at, pointer in wrong_pointers:
            if holder is self:
                now = struct.unpack_from("<Q", data, at)[0]
                struct.pack_into("<Q", data, at, pointer(now) & (2**64 - 1))
        return arena.put(data)


def cases(api):
    """Of each function: what succeeding calls give its parameters."""
    given, last, found = {}, {}, []
    with open(f"{TOP}/tests/clients/abi/cases.txt", encoding="utf-8") as file:
        lines = [line.rstrip() for line in file if line.strip() and not line.startswith("#")]
    for line in lines:
        if not line.startswith(" "):
            name, _, like = line.partition(" like ")
            given = dict(last[like]) if like else {}
            last[name] = given
            found.append((name, given))
            continue
        words = line.split()
        if words[0] in ("unread", "its_own"):
            continue
        prefix = ""
        if words[0].endswith(":"):
            prefix = words.pop(0)[:-1] + "."
        for word in words:
            path, _, value = word.partition("=")
            number = sum(api.constants[v] if v in api.constants else float(v) for v in value.split("+") if v) \
                if not re.fullmatch(r"[-+]?[\d.]+(e[-+]?\d+)?", value) else float(value)
            given[prefix + path] = number
    covered = {name for name, _ in found}
    found += [(name, {}) for name, f in api.functions.items() if name not in covered and f["returns"] == "status"]
    return found


class Attack:
    def __init__(self, library, seed):
        self.api = Api()
        self.library = ctypes.CDLL(library)
        self.cases = cases(self.api)
        self.arena = Arena()
        self.seed = seed
        self.counts = {"fine": 0, "refused": 0}
        self.called = set()
        self.slowest = (0.0, "")
        with open(f"{TOP}/examples/dispatch-c/demo.json", "rb") as file:
            self.site = file.read()
        # A few handles to be called with.
        with open(f"{TOP}/tests/attack/rig.json", "rb") as file:
            self.rig_text = file.read()
        self.handles = {"rmech_rig": self.made("rmech_rig_read_json", self.text(self.rig_text), len(self.rig_text))}
        self.handles["rmech_rig_solution"] = self.made("rmech_rig_solve", self.handles["rmech_rig"])
        # What good ids are, and a change that is answered: more load on the carriage.
        self.good = {}
        for kind, name in (("point", "carriage"), ("rope", "track")):
            value = ctypes.create_string_buffer(8)
            assert self.library[f"rmech_rig_find_{kind}"](
                ctypes.c_uint64(self.handles["rmech_rig"]), ctypes.c_uint64(self.text(name.encode())), value, None) == 0
            self.good[f"rmech_rig_{kind}_id"] = value.raw
        change = Value(self.api, "rmech_rig_change")
        change.set("kind", self.api.constants["RMECH_CHANGE_LOAD"])
        change.set("force.z", -10.0)
        self.fill(change)
        block = ctypes.create_string_buffer(bytes(change.data), len(change.data))
        self.handles["rmech_rig_response"] = self.made(
            "rmech_rig_respond", self.handles["rmech_rig_solution"], ctypes.addressof(block))
        self.cases.append(("rmech_rig_respond", {"by.kind": self.api.constants["RMECH_CHANGE_LOAD"], "by.force.z": -10.0}))
        few = json.loads(self.site)
        few["travel"]["positions"] = 10
        few = json.dumps(few).encode()
        self.handles["rmech_operation"] = self.made("rmech_operation_create", self.text(few), len(few), 0)

    def text(self, data):
        self.keep = ctypes.create_string_buffer(data)
        return ctypes.addressof(self.keep)

    def fill(self, value):
        """Ids that exist, where zeros stand."""
        if value.kind in self.good:
            value.data[:] = self.good[value.kind]
        for member in self.api.structs[value.kind]["members"]:
            if member["type"] in self.good:
                at = member["offset"]
                value.data[at:at + 8] = self.good[member["type"]]

    def made(self, name, *arguments):
        out = ctypes.c_void_p()
        status = self.library[name](*(ctypes.c_uint64(a) for a in arguments), ctypes.c_uint64(ctypes.addressof(out)),
                                    ctypes.c_uint64(0))
        assert status == 0, f"{name} gives {status}"
        return out.value

    def hostile(self, random, role, good):
        if role == "text":
            return random.choice(TEXTS) + b"\0"
        data = bytearray(random.choice([good, random.choice(JSON)]))
        for _ in range(random.choice([0, 1, 1, 2, 8])):
            if data:
                at = random.randrange(len(data))
                what = random.randrange(4)
                if what == 0:
                    data[at] = random.randrange(256)
                elif what == 1:
                    del data[at:at + random.randrange(1, 40)]
                elif what == 2:
                    data[at:at] = random.choice([b"-", b"1e400", b'"', b"}", b"null", b"\xff", b"999999999 m", b"NaN"])
                else:
                    del data[at:]
        return bytes(data)

    def length(self, text, numbers, values):
        """How many elements an array has, as api.json says it."""
        def value(found):
            root, _, member = found[0].partition(".")
            if not member:
                return str(numbers.get(root, ROOM))
            shape = self.api.structs[values[root].kind]
            at = next(m["offset"] for m in shape["members"] if m["name"] == member)
            return str(struct.unpack_from("<Q", values[root].data, at)[0])
        # Numbers, +, * and parentheses only, from a file of ours.
        return eval(re.sub(r"[a-z_.]+", value, text))

    def run(self, number):
        random_ = random.Random(self.seed * 1_000_003 + number)
        name, given = random_.choice(self.cases)
        shape = self.api.functions[name]
        self.arena.reset()
        parameters = shape["parameters"]
        values, blocks, arguments = {}, {}, {}
        # Numbers that say how long an array is: never more than there are, but for counts that no memory holds.
        lengths = {name for p in parameters if "length" in p for name in re.findall(r"(?<![.\w])[a-z_]+\b(?!\.)", p["length"])}
        counts = [p["name"] for p in parameters if p["name"] in lengths and p["role"] == "size"]
        for p in parameters:
            if p["role"] in ("in", "in-array", "out", "error", "out-array"):
                values[p["name"]] = Value(self.api, p["type"], 1 if p["role"] in ("in", "out", "error") else 0)
        numbers = {}
        for path, number_ in given.items():
            root = re.match(r"\w+", path)[0]
            if root in values:
                values[root].set(path[len(root):], number_)
            else:
                numbers[root] = int(number_)
        if random_.random() < 0.8:
            for p in parameters:
                if p["role"] == "in":
                    self.fill(values[p["name"]])
        # Arrays as long as they are said to be; an output that is not is short on purpose.
        for p in parameters:
            if p["role"] in ("in-array", "out-array"):
                values[p["name"]].room(self.length(p["length"], numbers, values))
        # What is made wrong.
        wrong_pointers, wrong_arguments, overlap = [], {}, None
        leaves = [leaf for p in parameters if p["role"] in ("in", "in-array") for leaf in values[p["name"]].leaves()]
        sizes = [p for p in parameters if p["role"] in ("in", "out", "error") and self.api.grows(p["type"])]
        for _ in range(random_.choice([0, 1, 1, 1, 2, 4])):
            what = random_.randrange(12)
            if what <= 5 and leaves:
                holder, at, kind, member = random_.choice(leaves)
                if kind in ("double", "float"):
                    value = random_.choice([random_.choice(NUMBERS), random_.uniform(-1, 1) * 10 ** random_.randint(-6, 9)])
                    write(kind, holder.data, at, value)
                elif kind in ("int32_t", "uint32_t"):
                    struct.pack_into("<I", holder.data, at, random_.choice(INTEGERS))
                elif kind == "pointer":
                    pointer = random_.choice([lambda now: 0, lambda now: now + 1 if now else 1, lambda now: now - 3 if now else 3])
                    wrong_pointers.append((holder, at, pointer))
                elif kind == "size_t" and member.endswith("count"):
                    now = struct.unpack_from("<Q", holder.data, at)[0]
                    # Never more than there are, but for counts that no memory holds.
                    struct.pack_into("<Q", holder.data, at, random_.choice([0, max(0, now - 1), 2**63, 2**64 - 1]))
            elif what == 6:
                pointers = [p for p in parameters if p["pointer"]]
                if pointers:
                    p = random_.choice(pointers)
                    # No address is odd for a char.
                    wrong_arguments[p["name"]] = random_.choice(["null", "odd"] if p["type"] not in ("char", "void") else ["null"])
            elif what == 7 and sizes:
                p = random_.choice(sizes)
                now = self.api.structs[p["type"]]["size"]
                struct.pack_into("<I", values[p["name"]].data, 0,
                                 random_.choice([0, 1, 4, 8, now - 8, now - 4, now + 4, now + 8, 2**31, 2**32 - 1]))
            elif what == 8:
                plain = [p["name"] for p in parameters if p["role"] == "number"]
                if plain:
                    key = random_.choice(plain)
                    small = [0, max(0, numbers.get(key, ROOM) - 1)]
                    numbers[key] = random_.choice(small if key in lengths else INTEGERS)
            elif what == 9 and counts:
                length = random_.choice(counts)
                now = numbers.get(length, ROOM)
                numbers[length] = random_.choice([0, max(0, now - 1), 2**61, 2**63, 2**64 - 1])
            elif what == 10:
                ins = [p["name"] for p in parameters if p["role"] in ("in", "in-array")]
                outs = [p["name"] for p in parameters if p["role"] in ("out", "out-array")]
                if ins and outs:
                    overlap = (random_.choice(ins), random_.choice(outs))
            elif what == 11 and leaves:
                for _ in range(5):
                    holder, at, kind, _ = random_.choice(leaves)
                    if kind in ("double", "float"):
                        write(kind, holder.data, at, random_.choice(NUMBERS))
        # Into memory.
        before, handles_out = {}, []
        for p in parameters:
            role, key = p["role"], p["name"]
            if role in ("in", "in-array", "error", "out", "out-array"):
                value = values[key]
                if role in ("out", "out-array"):
                    clean = bytes(value.data[:4]) if self.api.grows(p["type"]) else b""
                    value.data[:] = bytes([FILL]) * len(value.data)
                    value.data[:len(clean)] = clean
                blocks[key] = value.write(self.arena, wrong_pointers)
                if role in ("out", "out-array"):
                    before[key] = blocks[key].bytes()
                arguments[key] = blocks[key].at
            elif role in ("size", "number"):
                numbers.setdefault(key, ROOM if key in lengths else random_.choice(INTEGERS[:8]))
                arguments[key] = numbers[key]
            elif role in ("text", "bytes"):
                good = self.rig_text if name.startswith("rmech_rig") else self.site
                blocks[key] = self.arena.put(self.hostile(random_, role, good))
                arguments[key] = blocks[key].at
                if role == "bytes":
                    numbers[p["length"]] = blocks[key].size
            elif role == "buffer":
                size = random_.choice([0, 1, 100, 4096, 200_000])
                blocks[key] = self.arena.put(bytes([FILL]) * size)
                arguments[key] = blocks[key].at if size or random_.random() < 0.5 else 0
                numbers[p["length"]] = size
            elif role in ("new-handle", "view"):
                blocks[key] = self.arena.put(bytes(8))
                arguments[key] = blocks[key].at
                handles_out.append((p, blocks[key]))
            elif role == "handle":
                arguments[key] = self.handles.get(p["type"], 0)
            elif role == "memory":
                size = random_.choice([4, 8, 64, 4096])
                blocks[key] = self.arena.put(bytes(size))
                arguments[key] = blocks[key].at
                numbers["size"] = random_.choice([0, 3, size])
        for p in parameters:
            if p["role"] in ("size", "number") and p["name"] in numbers:
                arguments[p["name"]] = numbers[p["name"]] & (2**64 - 1)
        for key, wrong in wrong_arguments.items():
            arguments[key] = 0 if wrong == "null" else arguments[key] + 1
        if overlap and blocks[overlap[0]].size >= blocks[overlap[1]].size:
            # Flush with the end of the input, so that both end at the page.
            arguments[overlap[1]] = blocks[overlap[0]].at + blocks[overlap[0]].size - blocks[overlap[1]].size
        else:
            overlap = None
        # A misaligned block would end beyond its page; the library must see that before it reads.
        ahead = {key: block.ahead() for key, block in blocks.items()}
        start = time.process_time()
        status = self.library[name](*(ctypes.c_uint64(arguments[p["name"]]) for p in parameters))
        took = time.process_time() - start
        self.called.add(name)
        if took > self.slowest[0]:
            self.slowest = (took, name)
        # What came back.
        where = f"{name} (call {number}, seed {self.seed})"
        assert took < LONGEST_S, f"{where} takes {took:.1f} s"
        if shape["returns"] != "status":
            return
        assert status in self.api.statuses, f"{where} gives {status}, which is no status"
        assert status != self.api.constants["RMECH_ERR_INTERNAL"], f"{where}: a fault of the library"
        for key, block in blocks.items():
            assert block.ahead() == ahead[key], f"{where} writes before {key}"
        self.counts["fine" if status == 0 else "refused"] += 1
        if status != 0 and overlap is None:
            for key, was in before.items():
                # A size query tells what is needed beside its refusal.
                asked = key in ("needed", "sample_count") and status == self.api.constants["RMECH_ERR_CAPACITY"]
                if asked or key in wrong_arguments:
                    continue
                assert blocks[key].bytes() == was, f"{where} refuses with {status} and writes {key}"
        if status != 0 and "error" in blocks and "error" not in wrong_arguments:
            error = blocks["error"].bytes()
            size, told = struct.unpack_from("<Ii", error)
            if size == self.api.structs["rmech_error"]["size"]:
                assert told == status, f"{where} gives {status} and tells {told}"
                for at, room in ((32, 64), (96, 256)):
                    assert b"\0" in error[at:at + room], f"{where}: a text does not end"
                    error[at:at + room].split(b"\0")[0].decode("utf-8")
        if status == 0 and overlap is None:
            for p in parameters:
                if p["role"] == "out" and p["name"] not in wrong_arguments:
                    data = blocks[p["name"]].bytes()
                    for _, at, kind, member in values[p["name"]].leaves():
                        form = {"double": "<d", "float": "<f"}.get(kind)
                        if not form:
                            continue
                        number_ = struct.unpack_from(form, data, at)[0]
                        if math.isnan(number_):
                            raise AssertionError(f"{where} gives NaN as {p['name']}.{member}")
                        if math.isinf(number_) and not self.api.may_be_infinite(p["type"], member, name):
                            raise AssertionError(f"{where} gives {number_} as {p['name']}.{member}, of which nothing says so")
        if status == 0:
            for p, block in handles_out:
                handle = struct.unpack("<Q", block.bytes())[0]
                if p["role"] == "new-handle" and p["name"] not in wrong_arguments:
                    self.library[self.api.destroy[p["type"]]](ctypes.c_uint64(handle))


def main(library, calls="50000", seed="1"):
    calls, seed = int(calls), int(seed)
    shared = mmap.mmap(-1, 8)
    child = os.fork()
    if child == 0:
        try:
            attack = Attack(library, seed)
            for number in range(calls):
                shared[:8] = struct.pack("<Q", number)
                attack.run(number)
            names = {n for n, f in attack.api.functions.items() if f["returns"] == "status"}
            left = sorted(names - attack.called)
            print(f"{calls} calls of {len(attack.called)} functions: {attack.counts['fine']} fine, {attack.counts['refused']} refused; "
                  f"the slowest took {attack.slowest[0]:.2f} s ({attack.slowest[1]})")
            if left and calls >= 20000:
                print("never called:", ", ".join(left))
                os._exit(1)
        except AssertionError as why:
            print(why)
            os._exit(1)
        except BaseException:
            import traceback
            traceback.print_exc()
            os._exit(2)
        sys.stdout.flush()
        os._exit(0)
    _, ended = os.waitpid(child, 0)
    if os.WIFSIGNALED(ended):
        number = struct.unpack("<Q", shared[:8])[0]
        sys.exit(f"call {number} of seed {seed} ends by signal {os.WTERMSIG(ended)}")
    sys.exit(os.waitstatus_to_exitcode(ended))


main(*sys.argv[1:])
