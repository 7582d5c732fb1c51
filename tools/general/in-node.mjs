// The comparison in a process of Node.js. Called by tools/bench-general.
//
//   node in-node.mjs HIGHS OURS SECONDS FILE...
//
// By processor time, which other work on the machine disturbs little. Ends with a fault where the
// two costs differ.

import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { compare } from './compare.mjs';

const [highsPath, oursPath, seconds, ...files] = process.argv.slice(2);
const require = createRequire(import.meta.url);
const highs = await require(highsPath)();
require(oursPath); // gives globalThis.buyMix

const areSame = await compare({
  highs,
  buyMix: globalThis.buyMix,
  problems: files.map((file) => [basename(file, '.json'), readFileSync(file, 'utf8')]),
  seconds: Number(seconds),
  clock: () => {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1000;
  },
  tell: (line) => console.log(line),
});
process.exitCode = areSame ? 0 : 1;
