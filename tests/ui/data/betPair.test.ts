import { expect, test } from "vitest";
import { draftOf, pairOf } from "../../../ui/data/betPair.ts";

test("a draft and its pair: what was noted stays, what was left empty is not noted", () => {
  const pair = { stage: "milled", geometricM2PerG: 0.5, betM2PerG: 0.7 };
  expect(pairOf(draftOf(pair))).toEqual(pair);
  const noted = {
    ...pair,
    measuredOn: "2026-11-20",
    instrument: "A",
    optics: "Mie",
    dopantClass: "Ce",
    densityGPerCm3: 4.55,
  };
  expect(pairOf(draftOf(noted))).toEqual(noted);
  expect(pairOf({ ...draftOf(noted), instrument: "  ", densityGPerCm3: null })).toEqual({
    ...pair,
    measuredOn: "2026-11-20",
    optics: "Mie",
    dopantClass: "Ce",
  });
});

test("without both areas above zero there is no pair", () => {
  const draft = draftOf({ stage: "milled", geometricM2PerG: 0.5 });
  expect(pairOf(draft)).toBeNull();
  expect(pairOf({ ...draft, betM2PerG: 0 })).toBeNull();
});
