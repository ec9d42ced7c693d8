import { logNormal } from "#distributions/families/logNormal.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";

/** Edges in even steps of ln x, 0.1 to 100 µm. */
export const plainEdges: readonly number[] = Array.from({ length: 121 }, (_, i) => 0.1 * 1000 ** (i / 120));

/** An invented log-normal powder as fine classes show it. */
export function powder(medianUm: number, gsd = 1.5, edges: readonly number[] = plainEdges): NamedMeasurement {
  const q = edges.map((x) => logNormal.cdf({ medianUm, gsd }, x));
  return {
    file: null,
    name: "run",
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
      belowShare: q[0] ?? 0,
      aboveShare: 1 - (q.at(-1) ?? 1),
    }),
  };
}
