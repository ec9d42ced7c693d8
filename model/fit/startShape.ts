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
  2: [[0.5], [0.12], [0.88], [0.03], [0.97], [0.25], [0.75]],
  3: [
    [0.33, 0.67],
    [0.1, 0.6],
    [0.4, 0.9],
  ],
};

/** Where else a small narrow part may hide inside the main one, as shares of what was seen. */
const hidden = [0.1, 0.3, 0.5, 0.7, 0.9];
const hiddenWeight = 0.05;

/** Mixtures whose components each stand for a stretch of the measured curve. */
export function mixtureStarts(curve: Curve, count: 2 | 3): Mixture[] {
  return [
    ...cuts[count].map((inner) => cutInto(curve, inner)),
    ...(count === 2 ? hidden.map((at) => withHidden(curve, at)) : []),
  ];
}

function cutInto(curve: Curve, inner: readonly number[]): Mixture {
  const components = neighbours([0, ...inner, 1]).map(([from, to]): MixtureComponent => {
    const at = (part: number) => sizeInside(curve, from + part * (to - from));
    const sigma = Math.max(Math.log(at(0.84) / at(0.16)) / 2, 0.08);
    return { weight: to - from, medianUm: at(0.5), gsd: Math.exp(sigma) };
  });
  return { components };
}

function withHidden(curve: Curve, part: number): Mixture {
  const at = (share: number) => sizeInside(curve, share);
  const sigma = Math.max(Math.log(at(0.84) / at(0.16)) / 2, 0.08);
  return {
    components: [
      { weight: 1 - hiddenWeight, medianUm: at(0.5), gsd: Math.exp(sigma) },
      { weight: hiddenWeight, medianUm: at(part), gsd: Math.exp(sigma / 4) },
    ],
  };
}

function sizeWithin(curve: Curve, part: number): number | null {
  const lowest = itemAt(curve.undersize, 0);
  const highest = itemAt(curve.undersize, -1);
  return sizeAt(curve, Math.min(lowest + part * (highest - lowest), 1));
}

/** The same of a curve that rises, where a size is always found. */
function sizeInside(curve: Curve, part: number): number {
  return sizeWithin(curve, part) ?? 1;
}
