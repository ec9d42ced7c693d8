import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type CurveModel, leastSquares } from "#model/fit/leastSquares.ts";
import type { WholeSet } from "../check.ts";
import { readRows } from "../readFile.ts";

const { free } = rosinRammler;
const curve: CurveModel = { value: free.undersize, slopes: free.slopes };

/** The authors' point at d = 0 adds a residual that no parameter moves; ln d leaves it out. */
function fitOf(points: readonly { readonly mm: number; readonly passing: number }[]) {
  const above = points.filter(({ mm }) => mm > 0);
  const found = leastSquares(
    curve,
    above.map(({ mm }) => Math.log(mm)),
    above.map(({ passing }) => passing),
    [1, 0],
    { lowest: [-20, -9], highest: [20, 4] },
  );
  return found.status === "converged"
    ? free.fromFree(found.parameters)
    : { characteristicUm: Number.NaN, spreadExponent: Number.NaN };
}

/** The authors write 1 − exp(−g1·d^g2), d in mm: g2 is our spread exponent and g1 = x′^−g2. */
export const soils: WholeSet = {
  source: {
    short: "Sherbrooke road materials",
    full: "E. Parent et al., 2024_Sherbrooke-Method-ML, commit 6bedd23, GPL v3: sieve curves of road materials with their authors' Rosin–Rammler fits.",
    reading: "read",
  },
  kind: "printed",
  needs: "open/sherbrooke_a",
  convention: "unweighted least squares of the passing fraction over all 16 sieves",
  measures: (folder) => {
    const points = readRows(`${folder}/grainsize.csv`);
    const fits = readRows(`${folder}/soils_rosin.csv`)
      .filter((soil) => Number(soil["g1"]) > 0)
      .map((soil) => {
        const own = points
          .filter((point) => point["Soil_ID"] === soil["Soil_ID"])
          .map((point) => ({ mm: Number(point["Mesh"]), passing: Number(point["Perc_passing"]) / 100 }));
        return { soil, fit: fitOf(own) };
      });
    const over = (column: string, ours: (fit: ReturnType<typeof fitOf>) => number) =>
      fits.map(({ soil, fit }) => ({
        name: `soil ${soil["Soil_ID"]}`,
        published: Number(soil[column]),
        ours: ours(fit),
      }));
    const tolerance = { by: "ratio", atMost: 1e-4 } as const;
    return [
      {
        quantity: "g1",
        tolerance,
        rows: over("g1", (fit) => fit.characteristicUm ** -fit.spreadExponent),
      },
      { quantity: "g2", tolerance, rows: over("g2", (fit) => fit.spreadExponent) },
      { quantity: "D85, mm", tolerance, rows: over("d85", (fit) => rosinRammler.quantile(fit, 0.85)) },
    ];
  },
};
