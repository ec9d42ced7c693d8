import { bisected } from "#distributions/bisection.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { tQuantile } from "./studentT.ts";

/** Places at which the scatter of the estimated SD is integrated. */
const places = 400;

/**
 * The chance that Student's test of two sides at a level finds an effect.
 *
 * @param noncentrality  the true effect over its standard error, ≥ 0
 * @param degrees        of the residual SD, ≥ 1
 * @param level          two-sided p-value below which a test is called, 0 < level < 1
 * Accuracy: 1e-6 against published tables of the power of the t test (tests). Source: noncentral t by its definition,
 * (Z + δ)/√(V/ν), integrated over √(V/ν) by Simpson's rule.
 */
export function powerOfT(noncentrality: number, degrees: number, level: number): number {
  const critical = tQuantile(1 - level / 2, degrees);
  const spread = 1 / Math.sqrt(2 * degrees);
  const [from, to] = [Math.max(1e-9, 1 - 9 * spread), 1 + 9 * spread + 2 / degrees];
  // The density of √(V/ν) up to a factor, on a log scale about its height at 1.
  const height = (s: number) => Math.exp((degrees - 1) * Math.log(s) - (degrees * (s * s - 1)) / 2);
  const found = (s: number) =>
    normalForm.undersize(noncentrality - critical * s) + normalForm.undersize(-noncentrality - critical * s);
  let [whole, share] = [0, 0];
  for (let i = 0; i <= places; i++) {
    const s = from + ((to - from) * i) / places;
    const weight = (i === 0 || i === places ? 1 : i % 2 === 1 ? 4 : 2) * height(s);
    whole += weight;
    share += weight * found(s);
  }
  return share / whole;
}

/** The noncentrality that a test finds with a given chance, by bisection. */
export function noncentralityFor(power: number, degrees: number, level: number): number {
  let high = 4;
  while (powerOfT(high, degrees, level) < power && high < 1e6) high *= 2;
  return bisected(0, high, 1e-9 * high, (at) => powerOfT(at, degrees, level) < power);
}
