// Writes the demo scenario. Every number here is invented: a pilot line making yttrium aluminium garnet host powder
// (4.55 g/cm³) for lamp phosphors: fired, crushed, jet milled, re-fired, against a purchased reference powder.
// Run `node distributions/samples/generate.mjs [folder]`; the same seed always writes the same files.
import { writeCampaign } from "./campaign.mjs";
import { writeCeria } from "./ceria.mjs";
import { writeLab } from "./lab.mjs";
import { writePhotographs } from "./photographs.mjs";
import {
  edges,
  joined,
  json,
  normal,
  run,
  runsOf,
  scaled,
  seed,
  sizeOf,
  table,
  undersizeOf,
  weighedHeading,
  weighedRow,
  write,
} from "./powder.mjs";

const density = 4.55;
seed(20260417);

// — the powders —
const fired = [
  { weight: 0.78, median: 13.6, gsd: 1.9 },
  { weight: 0.22, median: 47, gsd: 1.5 },
];
const crushed = [
  { weight: 0.97, median: 9.4, gsd: 1.8 },
  { weight: 0.03, median: 1.3, gsd: 1.9 },
];
const milled = [
  { weight: 0.958, median: 3.05, gsd: 1.58 },
  { weight: 0.042, median: 0.55, gsd: 1.6 },
];
const refired = [
  { weight: 0.978, median: 3.42, gsd: 1.56 },
  { weight: 0.022, median: 0.6, gsd: 1.5 },
];
const lots = [
  { id: "garnet-07", factor: 1.0, refired: scaled(refired, 1.004), note: "Re-fired on the usual schedule." },
  {
    id: "garnet-08",
    factor: 1.04,
    refired: scaled(refired, 1.032),
    note: "Milled at a slightly higher gas flow.",
  },
  {
    id: "garnet-09",
    factor: 0.99,
    refired: joined(scaled(refired, 0.99), 0.13, 2.4),
    note: "Re-fired 25 °C hotter after a furnace change.",
  },
];

function writeLot(lot, stages) {
  write(
    `lots/${lot.id}.json`,
    json({
      name: lot.id.replace("garnet-", "Garnet host, lot "),
      material: "yttrium aluminium garnet",
      densityGPerCm3: density,
      band: "garnet-target",
      note: lot.note,
    }),
  );
  for (const [stage, [humps, count]] of Object.entries(stages))
    write(`lots/${lot.id}/${stage}.csv`, table(runsOf(humps, count)));
}

for (const lot of lots)
  writeLot(lot, {
    fired: [scaled(fired, lot.factor), 3],
    crushed: [scaled(crushed, lot.factor), 3],
    milled: [scaled(milled, lot.factor), 4],
    "re-fired": [lot.refired, lot.id === "garnet-08" ? 5 : 6],
  });

const referenceRuns = runsOf(refired, 6);
write("reference/reference-powder.csv", table(referenceRuns));

// — the band: the reference's mean curve, give or take its runs' spread and an agreed 2 points —
const cumulative = referenceRuns.map(undersizeOf);
const at = (q, x) => {
  const i = edges.findLastIndex((e) => e <= x);
  return q[i] + ((q[i + 1] - q[i]) * Math.log(x / edges[i])) / Math.log(edges[i + 1] / edges[i]);
};
const sizes = Array.from({ length: 27 }, (_, i) => Number((0.4 * 32.5 ** (i / 26)).toPrecision(3)));
const factor = 4.12; // six runs, simultaneous over sizes
const envelope = sizes.map((x) => {
  const qs = cumulative.map((q) => at(q, x));
  const mean = qs.reduce((a, b) => a + b, 0) / qs.length;
  const sd = Math.sqrt(qs.reduce((s, q) => s + (q - mean) ** 2, 0) / (qs.length - 1));
  const half = Math.max(0.02, factor * sd);
  return [Math.max(0, mean - half), Math.min(1, mean + half)].map((q) => Number(q.toFixed(4)));
});
write(
  "bands/garnet-target.json",
  json({
    version: 1,
    name: "Garnet target",
    stage: "re-fired",
    densityGPerCm3: density,
    rule: "two-sided",
    rows: [
      { limit: "d10Um", low: 1.65, high: 2.05 },
      { limit: "d50Um", low: 3.1, high: 3.65 },
      { limit: "d90Um", low: 5.4, high: 6.25 },
      { limit: "span", low: 1.1, high: 1.45 },
      { limit: "surfaceM2PerG", low: 0.4, high: 0.55 },
      { limit: "belowShare", sizeUm: 1, low: null, high: 0.035 },
      { limit: "largestClassUm", low: null, high: 22 },
    ],
    envelope: {
      sizesUm: sizes,
      lowShares: envelope.map(([low]) => low),
      highShares: envelope.map(([, high]) => high),
    },
  }),
);

// — the mill and its trials —
write(
  "mill/mill.json",
  json({
    name: "Pilot jet mill",
    wheelRadiusM: 0.05,
    wheelHeightM: 0.05,
    freeAreaShare: 0.7,
    swirlRatio: 1,
    ratedSpeedRpm: 9000,
    gas: "air",
    temperatureC: 30,
    pressurePa: 99000,
    gasFlowM3PerH: 190,
    particleDensityGPerCm3: density,
  }),
);
const settings = [
  [3800, 180, 7.0],
  [4500, 200, 8.5],
  [5000, 190, 7.5],
  [5400, 172, 9.0],
  [5900, 190, 8.0],
  [6400, 205, 7.0],
  [6900, 185, 8.0],
  [7600, 195, 9.5],
];
const withCurve = [2, 5, 7];
const trials = settings.map(([speed, flow, feed], i) => {
  const d50 =
    2.98 * (speed / 6200) ** -1.04 * (flow / 190) ** 0.53 * (feed / 8) ** 0.09 * Math.exp(0.025 * normal());
  const curve = run(scaled(milled, d50 / 2.98));
  if (withCurve.includes(i + 1))
    write(`mill/curves/trial-${i + 1}.csv`, table([curve]).replace("run 1", `trial ${i + 1}`));
  return [speed, flow, feed, ...[0.1, 0.5, 0.9].map((p) => sizeOf(curve, p).toFixed(3))].join(",");
});
write("mill/trials.csv", ["speedRpm,gasFlowM3PerH,feedKgPerH,d10Um,d50Um,d90Um", ...trials, ""].join("\n"));

// — what each trial gave, as weighed: some of the feed leaves with the gas, the more the faster the wheel —
const weighed = settings.map(([speed, , feed], i) =>
  weighedRow(i, feed, feed * (0.96 - 1e-5 * (speed - 3800))),
);
write("mill/product.csv", [weighedHeading, ...weighed, ""].join("\n"));

// — lots that were fired again, for the command line: percentiles before and after —
const refireRows = [
  ["garnet-04", [1.58, 3.0, 5.42], [1.89, 3.41, 5.98]],
  ["garnet-05", [1.64, 3.11, 5.6], [1.93, 3.5, 6.14]],
  ["garnet-06", [1.55, 2.94, 5.31], [1.86, 3.37, 5.9]],
].map(([lot, before, after]) => [lot, ...before, ...after].join(","));
write(
  "mill/refire.csv",
  ["lot,d10MilledUm,d50MilledUm,d90MilledUm,d10RefiredUm,d50RefiredUm,d90RefiredUm", ...refireRows, ""].join(
    "\n",
  ),
);

// — a jet mill without a wheel: its trials at pressures and feeds —
const pressureRows = [
  [5, 8, 5.02],
  [6, 8, 4.57],
  [6, 10, 4.74],
  [7, 8, 4.31],
  [8, 9, 4.06],
].map((row) => row.join(","));
write("mill/pressure-trials.csv", ["pressureBar,feedKgPerH,d50Um", ...pressureRows, ""].join("\n"));

// — the same mill as a circuit: crushed powder in, a wheel that cuts at 4.4 µm —
write(
  "mill/circuit.json",
  json({
    feedEdgesUm: [0.5, 1, 2, 4, 8, 16, 32, 64],
    feedShares: [0.03, 0.07, 0.13, 0.27, 0.29, 0.16, 0.05],
    cutUm: 4.4,
    sharpness: 0.6,
    separation: "log-logistic",
    bypassShare: 0,
    leakShare: 0,
    rateAt1UmPerS: 0.02,
    rateExponent: 1,
    fragments: { kind: "power", exponent: 1.4 },
    offerPerS: 1,
    classesPerOctave: 8,
  }),
);

// — BET values that came back from the laboratory —
const pairs = [
  ["re-fired", 0.462],
  ["re-fired", 0.478],
  ["re-fired", 0.451],
  ["re-fired", 0.489],
  ["milled", 0.586],
].map(([stage, area]) =>
  [stage, area, (area * (stage === "milled" ? 1.52 : 1.31) * Math.exp(0.03 * normal())).toFixed(3)].join(","),
);
write("pairs.csv", ["stage,geometricM2PerG,betM2PerG", ...pairs, ""].join("\n"));

// — results over the lots so far, for the command line —
const history = [
  ["garnet 01", 1580, "2.0", "3.21", "5.88", 1.27],
  ["garnet 02", 1600, "2.0", "3.34", "6.02", 1.25],
  ["garnet 03", 1590, "2.5", "3.30", "5.97", 1.29],
  ["garnet 04", 1620, "2.0", "3.47", "6.31", 1.24],
  ["garnet 05", 1610, "3.0", "3.42", "6.19", 1.26],
  ["garnet 06", 1580, "3.0", "3.25", "5.93", 1.28],
  ["garnet 07", 1600, "2.5", "3.35", "6.10", 1.27],
  ["garnet 08", 1615, "2.5", "3.50", "6.38", 1.25],
  ["garnet 09", 1600, "3.0", "3.38", "6.08", 1.26],
].map((row) => row.join(","));
write("history.csv", ["lot,firingC,excessPercent,d50Um,d90Um,betRatio", ...history, ""].join("\n"));

// — later lots, milled and re-fired on the usual schedule again: what re-firing adds is learned from them, too —
for (const [id, factor, growth] of [
  ["garnet-10", 1.01, 1.13],
  ["garnet-11", 0.98, 1.118],
  ["garnet-12", 1.02, 1.124],
])
  writeLot(
    { id, note: "The furnace is back on the usual schedule." },
    {
      milled: [scaled(milled, factor), 3],
      "re-fired": [scaled(refired, (factor * growth * milled[0].median) / refired[0].median), 3],
    },
  );

// — the lots since, and another powder of the same lab —
writeCampaign({ milled, refired });
writeCeria();
writeLab();
writePhotographs();

// — sizes of earlier lots after each step, for the chain of steps on the command line —
seed(20_261_130);
const chained = Array.from({ length: 10 }, (_, i) => {
  const firingC = [1580, 1600, 1620, 1600, 1590, 1610, 1600, 1585, 1615, 1600][i];
  const speedRpm = [6000, 6300, 6300, 6600, 6200, 6500, 6000, 6400, 6300, 6600][i];
  const fired = 9.4 * Math.exp(0.0025 * (firingC - 1600) + 0.05 * normal());
  const crushed = 6.1 * (fired / 9.4) ** 0.9 * Math.exp(0.03 * normal());
  const milled = 3.05 * (6300 / speedRpm) ** 1.1 * (crushed / 6.1) ** 0.1 * Math.exp(0.02 * normal());
  const refired = milled * 1.1 * Math.exp(0.04 * normal());
  return [
    `garnet ${String(i + 1).padStart(2, "0")}`,
    firingC,
    fired.toFixed(2),
    crushed.toFixed(2),
    speedRpm,
    milled.toFixed(2),
    refired.toFixed(2),
  ].join(",");
});
write(
  "chain.csv",
  ["lot,firingC,firedD50Um,crushedD50Um,speedRpm,milledD50Um,refiredD50Um", ...chained, ""].join("\n"),
);
