import { describe, expect, test } from "vitest";
import type { SlidFamily } from "#distributions/families/family.ts";
import { gatesGaudinSchuhmann } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { logLogistic } from "#distributions/families/logLogistic.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { leastSquares } from "#model/fit/leastSquares.ts";
import { centred, newtonFit } from "#model/fit/newton.ts";

const lns = Array.from({ length: 24 }, (_, i) => -1.5 + 0.17 * i);
/** A log-normal with a wave on it, so that no family fits it exactly. */
const shares = lns.map((x, i) => logNormal.form.undersize((x - 0.6) / 0.5) + 0.01 * Math.sin(1.7 * i));
const bounds = { lowest: [-20, -9], highest: [20, 4] };

function check<P>(family: SlidFamily<P>, start: readonly [number, number], mostSteps: number) {
  const found = newtonFit(family.form, centred(lns), shares, start);
  const general = leastSquares(
    { model: { value: family.free.undersize, slopes: family.free.slopes }, xs: lns, ys: shares, bounds },
    start,
  );
  if (found === null) throw new Error("no floor was found");
  // Two routes to one floor: the general engine is certified on the NIST problems.
  for (const [i, v] of found.parameters.entries()) expect(v).toBeCloseTo(general.parameters[i] ?? 9, 9);
  expect(found.sumOfSquares).toBeCloseTo(general.sumOfSquares, 14);
  expect(found.status).toBe("converged");
  // Newton doubles its digits at each step near the floor; a wrong gradient or curvature needs many more.
  expect(found.iterations).toBeLessThanOrEqual(mostSteps);
  for (const [i, row] of (found.covariance ?? []).entries())
    for (const [j, v] of row.entries()) expect(v / (general.covariance?.[i]?.[j] ?? 0)).toBeCloseTo(1, 6);
  expect(found.covariance?.length).toBe(2);
}

describe("Newton's fit ends where the general engine does, in few steps", () => {
  test("log-normal", () => check(logNormal, [0.5, Math.log(0.45)], 8));
  test("Rosin–Rammler", () => check(rosinRammler, [0.8, Math.log(0.5)], 8));
  test("log-logistic", () => check(logLogistic, [0.5, Math.log(0.25)], 8));
  test("from a start several widths off", () => {
    check(logNormal, [1.6, Math.log(1.2)], 14);
    check(logNormal, [-0.2, Math.log(0.2)], 14);
  });
});

describe("where there is no floor to find it says so", () => {
  const form = logNormal.form;
  test("two points hold two parameters, and leave nothing for errors", () => {
    const found = newtonFit(form, centred([0, 1]), [form.undersize(-0.5), form.undersize(1.5)], [0.3, 0]);
    // Worked by hand: u = −0.5 at 0 and 1.5 at 1, so the slope is 2 and the location 0.25.
    expect(found?.parameters[0]).toBeCloseTo(0.25, 10);
    expect(Math.exp(found?.parameters[1] ?? 0)).toBeCloseTo(0.5, 10);
    expect(found?.covariance).toBeNull();
  });
  test("three points leave one degree of freedom", () => {
    expect(newtonFit(form, centred([0, 1, 2]), [0.2, 0.6, 0.8], [0.8, 0])?.covariance).not.toBeNull();
  });
  test("one size", () => expect(newtonFit(form, centred([1, 1, 1]), [0.4, 0.5, 0.6], [1, 0])).toBeNull());
  test("a start with no slope at any point", () => {
    expect(newtonFit(form, centred(lns), shares, [0.6, -9])).toBeNull();
    expect(newtonFit(gatesGaudinSchuhmann.form, centred(lns), shares, [-9, 0])).toBeNull();
  });
});
