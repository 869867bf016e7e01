"""The binary interface as compiled programs know it, compared with what it was when it was last frozen.

    frozen.py            compares include/api.json with include/abi.txt, and shows that faults put in on purpose are seen
    frozen.py update     writes include/abi.txt anew: what is new is added; nothing may go or move, unless
                         RMECH_ABI_VERSION was raised

A dump of debug information by a tool like abidiff would say the same in a thousand times the bytes: C knows a library by
the numbers of its constants, the places of its members, and the parameters of its functions, and all of these stand in
api.json, whose sizes and offsets tests/clients holds against the shipped library.
"""
import copy
import json
import pathlib
import re
import sys

TOP = pathlib.Path(__file__).resolve().parents[2]
FROZEN = TOP / "include/abi.txt"


def written(api):
    """One line for each thing that a compiled program relies on."""
    lines = [f"abi {api['abi_version']}"]
    for constant in api["constants"]:
        if constant["name"].startswith("RMECH_VERSION_"):
            continue # it tells versions apart
        lines.append(f"constant {constant['name']} = {constant['value']!r}")
    for struct in api["structs"]:
        members = " ".join(f"{m['name']}:{m['type']}{'*' * m.get('pointer', 0)}{m.get('count', '')}@{m['offset']}+{m['size']}"
                           for m in struct["members"])
        grows = "grows" if struct["grows"] else "fixed"
        lines.append(f"struct {struct['name']} {grows} size {struct['size']} align {struct['align']}: {members}")
    for handle in api["handles"]:
        lines.append(f"handle {handle['name']} freed by {handle['destroy']}")
    for function in api["functions"]:
        parameters = ", ".join(f"{p['type']}{'*' * p.get('pointer', 0)}{' const' if p['role'] in ('in', 'in-array', 'bytes', 'text') else ''}"
                               for p in function["parameters"])
        lines.append(f"function {function['name']}({parameters}) -> {function['returns']}")
    return sorted(lines)


def key(line):
    return " ".join(re.split(r"[ (]", line, maxsplit=2)[:2])


def broken(before, now):
    """What a program compiled before would find gone or moved."""
    faults = []
    today = {key(line): line for line in now}
    for line in before:
        if line.startswith("abi "):
            continue
        found = today.get(key(line))
        if found is None:
            faults.append(f"gone: {line}")
        elif found != line:
            head, _, members = line.partition(": ")
            _, _, more = found.partition(": ")
            grown = head.startswith("struct") and " grows " in head and " grows " in found and more.startswith(members + " ")
            if not grown:
                faults.append(f"was:  {line}\n  is:   {found}")
    return faults


def abi(lines):
    return next(line for line in lines if line.startswith("abi "))


def on_purpose(api):
    """Faults of every kind, and what a library may do."""
    before = written(api)

    def of(change):
        other = copy.deepcopy(api)
        change(other)
        return broken(before, written(other))

    struct = next(i for i, s in enumerate(api["structs"]) if s["name"] == "rmech_line")
    fixed = next(i for i, s in enumerate(api["structs"]) if s["name"] == "rmech_pull")
    more = {"name": "more", "type": "double", "offset": 4096, "size": 8}

    def members(other, at=struct):
        return other["structs"][at]["members"]

    faults = {
        "a function removed": lambda o: o["functions"].pop(5),
        "a parameter removed": lambda o: next(f for f in o["functions"] if f["parameters"])["parameters"].pop(),
        "a parameter of another type": lambda o: next(f for f in o["functions"] if f["parameters"])["parameters"][0].update(type="float"),
        "a constant's number changed": lambda o: o["constants"][7].update(value=99),
        "two members swapped": lambda o: [members(o)[2].update(offset=members(o)[3]["offset"]), members(o)[3].update(offset=8)],
        "a member moved": lambda o: members(o)[2].update(offset=members(o)[2]["offset"] + 4),
        "a member renamed": lambda o: members(o)[2].update(name="width"),
        "a member removed": lambda o: members(o).pop(),
        "a member put in between": lambda o: members(o).insert(2, more),
        "a struct without struct_size that grows": lambda o: members(o, fixed).append(more),
        "a struct removed": lambda o: o["structs"].pop(fixed),
    }
    for what, change in faults.items():
        if not of(change):
            sys.exit(f"abi: {what} is not seen")
    allowed = {
        "a function more": lambda o: o["functions"].append(dict(o["functions"][0], name="rmech_more")),
        "a constant more": lambda o: o["constants"].append({"name": "RMECH_MORE", "value": 1}),
        "a member more at the end of a struct that begins with struct_size": lambda o: members(o).append(more),
    }
    for what, change in allowed.items():
        if of(change):
            sys.exit(f"abi: {what} is refused: {of(change)}")
    return len(faults)


def main(update=False):
    api = json.loads((TOP / "include/api.json").read_text("utf-8"))
    now = written(api)
    before = FROZEN.read_text("utf-8").splitlines() if FROZEN.exists() else []
    faults = broken(before, now)
    if faults and before and abi(before) == abi(now):
        sys.exit("\n".join(faults) + "\nabi: compiled programs would break: raise RMECH_ABI_VERSION of rope-ffi/src/version.rs, or undo it")
    if update:
        FROZEN.write_text("\n".join(now) + "\n", "utf-8")
    elif now != before:
        new = sorted(set(now) - set(before))
        sys.exit("\n".join(new) + "\nabi: new; freeze it: python3 tests/abi/frozen.py update")
    seen = on_purpose(api)
    print(f"{len(now)} lines of the binary interface are as frozen; {seen} faults on purpose are seen")


main(*[argument == "update" for argument in sys.argv[1:]])
