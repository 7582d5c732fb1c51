// The comparison in a page. tools/bench-general puts it into a folder with the solvers and the
// problems, and the program `beside` of the browser tests opens that and reads what it tells.

import init from './ours.js';
import makeHighs from './highs.js';
import { compare } from './compare.js';

const told = document.querySelector('pre');
try {
  const [highs, { seconds, problems }] = await Promise.all([
    makeHighs(),
    fetch('problems.json').then((answer) => answer.json()),
    init(), // gives globalThis.buyMix
  ]);
  const areSame = await compare({
    highs,
    buyMix: globalThis.buyMix,
    problems,
    seconds,
    clock: () => performance.now(),
    // The page is drawn, and answers, between two problems.
    tell: (line) => new Promise((resolve) => {
      told.textContent += `${line}\n`;
      setTimeout(resolve);
    }),
  });
  document.documentElement.dataset.end = areSame ? 'same' : 'different';
} catch (fault) {
  told.textContent += `${fault}\n`;
  document.documentElement.dataset.end = 'broken';
}
