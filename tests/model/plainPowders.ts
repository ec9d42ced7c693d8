import type { Curve } from "#distributions/curve.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow } from "#model/band/band.ts";

// Powders so plain that every answer is a line of arithmetic beside the check.

/** A curve of two classes, of which the finer holds q. */
export const split = (q: number): Curve => ({ edgesUm: [1, 2, 4], undersize: [0, q, 1], power: 0 });
export const run = (shares: readonly number[], name = "run"): NamedMeasurement => ({
  file: null,
  name,
  distribution: sizeDistribution({
    quantity: "volume",
    lowerUm: shares.map((_, i) => 2 ** i),
    upperUm: shares.map((_, i) => 2 ** (i + 1)),
    shares,
  }),
});
export const bandOf = (rows: readonly BandRow[], more: Partial<Band> = {}): Band => ({
  version: 1,
  name: "b",
  stage: "milled",
  densityGPerCm3: 4.5,
  rule: "simple",
  rows,
  envelope: null,
  ...more,
});
