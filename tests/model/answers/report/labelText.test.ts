import { expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { labelText } from "#model/answers/report/labelText.ts";

const run = (name: string, fine: number) => ({
  file: null,
  name,
  distribution: sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2, 4],
    upperUm: [2, 4, 8],
    shares: [fine, 0.5, 0.5 - fine],
  }),
});
const asked = {
  lotName: "Lot 1",
  material: "ceria",
  stage: "milled",
  runs: [run("a", 0.25), run("b", 0.24), run("c", 0.26)],
  madeOn: "2026-11-26",
  measuredOn: "2026-11-28",
  state: "on hold",
} as const;

test("a label says lot, powder, D50 with its interval, days, and what keeps the powder from use", () => {
  const label = labelText(asked);
  // Of the first run a quarter is finer than 2 µm and three quarters are finer than 4 µm, so half of it than √8 = 2.83 µm.
  expect(label).toMatchObject({
    lot: "Lot 1",
    powder: "ceria, milled",
    days: "made 26 Nov 2026, measured 28 Nov 2026",
    state: "on hold",
  });
  expect(label.size).toMatch(/^D50 2\.8\d µm \(95 %: 2\.\d\d–2\.\d\d\), three runs$/);
  expect(label.caution).toContain("safety data sheet");
});

test("what is not known is said or left out, never guessed", () => {
  expect(labelText({ ...asked, runs: [], madeOn: null, measuredOn: null, state: "open" })).toMatchObject({
    size: "D50 not known",
    days: "",
    state: null,
  });
  expect(labelText({ ...asked, runs: [run("a", 0.25)] }).size).toMatch(/^D50 2\.8\d µm, one run$/);
});
