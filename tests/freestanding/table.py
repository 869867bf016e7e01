"""What each C call of the freestanding archive takes: bytes of code and constants, and of stack.

    table.py ARCHIVE            prints the table
    table.py ARCHIVE TABLE      compares it with a committed one: nothing may have grown by more than a tenth, tackle,
                                haul and reeving stay within 16 KB of stack, and what is live computes in single precision

Stack is the deepest way through the calls, read from the machine code: what each function pushes and takes off the stack
pointer, and a return address. A cycle of calls, or a call through a pointer, has no such bound and is reported.
Code is everything that the call reaches, functions and constants, as a linker with --gc-sections would keep it.
"""
import collections
import os
import re
import subprocess
import sys
import tempfile

GROWTH = 1.1
# What a small controller spares for a call: no call of these may take more stack, whatever the committed table says.
MOST_STACK = {"rmech_tackle_": 16384, "rmech_haul_": 16384, "rmech_reeving_": 16384, "rmech_doubled_track_": 16384}


# And no one function of these, of the many that stand on each other, holds more.
MOST_FRAME = {"rmech_reeving_": 4096, "rmech_doubled_track_": 4096}
# What these reach computes nothing in double precision: a number is only widened, into an error.
SINGLE = "rmech_live_"
DOUBLE = re.compile(r"\tv?(?:(?:add|sub|mul|div|sqrt|min|max|u?comi|cmp\w*|f\w+)[sp]d|cvtt?[sp]d2\w+|cvtsi2sd\w*)\s")


def run(*command, cwd=None):
    return subprocess.run(command, capture_output=True, text=True, check=True, cwd=cwd).stdout


def read(archive):
    """Of each section: its size, its frame, what it refers to; and the section of each symbol."""
    size, refers, frame, home, pointers, doubles = {}, collections.defaultdict(set), collections.Counter(), {}, set(), set()
    archive = os.path.abspath(archive)
    with tempfile.TemporaryDirectory() as folder:
        for member in run("ar", "t", archive).split():
            if not member.startswith("rope_mechanics") and not member.startswith("compiler_builtins"):
                continue
            run("ar", "x", archive, member, cwd=folder)
            path = f"{folder}/{member}"
            for line in run("objdump", "-hw", path).splitlines():
                found = re.match(r"\s*\d+ (\S+)\s+([0-9a-f]{8})", line)
                if found and re.match(r"\.(text|rodata|data|bss|tbss)", found[1]):
                    size[found[1]] = int(found[2], 16)
            for line in run("objdump", "-tw", path).splitlines():
                found = re.match(r"[0-9a-f]{16} .{7} (\S+)\s+[0-9a-f]{16} (?:\.\w+ )?(\S+)$", line)
                if found and found[1] in size:
                    home.setdefault(found[2], found[1])
            section = None
            for line in run("objdump", "-drw", "--no-show-raw-insn", path).splitlines():
                if found := re.match(r"Disassembly of section (\S+):", line):
                    section = found[1]
                elif found := re.search(r"\tsub\s+\$0x([0-9a-f]+),%rsp", line):
                    frame[section] += int(found[1], 16)
                elif re.search(r"\tpush\s+%", line):
                    frame[section] += 8
                elif re.search(r"\tcall\s+\*(?!.*GOTPCREL)", line):
                    pointers.add(section)
                if DOUBLE.search(line):
                    doubles.add(section)
                if found := re.search(r"R_X86_64_\w+\s+(\S+?)(?:[-+]0x[0-9a-f]+)?$", line):
                    refers[section].add(found[1])
            for line in run("objdump", "-rw", path).splitlines():
                if found := re.match(r"RELOCATION RECORDS FOR \[(\S+)\]", line):
                    section = found[1]
                elif found := re.match(r"[0-9a-f]{16} R_X86_64_\w+\s+(\S+?)(?:[-+]0x[0-9a-f]+)?$", line):
                    if section in size:
                        refers[section].add(found[1])
    links = {s: {home.get(to, to) for to in names} for s, names in refers.items()}
    return size, links, frame, home, pointers, doubles


def main(archive, committed=None):
    size, links, frame, home, pointers, doubles = read(archive)
    calls = sorted(name for name in home if name.startswith("rmech_"))

    def reached(start):
        seen, left = set(), [start]
        while left:
            section = left.pop()
            if section not in seen:
                seen.add(section)
                left.extend(links.get(section, ()))
        return seen

    depth, open_ways = {}, []

    def deepest(section, way=()):
        if section in way:
            open_ways.append(section)
            return 0
        if section not in depth:
            below = [deepest(to, (*way, section)) for to in links.get(section, ()) if to.startswith(".text")]
            depth[section] = frame[section] + 8 + max(below, default=0)
        return depth[section]

    sys.setrecursionlimit(10000)
    rows = {}
    everything = set()
    for call in calls:
        parts = reached(home[call])
        everything |= parts
        rows[call] = (sum(size.get(part, 0) for part in parts), deepest(home[call]))
    rows["all of them"] = (sum(size.get(part, 0) for part in everything), max(stack for _, stack in rows.values()))
    table = ["| call | code and constants, bytes | stack, bytes |", "|---|---|---|"]
    table += [f"| {name} | {code} | {stack} |" for name, (code, stack) in rows.items()]
    if committed is None:
        print("\n".join(table))
        for section in sorted(set(open_ways)):
            print("a cycle of calls:", section, file=sys.stderr)
        for section in sorted(pointers & everything):
            print("a call through a pointer:", section, file=sys.stderr)
        return
    before = {}
    for line in open(committed, encoding="utf-8"):
        if found := re.match(r"\| ([\w ]+) \| (\d+) \| (\d+) \|", line):
            before[found[1]] = (int(found[2]), int(found[3]))
    faults = [f"{name} is new" for name in rows.keys() - before.keys()]
    faults += [f"{name} is gone" for name in before.keys() - rows.keys()]
    for name in rows.keys() & before.keys():
        for what, now, then in zip(("bytes of code", "bytes of stack"), rows[name], before[name]):
            if now > GROWTH * then:
                faults.append(f"{name} takes {now} {what}, and took {then}")
    for call in calls:
        most = next((most for start, most in MOST_FRAME.items() if call.startswith(start)), None)
        if most is not None:
            faults += [f"{section} holds {frame[section]} bytes of stack, and may hold {most}"
                       for section in reached(home[call]) if frame[section] > most]
    for call in (name for name in calls if name.startswith(SINGLE)):
        faults += [f"{call} computes in double precision in {section}" for section in reached(home[call]) & doubles]
    if not reached(home["rmech_line_solve"]) & doubles or not any(name.startswith(SINGLE) for name in calls):
        faults.append("double precision is not seen")
    for name, (_, stack) in rows.items():
        most = next((most for start, most in MOST_STACK.items() if name.startswith(start)), stack)
        if stack > most:
            faults.append(f"{name} takes {stack} bytes of stack, and may take {most}")
    if faults:
        sys.exit("\n".join(sorted(faults)) + f"\nif that is meant: table.py {archive} > {committed}")
    code, stack = rows["all of them"]
    print(f"{len(calls)} calls: {code} bytes of code, at most {stack} of stack; none grew by a tenth")


main(*sys.argv[1:])
