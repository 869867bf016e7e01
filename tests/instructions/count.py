"""The instructions of each call of `counted-calls`, counted by callgrind, on the mean of its cases.

    python3 tests/instructions/count.py OUT COUNTS PROGRAM…

compares them with those committed, and sees that a call which takes twice as many is refused. The C library's functions are the plain ones, whatever the
machine has (`GLIBC_TUNABLES`), so that machines of one toolchain agree.
"""
import os
import re
import subprocess
import sys


def counts(program, out):
    environment = dict(os.environ, GLIBC_TUNABLES="glibc.cpu.hwcaps=-AVX2,-FMA,-FMA4")
    subprocess.run(
        ["valgrind", "--tool=callgrind", f"--callgrind-out-file={out}", *program],
        env=environment, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )
    # A call is three lines: `cfn=(17) name`, the name once and then its number alone; `calls=times place`;
    # `line instructions`, of the function called and all that it calls.
    names, called, times = {}, {}, {}
    with open(out, encoding="utf-8") as lines:
        for line in lines:
            if match := re.match(r"c?fn=\((\d+)\)(?: (.*))?", line):
                number = match[1]
                if match[2]:
                    names[number] = match[2]
            elif match := re.match(r"calls=(\d+)", line):
                times[number] = times.get(number, 0) + int(match[1])
                called[number] = called.get(number, 0) + int(next(lines).split()[1])
    # counted_calls::name, or C's counted_name
    counted = {n: match[1] for n, name in names.items()
               if (match := re.fullmatch(r"counted_(?:calls::)?(\w+?)(?:\.\w+)*(?:'\d+)?", name))}
    return {name: called[n] / times[n] for n, name in counted.items() if n in called and name != "main"}


def read(path):
    with open(path, encoding="utf-8") as lines:
        rows = [line.split() for line in lines if not line.startswith("#")]
    return {name: float(count) for name, count in rows}


def compare(known, found):
    """What is wrong with the counts found, line by line; fewer instructions are only said."""
    wrong = [f"{name} is in one of counts.txt and the calls only" for name in known.keys() ^ found.keys()]
    for name in known.keys() & found.keys():
        more = found[name] / known[name] - 1.0
        if more > ALLOWED:
            wrong.append(f"{name}: {found[name]:.0f} instructions, {100 * more:.1f} % more than the {known[name]:.0f} counted before")
        elif more < -ALLOWED:
            print(f"{name}: {-100 * more:.1f} % fewer; UPDATE_COUNTS=1 tests/instructions/run")
    return wrong


# What another patch of the compiler or of the C library moves.
ALLOWED = 0.03


def main(out, committed, *programs):
    found = {}
    for program in programs:
        found.update(counts([program], out))
    # A line solved twice where it should be solved once.
    twice = found.pop("line_solved_twice")
    if os.environ.get("UPDATE_COUNTS"):
        compiler = subprocess.run(["rustc", "--version"], check=True, stdout=subprocess.PIPE, text=True).stdout
        with open(committed, "w", encoding="utf-8") as file:
            file.write(f"# Instructions a call, tests/instructions/run, {compiler}")
            file.writelines(f"{name} {count:.0f}\n" for name, count in sorted(found.items()))
    known = read(committed)
    if not compare(known, {**found, "line_new_and_solve": twice}):
        sys.exit("a call that takes twice as long was not seen")
    if wrong := compare(known, found):
        sys.exit("\n".join(wrong))
    print(f"{len(found)} calls take as many instructions as before, within {100 * ALLOWED:.0f} %")


if __name__ == "__main__":
    main(*sys.argv[1:])
