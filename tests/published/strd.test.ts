import { readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { LeastSquares } from "#model/fit/curveModel.ts";
import { leastSquaresFromSeveral } from "#model/fit/leastSquares.ts";
import { describeWithData } from "../checkData.ts";
import { digitsOf, fitStrd, readStrd } from "./strd.ts";

// Source: NIST Statistical Reference Datasets, nonlinear regression: certified values of 11 digits in each file.
describeWithData("certified least squares (NIST StRD)", "strd/Misra1a.dat", (path) => {
  const folder = dirname(path);
  const problems = readdirSync(folder)
    .filter((file) => file.endsWith(".dat") && file !== "Norris.dat")
    .map((file) => readStrd(join(folder, file)));
  const outcomes = new Map<string, { digits: number; errorDigits: number; fit: LeastSquares }[]>();

  beforeAll(() => {
    for (const problem of problems) {
      outcomes.set(
        problem.name,
        problem.starts.map((start) => {
          const fit = fitStrd(problem, start);
          const errors = fit.covariance?.map((row, i) => Math.sqrt(row[i] ?? Number.NaN)) ?? [];
          return {
            digits: digitsOf(fit.parameters, problem.certified),
            errorDigits: digitsOf(errors, problem.certifiedErrors),
            fit,
          };
        }),
      );
    }
  }, 120_000);

  test("there are 27 problems", () => expect(problems.length).toBe(27));

  describe("from the second start", () => {
    test.each(problems.map((p) => p.name))("%s: six digits, four of the standard errors", (name) => {
      const outcome = outcomes.get(name)?.[1];
      expect(outcome?.fit.status).toBe("converged");
      expect(outcome?.digits).toBeGreaterThanOrEqual(6);
      // Lanczos1's residuals are the rounding of its data: double precision stops near 3.6 digits.
      if (name !== "Lanczos1") expect(outcome?.errorDigits).toBeGreaterThanOrEqual(4);
    });
  });

  test("from the first start: six digits in at least 26", () => {
    const good = [...outcomes.values()].filter(([first]) => (first?.digits ?? 0) >= 6);
    expect(good.length).toBeGreaterThanOrEqual(26);
  });

  test("none says that it converged with fewer than four digits", () => {
    const liars = [...outcomes].filter(([, both]) =>
      both.some(({ fit, digits }) => fit.status === "converged" && digits < 4),
    );
    expect(liars.map(([name]) => name)).toEqual([]);
  });

  test("several starts leave the plateau of BoxBOD, where one alone stays on it", () => {
    const boxBod = problems.find((p) => p.name === "BoxBOD");
    if (boxBod === undefined) throw new RangeError("no BoxBOD");
    const plateau = [100, 200];
    expect(fitStrd(boxBod, plateau).status).not.toBe("converged");
    const several = fitStrd(boxBod, plateau, (fit, start) =>
      leastSquaresFromSeveral(fit, [start, [100, 2], [100, 0.2]]),
    );
    expect(several.status).toBe("converged");
    expect(digitsOf(several.parameters, boxBod.certified)).toBeGreaterThanOrEqual(6);
  });
});
