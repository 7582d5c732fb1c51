// What a person finds on the page: by words, among what can be seen. Sent with every question.
const probe = (() => {
  const squeeze = (text) => (text ?? "").replace(/\s+/g, " ").trim();
  const seen = (e) => e.getClientRects().length > 0 && (!e.checkVisibility || e.checkVisibility({ visibilityProperty: true }));
  const byIds = (ids) => squeeze(ids.split(/\s+/).map((id) => document.getElementById(id)?.textContent).join(" "));
  const name = (e) => {
    if (e.getAttribute("aria-labelledby")) return byIds(e.getAttribute("aria-labelledby"));
    if (e.hasAttribute("aria-label")) return squeeze(e.getAttribute("aria-label"));
    if (e.labels?.length) return squeeze([...e.labels].map((label) => label.textContent).join(" "));
    if (e.matches("fieldset")) return squeeze(e.querySelector("legend")?.textContent);
    if (e.matches("details")) return squeeze(e.querySelector("summary")?.textContent);
    if (e.matches("table")) return squeeze(e.querySelector("caption")?.textContent);
    if (e.matches("input, textarea, select")) return "";
    return squeeze(e.textContent);
  };
  const KINDS = {
    field: "input, textarea, select",
    button: "button, summary, a[href]",
    area: "section, fieldset, details, article, nav, form, [role=group], [role=region]",
    alert: "[role=alert]",
  };
  // Exactly these words, else what begins with them.
  const named = (all, words) => all.find((e) => name(e) === words) ?? all.find((e) => name(e).startsWith(words));
  const among = (root, kind) => [...root.querySelectorAll(KINDS[kind])].filter(seen);
  // Areas from the outside in; "near" is the closest surroundings of a field in which there is what is sought.
  const find = (scopes, kind, words) => {
    let roots = [document];
    for (const scope of scopes) {
      if (scope.near) {
        const around = [];
        for (let e = named(among(roots[0], "field"), scope.near)?.parentElement; e && e !== document.body; e = e.parentElement) around.push(e);
        roots = around;
      } else {
        const area = roots.map((root) => named(among(root, "area"), scope.area)).find(Boolean);
        roots = area ? [area] : [];
      }
    }
    if (kind === "here") return roots[0] ?? null;
    for (const root of roots) {
      const found = named(among(root, kind), words);
      if (found) return found;
    }
    return null;
  };
  const root = (scopes) => (scopes.length ? find(scopes, "here") : document.body);
  const figure = (scopes, words) => {
    const terms = [...(root(scopes)?.querySelectorAll("dt") ?? [])].filter(seen);
    const text = (dt) => squeeze(dt.textContent);
    const dt = terms.find((dt) => text(dt) === words) ?? terms.find((dt) => text(dt).startsWith(words));
    return dt ? squeeze(dt.parentElement.querySelector("dd")?.textContent) : null;
  };
  const rows = (scopes) =>
    [...(root(scopes)?.querySelectorAll("tr") ?? [])].filter(seen).map((tr) => [...tr.cells].map((cell) => squeeze(cell.innerText)));
  const complaint = (scopes, words) => {
    const field = find(scopes, "field", words);
    if (!field) return null;
    if (field.getAttribute("aria-invalid") === "false") return "";
    const ids = (field.getAttribute("aria-describedby") ?? "").split(/\s+/).filter((id) => id.endsWith("-error"));
    const text = ids.map((id) => document.getElementById(id)).filter((e) => e && seen(e)).map((e) => squeeze(e.innerText));
    return text.join(" ");
  };
  const describe = (e) => `${e.localName}${e.type ? "[" + e.type + "]" : ""} "${name(e) || e.getAttribute("placeholder") || ""}"`;
  const controls = () => [...document.querySelectorAll("button, input, textarea, select, summary, a[href]")].filter(seen);
  // Fields without a name; on a phone also what is too low for a thumb.
  const offenders = (least) => {
    const found = [];
    for (const e of controls()) {
      const label = e.closest("label");
      const box = (label && (e.type === "checkbox" || e.type === "radio" || e.type === "color") ? label : e).getBoundingClientRect();
      if (!name(e)) found.push(`${describe(e)} has no name`);
      for (const id of (e.getAttribute("aria-describedby") ?? "").split(/\s+/)) {
        if (id && !document.getElementById(id)) found.push(`${describe(e)} is described by what is not there`);
      }
      if (least && box.height < least - 0.5) found.push(`${describe(e)} is ${box.height.toFixed(1)} px high`);
    }
    return found;
  };
  // What a thumb or a finger must hit: a box that is ticked counts with its label.
  const target = (e) => {
    const label = e.closest("label");
    return (label && ["checkbox", "radio", "color", "file"].includes(e.type) ? label : e).getBoundingClientRect();
  };
  // Controls smaller than 24 px that stand so close to others that circles of 24 px around their
  // centres meet what is beside them (WCAG 2.5.8); and those below what a thumb needs.
  const small = (thumb) => {
    const all = controls().filter((e) => !e.disabled).map((e) => ({ e, box: target(e) }));
    const is_little = ({ box }) => box.width < 24 - 0.01 || box.height < 24 - 0.01;
    const centre = ({ box }) => [box.left + box.width / 2, box.top + box.height / 2];
    const from_box = ([x, y], { box }) => Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
    const meets = (one, other) => {
      const [x, y] = centre(one);
      if (is_little(other)) return Math.hypot(x - centre(other)[0], y - centre(other)[1]) < 24;
      return from_box([x, y], other) < 12;
    };
    const found = [];
    for (const one of all) {
      const { e, box } = one;
      const size = `${describe(e)} is ${box.width.toFixed(1)} × ${box.height.toFixed(1)} px`;
      if (is_little(one) && all.some((other) => other !== one && !other.e.contains(e) && !e.contains(other.e) && meets(one, other))) found.push(`${size} and close to another`);
      if (thumb && Math.min(box.width, box.height) < thumb - 0.5) found.push(`${size}, for a thumb`);
    }
    return found;
  };
  // Live regions that were there before their message: only what changes in them is read out.
  const regions = () => {
    const said = (e) => getComputedStyle(e).display !== "none" && !e.closest("[aria-hidden=true]");
    window.regions = [...document.querySelectorAll("[aria-live], [role=alert], [role=status]")].filter(said);
  };
  const told = (words) => window.regions.some((e) => e.isConnected && squeeze(e.textContent).includes(words));
  // What shows that a button is chosen, where colours are the device's own.
  const dress = (e) => {
    const style = getComputedStyle(e);
    return ["color", "backgroundColor", "borderTopColor", "borderTopWidth", "borderTopStyle", "textDecorationLine", "fontWeight", "boxShadow", "outlineStyle"].map((part) => style[part]).join(" ");
  };
  const alike = () => {
    const found = [];
    for (const chosen of controls().filter((e) => e.matches("[aria-pressed=true], [aria-current]"))) {
      const other = [...chosen.parentElement.children].find((e) => e.localName === "button" && e !== chosen && !e.matches("[aria-pressed=true], [aria-current]"));
      if (other && dress(other) === dress(chosen)) found.push(`${describe(chosen)} looks like ${describe(other)}: ${dress(chosen)}`);
    }
    return found;
  };
  // Buttons of which nothing but their words is left: no edge, and the ground of the page.
  const edgeless = () => controls().filter((e) => e.matches("button.main, button.take, .switch button, .step button, .file-button")).filter((e) => {
    const style = getComputedStyle(e);
    return (style.borderTopStyle === "none" || parseFloat(style.borderTopWidth) === 0) && style.backgroundColor === getComputedStyle(document.body).backgroundColor;
  }).map(describe);
  const moving = () => [...document.querySelectorAll("*")].filter((e) => {
    const style = getComputedStyle(e);
    const lasts = (times) => times.split(",").some((time) => parseFloat(time) > 0);
    return lasts(style.transitionDuration) || (style.animationName !== "none" && lasts(style.animationDuration)) || style.scrollBehavior === "smooth";
  }).map(describe);
  const sideways = (width) => {
    const wide = Math.max(document.documentElement.scrollWidth, window.innerWidth);
    if (wide <= width) return [];
    // What is fixed to the screen is as wide as the screen has become: no cause, only a victim.
    const fixed = (e) => [e, e.parentElement].some((one) => ["fixed", "sticky"].includes(getComputedStyle(one).position));
    // What keeps its own contents inside does not push with them.
    const keeps = (e) => e.matches("input, textarea, select") || getComputedStyle(e).overflowX !== "visible";
    const edge = (e) => Math.max(e.getBoundingClientRect().right, keeps(e) ? 0 : e.getBoundingClientRect().left + e.scrollWidth);
    const clipped = (e) => e.parentElement && getComputedStyle(e.parentElement).overflowX !== "visible";
    const out = [...document.body.querySelectorAll("*")].filter((e) => seen(e) && !fixed(e) && !clipped(e) && edge(e) > width + 0.5);
    const last = out.filter((e) => !out.some((inner) => inner !== e && e.contains(inner)));
    return [`${wide} px wide`, ...last.slice(0, 5).map((e) => `${e.localName}.${e.className?.baseVal ?? e.className} “${squeeze(e.textContent).slice(0, 40)}” to ${edge(e).toFixed(0)}`)];
  };
  // Text whose colour is too close to what is behind it (WCAG 2.2, 1.4.3).
  const faint = (least = 4.5, large_least = 3) => {
    for (const change of document.getAnimations()) change.finish();
    const canvas = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
    const rgba = (colour) => {
      canvas.clearRect(0, 0, 1, 1);
      canvas.fillStyle = colour;
      canvas.fillRect(0, 0, 1, 1);
      const [r, g, b, a] = canvas.getImageData(0, 0, 1, 1).data;
      return [r, g, b, a / 255];
    };
    const over = (top, under) => [0, 1, 2].map((i) => top[i] * top[3] + under[i] * (1 - top[3])).concat(1);
    const light = ([r, g, b]) => {
      const part = (v) => ((v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
      return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
    };
    const ground = (e) => {
      const layers = [];
      for (; e; e = e.parentElement) layers.push(rgba(getComputedStyle(e).backgroundColor));
      return layers.reverse().reduce((under, top) => over(top, under), rgba("Canvas"));
    };
    const found = new Map();
    const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (words.nextNode()) {
      const e = words.currentNode.parentElement;
      if (!squeeze(words.currentNode.data) || !seen(e) || e.closest("svg, option, [disabled], .hidden")) continue;
      const style = getComputedStyle(e);
      const behind = ground(e);
      let opacity = 1;
      for (let up = e; up; up = up.parentElement) opacity *= Number(getComputedStyle(up).opacity);
      const ink = rgba(style.color);
      const text = over([ink[0], ink[1], ink[2], ink[3] * opacity], behind);
      const [a, b] = [light(text), light(behind)].sort((a, b) => b - a);
      const ratio = (a + 0.05) / (b + 0.05);
      const size = parseFloat(style.fontSize);
      const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      if (ratio < (large ? large_least : least)) found.set(`${e.localName}.${e.className} in ${e.parentElement?.localName}.${e.parentElement?.className}`, `“${squeeze(words.currentNode.data).slice(0, 30)}” ${ratio.toFixed(2)}`);
    }
    return [...found].map(([where, what]) => `${where}: ${what}`);
  };
  const focused = () => {
    const e = document.activeElement;
    if (!e || e === document.body) return { name: "", shown: false, seen: false };
    const ring = (of) => {
      const style = getComputedStyle(of);
      return (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0) || style.boxShadow !== "none";
    };
    const box = e.getBoundingClientRect();
    // Of what is no control but a part of the page, what is in the window of it counts.
    const middle = box.height > 100 ? (Math.max(box.top, 0) + Math.min(box.bottom, innerHeight)) / 2 : box.top + box.height / 2;
    const at = document.elementFromPoint(box.left + box.width / 2, middle);
    const shown = [e, e.parentElement, e.closest("label")].some((one) => one && ring(one));
    return { name: name(e), kind: e.localName, shown, seen: Boolean(at) && (e === at || e.contains(at) || at.contains(e)) };
  };
  // For browsers that tell nothing of their console: what was written since the first question.
  const listen = () => (window.heard ??= (() => {
    const heard = [];
    const note = (kind, ...words) => heard.push(`${kind}: ${words.map(String).join(" ")}`);
    for (const kind of ["warn", "error"]) {
      const said = console[kind];
      console[kind] = (...words) => (note(kind, ...words), said.apply(console, words));
    }
    addEventListener("error", (e) => note("error", e.message));
    addEventListener("unhandledrejection", (e) => note("rejection", e.reason));
    document.addEventListener("securitypolicyviolation", (e) => note("policy", e.violatedDirective, e.blockedURI));
    return heard;
  })());
  const overheard = () => window.heard.splice(0);
  const kept = () => Object.fromEntries(Object.keys(localStorage).sort().map((key) => [key, localStorage.getItem(key)]));
  return { squeeze, seen, name, find, root, figure, rows, complaint, offenders, sideways, faint, focused, kept, controls, small, regions, told, alike, edgeless, moving, listen, overheard, among };
})();
