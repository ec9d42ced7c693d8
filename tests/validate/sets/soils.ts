import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { fitFamily } from "#model/fit/fitFamily.ts";
import type { WholeSet } from "../check.ts";
import { readRows } from "../readFile.ts";

/**
 * As `fit --points all` does it: the authors hold their curve to every sieve, the flat ends too. Sizes in mm come back in mm.
 * Soil 9 passes −0.05 % at 0 mm, which the reader refuses; a point at 0 moves no parameter, so it stands here as 0.
 */
function fitOf(points: readonly { readonly mm: number; readonly passing: number }[]) {
  const rising = [...points].sort((a, b) => a.mm - b.mm);
  const table = [
    "size mm,undersize % by volume",
    ...rising.map(({ mm, passing }) => `${mm},${Math.max(0, passing)}`),
  ].join("\n");
  const [one] = readTable(table, "soil.csv", {}).measurements;
  const fit = one === undefined ? null : fitFamily(one, "rosin-rammler", { points: "all" });
  return fit?.family === "rosin-rammler" && fit.status === "converged"
    ? { ...fit.parameters, characteristicUm: fit.parameters.characteristicUm / 1000 }
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
          .map((point) => ({ mm: Number(point["Mesh"]), passing: Number(point["Perc_passing"]) }));
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
