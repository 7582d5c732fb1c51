// For tools/lighthouse: serves the built page compressed, and tells what Lighthouse found.
//
//   node lighthouse.mjs serve FOLDER    prints the address
//   node lighthouse.mjs tell RESULT     the scores, the measured times, and what costs points
import { readFileSync, readdirSync } from "node:fs";
import { createServer } from "node:http";
import { brotliCompressSync } from "node:zlib";

const KINDS = { css: "text/css", html: "text/html; charset=utf-8", js: "text/javascript", png: "image/png", svg: "image/svg+xml", wasm: "application/wasm", webmanifest: "application/manifest+json" };

const serve = (folder) => {
  const files = new Map(readdirSync(folder).map((name) => [`/${name}`, brotliCompressSync(readFileSync(`${folder}/${name}`))]));
  files.set("/", files.get("/index.html"));
  const server = createServer((request, response) => {
    const path = request.url.replace(/\?.*/, "");
    const body = files.get(path);
    if (!body) return response.writeHead(404).end();
    const kind = KINDS[path === "/" ? "html" : path.split(".").at(-1)];
    response.writeHead(200, { "Content-Type": kind, "Content-Encoding": "br", "Content-Length": body.length, "Cache-Control": "no-cache" }).end(body);
  });
  server.listen(0, "127.0.0.1", () => console.log(`http://127.0.0.1:${server.address().port}/`));
};

const tell = (result) => {
  const { categories, audits, environment } = JSON.parse(readFileSync(result, "utf8"));
  for (const { title, score, auditRefs } of Object.values(categories)) {
    console.log(`${String(Math.round(score * 100)).padStart(4)}  ${title}`);
    for (const { id, weight } of auditRefs) {
      const { score, title, displayValue = "" } = audits[id];
      if (weight > 0 && score !== null && score < 1) console.log(`        ${id}: ${title} ${displayValue} (${score} of 1, weight ${weight})`);
    }
  }
  for (const id of ["first-contentful-paint", "largest-contentful-paint", "speed-index", "total-blocking-time", "cumulative-layout-shift"]) {
    console.log(`      ${audits[id].title}: ${audits[id].displayValue}`);
  }
  console.log(`      this machine's speed by Lighthouse's measure: ${environment.benchmarkIndex}`);
};

const [what, path] = process.argv.slice(2);
({ serve, tell })[what](path);
