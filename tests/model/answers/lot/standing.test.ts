import { expect, test } from "vitest";
import { standingOf, standingsSentence } from "#model/answers/lot/standing.ts";
import type { GrowthByPercent } from "#model/mill/prediction/refiringGrowth.ts";
import { bandOf } from "../../plainPowders.ts";
import { powder } from "../../powder.ts";

const three = (medianUm: number) => [0.99, 1, 1.01].map((times) => powder(medianUm * times));
const band = bandOf([{ limit: "d50Um", low: 2.8, high: 3.4 }], { stage: "re-fired" });
/** Three lots that grew by a tenth, by a fifth and by three tenths at every size. */
const growth: GrowthByPercent = {
  lots: ["a", "b", "c"],
  percents: [10, 50, 90],
  lnMilled: [
    [0, 1, 2],
    [0, 1, 2],
    [0, 1, 2],
  ],
  lnRatios: [1.1, 1.2, 1.3].map((times) => [Math.log(times), Math.log(times), Math.log(times)]),
};

test("a finished lot has its verdict and, where it is out, the limit it passes", () => {
  const inBand = standingOf([{ stage: "re-fired", runs: three(3.1) }], band, null);
  expect(inBand).toMatchObject({ stage: "re-fired", verdict: "in band", reason: "", isPredicted: false });
  expect(inBand?.sizesUm[1]).toBeCloseTo(3.1, 2);
  const out = standingOf([{ stage: "re-fired", runs: three(4) }], band, null);
  expect(out).toMatchObject({ verdict: "out of band", reason: "D50 4.00 µm, over 3.40 µm" });
});

// The growth of a further lot is the geometric mean of those seen (docs/science.md, set-back for re-firing): by hand.
test("a milled lot has no verdict; its re-fired sizes are predicted from the growth of three lots, not of two", () => {
  const stages = [{ stage: "milled", runs: three(2.5) }];
  const found = standingOf(stages, band, growth);
  expect(found).toMatchObject({ stage: "milled", verdict: null, isPredicted: true });
  const [row] = found?.rows ?? [];
  const d50 = found?.sizesUm[1] ?? 0;
  expect(row?.value).toBeCloseTo(d50 * (1.1 * 1.2 * 1.3) ** (1 / 3), 9);
  expect(row?.interval?.low).toBeCloseTo(d50 * 1.1, 9);
  expect(row?.interval?.high).toBeCloseTo(d50 * 1.3, 9);
  const two = { ...growth, lots: ["a", "b"] };
  expect(standingOf(stages, band, two)).toMatchObject({ rows: [], isPredicted: false });
});

test("without a band there are sizes and no verdict; without runs nothing", () => {
  expect(standingOf([{ stage: "milled", runs: three(2.5) }], null, null)).toMatchObject({
    verdict: null,
    rows: [],
  });
  expect(standingOf([{ stage: "milled", runs: [] }], band, null)).toBeNull();
});

test("all lots together are said in a sentence, the latest that is out with its reason", () => {
  const lot = (name: string, medianUm: number) => ({
    name,
    standing: standingOf([{ stage: "re-fired", runs: three(medianUm) }], band, null),
  });
  const milled = { name: "d", standing: standingOf([{ stage: "milled", runs: three(2) }], band, null) };
  expect(standingsSentence([lot("a", 3.1), lot("b", 4), lot("c", 3), milled])).toEqual({
    firm: "Two of three finished lots are in band.",
    more: "One out of band. b is out of band: D50 4.00 µm, over 3.40 µm.",
  });
  expect(standingsSentence([lot("a", 3.1), lot("c", 3)]).firm).toBe("All two finished lots are in band.");
  expect(standingsSentence([lot("b", 4)]).firm).toBe("The one finished lot is not in band.");
  expect(standingsSentence([milled]).firm).toBe("No lot is finished and judged yet.");
});
