// Solves the same buying problems with our solver and with HiGHS, both as WebAssembly in the same
// place, and tells a Markdown table. Used by in-node.mjs and in-page.mjs.
//
// Both get text: ours the problem as JSON, HiGHS the model in LP format. The time is that of the
// whole call, reading the text included, as the mean over a second or so after a first call. HiGHS
// may stop within 0.9 cents of the least cost, since costs are whole cents.

import { model } from './model.mjs';

const NOTHING = 'Minimize\n cost: + 1 x\nSubject To\n r0: + 1 x >= 1\nGenerals\n x\nEnd\n';

const shown = (milliseconds) => `${milliseconds.toFixed(milliseconds < 1 ? 3 : 1)} ms`;

/** The answer, and the time of a call by the given clock: the mean after a first call. */
function timed(call, clock) {
  const answer = call();
  const [begun, start] = [performance.now(), clock()];
  let calls = 0;
  do {
    call();
    calls += 1;
  } while (performance.now() - begun < 1000 && calls < 500);
  return [answer, (clock() - start) / calls];
}

/**
 * Tells each line as it is known, and gives whether the two costs were the same throughout.
 *
 * `problems` are pairs of a name and a text; `clock` gives milliseconds; `tell` takes a line and is
 * waited for, so that whoever shows it can.
 */
export async function compare({ highs, buyMix, problems, seconds, clock, tell }) {
  const options = { time_limit: seconds, mip_rel_gap: 0, mip_abs_gap: 0.9, output_flag: false };
  // The least cost that HiGHS proves; undefined where it does not within the limit.
  const byHighs = (text) => {
    const found = highs.solve(text, options);
    return found.Status === 'Optimal' ? Math.round(found.ObjectiveValue) : undefined;
  };
  await tell(`A call of HiGHS takes ${shown(timed(() => byHighs(NOTHING), clock)[1])} for a programme of one variable.\n`);
  await tell('| problem | ours, cents | HiGHS, cents | ours | HiGHS | ratio |');
  await tell('| --- | ---: | ---: | ---: | ---: | ---: |');
  let differ = false;
  for (const [name, problem] of problems) {
    const programme = model(JSON.parse(problem));
    const [ours, ourTime] = timed(() => buyMix(problem), clock);
    const [theirs, theirTime] = timed(() => byHighs(programme), clock);
    const wrong = theirs !== undefined && ours !== theirs;
    differ ||= wrong;
    await tell(`| ${name} | ${ours ?? 'no proof'} | ${theirs ?? 'no proof'}${wrong ? ' DIFFERS' : ''} | `
      + `${shown(ourTime)} | ${shown(theirTime)} | ${theirs === undefined ? '> ' : ''}${(theirTime / ourTime).toFixed(0)} |`);
  }
  return !differ;
}
