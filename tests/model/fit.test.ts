import { expect, test } from "vitest";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { measured, type NamedMeasurement } from "#distributions/measured.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { fitAnswer } from "#model/answers/fitAnswer.ts";

test("Rosin–Rammler beats log-normal on SRM 114q portland cement (NIST SP 260-166 table 8, read second-hand), and both converge", () => {
  const table =
    "size_um,undersize by mass as fraction\n1,0.051\n1.5,0.08\n2,0.112\n3,0.163\n4,0.21\n6,0.296\n8,0.376\n12,0.51\n16,0.628\n24,0.808\n32,0.912\n48,0.984\n64,0.997\n96,0.999\n128,0.999\n";
  const { measurements, problems } = readTable(table, "cement.csv", {});
  expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
  const { fits, sentence } = fitAnswer(measurements, { families: ["log-normal", "rosin-rammler"] });
  const [normal, rosin] = fits;
  expect(fits.map((f) => f.status)).toEqual(["converged", "converged"]);
  expect(rosin?.rmsPoints ?? 9).toBeLessThan(normal?.rmsPoints ?? 0);
  expect(sentence).toMatch(/Rosin–Rammler curve describes the powder better/);
});

test("a fit recovers the curve it was made from to 1e-9, for both families", () => {
  const edges = Array.from({ length: 101 }, (_, i) => 0.02 * 1e5 ** (i / 100));
  const make = (cdf: (x: number) => number): NamedMeasurement => {
    const shares = edges.slice(1).map((x, i) => cdf(x) - cdf(edges[i] ?? 0));
    const below = cdf(edges[0] ?? 0);
    return {
      file: null,
      name: "made",
      distribution: measured({
        quantity: "volume",
        lowerUm: edges.slice(0, -1),
        upperUm: edges.slice(1),
        shares,
        belowShare: below,
        aboveShare: Math.max(0, 1 - cdf(edges.at(-1) ?? 1)),
      }),
    };
  };
  const [normal] = fitAnswer([make((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x))], {
    families: ["log-normal"],
  }).fits;
  const [rosin] = fitAnswer(
    [make((x) => rosinRammler.cdf({ characteristicUm: 6, spreadExponent: 2.2 }, x))],
    { families: ["rosin-rammler"] },
  ).fits;
  expect(normal?.family === "log-normal" ? normal.parameters.medianUm : 0).toBeCloseTo(3, 9);
  expect(normal?.family === "log-normal" ? normal.parameters.gsd : 0).toBeCloseTo(1.6, 9);
  expect(rosin?.family === "rosin-rammler" ? rosin.parameters.spreadExponent : 0).toBeCloseTo(2.2, 9);
});
