import type { Curve } from "#distributions/curve.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import type { Band, RowCheck } from "#model/band/band.ts";
import { evenSteps, geometricSteps } from "#model/numbers/evenSteps.ts";

// What the gallery draws: closed forms with round numbers, the same on every machine and every day.

export const sizesUm = geometricSteps(0.2, 40, 121);

/** A log-normal powder of a median and a geometric standard deviation. */
export function powder(medianUm: number, gsd: number): Curve {
  const edgesUm = geometricSteps(0.1, 100, 73);
  const undersize = edgesUm.map((x) => normalForm.undersize(Math.log(x / medianUm) / Math.log(gsd)));
  return { edgesUm, undersize: [0, ...undersize.slice(1, -1), 1], power: 0 };
}

const around = geometricSteps(0.3, 20, 49);
const shareOf = (medianUm: number) => (x: number) =>
  normalForm.undersize(Math.log(x / medianUm) / Math.log(1.6));

export const band: Band = {
  version: 1,
  name: "a band for the gallery",
  stage: "re-fired",
  densityGPerCm3: 4.55,
  rule: "two-sided",
  rows: [],
  envelope: {
    sizesUm: around,
    lowShares: around.map(shareOf(3.4)),
    highShares: around.map(shareOf(2.8)),
  },
};

const row = (change: Partial<RowCheck>): RowCheck => ({
  limit: "d50Um",
  value: 3.1,
  low: 2.8,
  high: 3.4,
  interval: { low: 3, high: 3.2, level: 0.95 },
  verdict: "in band",
  probability: 0.99,
  ...change,
});

/** One limit in each state it can be in. */
export const rows: readonly RowCheck[] = [
  row({}),
  row({
    limit: "d10Um",
    value: 1.6,
    low: 1.5,
    high: 1.9,
    interval: { low: 1.4, high: 1.8, level: 0.95 },
    verdict: "on the edge",
    probability: 0.8,
  }),
  row({
    limit: "d90Um",
    value: 6.9,
    low: 5,
    high: 6.2,
    interval: { low: 6.7, high: 7.1, level: 0.95 },
    verdict: "out of band",
    probability: 0.001,
  }),
  row({
    limit: "span",
    value: 1.7,
    low: null,
    high: 1.8,
    interval: null,
    verdict: "too few runs",
    probability: null,
  }),
  row({
    limit: "surfaceM2PerG",
    value: null,
    low: 0.4,
    high: 0.7,
    interval: null,
    verdict: "too few runs",
    probability: null,
  }),
];

export const speedsRpm = evenSteps(3000, 9000, 61);
/** D50 that falls with speed, and ribbons that widen away from the trials. */
export const d50Um = speedsRpm.map((rpm) => 3 * (6000 / rpm) ** 0.9);
export const widening = speedsRpm.map((rpm) => 0.06 + Math.abs(rpm - 6000) / 30000);
