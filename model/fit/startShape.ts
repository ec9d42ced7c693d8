import { type Curve, sizeAt } from "#distributions/curve.ts";
import type { Mixture, MixtureComponent } from "#distributions/families/mixture.ts";
import { itemAt, neighbours } from "#distributions/lists.ts";
import type { Shape } from "./solveFamily.ts";

/** The measured median and width of the share that was seen; null where the curve does not rise. */
export function shapeOf(curve: Curve): Shape | null {
  const d16 = sizeWithin(curve, 0.16);
  const d50Um = sizeWithin(curve, 0.5);
  const d84 = sizeWithin(curve, 0.84);
  if (d16 === null || d50Um === null || d84 === null || !(d84 > d16)) return null;
  return { d50Um, widthLn: Math.log(d84 / d16) };
}

/** Where each start cuts the curve into components, as shares of what was seen. */
const cuts: Readonly<Record<2 | 3, readonly (readonly number[])[]>> = {
  2: [[0.5], [0.12], [0.88], [0.03]],
  3: [
    [0.33, 0.67],
    [0.1, 0.6],
    [0.4, 0.9],
  ],
};

/** Mixtures whose components each stand for a stretch of the measured curve. */
export function mixtureStarts(curve: Curve, count: 2 | 3): Mixture[] {
  return cuts[count].map((inner) => {
    const components = neighbours([0, ...inner, 1]).map(([from, to]): MixtureComponent => {
      const at = (part: number) => sizeWithin(curve, from + part * (to - from)) ?? 1;
      const sigma = Math.max(Math.log(at(0.84) / at(0.16)) / 2, 0.08);
      return { weight: to - from, medianUm: at(0.5), gsd: Math.exp(sigma) };
    });
    return { components };
  });
}

function sizeWithin(curve: Curve, part: number): number | null {
  const lowest = itemAt(curve.undersize, 0);
  const highest = itemAt(curve.undersize, -1);
  return sizeAt(curve, Math.min(lowest + part * (highest - lowest), 1));
}
