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
import { joined, json, normal, runsOf, scaled, seed, table, write } from "./powder.mjs";

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
  22: { note: "On hold: the residual base was titrated twice, with different results.", hold: true },
  26: { note: "Necks: re-fired 45 °C hotter by mistake; part of the grains grew together.", necks: 0.16 },
  29: { note: "Split after milling: lots 30 and 31 are its halves.", isSplit: true },
  30: { note: "First half of lot 29, re-fired at the lower temperature.", half: 29, refireC: 1470 },
  31: { note: "Second half of lot 29, re-fired at the higher temperature.", half: 29, refireC: 1550 },
  34: { note: "Blend of lots 32 and 33, one half of each.", blend: [32, 33] },
  33: { note: "Two portions of one drum, divided by a riffler.", portions: 2 },
  35: { note: "Two portions: the second was drawn a day later from the bottom of the drum.", portions: 2 },
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
  return { number, told, firingC, excess, dopant, speed, flow, refireC, firedUm, ground, product };
}

const setting = (name, value, unit) => ({ name, value: String(value), unit });

function resultsOf(lot) {
  const { excess, refireC, ground, product, firedUm } = lot;
  const firedArea = 6 / (density * firedUm * Math.exp(-(Math.log(1.9) ** 2) / 2));
  const fired = 0.06 + 0.03 * (excess - 2);
  const milled = fired + 0.05 * (areaOf(ground) - firedArea);
  const bet = areaOf(product) * 1.31 * Math.exp(-0.0012 * (refireC - 1500) + 0.02 * normal());
  const base = (stage, value) => ({
    stage,
    name: "residual base",
    value: Number((value * Math.exp(0.03 * normal())).toFixed(4)),
    unit: "wt %",
    uncertainty: 0.003,
    note: "",
  });
  const area = { stage: "re-fired", name: "BET area", value: Number(bet.toFixed(3)), unit: "m²/g" };
  const refired = base("re-fired", 0.45 * milled);
  return lot.told.isSplit === true
    ? [base("milled", milled)]
    : [base("milled", milled), refired, { ...area, uncertainty: 0.008, note: "" }];
}

/** Where a lot came from, and how it stands: for a reader that keeps such things. */
function originOf({ told }) {
  return {
    ...(told.half === undefined
      ? {}
      : { parents: [{ lot: `doped-${told.half}`, stage: "milled", share: 1 }] }),
    ...(told.blend === undefined
      ? {}
      : { parents: told.blend.map((of) => ({ lot: `doped-${of}`, stage: "re-fired", share: 0.5 })) }),
    ...(told.hold === true ? { state: "on hold" } : {}),
  };
}

const isBlend = (lot) => lot.told.blend !== undefined;

function settingsOf(lot) {
  if (isBlend(lot)) return {};
  const { firingC, excess, dopant, speed, flow, refireC, told } = lot;
  return {
    fired: [
      setting("temperature", firingC, "°C"),
      setting("excess", excess, "%"),
      setting("dopant level", dopant, "mol %"),
    ],
    milled: [setting("wheel speed", speed, "rpm"), setting("gas flow", flow, "m³/h")],
    ...(told.isSplit === true ? {} : { "re-fired": [setting("temperature", refireC, "°C")] }),
  };
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
  for (const lot of lots.values()) writeOne(lot);
}

const sameUntilMilled = ({ firingC, excess, dopant, speed, flow, firedUm, ground }) => ({
  firingC,
  excess,
  dopant,
  speed,
  flow,
  firedUm,
  ground,
});

/** What a half becomes: its parent's milled powder grown at its own temperature. */
function halfOf({ refireC }, { ground, product }) {
  const growth = 1.12 * Math.exp(0.0018 * (refireC - 1500));
  return scaled(product, (ground[0].median * growth) / product[0].median);
}

function writeOne(lot) {
  const id = `doped-${lot.number}`;
  write(
    `campaign/${id}.json`,
    json({
      name: `Garnet doped, lot ${lot.number}`,
      material: "yttrium aluminium garnet, doped",
      densityGPerCm3: density,
      band: "garnet-target",
      note: lot.told.note ?? "",
      settings: settingsOf(lot),
      results: resultsOf(lot),
      ...originOf(lot),
    }),
  );
  const isWhole = lot.number % 3 === 1 || lot.told.isSplit === true;
  if (isWhole && !isBlend(lot) && lot.told.half === undefined)
    write(`campaign/${id}/milled.csv`, table(runsOf(lot.ground, 3)));
  if (lot.told.isSplit === true) return;
  write(`campaign/${id}/re-fired.csv`, table(runsOf(lot.product, 5)));
  // From the bottom of a drum comes a little more of the fines.
  if (lot.told.portions !== undefined)
    write(`campaign/${id}/re-fired-portion-2.csv`, table(runsOf(scaled(lot.product, 0.985), 3)));
}
