import { readdirSync } from "node:fs";
import { join } from "node:path";
import { fitStrd, readStrd } from "../../published/strd.ts";
import type { Row, WholeSet } from "../check.ts";

/** The least squares of the fits on every nonlinear problem, from the second of the two starts that NIST gives. */
export const nonlinearFits: WholeSet = {
  source: {
    short: "NIST StRD, nonlinear",
    full: "NIST Statistical Reference Datasets, nonlinear regression: 27 problems, parameters and their standard errors certified to 11 digits.",
    reading: "read",
  },
  kind: "printed",
  needs: "strd",
  convention: "from the second of NIST's two starts; one row a parameter",
  measures: (folder) => {
    const solved = readdirSync(folder)
      .filter((file) => file.endsWith(".dat") && file !== "Norris.dat")
      .sort()
      .map((file) => {
        const problem = readStrd(join(folder, file));
        return { problem, fit: fitStrd(problem, problem.starts[1] ?? []) };
      });
    const parameters = solved.flatMap(({ problem, fit }): Row[] =>
      problem.certified.map((published, i) => ({
        name: `${problem.name}, b${i + 1}`,
        published,
        ours: fit.parameters[i] ?? Number.NaN,
      })),
    );
    const errors = solved.flatMap(({ problem, fit }): Row[] =>
      problem.certifiedErrors.map((published, i) => ({
        name: `${problem.name}, b${i + 1}`,
        published,
        ours: Math.sqrt(fit.covariance?.[i]?.[i] ?? Number.NaN),
      })),
    );
    return [
      { quantity: "parameter", tolerance: { by: "ratio", atMost: 1e-6 }, rows: parameters },
      {
        quantity: "standard error",
        tolerance: { by: "ratio", atMost: 1e-4 },
        rows: errors,
        differs:
          "Lanczos1 alone: its residuals are the rounding of its data, so that in double precision their spread, and every error with it, stops near 3.6 digits.",
      },
    ];
  },
};
