// What a dispatch program asks of the library: a table of one line, and the whole operation of a site.
//
//     mono dispatch.exe SITE.json [STUDY.json]      or --bits: the numbers of the table, to the last bit
//
// CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes, makers'
// instructions and the authority having jurisdiction come first.
using System;
using System.Globalization;
using System.IO;
using System.Runtime.InteropServices;
using RM = RopeMechanics;

static class Dispatch {
    static RM.error error = RM.error.Create();

    // How a doubled rope hangs between the head and an anchor 18 m below, for some lengths of each strand.
    static void Lines(bool bits) {
        for (int i = 0; i < 6; i++) {
            RM.line line = RM.line.Create();
            RM.line_state state = RM.line_state.Create();
            line.span = RM.m(52.0);
            line.rise = RM.m(-18.0);
            line.length = RM.m(54.6 + 0.3 * i);
            line.weight = RM.n_per_m(2.0 * 0.072 * 9.80665);
            line.stretch.a = RM.kn(2.0 * 33.0);
            RM.require(RM.rmech_line_solve(ref line, ref state, ref error), error);
            if (bits) {
                foreach (double number in new[] { line.length, state.first_tension, state.last_tension, state.sag, state.residual })
                    Console.WriteLine(BitConverter.DoubleToInt64Bits(number).ToString("x16"));
                continue;
            }
            Console.WriteLine(string.Format(CultureInfo.InvariantCulture,
                "  {0,5:F2} m {1,6:F1} ft   {2,6:F2} kN {3,6:F0} lbf   {4,6:F2} kN {5,6:F0} lbf   {6,5:F2} m {7,5:F1} ft",
                RM.in_m(line.length), RM.in_ft(line.length), RM.in_kn(state.first_tension), RM.in_lbf(state.first_tension),
                RM.in_kn(state.last_tension), RM.in_lbf(state.last_tension), RM.in_m(state.sag), RM.in_ft(state.sag)));
        }
    }

    static byte[] Study(byte[] site) {
        // No more than 1000 positions: dispatch doesn't wait longer than that takes.
        RM.operation_options options = RM.operation_options.Create();
        options.most_positions = 1000;
        IntPtr at = Marshal.AllocHGlobal(Marshal.SizeOf(options));
        IntPtr operation = IntPtr.Zero;
        try {
            Marshal.StructureToPtr(options, at, false);
            RM.require(RM.rmech_operation_create(site, (UIntPtr)site.Length, at, out operation, ref error), error);
            IntPtr json;
            UIntPtr bytes = UIntPtr.Zero;
            RM.require(RM.rmech_operation_json(operation, out json, ref bytes, ref error), error);
            byte[] study = new byte[(int)bytes];
            Marshal.Copy(json, study, 0, study.Length);
            return study;
        } finally {
            RM.rmech_operation_destroy(operation);
            Marshal.FreeHGlobal(at);
        }
    }

    static int Main(string[] given) {
        try {
            RM.require(RM.rmech_check_version(RM.ABI_VERSION, RM.VERSION_MAJOR, RM.VERSION_MINOR, ref error), error);
            if (given.Length == 1 && given[0] == "--bits") {
                for (int i = 0; i < RM.Sizes.GetLength(0); i++)
                    if (Marshal.SizeOf((Type)RM.Sizes[i, 0]) != (int)RM.Sizes[i, 1])
                        throw new InvalidOperationException(RM.Sizes[i, 0] + " has another size here than in C");
                Lines(true);
                return 0;
            }
            if (given.Length != 1 && given.Length != 2) {
                Console.Error.WriteLine("usage: dispatch.exe SITE.json [STUDY.json]");
                return 1;
            }
            Console.WriteLine("Doubled rope, 52 m out and 18 m down, each strand 72 g/m and 33 kN:");
            Console.WriteLine("  strand length      both strands at the head      at the far anchor       sag");
            Lines(false);
            byte[] study = Study(File.ReadAllBytes(given[0]));
            if (given.Length == 2) File.WriteAllBytes(given[1], study);
            Console.WriteLine("The study of {0}: {1} bytes of JSON{2}", given[0], study.Length,
                given.Length == 2 ? ", written to " + given[1] : "");
            return 0;
        } catch (RM.Failure why) {
            Console.Error.WriteLine("dispatch: " + why.Field + ": " + why.Message);
            return 1;
        }
    }
}
