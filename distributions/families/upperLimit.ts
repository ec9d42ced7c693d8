import { threeOf } from "../lists.ts";
import { inside, positive, size } from "./checks.ts";
import type { Family } from "./family.ts";
import { normalDeviate } from "./normalDeviate.ts";
import { normalForm } from "./normalForm.ts";

/** t = x/(top − x) is log-normal: its median, and the standard deviation of ln t. */
export interface UpperLimitLogNormal {
  readonly topUm: number;
  readonly transformedMedian: number;
  readonly logSd: number;
}

/**
 * ln(x/(top − x)) follows a normal curve: a log-normal that ends at a largest size.
 * As the top goes to infinity it becomes the log-normal; a fit that wants that ends at its bound and says so.
 * Domain: all three above 0. Accuracy: moments by the trapezoidal rule in the normal deviate, 1e-12 for |k| up to 4.
 * Source: Mugele and Evans (1951), from memory; docs/science.md.
 */
export const upperLimitLogNormal: Family<UpperLimitLogNormal> = {
  name: "upper-limit-log-normal",
  cdf: (p, sizeUm) => normalForm.undersize(deviate(p, sizeUm)),
  oversize: (p, sizeUm) => normalForm.undersize(-deviate(p, sizeUm)),
  quantile: (p, fraction) => at(p, normalDeviate(inside(fraction))),
  quantileOfOversize: (p, fraction) => at(p, -normalDeviate(inside(fraction))),
  // d ln t / d ln x = top/(top − x)
  pdfPerLn: (p, sizeUm) =>
    size(sizeUm) >= p.topUm
      ? 0
      : (normalForm.slope(deviate(p, sizeUm)) * p.topUm) / ((p.topUm - sizeUm) * p.logSd),
  moment: (p, k) => {
    let sum = 0;
    for (let z = -reach; z <= reach; z += step) sum += at(p, z) ** k * normalForm.slope(z);
    return sum * step;
  },
  free: {
    // ln of the median size, of the deviation, and of how many medians lie above the median: steady as the top recedes.
    toFree: (p) => [
      Math.log((p.topUm * p.transformedMedian) / (1 + p.transformedMedian)),
      Math.log(p.logSd),
      -Math.log(p.transformedMedian),
    ],
    fromFree: (free) => {
      const [lnMedian, lnSd, lnRoom] = threeOf(free);
      return {
        topUm: Math.exp(lnMedian) * (1 + Math.exp(lnRoom)),
        transformedMedian: Math.exp(-lnRoom),
        logSd: Math.exp(lnSd),
      };
    },
    undersize: (free) => {
      const coordinates = threeOf(free);
      return (lnUm) => {
        const z = freeDeviate(coordinates, lnUm);
        return z === null ? 1 : normalForm.undersize(z);
      };
    },
    slopes: (free) => {
      const coordinates = threeOf(free);
      const [lnMedian, lnSd, lnRoom] = coordinates;
      const room = Math.exp(lnRoom);
      return (lnUm) => {
        const z = freeDeviate(coordinates, lnUm);
        if (z === null) return [0, 0, 0];
        const left = 1 + room - Math.exp(lnUm - lnMedian);
        const slope = normalForm.slope(z);
        const perSd = slope / Math.exp(lnSd);
        return [(-perSd * (1 + room)) / left, -slope * z, perSd * (1 - room / left)];
      };
    },
    parameterSlopes: (free) => {
      const [lnMedian, lnSd, lnRoom] = threeOf(free);
      const median = Math.exp(lnMedian);
      const room = Math.exp(lnRoom);
      return [
        [median * (1 + room), 0, median * room],
        [0, 0, -1 / room],
        [0, Math.exp(lnSd), 0],
      ];
    },
  },
};

const reach = 12;
const step = 1 / 16;

/** z = [ln(x/(top − x)) − ln(x50/(top − x50))]/sd, in the free coordinates; null from the top on. */
function freeDeviate(
  [lnMedian, lnSd, lnRoom]: readonly [number, number, number],
  lnUm: number,
): number | null {
  const left = 1 + Math.exp(lnRoom) - Math.exp(lnUm - lnMedian);
  return left <= 0 ? null : (lnUm - lnMedian + lnRoom - Math.log(left)) / Math.exp(lnSd);
}

function deviate(p: UpperLimitLogNormal, sizeUm: number): number {
  const { topUm, transformedMedian, logSd } = p;
  positive("topUm", topUm);
  if (size(sizeUm) >= topUm) return Number.POSITIVE_INFINITY;
  return (
    Math.log(sizeUm / (topUm - sizeUm) / positive("transformedMedian", transformedMedian)) /
    positive("logSd", logSd)
  );
}

function at(p: UpperLimitLogNormal, z: number): number {
  const t = p.transformedMedian * Math.exp(p.logSd * z);
  return t === Number.POSITIVE_INFINITY ? p.topUm : (p.topUm * t) / (1 + t);
}
