import { inside, positive, size } from "./checks.ts";
import { type SlidFamily, type StandardForm, slidForm } from "./family.ts";

export interface LogLogistic {
  readonly medianUm: number;
  /** Slope of logit Q against ln x; large is narrow. */
  readonly exponent: number;
}

const undersize = (u: number) => 1 / (1 + Math.exp(-u));
const slope = (u: number) => undersize(u) * undersize(-u);
const form: StandardForm = {
  undersize,
  slope,
  curvature: (u) => slope(u) * (undersize(-u) - undersize(u)),
};

/**
 * Undersize 1/(1 + (x/x50)^−m).
 * Domain: median and exponent above 0. Moments x50^k (πk/m)/sin(πk/m), for |k| < m.
 * Accuracy: the upper tail from its own form, so tiny shares keep their digits.
 * Source: the logistic curve in ln x (statistics); moments of the log-logistic law.
 */
export const logLogistic: SlidFamily<LogLogistic> = {
  name: "log-logistic",
  form,
  cdf: (p, sizeUm) => undersize(deviate(p, sizeUm)),
  oversize: (p, sizeUm) => undersize(-deviate(p, sizeUm)),
  quantile: (p, fraction) => at(p, Math.log(inside(fraction)) - Math.log1p(-fraction)),
  quantileOfOversize: (p, fraction) => at(p, Math.log1p(-inside(fraction)) - Math.log(fraction)),
  pdfPerLn: (p, sizeUm) => p.exponent * slope(deviate(p, sizeUm)),
  moment: (p, k) => {
    if (Math.abs(k) >= p.exponent) return null;
    const angle = (Math.PI * k) / p.exponent;
    return k === 0 ? 1 : (p.medianUm ** k * angle) / Math.sin(angle);
  },
  start: (d50Um, widthLn) => ({ medianUm: d50Um, exponent: (2 * Math.log(0.84 / 0.16)) / widthLn }),
  free: slidForm(form, {
    toFree: (p) => [Math.log(p.medianUm), -Math.log(p.exponent)],
    fromFree: (location, lnScale) => ({
      medianUm: Math.exp(location),
      exponent: Math.exp(-lnScale),
    }),
    parameterSlopes: (location, lnScale) => [
      [Math.exp(location), 0],
      [0, -Math.exp(-lnScale)],
    ],
  }),
};

function deviate(p: LogLogistic, sizeUm: number): number {
  return positive("exponent", p.exponent) * Math.log(size(sizeUm) / positive("medianUm", p.medianUm));
}

function at(p: LogLogistic, u: number): number {
  return positive("medianUm", p.medianUm) * Math.exp(u / positive("exponent", p.exponent));
}
