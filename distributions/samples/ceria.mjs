// The demo's other powder, all of it invented: ceria for polishing (7.2 g/cm³), calcined, jet milled on a mill of its own
// and fired again, with its own band. It is finer than the garnet, its mill is smaller and its wheel turns faster.
//
// What the numbers follow:
// - milled D50 = 1.45 µm · (speed / 9000 rpm)^−0.95 · (flow / 95 m³/h)^0.5 · (feed / 4 kg/h)^0.08, give or take 2 %
// - re-firing: growth = 1.09 · exp(0.0022 · (T − 1000 °C)): hotter, coarser
// - product per hour: 93 % of the feed at the slowest wheel, 1 % less for each 500 rpm more
// - BET over geometric area: 1.42, give or take 2 %
import {
  dayAfter,
  json,
  normal,
  run,
  runsOf,
  scaled,
  seed,
  sizeOf,
  table,
  weighedHeading,
  weighedRow,
  write,
} from "./powder.mjs";

const density = 7.2;
const milled = [
  { weight: 0.95, median: 1.45, gsd: 1.55 },
  { weight: 0.05, median: 0.32, gsd: 1.5 },
];
const refired = [
  { weight: 0.97, median: 1.58, gsd: 1.53 },
  { weight: 0.03, median: 0.36, gsd: 1.5 },
];

const lots = [
  { number: 1, speed: 8800, refireC: 1000, note: "" },
  { number: 2, speed: 9000, refireC: 1005, note: "" },
  { number: 3, speed: 9100, refireC: 995, note: "" },
  { number: 4, speed: 9000, refireC: 1060, note: "Re-fired 60 °C hotter, to see what it does." },
  { number: 5, speed: 9250, refireC: 1000, note: "" },
  { number: 6, speed: 9000, refireC: 1000, note: "" },
];
const growthAt = (refireC) => 1.09 * Math.exp(0.0022 * (refireC - 1000));
const setting = (name, value, unit) => ({ name, value: String(value), unit });

/** Area of smooth spheres in m²/g, as the garnet's in campaign.mjs. */
function areaOf(humps) {
  const perUm = (h) => h.weight / (h.median * Math.exp(-(Math.log(h.gsd) ** 2) / 2));
  return (6 / density) * humps.reduce((sum, h) => sum + perUm(h), 0);
}

function writeLot({ number, speed, refireC, note }) {
  const groundUm = 1.45 * (speed / 9000) ** -0.95 * Math.exp(0.008 * normal());
  const product = scaled(refired, (groundUm * growthAt(refireC)) / 1.58);
  const bet = areaOf(product) * 1.42 * Math.exp(0.02 * normal());
  const id = `ceria-0${number}`;
  const day = (days) => dayAfter("2026-02-02", 7 * (number - 1) + days);
  const measured = { instrument: "Laser diffraction A" };
  write(
    `ceria/lots/${id}.json`,
    json({
      name: `Ceria polish, lot 0${number}`,
      material: "ceria",
      densityGPerCm3: density,
      band: "ceria-target",
      note,
      dateMade: day(1),
      stages: {
        milled: {
          date: day(0),
          massInG: 6000,
          massOutG: 5340 + 10 * number,
          settings: [setting("wheel speed", speed, "rpm"), setting("gas flow", 95, "m³/h")],
        },
        "re-fired": {
          date: day(1),
          massInG: 5340 + 10 * number,
          massOutG: 5280 + 10 * number,
          settings: [setting("temperature", refireC, "°C")],
        },
      },
      results: [
        {
          stage: "re-fired",
          name: "BET area",
          value: Number(bet.toFixed(3)),
          unit: "m²/g",
          uncertainty: 0.015,
          note: "",
          date: day(3),
          method: "nitrogen, five points",
        },
      ],
      tables: [
        { file: "milled.csv", stage: "milled", day: day(1), ...measured },
        { file: "re-fired.csv", stage: "re-fired", day: day(2), ...measured },
      ],
    }),
  );
  write(`ceria/lots/${id}/milled.csv`, table(runsOf(scaled(milled, groundUm / 1.45), 3)));
  write(`ceria/lots/${id}/re-fired.csv`, table(runsOf(product, 3)));
}

/** Typed limits alone: there is no reference powder to draw a curve from. */
function writeBand() {
  write(
    "ceria/bands/ceria-target.json",
    json({
      version: 1,
      name: "Ceria target",
      stage: "re-fired",
      densityGPerCm3: density,
      rule: "two-sided",
      rows: [
        { limit: "d10Um", low: 0.75, high: 1.0 },
        { limit: "d50Um", low: 1.45, high: 1.68 },
        { limit: "d90Um", low: 2.45, high: 2.95 },
        { limit: "largestClassUm", low: null, high: 10 },
      ],
      envelope: null,
    }),
  );
}

const settings = [
  [7000, 92, 4.0],
  [7800, 95, 3.6],
  [8500, 98, 4.4],
  [9200, 95, 4.0],
  [10000, 93, 3.5],
  [10800, 96, 4.2],
];

function writeMill() {
  write(
    "ceria/mill/mill.json",
    json({
      name: "Small jet mill",
      wheelRadiusM: 0.025,
      wheelHeightM: 0.03,
      freeAreaShare: 0.65,
      swirlRatio: 1,
      ratedSpeedRpm: 14000,
      gas: "air",
      temperatureC: 30,
      pressurePa: 99000,
      gasFlowM3PerH: 95,
      particleDensityGPerCm3: density,
    }),
  );
  const weighed = [];
  const trials = settings.map(([speed, flow, feed], i) => {
    const factor =
      (speed / 9000) ** -0.95 * (flow / 95) ** 0.5 * (feed / 4) ** 0.08 * Math.exp(0.02 * normal());
    const curve = run(scaled(milled, factor));
    if (i % 2 === 1)
      write(`ceria/mill/curves/trial-${i + 1}.csv`, table([curve]).replace("run 1", `trial ${i + 1}`));
    weighed.push(weighedRow(i, feed, feed * (0.93 - (0.01 * (speed - 7000)) / 500)));
    return [speed, flow, feed, ...[0.1, 0.5, 0.9].map((p) => sizeOf(curve, p).toFixed(3))].join(",");
  });
  const heading = "speedRpm,gasFlowM3PerH,feedKgPerH,d10Um,d50Um,d90Um";
  write("ceria/mill/trials.csv", [heading, ...trials, ""].join("\n"));
  write("ceria/mill/product.csv", [weighedHeading, ...weighed, ""].join("\n"));
}

/** Writes the ceria's lots, band, mill and trials. */
export function writeCeria() {
  seed(20260512);
  for (const lot of lots) writeLot(lot);
  writeBand();
  writeMill();
}
