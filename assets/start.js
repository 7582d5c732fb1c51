// Starts the page: picks the outline to show until the program runs, starts the program, and keeps
// the page on the device for use without a network. It works also where the program does not.
//
// What it knows of the page on the device stands on <html>, and the window is sent
// "lettertally-offline" when that changes; src/browser/offline.rs reads it there:
//
//   data-release  which release this page is; written by tools/release
//   data-offline  "insecure", "unable", "keeping", "kept" or "failed"
//   data-update   "here": another release lies ready; "asked": it is being taken; "busy": it was not,
//                 since a tab is in the middle of an edit; "taken": this tab follows after its edit
"use strict";

(() => {
  const root = document.documentElement;
  const { program, wasm } = document.currentScript.dataset;
  const WORKER = "worker.js";
  const HOUR = 3_600_000;
  let runs = false;

  // Nothing that is entered ever becomes HTML. The fixed pieces of the views do, from texts in the
  // program: plain elements without an address, a style or a handler. A browser with Trusted Types
  // refuses all else, and any script that is loaded by its name but the worker.
  const TAGS = "article aside b br button caption circle code col colgroup datalist dd desc details div dl dt em fieldset figcaption figure footer g h1 h2 h3 h4 header hr i input kbd label legend li line main mark nav ol optgroup option p path polygon polyline pre rect s section small span strong sub summary sup table tbody td text tfoot th thead time title tr u ul";
  const ATTRIBUTES = "aria-[a-z]+ data-[a-z-]+ class colspan cx cy d dir disabled fill fill-rule for height hidden id lang points r role rowspan scope span stroke tabindex title transform type value width x x1 x2 y y1 y2";
  const oneOf = (words) => `(?:${words.replaceAll(" ", "|")})`;
  const PIECE = new RegExp(`</?${oneOf(TAGS)}(?: ${oneOf(ATTRIBUTES)}(?:="[^"<>]*")?)*>`, "g");
  const isPlain = (html) => !/[<>]/.test(html.replace(PIECE, ""));
  window.trustedTypes?.createPolicy("default", {
    createHTML: (html) => (isPlain(html) ? html : null),
    createScriptURL: (address) => (address === WORKER ? address : null),
  });

  // A customer's quote begins without the shop's frame around it.
  if (/^#(?:.*&)?quote=/.test(location.hash)) root.classList.add("for-customer");

  const pause = (milliseconds) => new Promise((next) => setTimeout(next, milliseconds));

  const show = (name, value) => {
    if (root.dataset[name] === value) return;
    root.dataset[name] = value;
    window.dispatchEvent(new Event("lettertally-offline"));
  };

  // The outline is painted first: what it needs is not to wait behind the program.
  const painted = () => new Promise((next) => (document.hidden ? next() : requestAnimationFrame(() => setTimeout(next))));
  const parsed = () => document.readyState !== "loading" || new Promise((next) => document.addEventListener("DOMContentLoaded", next));

  const start = async () => {
    await parsed();
    await painted();
    try {
      const { default: init } = await import(program);
      await init({ module_or_path: wasm });
      runs = true;
    } catch (error) {
      console.error(error);
      // The first goes with the outline.
      (document.getElementById("not-started") ?? document.getElementById("stopped"))?.removeAttribute("hidden");
      const number = new URLSearchParams(location.hash.slice(1)).get("no");
      if (number) document.getElementById("quote-number")?.append(`, number ${number.slice(0, 60)},`);
    }
  };

  document.addEventListener("click", ({ target }) => {
    if (!target.closest?.("[data-again]")) return;
    if (!runs && root.dataset.update === "here") window.dispatchEvent(new Event("lettertally-take"));
    else location.reload();
  });

  // A program that broke off in the middle cannot go on: that is said, so that nobody goes by figures
  // that follow nothing any more.
  const isBrokenOff = ({ error, reason }) => (error ?? reason) instanceof WebAssembly.RuntimeError;
  for (const told of ["error", "unhandledrejection"]) {
    window.addEventListener(told, (event) => {
      if (runs && isBrokenOff(event)) document.getElementById("stopped")?.removeAttribute("hidden");
    });
  }

  // Whether nobody is in the middle of an edit in this tab. If somebody is, the program objects.
  const isFree = () => window.dispatchEvent(new Event("lettertally-may-reload", { cancelable: true }));

  // Goes over to the release that was taken, after the edit if there is one.
  const follow = async () => {
    show("update", "taken");
    // Between one field and the next there is a moment without an edit: it does not count.
    for (let calm = isFree() ? 2 : 0; calm < 2; calm = isFree() ? calm + 1 : 0) await pause(500);
    location.reload();
  };

  const ask = (worker, question) =>
    new Promise((answer) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = ({ data }) => answer(data);
      worker.postMessage(question, [port2]);
    });

  // Which release the device keeps, and whether another than this one lies ready.
  const look = async ({ active }) => {
    if (!active) return;
    const { accepted, newest } = await ask(active, "which");
    show("offline", "kept");
    const isThis = newest === accepted && accepted === root.dataset.release;
    if (isThis) show("update", "");
    else if (!root.dataset.update) show("update", "here");
    return newest;
  };

  // A release that has just come whole is not ready until its worker waits, a moment later.
  const lookFor = async (release, registration) => {
    for (let looks = 0; looks < 20 && (await look(registration)) !== release; looks += 1) await pause(250);
  };

  const watch = (registration) => {
    const followInstall = () => {
      const { installing } = registration;
      installing?.addEventListener("statechange", () => {
        if (installing.state === "redundant" && !registration.active) show("offline", "failed");
        look(registration);
      });
    };
    followInstall();
    look(registration);
    registration.addEventListener("updatefound", followInstall);
    navigator.serviceWorker.addEventListener("message", ({ data }) => {
      if (data.whole) lookFor(data.whole, registration);
    });
    window.addEventListener("pageshow", () => look(registration));
    window.addEventListener("lettertally-take", async () => {
      show("update", "asked");
      // The worker that waits is asked itself where it is known: Chromium does not put it in charge
      // while the other waits for its answer.
      const { active, waiting } = registration;
      const taken = await (waiting ? ask(waiting, "take") : ask(active, "take the newest"));
      if (!taken) show("update", "busy");
    });
    // Not every browser looks for a newer release with each start. A page that stays open for days
    // looks again when it comes to the front.
    let looked = Date.now();
    const lookForNewer = () => registration.update().catch(() => {}); // no network: another time
    if (registration.active) lookForNewer();
    document.addEventListener("visibilitychange", () => {
      if (document.hidden || Date.now() - looked < HOUR) return;
      looked = Date.now();
      lookForNewer();
    });
  };

  const keepOffline = async () => {
    if (!window.isSecureContext) return show("offline", "insecure");
    if (!navigator.serviceWorker) return show("offline", "unable");
    show("offline", "keeping");
    navigator.serviceWorker.addEventListener("message", ({ data, ports: [port] }) => {
      if (data === "free?") port.postMessage(isFree());
      else if (data.taken === root.dataset.release) show("update", "");
      else if (data.taken) follow();
    });
    try {
      watch(await navigator.serviceWorker.register(WORKER, { updateViaCache: "none" }));
    } catch (error) {
      // A file that does not come can come another time; all else is the browser's refusal.
      show("offline", error instanceof TypeError ? "failed" : "unable");
    }
  };

  start().then(keepOffline);
})();
