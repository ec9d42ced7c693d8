import { inside, positive, size } from "./checks.ts";
import { type SlidFamily, type StandardForm, slidForm } from "./family.ts";

export interface GatesGaudinSchuhmann {
  /** The size that everything is finer than. */
  readonly topUm: number;
  /** Slope of ln Q against ln x. */
  readonly exponent: number;
}

/** The curve below its top, followed on beyond it. */
export const risingForm: StandardForm = { undersize: Math.exp, slope: Math.exp, curvature: Math.exp };

const form: StandardForm = {
  undersize: (u) => Math.exp(Math.min(u, 0)),
  slope: (u) => (u < 0 ? Math.exp(u) : 0),
  curvature: (u) => (u < 0 ? Math.exp(u) : 0),
};

/**
 * Undersize (x/x_top)^m up to the top size, then 1: a straight line in a plot of ln Q against ln x.
 * Domain: top and exponent above 0. Moments x_top^k m/(m + k), for k > −m. Accuracy: exact to rounding.
 * Source: Gates (1915), Gaudin (1926), Schuhmann (1940), as in ISO 9276-3's list of models (from memory).
 */
export const gatesGaudinSchuhmann: SlidFamily<GatesGaudinSchuhmann> = {
  name: "gates-gaudin-schuhmann",
  form,
  cdf: (p, sizeUm) => (size(sizeUm) >= top(p) ? 1 : (sizeUm / top(p)) ** exponent(p)),
  oversize: (p, sizeUm) =>
    size(sizeUm) >= top(p) ? 0 : -Math.expm1(exponent(p) * Math.log(sizeUm / top(p))),
  quantile: (p, fraction) => top(p) * inside(fraction) ** (1 / exponent(p)),
  quantileOfOversize: (p, fraction) => top(p) * Math.exp(Math.log1p(-inside(fraction)) / exponent(p)),
  pdfPerLn: (p, sizeUm) => (size(sizeUm) > top(p) ? 0 : exponent(p) * (sizeUm / top(p)) ** exponent(p)),
  moment: (p, k) => (k > -exponent(p) ? (top(p) ** k * p.exponent) / (p.exponent + k) : null),
  start: (d50Um, widthLn) => {
    const m = Math.log(0.84 / 0.16) / widthLn;
    return { topUm: d50Um * 2 ** (1 / m), exponent: m };
  },
  free: slidForm(form, {
    toFree: (p) => [Math.log(top(p)), -Math.log(exponent(p))],
    fromFree: (location, lnScale) => ({ topUm: Math.exp(location), exponent: Math.exp(-lnScale) }),
    parameterSlopes: (location, lnScale) => [
      [Math.exp(location), 0],
      [0, -Math.exp(-lnScale)],
    ],
  }),
};

const top = (p: GatesGaudinSchuhmann) => positive("topUm", p.topUm);
const exponent = (p: GatesGaudinSchuhmann) => positive("exponent", p.exponent);
