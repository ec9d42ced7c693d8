import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";

/** One run of a lot: how it departs from the lot's own curve. All zero is the lot itself. */
export interface Departure {
  /** Of every size, in ln. */
  readonly shiftLn: number;
  /** Of the width, relative. */
  readonly width: number;
  /** Of the share of fines, relative. */
  readonly fines: number;
}

export interface SimulatedPowder {
  readonly name: string;
  readonly undersize: (sizeUm: number, run: Departure) => number;
}

const fineTail = (x: number, { shiftLn, fines }: Departure, weight: number) => {
  // A departure of more than the whole leaves none: less than none is no powder.
  const w = Math.min(1, weight * Math.max(0, 1 + fines));
  return {
    w,
    q: logNormal.cdf({ medianUm: 0.6 * Math.exp(shiftLn), gsd: 1.5 }, x),
  };
};

/** Invented powders of the shapes that a mill and a furnace leave. */
export const powders: readonly SimulatedPowder[] = [
  {
    name: "log-normal with 2 % fines",
    undersize: (x, run) => {
      const { w, q } = fineTail(x, run, 0.02);
      const main = { medianUm: 3 * Math.exp(run.shiftLn), gsd: 1.6 ** (1 + run.width) };
      return w * q + (1 - w) * logNormal.cdf(main, x);
    },
  },
  {
    name: "Rosin–Rammler with 4 % fines",
    undersize: (x, run) => {
      const { w, q } = fineTail(x, run, 0.04);
      const main = { characteristicUm: 8 * Math.exp(run.shiftLn), spreadExponent: 1.8 / (1 + run.width) };
      return w * q + (1 - w) * rosinRammler.cdf(main, x);
    },
  },
  {
    name: "two humps, a third of it agglomerates",
    undersize: (x, run) => {
      const fine = { medianUm: 2.5 * Math.exp(run.shiftLn), gsd: 1.5 ** (1 + run.width) };
      const coarse = { medianUm: 14 * Math.exp(run.shiftLn), gsd: 1.45 ** (1 + run.width) };
      const w = Math.min(1, 0.33 * Math.max(0, 1 + run.fines));
      return (1 - w) * logNormal.cdf(fine, x) + w * logNormal.cdf(coarse, x);
    },
  },
];

export const unmoved: Departure = { shiftLn: 0, width: 0, fines: 0 };

const edges = Array.from({ length: 51 }, (_, i) => 0.08 * 1000 ** (i / 50));

/** The powder as a measurement of fifty classes shows it. */
export function measure(powder: SimulatedPowder, run: Departure): SizeDistribution {
  const q = edges.map((x) => powder.undersize(x, run));
  return sizeDistribution({
    quantity: "volume",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
    belowShare: q[0] ?? 0,
    aboveShare: 1 - (q.at(-1) ?? 1),
  });
}
