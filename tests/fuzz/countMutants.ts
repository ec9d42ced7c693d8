import { curveOf } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { mutantOf } from "./mutants.ts";

export interface MutantCount {
  readonly crashes: string[];
  /** Readings that took longer than a second. */
  readonly hangs: string[];
  /** Curves that were accepted and fall somewhere, or hold something that is no number. */
  readonly bent: string[];
  readonly slowestMs: number;
  readonly slowest: string;
  readonly accepted: number;
}

/** Reads the mutants of a run of seeds and counts what must never happen. */
export function countMutants(firstSeed: number, count: number, now: () => number): MutantCount {
  const crashes: string[] = [];
  const hangs: string[] = [];
  const bent: string[] = [];
  let slowestMs = 0;
  let slowest = "";
  let accepted = 0;
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const { bytes, options, what } = mutantOf(seed);
    const begun = now();
    try {
      const { measurements, problems } = readTable(bytes, "mutant.csv", options);
      accepted += measurements.length;
      if (measurements.length === 0 && problems.length === 0)
        bent.push(`${what}: nothing read and nothing said`);
      for (const m of measurements) if (!isCurve(curveOf(m.distribution))) bent.push(what);
    } catch (fault) {
      crashes.push(`${what}: ${fault instanceof Error ? fault.message : fault}`);
    }
    const took = now() - begun;
    if (took > slowestMs) [slowestMs, slowest] = [took, what];
    if (took > 1000) hangs.push(`${what}: ${took.toFixed(0)} ms`);
  }
  return { crashes, hangs, bent, slowestMs, slowest, accepted };
}

/** A step this small is the rounding of sums, not a curve that falls. */
const lastBits = 1e-12;

function isCurve({ edgesUm, undersize }: ReturnType<typeof curveOf>): boolean {
  const rises = undersize.every((q, i) => q >= (undersize[i - 1] ?? 0) - lastBits && q >= 0 && q <= 1 + 1e-9);
  return rises && edgesUm.every((x, i) => Number.isFinite(x) && x > (edgesUm[i - 1] ?? 0));
}
