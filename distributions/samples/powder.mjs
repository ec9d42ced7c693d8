// What the demo is drawn with: chance with a seed, powders as humps, runs as an instrument would report them, files.
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const folder = process.argv[2] ?? dirname(fileURLToPath(import.meta.url));
// — chance, seeded —
let state = 0;
/** Begins the chance of one part of the demo anew, so that no part moves another. */
export function seed(from) {
  state = from;
}
function uniform() {
  state = (state + 0x6d2b79f5) | 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}
export const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());

// — what an instrument would report —
const classes = 78;
export const edges = Array.from({ length: classes + 1 }, (_, i) =>
  Number((0.05 * 6000 ** (i / classes)).toPrecision(4)),
);

/** The normal curve's share below z by its logistic-free series; good to 1e-7, and these numbers are rounded to 1e-4. */
function phi(z) {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const poly =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * poly;
  return z > 0 ? 1 - tail : tail;
}
const undersize = (humps, x) =>
  humps.reduce((sum, h) => sum + h.weight * phi(Math.log(x / h.median) / Math.log(h.gsd)), 0);

/** One run: the powder a little shifted and stretched, each class a little noisy, rounded to 0.01 %. */
export function run(humps) {
  const shift = 0.008 * normal();
  const stretch = 1 + 0.012 * normal();
  const fines = Math.exp(0.05 * normal());
  const seen = humps.map((h) => ({
    weight: h.median < 1 ? h.weight * fines : h.weight,
    median: h.median * Math.exp(shift),
    gsd: h.gsd ** stretch,
  }));
  const raw = edges
    .slice(1)
    .map((x, i) => Math.max(0, (undersize(seen, x) - undersize(seen, edges[i])) * (1 + 0.012 * normal())));
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((v) => Math.round((v / sum) * 1e4) / 100);
}

/** Part of the powder joined into pieces `times` as large: what re-firing does when it makes necks. */
export function joined(humps, part, times) {
  return [
    ...humps.map((h) => ({ ...h, weight: h.weight * (1 - part) })),
    ...humps.map((h) => ({ ...h, weight: h.weight * part, median: h.median * times })),
  ];
}
export const scaled = (humps, factor) => humps.map((h) => ({ ...h, median: h.median * factor }));

// — files —
export function write(path, text) {
  mkdirSync(dirname(join(folder, path)), { recursive: true });
  writeFileSync(join(folder, path), text);
}
export function table(runs) {
  const rows = runs[0].map((_, i) => [edges[i], edges[i + 1], ...runs.map((r) => r[i].toFixed(2))].join(";"));
  const heading = ["lower_um", "upper_um", ...runs.map((_, i) => `run ${i + 1}`)].join(";");
  return ["share of each class by volume in %;;", heading, ...rows, ""].join("\n");
}
export const runsOf = (humps, count) => Array.from({ length: count }, () => run(humps));
export const json = (value) => `${JSON.stringify(value, null, 2)}\n`;

/** Undersize at each edge of a run whose rounded shares add to about 100. */
export function undersizeOf(run) {
  const total = run.reduce((a, b) => a + b, 0);
  let reached = 0;
  const steps = run.map((v) => {
    reached += v / total;
    return reached;
  });
  return [0, ...steps];
}

/** The size that a share of a run is finer than. */
export function sizeOf(run, share) {
  const q = undersizeOf(run);
  const k = q.findIndex((v) => v >= share);
  return edges[k - 1] * (edges[k] / edges[k - 1]) ** ((share - q[k - 1]) / (q[k] - q[k - 1]));
}

/** So many days after a day, as 2026-11-30. */
export function dayAfter(day, days) {
  const at = new Date(`${day}T00:00:00Z`);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

/** What a trial of half an hour took and gave: a row of product.csv. */
export function weighedRow(i, feedKgPerH, productKgPerH) {
  const grams = (perHour) => Math.round(500 * perHour);
  return [`trial ${i + 1}`, productKgPerH.toFixed(2), grams(feedKgPerH), grams(productKgPerH)].join(",");
}
export const weighedHeading = "trial,productKgPerH,feedMassG,productMassG";
