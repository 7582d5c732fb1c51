// A buying problem (docs/buy-problem.md) as a mixed-integer linear programme in LP format.
//
// Per way and glyph a whole number of units. Per break group (a way without one is a group of
// its own) and stretch of its total units a binary, and per way the units bought in that
// stretch. Per supplier and freight step a binary; minimums lift the least subtotal of a step.
// Units may go beyond the need, so whatever a break or a threshold takes can be bought.

/** The model's text. */
export function model(problem) {
  const lines = { costs: [], rows: [], whole: [], binary: [] };
  const spent = new Map(problem.suppliers.map((supplier) => [supplier.id, []]));
  const needs = new Map(problem.families.map((family) => [family.id, needOf(family)]));
  const covers = new Map(problem.families.map((family) => [family.id, new Map()]));
  const ceiling = mostSpent(problem, needs);
  problem.ways.forEach((way, w) => buy(way, w, needs.get(way.family), covers.get(way.family), lines));
  for (const [key, ways] of groups(problem.ways)) breaks(key, ways, problem, needs, spent, lines);
  for (const [family, cover] of covers) {
    for (const [glyph, terms] of cover) row(lines, terms, '>=', needs.get(family)[glyph]);
  }
  problem.suppliers.forEach((supplier, s) => freight(supplier, s, spent.get(supplier.id), ceiling, lines));
  return text(lines);
}

const sum = (numbers) => numbers.reduce((total, number) => total + number, 0);

/** What is needed of each glyph: demand minus stock, glyphs with no need left out. */
function needOf(family) {
  const net = ([glyph, count]) => [glyph, Math.max(0, count - (family.stock?.[glyph] ?? 0))];
  return Object.fromEntries(Object.entries(family.demand).map(net).filter(([, count]) => count > 0));
}

const sells = (way, glyph) => way.glyphs === undefined || [...way.glyphs].includes(glyph);
const size = (way) => (way.kind === 'piece' ? way.n || 1 : way.n);

/** The way's units, its part of the covers, and its limit in stock. */
function buy(way, w, need, cover, lines) {
  const units = [];
  const gives = (glyph, count, unit) => cover.set(glyph, [...(cover.get(glyph) ?? []), [count, unit]]);
  if (way.kind === 'set') {
    units.push(`x${w}`);
    for (const glyph of Object.keys(need)) {
      if (way.assortment[glyph] > 0) gives(glyph, way.assortment[glyph], units[0]);
    }
  } else {
    Object.keys(need).forEach((glyph, g) => {
      if (!sells(way, glyph)) return;
      units.push(`x${w}_${g}`);
      gives(glyph, size(way), `x${w}_${g}`);
    });
  }
  lines.whole.push(...units);
  way.units = units.map((unit) => [1, unit]);
  if (way.at_most !== undefined && units.length > 0) row(lines, way.units, '<=', way.at_most);
}

/** Ways by what their breaks count over. */
function groups(ways) {
  const found = new Map();
  ways.forEach((way, w) => {
    const key = way.break_group === undefined ? `w${w}` : `g${way.break_group}`;
    found.set(key, [...(found.get(key) ?? []), [way, w]]);
  });
  return [...found.values()].entries();
}

const priceAt = (way, units) => way.tiers.findLast((tier) => tier.from <= units).cents;

/** The prices of a group: by the stretch in which its total units lie. */
function breaks(key, ways, problem, needs, spent, lines) {
  const froms = [...new Set(ways.flatMap(([way]) => way.tiers.map((tier) => tier.from)))].sort((a, b) => a - b);
  const pay = (way, cents, units) => {
    lines.costs.push([cents, units]);
    spent.get(way.supplier).push([cents, units]);
  };
  if (froms.length === 1) {
    for (const [way] of ways) way.units.forEach(([, unit]) => pay(way, way.tiers[0].cents, unit));
    return;
  }
  const most = new Map(ways.map(([way, w]) => [w, mostUnits(way, problem, needs.get(way.family))]));
  const all = sum([...most.values()]);
  const stretches = froms.map((from, k) => ({ from, to: (froms[k + 1] ?? all + froms[k] + 1) - 1, on: `b${key}_${k}` }));
  for (const { from, to, on } of stretches) {
    const bought = ways.map(([way, w]) => [1, `y${w}_${from}`]);
    ways.forEach(([way, w]) => {
      pay(way, priceAt(way, from), `y${w}_${from}`);
      if (ways.length > 1) row(lines, [[1, `y${w}_${from}`], [-Math.min(to, most.get(w)), on]], '<=', 0);
    });
    row(lines, [...bought, [-from, on]], '>=', 0);
    row(lines, [...bought, [-to, on]], '<=', 0);
    lines.binary.push(on);
  }
  for (const [way, w] of ways) {
    row(lines, [...way.units, ...stretches.map(({ from }) => [-1, `y${w}_${from}`])], '=', 0);
  }
  row(lines, stretches.map(({ on }) => [1, on]), '<=', 1);
}

/** No sensible plan buys more units of a way: all letters, the last break, and any threshold. */
function mostUnits(way, problem, need) {
  const supplier = problem.suppliers.find((supplier) => supplier.id === way.supplier);
  const reach = Math.max(0, supplier.min_order ?? 0, ...(supplier.freight ?? []).map((step) => step.from));
  const cheapest = Math.max(1, Math.min(...way.tiers.map((tier) => tier.cents)));
  const units = sum(Object.values(need)) + way.tiers.at(-1).from + Math.ceil(reach / cheapest);
  return Math.min(units, way.at_most ?? units);
}

/** No sensible plan spends more: every letter alone in its dearest way, every threshold besides. */
function mostSpent(problem, needs) {
  const held = (way, glyph) => (way.kind === 'set' ? way.assortment[glyph] ?? 0 : sells(way, glyph) ? size(way) : 0);
  const alone = (family, glyph, count) =>
    Math.max(0, ...problem.ways
      .filter((way) => way.family === family && held(way, glyph) > 0)
      .map((way) => Math.ceil(count / held(way, glyph)) * way.tiers[0].cents));
  const covers = [...needs].flatMap(([family, need]) => Object.entries(need).map(([g, n]) => alone(family, g, n)));
  const thresholds = problem.suppliers.map((supplier) =>
    Math.max(0, supplier.min_order ?? 0, ...(supplier.freight ?? []).map((step) => step.from + step.cents)));
  return sum(covers) + sum(thresholds);
}

/** The supplier's freight: by the step in which its subtotal lies; none where nothing is spent. */
function freight(supplier, s, spent, ceiling, lines) {
  const least = supplier.min_order ?? 0;
  const steps = [...(supplier.freight ?? [])];
  if (least === 0 && steps.every((step) => step.cents === 0)) return;
  if (steps.length === 0 || steps[0].from > 0) steps.unshift({ from: 0, cents: 0 });
  const chosen = [];
  steps.forEach((step, k) => {
    const from = Math.max(step.from, least);
    const to = (steps[k + 1]?.from ?? ceiling + 1) - 1;
    if (from > to) return;
    chosen.push({ from, to, on: `f${s}_${k}` });
    lines.costs.push([step.cents, `f${s}_${k}`]);
    lines.binary.push(`f${s}_${k}`);
  });
  row(lines, [...spent, ...chosen.map(({ from, on }) => [-from, on])], '>=', 0);
  row(lines, [...spent, ...chosen.map(({ to, on }) => [-to, on])], '<=', 0);
  row(lines, chosen.map(({ on }) => [1, on]), '<=', 1);
}

function row(lines, terms, sign, bound) {
  lines.rows.push(`${linear(terms)} ${sign} ${bound}`);
}

/** Terms, a few to a line; those of nothing left out, those of one name added up. */
function linear(terms) {
  const total = new Map();
  for (const [factor, name] of terms) total.set(name, (total.get(name) ?? 0) + factor);
  const parts = [...total].filter(([, factor]) => factor !== 0);
  return parts.map(([name, factor], i) => `${factor < 0 ? '-' : '+'} ${Math.abs(factor)} ${name}${i % 8 === 7 ? '\n' : ''}`).join(' ');
}

function text({ costs, rows, whole, binary }) {
  const numbered = rows.map((row, i) => ` r${i}: ${row}`).join('\n');
  return `Minimize\n cost: ${linear(costs)}\nSubject To\n${numbered}\nGenerals\n ${whole.join('\n ')}\n`
    + `Binaries\n ${binary.join('\n ')}\nEnd\n`;
}
