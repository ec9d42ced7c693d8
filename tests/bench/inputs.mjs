// Tables of known powders for the bench, from a fixed seed: 100 classes even in ln x from 0.02 to 2000 µm, with noise.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const classes = 100;
const edges = Array.from({ length: classes + 1 }, (_, i) => 0.02 * 1e5 ** (i / classes));
const files = 300;
const wide = 1000;
const bulk = 10_000;

/** A seeded generator (mulberry32). */
function drawing(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** A logistic curve with nearly the spread of the normal curve will do: the noise is more than what tells them apart. */
const curveOf = (d50, sigma) => (x) => 1 / (1 + Math.exp((-1.702 * Math.log(x / d50)) / sigma));
const rosinOf = (size, exponent) => (x) => 1 - Math.exp(-((x / size) ** exponent));

function noisy(undersize, draw) {
  const shares = edges.slice(1).map((x, i) => {
    const share = undersize(x) - undersize(edges[i]);
    return share > 1e-6 ? Math.max(0, share * (1 + 0.04 * (draw() - 0.5)) + 2e-4 * (draw() - 0.5)) : 0;
  });
  const whole = shares.reduce((a, b) => a + b);
  return shares.map((v) => v / whole);
}

const tableOf = (columns, names) =>
  ["lower_um", "upper_um", ...names].join(",").concat(
    "\n",
    edges
      .slice(1)
      .map((x, i) => [edges[i], x, ...columns.map((c) => (100 * c[i]).toFixed(4))].join(","))
      .join("\n"),
    "\n",
  );

/** Lots in rows under the ranges of their classes. */
const rowsOf = (lots) =>
  [
    ["lot", ...edges.slice(1).map((x, i) => `${edges[i].toPrecision(6)}-${x.toPrecision(6)} um`)],
    ...lots.map((lot, k) => [`L${k}`, ...lot.map((v) => (100 * v).toFixed(4))]),
  ]
    .map((row) => row.join(","))
    .join("\n")
    .concat("\n");

export function inputs() {
  const draw = drawing(20240607);
  const one = (undersize) => tableOf([noisy(undersize, draw)], ["run % by volume"]);
  const two = (x) => 0.35 * curveOf(1.2, 0.4)(x) + 0.65 * curveOf(8, 0.53)(x);
  const lots = Array.from({ length: bulk }, () =>
    noisy(curveOf(5 * (0.9 + 0.2 * draw()), 0.55 + 0.1 * draw()), draw),
  );
  return { ln: one(curveOf(5, 0.59)), rr: one(rosinOf(6, 2.2)), mix: one(two), lots };
}

const small = 19;
const bytesOfLarge = 1e7;

/** Tables as they are read at each key press: 100 sizes with 19 measurements, under headings that say all or leave it open. */
inputs.tables = ({ lots }) => {
  const under = (size, word) =>
    [
      [size, ...lots.slice(0, small).map((_, k) => `Run ${k + 1}${word}`)],
      ...edges
        .slice(1)
        .map((x, i) => [x.toPrecision(5), ...lots.slice(0, small).map((c) => (100 * c[i]).toFixed(4))]),
    ]
      .map((row) => row.join("\t"))
      .join("\n");
  return { stated: under("Upper edge um", " volume %"), open: under("Size um", "") };
};

/** The tables as files: one lot, all in one table, some in a file each. */
inputs.write = (folder, { ln, lots }) => {
  writeFileSync(join(folder, "ln.csv"), ln);
  const names = lots.map((_, k) => `L${k}`);
  writeFileSync(join(folder, "wide.csv"), tableOf(lots.slice(0, wide), names.slice(0, wide)));
  writeFileSync(join(folder, "bulk.csv"), tableOf(lots, names));
  writeFileSync(join(folder, "rows.csv"), rowsOf(lots));
  const ofLots = tableOf(lots, []).length;
  const many = Array.from({ length: Math.ceil((bytesOfLarge / ofLots) * wide) }, (_, k) => lots[k % wide]);
  writeFileSync(
    join(folder, "large.csv"),
    tableOf(
      many,
      many.map((_, k) => `L${k}`),
    ),
  );
  mkdirSync(join(folder, "files"));
  for (const [k, lot] of lots.slice(0, files).entries())
    writeFileSync(join(folder, "files", `lot-${String(k).padStart(4, "0")}.csv`), tableOf([lot], [`L${k}`]));
};
