import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type NamedMeasurement,
  quantities,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";

/** Distributions of every kind, the awkward ones too: nothing in the classes, most of it below, one class. */
const awkward = fc
  .record({
    first: fc.double({ min: 0.05, max: 5, noNaN: true }),
    weights: fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 8 }),
    below: fc.constantFrom(0, 0, 1, 5),
    above: fc.constantFrom(0, 0, 1, 5),
    quantity: fc.constantFrom(...quantities),
  })
  .map(({ first, weights, below, above, quantity }): SizeDistribution => {
    const sum = weights.reduce((a, b) => a + b, 0) + below + above || 1;
    const isEmpty = weights.every((w) => w === 0) && below + above === 0;
    const edges = [first];
    for (const _ of weights) edges.push((edges.at(-1) ?? 1) * 1.5);
    return sizeDistribution({
      quantity,
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: weights.map((w) => w / sum),
      belowShare: isEmpty ? 1 : below / sum,
      aboveShare: above / sum,
    });
  });
const lot = fc
  .array(awkward, { minLength: 1, maxLength: 4 })
  .map((all) =>
    all.map((distribution, i): NamedMeasurement => ({ file: null, name: `run ${i + 1}`, distribution })),
  );

/** Paths of numbers that are none, and whether there is a null below any of the named keys. */
function walk(value: unknown, path = ""): { bad: string[]; nulls: string[] } {
  if (typeof value === "number") return { bad: Number.isFinite(value) ? [] : [path], nulls: [] };
  if (value === null) return { bad: [], nulls: [path] };
  if (typeof value !== "object" || value === undefined) return { bad: [], nulls: [] };
  const parts = Object.entries(value)
    .filter(([key]) => !["problems", "file"].includes(key))
    .map(([key, part]) => walk(part, `${path}.${key}`));
  return { bad: parts.flatMap((p) => p.bad), nulls: parts.flatMap((p) => p.nulls) };
}

function isHonest(answer: { readonly problems: readonly unknown[]; readonly sentence?: string }): boolean {
  const { bad, nulls } = walk(answer);
  expect(bad).toEqual([]);
  expect(answer.sentence ?? "").not.toMatch(/NaN|Infinity|undefined|null/);
  return nulls.length === 0 || answer.problems.length > 0;
}

describe("no answer holds a number that is none, and a null never comes without a problem", () => {
  test("describe, whatever it is weighted by", () => {
    fc.assert(
      fc.property(lot, fc.constantFrom(...quantities), fc.boolean(), (runs, as, hasDensity) =>
        isHonest(describeAnswer(runs, { as, ...(hasDensity ? { densityGPerCm3: 4.55 } : {}) })),
      ),
    );
  });
  test("describe with far percentiles only: the span that is lost is explained too", () => {
    const m = sizeDistribution({
      quantity: "volume",
      lowerUm: [1],
      upperUm: [2],
      shares: [0.8],
      belowShare: 0.2,
    });
    const { problems } = describeAnswer([{ file: null, name: "run 1", distribution: m }], {
      percentiles: [50],
      densityGPerCm3: 4.55,
    });
    expect(problems.some((p) => /^The span is not known/.test(p.message))).toBe(true);
  });
  test("surface", () => {
    fc.assert(fc.property(lot, (runs) => isHonest(surfaceAnswer(runs, { densityGPerCm3: 4.55 }))));
  });
  test("compare", () => {
    fc.assert(fc.property(lot, lot, (a, b) => isHonest(compareAnswer(a, b))));
  });
  test("check", () => {
    const band = {
      version: 1 as const,
      name: "any",
      stage: "re-fired",
      densityGPerCm3: 4.55,
      rule: "two-sided" as const,
      rows: [
        { limit: "d50Um", low: 1, high: 5 },
        { limit: "span", low: 0, high: 2 },
        { limit: "surfaceM2PerG", low: 0.1, high: 100 },
      ],
      envelope: null,
    };
    fc.assert(fc.property(lot, (runs) => isHonest(releaseCheck(runs, band))));
  });
});

test("a powder beside itself is called the same, not a little coarser", () => {
  fc.assert(
    fc.property(lot, (runs) => compareAnswer(runs, runs).sentence === "The two curves are identical."),
  );
});
