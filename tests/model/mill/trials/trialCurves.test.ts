import { describe, expect, test } from "vitest";
import { askWheel } from "#api/queries/mill.ts";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { curvesByVolume } from "#model/mill/trials/trialCurves.ts";
import { demoMill, demoTrials } from "../demo.ts";

const gsd = 1.6;
const medianUm = { number: 1.548, volume: 1.548 * Math.exp(3 * Math.log(gsd) ** 2) };

function curve(quantity: "number" | "volume", from = 0.1): SizeDistribution {
  const edges = Array.from({ length: 121 }, (_, i) => from * (60 / from) ** (i / 120));
  const below = edges.map((x) => logNormal.cdf({ medianUm: medianUm[quantity], gsd }, x));
  const shares = edges.slice(1).map((_, i) => (below[i + 1] ?? 0) - (below[i] ?? 0));
  return sizeDistribution({
    quantity,
    measuredAs: quantity,
    inClass: "log-uniform",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares,
    belowShare: below[0] ?? 0,
    aboveShare: 1 - (below[120] ?? 1),
  });
}
const named = (name: string, distribution: SizeDistribution) => ({ file: null, name, distribution });

describe("whole curves of trials", () => {
  test("one by number is turned into volume (Hatch and Choate 1929: D50 times exp(3 ln² gsd)), and says so", () => {
    const { curves, problems } = curvesByVolume([named("trial 1", curve("number"))]);
    const d50 = curves[0] === undefined ? null : sizeAt(curveOf(curves[0].distribution), 0.5);
    expect((d50 ?? 0) / medianUm.volume).toBeCloseTo(1, 2);
    expect(problems.map((p) => p.severity)).toEqual(["note"]);
    expect(problems[0]?.message).toMatch(/^The wheel plan is by volume: trial 1 is measured by number/);
  });
  test("one whose fines are not known is refused; the others stay", () => {
    const { curves, problems } = curvesByVolume([
      named("open", curve("number", 1)),
      named("whole", curve("volume")),
    ]);
    expect(curves.map((m) => m.name)).toEqual(["whole"]);
    expect(problems.map((p) => [p.severity, p.measurement])).toEqual([["refused", "open"]]);
  });
  test("a plan takes the same shape from a curve by number as from the same powder by volume", () => {
    const chance = (quantity: "number" | "volume") => {
      const answer = askWheel(
        {
          mill: demoMill,
          trials: demoTrials,
          refire: [],
          problems: [],
          band: {
            version: 1,
            name: "b",
            stage: "milled",
            densityGPerCm3: 4.55,
            rule: "two-sided",
            rows: [{ limit: "belowShare", sizeUm: 1.5, low: null, high: 0.04 }],
            envelope: null,
          },
          curves: [named("trial 1", curve(quantity))],
        },
        { speed: "5000" },
      );
      return { chance: answer.inBand?.probability ?? Number.NaN, said: answer.problems.length };
    };
    const [byNumber, direct] = [chance("number"), chance("volume")];
    expect(direct.chance).toBeGreaterThan(0.02);
    expect(direct.chance).toBeLessThan(0.98);
    expect(Math.abs(byNumber.chance - direct.chance)).toBeLessThan(0.01);
    expect([byNumber.said, direct.said]).toEqual([1, 0]);
  });
});
