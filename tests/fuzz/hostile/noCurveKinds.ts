import type { KindOf, Pen } from "./kind.ts";

// Tables of numbers that are no size distribution, however much their words speak of sizes: nothing may be read of them
// without a question.

const unsayable = {
  quantity: "?",
  scale: "?",
  unit: "?",
  empty: "?",
  sum: "?",
  layout: "?",
  decimal: "?",
  edge: "?",
  values: "?",
};

const none = (what: string, rows: readonly (readonly string[])[]) => ({
  what,
  rows,
  truth: [],
  quantity: "volume" as const,
  answers: unsayable,
  states: [],
  refusable: true,
  hasNotes: true,
});
const about = ({ draw, n }: Pen, value: number, digits = 3) =>
  n(Number((value * (0.9 + 0.2 * draw.unit())).toPrecision(digits)));

/** Lots with their D10, D50, D90 and what was measured beside. */
const lotsList: KindOf = (pen) => {
  const { draw } = pen;
  const heads = ["D10", "D50", "D90", "span", "BET m2/g", "yield %", "wheel rpm"].slice(0, draw.whole(3, 7));
  const values = [0.62, 3.1, 9.4, 2.8, 2.1, 96, 8000];
  const name = draw.pick([
    (i: number) => `YG-${i + 1}`,
    (i: number) => String(i + 1),
    (i: number) => String(2026_001 + i),
  ]);
  const lots = Array.from({ length: draw.whole(5, 30) }, (_, i) => [
    name(i),
    ...heads.map((_, k) => about(pen, values[k] ?? 1)),
  ]);
  const unit = draw.pick(["", " µm", " (um)"]);
  return none(`lots with ${heads.length} figures`, [
    ["lot", ...heads.map((h, i) => (i < 3 ? `${h}${unit}` : h))],
    ...lots,
  ]);
};

/** Each particle with what a picture shows of it. */
const particles: KindOf = (pen) => {
  const { draw } = pen;
  const rows = Array.from({ length: draw.whole(20, 80) }, (_, i) => {
    const d = 0.5 + 5 * draw.unit();
    return [String(i + 1), about(pen, d), about(pen, 0.785 * d * d), about(pen, 3.14 * d), about(pen, 0.85)];
  });
  return none("particles one by one", [
    ["no.", "diameter µm", "area µm2", "perimeter µm", "circularity"].slice(0, 5),
    ...rows,
  ]);
};

/** A spectrum: wavelengths or angles with what was counted. */
const spectrum: KindOf = (pen) => {
  const { draw, n } = pen;
  const [head, from, step] = draw.pick([
    ["wavelength (nm)", 300, 5],
    ["wavelength nm", 450, 1],
    ["2 theta (°)", 20, 0.1],
    ["energy (keV)", 0.1, 0.05],
    ["wavenumber (1/cm)", 400, 10],
    ["Wellenlänge [nm]", 380, 5],
    ["raman shift", 100, 4],
  ] as const);
  const value = draw.pick([
    "intensity",
    "counts",
    "reflectance %",
    "absorbance",
    "transmission %",
    "emission (a.u.)",
  ]);
  const times = value.endsWith("%") ? 90 : 1000;
  const rows = Array.from({ length: 60 }, (_, i) => {
    const peak = Math.exp(-(((i - 30) / 8) ** 2));
    return [n(Number((from + i * step).toFixed(3))), about(pen, times * (0.05 + peak), 4)];
  });
  return none(`${head} and ${value}`, [[head, value], ...rows]);
};

/** What is lost or found over time or temperature. */
const overTime: KindOf = (pen) => {
  const { draw, n } = pen;
  const [head, step] = draw.pick([
    ["time (min)", 5],
    ["temperature (°C)", 25],
    ["milling time h", 1],
    ["Zeit [s]", 10],
    ["speed (rpm)", 500],
    ["pressure (bar)", 0.5],
  ] as const);
  const value = draw.pick([
    "D50 (µm)",
    "mass %",
    "weight (%)",
    "surface area (m2/g)",
    "fines < 1 µm (%)",
    "yield %",
    "recovery volume %",
  ]);
  const isFalling = draw.chance(0.5);
  const rows = Array.from({ length: 20 }, (_, i) => {
    const part = i / 19;
    return [n(step * (i + 1)), n(Number((isFalling ? 100 - 40 * part : 2 + 90 * part).toFixed(2)))];
  });
  return none(`${head} and ${value}, ${isFalling ? "falling" : "rising"}`, [[head, value], ...rows]);
};

/** What a standard should be and what was found. */
const calibration: KindOf = (pen) => {
  const { n } = pen;
  const nominal = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50];
  return none("nominal and found sizes", [
    ["nominal size (µm)", "found (µm)", "difference (%)"],
    ...nominal.map((x) => [n(x), about(pen, x), about(pen, 2)]),
  ]);
};

/** Sieves with the limits that a standard or a customer sets, and nothing measured. */
const limits: KindOf = (pen) => {
  const { draw, n } = pen;
  const sizes = [0.5, 1, 2, 5, 10, 20];
  const rows = sizes.map((x, i) => [n(x), n(5 + 15 * i), n(15 + 16 * i)]);
  return none("limits only", [
    [
      "size (µm)",
      draw.pick(["min passing %", "lower limit %", "from %"]),
      draw.pick(["max passing %", "upper limit %", "to %"]),
    ],
    ...rows,
  ]);
};

export const noCurveKinds: readonly KindOf[] = [lotsList, particles, spectrum, overTime, calibration, limits];
