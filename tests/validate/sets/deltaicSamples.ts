import { geometricSurface } from "#distributions/moments.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Row, WholeSet } from "../check.ts";
import { readRows } from "../readFile.ts";

const densityGPerCm3 = 2.65;

/**
 * The area of the classes from 2 µm on, m²/kg of the whole sample.
 * Percentages that add to more than 100 are rescaled to make a distribution, and the area is scaled back: it is a sum over classes.
 */
function areaM2PerKg(edges: readonly (readonly [number, number])[], shares: readonly number[]): number {
  const sum = shares.reduce((a, b) => a + b, 0);
  const whole = Math.max(1, sum);
  const m = sizeDistribution({
    quantity: "volume",
    inClass: "arithmetic-mid",
    lowerUm: edges.map(([lower]) => lower),
    upperUm: edges.map(([, upper]) => upper),
    shares: shares.map((v) => v / whole),
    belowShare: Math.max(0, 1 - sum / whole),
  });
  return 1000 * whole * (geometricSurface(m, densityGPerCm3)?.m2PerG ?? Number.NaN);
}

export const deltaicSamples: WholeSet = {
  source: {
    short: "deltaic sediments, AST-02",
    full: "E. Luijendijk, permeability_notebooks, commit 76c3b9b, LGPL v3 (E. Luijendijk and T. Gleeson 2015, Geofluids 15, doi 10.1111/gfl.12115): size classes with their authors' specific surface.",
    reading: "read",
  },
  kind: "printed",
  needs: "open/ast02_a/ast02_with_spec_surf.csv",
  convention:
    "6/ρ·Σ w/d, density 2.65 g/cm³, arithmetic mids, classes from 2 µm, not rescaled; rows with a class or the area missing are left out",
  measures: (path) => {
    const rows = readRows(path).flatMap((row): Row[] => {
      const columns = Object.keys(row).filter((name) => /^[1-9]\d*-\d+_micron$/.test(name));
      const published = Number(row["specific_surface_granular_fraction"]);
      if (!(published > 0) || columns.some((name) => row[name] === "")) return [];
      const edges = columns.map((name): [number, number] => {
        const [lower = 0, upper = 0] = name.replace("_micron", "").split("-").map(Number);
        return [lower, upper];
      });
      const shares = columns.map((name) => Number(row[name]) / 100);
      return [{ name: `sample ${row["sample_number"]}`, published, ours: areaM2PerKg(edges, shares) }];
    });
    return [{ quantity: "specific surface, m²/kg", tolerance: { by: "ratio", atMost: 1e-9 }, rows }];
  },
};
