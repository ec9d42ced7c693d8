import { expect, test } from "vitest";
import { normalForm } from "#distributions/families/normalForm.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { parentsAnswer } from "#model/answers/compare/parentsAnswer.ts";
import { fromParents } from "#model/compare/fromParents.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";

const edges = Array.from({ length: 61 }, (_, i) => 0.1 * 1000 ** (i / 60));

/** A powder of log-normal parts, as a run that is shifted a little. */
function run(parts: readonly { share: number; d50Um: number }[], shift: number): NamedMeasurement {
  const q = edges.map((x) =>
    parts.reduce(
      (sum, { share, d50Um }) =>
        sum + share * normalForm.undersize((Math.log(x / d50Um) - shift) / Math.log(1.6)),
      0,
    ),
  );
  return {
    file: null,
    name: "run",
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: edges.slice(1).map((_, i) => (q[i + 1] ?? 0) - (q[i] ?? 0)),
      belowShare: q[0] ?? 0,
      aboveShare: 1 - (q.at(-1) ?? 0),
    }),
  };
}

const runs = (parts: readonly { share: number; d50Um: number }[], random: RandomNumbers | null, count = 3) =>
  Array.from({ length: count }, () => run(parts, random === null ? 0 : 0.01 * random.normal()));
const fine = [{ share: 1, d50Um: 2.5 }];
const coarse = [{ share: 1, d50Um: 4 }];
const blend = [
  { share: 0.6, d50Um: 2.5 },
  { share: 0.4, d50Um: 4 },
];

test("a blend is its parents' curves by their shares: shares add by volume", () => {
  // Source: moments and undersize of a mixture add by weight within a basis (ISO 9276-2).
  const found = fromParents(
    runs(blend, null),
    [
      { runs: runs(fine, null), share: 0.6 },
      { runs: runs(coarse, null), share: 0.4 },
    ],
    0.95,
  );
  expect(found.maxGapPoints).toBeLessThan(1e-9);
  expect(found.meanShiftPercent.value).toBeCloseTo(0, 9);
  expect(found.percentileRatios["50"]?.value).toBeCloseTo(1, 9);
});

test("blends that are their parents' mix seldom disagree, wrong shares are found", () => {
  const random = randomNumbers(20_261_130);
  const lots = 30;
  let wrong = 0;
  let found = 0;
  for (let i = 0; i < lots; i++) {
    const parents = (share: number) => [
      { runs: runs(fine, random), share },
      { runs: runs(coarse, random), share: 1 - share },
    ];
    if (fromParents(runs(blend, random), parents(0.6), 0.95).agrees === false) wrong++;
    if (fromParents(runs(blend, random), parents(0.85), 0.95).agrees === false) found++;
  }
  // Nominal 5 % at most, and four standard errors of it.
  expect(wrong / lots).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / lots));
  expect(found / lots).toBeGreaterThan(0.95);
});

test("split lots and lots made from another are told by their stages; a parent without runs is named", () => {
  const parent = { name: "garnet 07", stage: "milled", share: 1, runs: runs(fine, randomNumbers(1)) };
  const split = parentsAnswer({ stage: "milled", runs: runs(fine, randomNumbers(2)) }, [parent]);
  expect(split.kind).toBe("split");
  expect(split.sentence).toMatch(/^Part of garnet 07 \(milled\): it had a D50 of 2\.\d+ µm/);
  const made = parentsAnswer({ stage: "re-fired", runs: runs(coarse, randomNumbers(3)) }, [parent]);
  expect(made.sentence).toMatch(/^Made from garnet 07 \(milled\).* The mean size differs by \+59\.5 %/);
  const none = parentsAnswer({ stage: "milled", runs: runs(fine, null) }, [{ ...parent, runs: [] }]);
  expect(none.sentence).toContain("garnet 07 was not measured when it was milled");
});
