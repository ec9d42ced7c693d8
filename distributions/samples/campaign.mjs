// The demo's second garnet: the same line with a dopant, lots 13 to 36, each with how it was made and what else was found.
// It is a material of its own, so that nothing that is learned from it reaches the undoped host powder. All invented.
//
// What the numbers follow, so that the process page has something to find:
// - hotter first firing, coarser: fired D50 = 13.6 µm · exp(0.0035 · (T − 1600 °C)) · (1 + 0.04 · (excess − 2.5 %))
// - a faster wheel, finer: milled D50 = 3.05 µm · (speed / 6200 rpm)^−1.04 · (flow / 190 m³/h)^0.53 · (fired D50 / 13.6 µm)^0.06
// - hotter re-firing, coarser: growth = 1.12 · exp(0.0018 · (T − 1500 °C))
// - BET over geometric area falls as re-firing smooths the surface: 1.31 · exp(−0.0012 · (T − 1500 °C)), give or take 2 %
// - residual base rises with the excess and with the area that milling opens, and re-firing takes it back:
//   fired 0.06 + 0.03 · (excess − 2 %) wt %; milled 0.05 wt % more for each m²/g gained; re-fired 0.45 of that.
//
// A lot is made every fourth day: fired, milled three days later, re-fired the day after, measured on the next. Twenty
// kilograms go into the furnace; what comes out of each step is weighed.
import {
  dayAfter,
  joined,
  json,
  normal,
  run,
  runsOf,
  scaled,
  seed,
  sizeOf,
  table,
  write,
} from "./powder.mjs";

const density = 4.56;
const firstLot = 13;
const lastLot = 36;
const bigPieces = 12;

/** Lots that are there to show one thing. */
const special = {
  18: {
    note: "Lumps: the crucible was overfilled, and part of the powder came out as hard pieces.",
    lumps: 0.06,
  },
  22: { note: "The residual base was titrated twice, with different results.", isHeld: true },
  26: { note: "Necks: re-fired 45 °C hotter by mistake; part of the grains grew together.", necks: 0.16 },
  29: { note: "Split after milling: lots 30 and 31 are its halves.", isSplit: true },
  30: { note: "First half of lot 29, re-fired at the lower temperature.", half: 29, refireC: 1470 },
  31: { note: "Second half of lot 29, re-fired at the higher temperature.", half: 29, refireC: 1550 },
  34: { note: "Blend of lots 32 and 33, one half of each.", blend: [32, 33] },
  33: { note: "Two portions of one drum, divided by a riffler.", portions: "divided" },
  35: {
    note: "Two portions: the second was drawn a day later from the bottom of the drum.",
    portions: "from the bottom, a day later",
  },
};

/** Area of smooth spheres, m²/g: 6 over density and Sauter diameter; of a log-normal hump that is median · exp(−ln²gsd / 2). */
function areaOf(humps) {
  const whole = humps.reduce((sum, h) => sum + h.weight, 0);
  return humps.reduce(
    (sum, h) => sum + (6 * h.weight) / whole / (density * h.median * Math.exp(-(Math.log(h.gsd) ** 2) / 2)),
    0,
  );
}

const rounded = (value, step) => Math.round(value / step) * step;

/** How a lot was made: what was set, and what the powder became. */
function make(number, { milled, refired }) {
  const told = special[number] ?? {};
  const firingC = 1560 + 10 * ((number * 7) % 9);
  const excess = [2, 2.5, 3][number % 3];
  const dopant = [0.4, 0.7, 1.0, 1.3][number % 4];
  const speed = rounded(6200 + 40 * normal(), 10);
  const flow = rounded(190 + 2 * normal(), 1);
  const feed = Number((8 + 0.3 * normal()).toFixed(1));
  const refireC = told.refireC ?? rounded(1500 + 10 * normal(), 5) + (told.necks === undefined ? 0 : 45);
  const firedUm = 13.6 * Math.exp(0.0035 * (firingC - 1600)) * (1 + 0.04 * (excess - 2.5));
  const milledUm =
    3.05 *
    (speed / 6200) ** -1.04 *
    (flow / 190) ** 0.53 *
    (firedUm / 13.6) ** 0.06 *
    Math.exp(0.008 * normal());
  const growth = 1.12 * Math.exp(0.0018 * (Math.min(refireC, 1560) - 1500) + 0.004 * normal());
  const ground = scaled(milled, milledUm / milled[0].median);
  const grown = scaled(refired, (milledUm * growth) / refired[0].median);
  const withNecks = told.necks === undefined ? grown : joined(grown, told.necks, 2.4);
  const product = told.lumps === undefined ? withNecks : joined(withNecks, told.lumps, bigPieces);
  return { number, told, firingC, excess, dopant, speed, flow, feed, refireC, firedUm, ground, product };
}

const setting = (name, value, unit) => ({ name, value: String(value), unit });
const isBlend = (lot) => lot.told.blend !== undefined;
const isHalf = (lot) => lot.told.half !== undefined;
const dayOf = (lot, days) => dayAfter("2026-01-12", 4 * (lot.number - firstLot) + days);

/** What leaves a step, weighed to 10 g. */
const weighed = (massG, share) => rounded(massG * share * (1 + 0.004 * normal()), 10);

function residualBase(stage, value, date) {
  return {
    stage,
    name: "residual base",
    value: Number((value * Math.exp(0.03 * normal())).toFixed(4)),
    unit: "wt %",
    uncertainty: 0.003,
    note: "",
    date,
    method: "titration in water",
  };
}

/** Residual base in wt %, by the stage it is found on, before the scatter of titration. */
function baseOf({ excess, ground, firedUm }) {
  const firedArea = 6 / (density * firedUm * Math.exp(-(Math.log(1.9) ** 2) / 2));
  const milled = 0.06 + 0.03 * (excess - 2) + 0.05 * (areaOf(ground) - firedArea);
  return { milled, refired: 0.45 * milled };
}

function betOf(lot) {
  const ratio = 1.31 * Math.exp(-0.0012 * (lot.refireC - 1500) + 0.02 * normal());
  return {
    stage: "re-fired",
    name: "BET area",
    value: Number((areaOf(lot.product) * ratio).toFixed(3)),
    unit: "m²/g",
    uncertainty: 0.008,
    note: "",
    date: dayOf(lot, 6),
    method: "nitrogen, five points",
  };
}

/** What was found on a lot of its own; what was found on the powder that a half came from stands with that. */
function resultsOf(lot, lots) {
  const { milled, refired } = isBlend(lot)
    ? { refired: lot.told.blend.reduce((sum, of) => sum + baseOf(lots.get(of)).refired / 2, 0) }
    : baseOf(lot);
  const ofMilled = isBlend(lot) || isHalf(lot) ? [] : [residualBase("milled", milled, dayOf(lot, 4))];
  if (lot.told.isSplit === true) return ofMilled;
  const again = lot.told.isHeld === true ? [residualBase("re-fired", 1.35 * refired, dayOf(lot, 8))] : [];
  return [...ofMilled, residualBase("re-fired", refired, dayOf(lot, 6)), ...again, betOf(lot)];
}

/** Where the powder of a lot came from. */
function parentsOf({ told }) {
  if (told.half !== undefined)
    return { parents: [{ lot: `doped-${told.half}`, stage: "milled", share: 1, massG: 8500 }] };
  if (told.blend !== undefined)
    return {
      parents: told.blend.map((of) => ({ lot: `doped-${of}`, stage: "re-fired", share: 0.5, massG: 8000 })),
    };
  return {};
}

/** The stages of a lot that were done on it alone, each with its day, its masses and what was set. */
function stagesOf(lot) {
  if (isBlend(lot))
    return {
      "re-fired": {
        kind: "blended",
        date: dayOf(lot, 5),
        massInG: 16000,
        massOutG: weighed(16000, 0.998),
        settings: [setting("blending time", 30, "min")],
      },
    };
  const { firingC, excess, dopant, speed, flow, feed, refireC } = lot;
  const refiring = (massInG) => ({
    date: dayOf(lot, 4),
    massInG,
    massOutG: weighed(massInG, 0.985),
    settings: [setting("temperature", refireC, "°C")],
  });
  if (isHalf(lot)) return { "re-fired": refiring(8500) };
  const firedG = weighed(20000, 0.94);
  const milledG = weighed(firedG, yieldAt(speed));
  const until = {
    fired: {
      date: dayOf(lot, 0),
      massInG: 20000,
      massOutG: firedG,
      settings: [
        setting("temperature", firingC, "°C"),
        setting("excess", excess, "%"),
        setting("dopant level", dopant, "mol %"),
      ],
    },
    milled: {
      date: dayOf(lot, 3),
      massInG: firedG,
      massOutG: milledG,
      settings: [
        setting("wheel speed", speed, "rpm"),
        setting("gas flow", flow, "m³/h"),
        setting("feed", feed, "kg/h"),
      ],
    },
  };
  return lot.told.isSplit === true ? until : { ...until, "re-fired": refiring(milledG) };
}

/** Product over feed: a little leaves with the gas, the more the faster the wheel. */
const yieldAt = (speed) => 0.96 - 1e-5 * (speed - 3800);

const sampled = {
  1: { name: "portion 1", drawn: "one sample from the drum, divided by a riffler", massG: 40 },
  2: { name: "portion 2", drawn: "second part of the same sample, divided by a riffler", massG: 40 },
};
const fromBottom = { name: "portion 2", drawn: "scoop from the bottom of the drum", massG: 25 };

/** The tables of a lot, with the day of measurement and the portion measured where there were two. */
function tablesOf(lot) {
  const { product, ground, told } = lot;
  const isMilledMeasured = (lot.number % 3 === 1 || told.isSplit === true) && !isBlend(lot) && !isHalf(lot);
  const milled = { file: "milled.csv", stage: "milled", day: dayOf(lot, 4), runs: [ground, 3] };
  const day = dayOf(lot, 6);
  const first = { file: "re-fired.csv", stage: "re-fired", day, runs: [product, 5] };
  const laterDay = dayOf(lot, 7);
  // From the bottom of a drum comes a little more of the fines.
  const isLater = told.portions === "from the bottom, a day later";
  const portion = isLater ? { ...fromBottom, day: laterDay } : { ...sampled[2], day };
  const second = {
    ...first,
    file: "re-fired-portion-2.csv",
    day: portion.day,
    portion,
    runs: [isLater ? scaled(product, 0.985) : product, 3],
  };
  const refired =
    told.portions === undefined ? [first] : [{ ...first, portion: { ...sampled[1], day } }, second];
  return [...(isMilledMeasured ? [milled] : []), ...(told.isSplit === true ? [] : refired)];
}

/** Writes the lots of the doped garnet with their settings and results. */
export function writeCampaign(powders) {
  seed(20260505);
  const lots = new Map();
  for (let number = firstLot; number <= lastLot; number++) {
    const lot = make(number, powders);
    // A half has its parent's milling; a blend is half of each of two.
    const parent = lots.get(lot.told.half);
    const from =
      parent === undefined ? lot : { ...lot, ...sameUntilMilled(parent), product: halfOf(lot, parent) };
    const blended = (lot.told.blend ?? []).flatMap((of) =>
      lots.get(of).product.map((h) => ({ ...h, weight: h.weight / 2 })),
    );
    lots.set(number, isBlend(lot) ? { ...from, product: blended } : from);
  }
  for (const lot of lots.values()) writeOne(lot, lots);
  writeTrials(powders, lots);
}

const sameUntilMilled = ({ firingC, excess, dopant, speed, flow, feed, firedUm, ground }) => ({
  firingC,
  excess,
  dopant,
  speed,
  flow,
  feed,
  firedUm,
  ground,
});

/** What a half becomes: its parent's milled powder grown at its own temperature. */
function halfOf({ refireC }, { ground, product }) {
  const growth = 1.12 * Math.exp(0.0018 * (refireC - 1500));
  return scaled(product, (ground[0].median * growth) / product[0].median);
}

function writeOne(lot, lots) {
  const id = `doped-${lot.number}`;
  const tables = tablesOf(lot);
  const stages = stagesOf(lot);
  const results = resultsOf(lot, lots);
  const held = "Two titrations of the residual base differ by a third; a third one is asked for.";
  write(
    `campaign/${id}.json`,
    json({
      name: `Garnet doped, lot ${lot.number}`,
      material: "yttrium aluminium garnet, doped",
      densityGPerCm3: density,
      band: "garnet-target",
      note: lot.told.note ?? "",
      dateMade: dayOf(lot, isBlend(lot) ? 5 : lot.told.isSplit === true ? 3 : 4),
      ...parentsOf(lot),
      ...(lot.told.isHeld === true ? { state: { name: "on hold", by: "Operator B", why: held } } : {}),
      stages,
      results,
      tables: tables.map(({ runs: _, ...told }) => ({ ...told, instrument: "Laser diffraction A" })),
    }),
  );
  for (const { file, runs } of tables) write(`campaign/${id}/${file}`, table(runsOf(...runs)));
}

/** Wide of the usual speed, to learn what the wheel does to the doped powder. */
const wide = [
  [4600, 188, 7.5],
  [5300, 192, 8.2],
  [7100, 190, 8.0],
];

/** Trials of the pilot mill on the doped powder: the millings of lots that were measured milled, and three wide of them. */
function writeTrials({ milled }, lots) {
  const ofLots = [...lots.values()]
    .filter((lot) => tablesOf(lot).some(({ stage }) => stage === "milled"))
    .map((lot) => ({
      set: [lot.speed, lot.flow, lot.feed],
      curve: run(lot.ground),
      minutes: 60,
      sample: { lot: `doped-${lot.number}`, stage: "milled" },
    }));
  const others = wide.map(([speed, flow, feed]) => {
    const factor = (speed / 6200) ** -1.04 * (flow / 190) ** 0.53 * Math.exp(0.02 * normal());
    return { set: [speed, flow, feed], curve: run(scaled(milled, factor)), minutes: 30 };
  });
  const trials = [...ofLots, ...others].map(({ set: [speedRpm, gasFlowM3PerH, feedKgPerH], ...trial }, i) => {
    const [d10Um, d50Um, d90Um] = [0.1, 0.5, 0.9].map((p) => Number(sizeOf(trial.curve, p).toFixed(3)));
    // A product that was kept as the milled stage of a lot has its curve there.
    if (trial.sample === undefined)
      write(`mill/curves-doped/doped-${i + 1}.csv`, table([trial.curve]).replace("run 1", `doped ${i + 1}`));
    const productKgPerH = Number((feedKgPerH * yieldAt(speedRpm) * (1 + 0.004 * normal())).toFixed(2));
    return {
      name: `doped ${i + 1}`,
      trial: { speedRpm, gasFlowM3PerH, feedKgPerH, d10Um, d50Um, d90Um, productKgPerH },
      feedMassG: Math.round((feedKgPerH * 1000 * trial.minutes) / 60),
      productMassG: Math.round((productKgPerH * 1000 * trial.minutes) / 60),
      ...(trial.sample === undefined ? {} : { sample: trial.sample }),
    };
  });
  write("mill/trials-doped.json", json(trials));
}
