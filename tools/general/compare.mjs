// Solves the same buying problems with our solver and with HiGHS, both as WebAssembly in this
// process, and prints a Markdown table. Called by tools/bench-general.
//
//   node compare.mjs HIGHS OURS SECONDS FILE...
//
// Both get text: ours the problem as JSON, HiGHS the model in LP format. The time is that of
// the whole call, reading the text included: processor time, which other work on the machine
// disturbs little, as the mean over a second or so after a first call. HiGHS may stop within
// 0.9 cents of the least cost, since costs are whole cents. Ends with a fault where the two
// costs differ.

import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { model } from './model.mjs';

const [highsPath, oursPath, seconds, ...files] = process.argv.slice(2);
const require = createRequire(import.meta.url);
const highs = await require(highsPath)();
require(oursPath); // gives globalThis.buyMix

/** The answer, and the processor time of a call in milliseconds: the mean after a first call. */
function timed(call) {
  const answer = call();
  const [begun, start] = [performance.now(), process.cpuUsage()];
  let calls = 0;
  do {
    call();
    calls += 1;
  } while (performance.now() - begun < 1000 && calls < 500);
  const { user, system } = process.cpuUsage(start);
  return [answer, (user + system) / 1000 / calls];
}

const options = { time_limit: Number(seconds), mip_rel_gap: 0, mip_abs_gap: 0.9, output_flag: false };

/** The least cost that HiGHS proves; undefined where it does not within the limit. */
function byHighs(text) {
  const found = highs.solve(text, options);
  return found.Status === 'Optimal' ? Math.round(found.ObjectiveValue) : undefined;
}

const shown = (milliseconds) => `${milliseconds.toFixed(milliseconds < 1 ? 3 : 1)} ms`;

const nothing = 'Minimize\n cost: + 1 x\nSubject To\n r0: + 1 x >= 1\nGenerals\n x\nEnd\n';
console.log(`A call of HiGHS takes ${shown(timed(() => byHighs(nothing))[1])} for a programme of one variable.\n`);

let differ = false;
console.log('| problem | ours, cents | HiGHS, cents | ours | HiGHS | ratio |');
console.log('| --- | ---: | ---: | ---: | ---: | ---: |');
for (const file of files) {
  const problem = readFileSync(file, 'utf8');
  const programme = model(JSON.parse(problem));
  const [ours, ourTime] = timed(() => globalThis.buyMix(problem));
  const [theirs, theirTime] = timed(() => byHighs(programme));
  const wrong = theirs !== undefined && ours !== theirs;
  differ ||= wrong;
  console.log(`| ${basename(file, '.json')} | ${ours ?? 'no proof'} | ${theirs ?? 'no proof'}${wrong ? ' DIFFERS' : ''} | `
    + `${shown(ourTime)} | ${shown(theirTime)} | ${theirs === undefined ? '> ' : ''}${(theirTime / ourTime).toFixed(0)} |`);
}
process.exitCode = differ ? 1 : 0;
