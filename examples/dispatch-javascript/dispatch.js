// What a dispatch program asks of the library: a table of one line, and the whole operation of a site.
//
//     node dispatch.js SITE.json [STUDY.json]      or --bits: the numbers of the table, to the last bit
//
// CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes, makers'
// instructions and the authority having jurisdiction come first.
'use strict';
const fs = require('fs');
const rm = require('./rope_mechanics');

// How a doubled rope hangs between the head and an anchor 18 m below, for some lengths of each strand.
function lines() {
    return Array.from({ length: 6 }, (_, i) => {
        const length = rm.m(54.6 + 0.3 * i);
        const line = { span: rm.m(52), rise: rm.m(-18), length, weight: rm.n_per_m(2 * 0.072 * 9.80665), stretch: { a: rm.kn(2 * 33) } };
        return [length, rm.line_solve(line)];
    });
}

function main(given) {
    if (given.length === 1 && given[0] === '--bits') {
        for (const [length, state] of lines()) {
            for (const number of [length, state.first_tension, state.last_tension, state.sag, state.residual]) {
                const bytes = Buffer.alloc(8);
                bytes.writeDoubleBE(number);
                console.log(bytes.toString('hex'));
            }
        }
        return;
    }
    if (given.length !== 1 && given.length !== 2) throw new Error('usage: dispatch.js SITE.json [STUDY.json]');
    const wide = (value, digits, width) => value.toFixed(digits).padStart(width);
    console.log('Doubled rope, 52 m out and 18 m down, each strand 72 g/m and 33 kN:');
    console.log('  strand length      both strands at the head      at the far anchor       sag');
    for (const [length, state] of lines()) {
        console.log(
            `  ${wide(rm.in_m(length), 2, 5)} m ${wide(rm.in_ft(length), 1, 6)} ft`
            + `   ${wide(rm.in_kn(state.first_tension), 2, 6)} kN ${wide(rm.in_lbf(state.first_tension), 0, 6)} lbf`
            + `   ${wide(rm.in_kn(state.last_tension), 2, 6)} kN ${wide(rm.in_lbf(state.last_tension), 0, 6)} lbf`
            + `   ${wide(rm.in_m(state.sag), 2, 5)} m ${wide(rm.in_ft(state.sag), 1, 5)} ft`,
        );
    }
    // No more than 1000 positions: dispatch doesn't wait longer than that takes.
    const operation = rm.operation.create(fs.readFileSync(given[0], 'utf8'), { most_positions: 1000 });
    const study = operation.json();
    operation.destroy();
    if (given.length === 2) fs.writeFileSync(given[1], study);
    console.log(`The study of ${given[0]}: ${Buffer.byteLength(study)} bytes of JSON${given.length === 2 ? `, written to ${given[1]}` : ''}`);
}

try {
    main(process.argv.slice(2));
} catch (why) {
    console.error(`dispatch: ${why.field ? `${why.field}: ` : ''}${why.message}`);
    process.exit(1);
}
