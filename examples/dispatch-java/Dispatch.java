// What a dispatch program asks of the library: a table of one line, and the whole operation of a site.
//
//     java ... Dispatch SITE.json [STUDY.json]      or --bits: the numbers of the table, to the last bit
//
// CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes, makers'
// instructions and the authority having jurisdiction come first.
import com.sun.jna.Pointer;
import com.sun.jna.ptr.LongByReference;
import com.sun.jna.ptr.PointerByReference;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

final class Dispatch {
    private static final RopeMechanics.error error = new RopeMechanics.error();

    // How a doubled rope hangs between the head and an anchor 18 m below, for some lengths of each strand.
    private static void lines(boolean bits) {
        for (int i = 0; i < 6; i++) {
            RopeMechanics.line line = new RopeMechanics.line();
            RopeMechanics.line_state state = new RopeMechanics.line_state();
            line.span = RopeMechanics.m(52.0);
            line.rise = RopeMechanics.m(-18.0);
            line.length = RopeMechanics.m(54.6 + 0.3 * i);
            line.weight = RopeMechanics.n_per_m(2.0 * 0.072 * 9.80665);
            line.stretch.a = RopeMechanics.kn(2.0 * 33.0);
            RopeMechanics.require(RopeMechanics.api.rmech_line_solve(line, state, error), error);
            if (bits) {
                double[] all = {line.length, state.first_tension, state.last_tension, state.sag, state.residual};
                for (double number : all) System.out.printf("%016x%n", Double.doubleToRawLongBits(number));
                continue;
            }
            System.out.printf(Locale.ROOT, "  %5.2f m %6.1f ft   %6.2f kN %6.0f lbf   %6.2f kN %6.0f lbf   %5.2f m %5.1f ft%n",
                RopeMechanics.in_m(line.length), RopeMechanics.in_ft(line.length), RopeMechanics.in_kn(state.first_tension),
                RopeMechanics.in_lbf(state.first_tension), RopeMechanics.in_kn(state.last_tension),
                RopeMechanics.in_lbf(state.last_tension), RopeMechanics.in_m(state.sag), RopeMechanics.in_ft(state.sag));
        }
    }

    private static byte[] study(byte[] site) {
        // No more than 1000 positions: dispatch doesn't wait longer than that takes.
        RopeMechanics.operation_options options = new RopeMechanics.operation_options();
        options.most_positions = 1000;
        PointerByReference made = new PointerByReference();
        RopeMechanics.require(
            RopeMechanics.api.rmech_operation_create(site, new RopeMechanics.size_t(site.length), options, made, error), error);
        Pointer operation = made.getValue();
        try {
            PointerByReference json = new PointerByReference();
            LongByReference bytes = new LongByReference();
            RopeMechanics.require(RopeMechanics.api.rmech_operation_json(operation, json, bytes, error), error);
            return json.getValue().getByteArray(0, (int) bytes.getValue());
        } finally {
            RopeMechanics.api.rmech_operation_destroy(operation);
        }
    }

    public static void main(String[] given) throws Exception {
        try {
            RopeMechanics.require(RopeMechanics.api.rmech_check_version(
                RopeMechanics.ABI_VERSION, RopeMechanics.VERSION_MAJOR, RopeMechanics.VERSION_MINOR, error), error);
            if (given.length == 1 && given[0].equals("--bits")) {
                lines(true);
                return;
            }
            if (given.length != 1 && given.length != 2) {
                System.err.println("usage: Dispatch SITE.json [STUDY.json]");
                System.exit(1);
            }
            System.out.println("Doubled rope, 52 m out and 18 m down, each strand 72 g/m and 33 kN:");
            System.out.println("  strand length      both strands at the head      at the far anchor       sag");
            lines(false);
            byte[] study = study(Files.readAllBytes(Path.of(given[0])));
            if (given.length == 2) Files.write(Path.of(given[1]), study);
            System.out.printf("The study of %s: %d bytes of JSON%s%n", given[0], study.length,
                given.length == 2 ? ", written to " + given[1] : "");
        } catch (RopeMechanics.Failure why) {
            System.err.println("dispatch: " + why.field + ": " + why.getMessage());
            System.exit(1);
        }
    }
}
