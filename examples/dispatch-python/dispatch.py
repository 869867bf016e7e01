"""What a dispatch program asks of the library: a table of one line, and the whole operation of a site.

    python3 dispatch.py SITE.json [STUDY.json]      or --bits: the numbers of the table, to the last bit

CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes, makers'
instructions and the authority having jurisdiction come first.
"""
import pathlib
import struct
import sys

import rope_mechanics as rm


def lines():
    """How a doubled rope hangs between the head and an anchor 18 m below, for some lengths of each strand."""
    for i in range(6):
        line = rm.line(span=rm.m(52.0), rise=rm.m(-18.0), length=rm.m(54.6 + 0.3 * i),
                       weight=rm.n_per_m(2.0 * 0.072 * 9.80665))
        line.stretch.a = rm.kn(2.0 * 33.0)
        yield line.length, rm.line_solve(line)


def main():
    if sys.argv[1:] == ["--bits"]:
        for length, state in lines():
            for number in (length, state.first_tension, state.last_tension, state.sag, state.residual):
                print(struct.pack(">d", number).hex())
        return
    if len(sys.argv) not in (2, 3):
        sys.exit("usage: dispatch.py SITE.json [STUDY.json]")
    print("Doubled rope, 52 m out and 18 m down, each strand 72 g/m and 33 kN:")
    print("  strand length      both strands at the head      at the far anchor       sag")
    for length, state in lines():
        print("  %5.2f m %6.1f ft   %6.2f kN %6.0f lbf   %6.2f kN %6.0f lbf   %5.2f m %5.1f ft" % (
            rm.in_m(length), rm.in_ft(length), rm.in_kn(state.first_tension), rm.in_lbf(state.first_tension),
            rm.in_kn(state.last_tension), rm.in_lbf(state.last_tension), rm.in_m(state.sag), rm.in_ft(state.sag)))
    # No more than 1000 positions: dispatch doesn't wait longer than that takes.
    site = pathlib.Path(sys.argv[1]).read_bytes()
    with rm.operation.create(site, rm.operation_options(most_positions=1000)) as operation:
        study = operation.json()
    written = ""
    if len(sys.argv) == 3:
        pathlib.Path(sys.argv[2]).write_text(study, "utf-8")
        written = f", written to {sys.argv[2]}"
    print(f"The study of {sys.argv[1]}: {len(study.encode())} bytes of JSON{written}")


try:
    main()
except rm.Failure as why:
    sys.exit(f"dispatch: {why.field}: {why}")
