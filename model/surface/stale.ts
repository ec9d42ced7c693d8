import type { BetPair } from "./bet.ts";

/** How a powder was measured: what the BET ratio of its pairs hangs on. Left out where it is not known. */
export interface CalibrationMetadata {
  readonly instrument?: string;
  readonly optics?: string;
  readonly dopantClass?: string;
  readonly densityGPerCm3?: number;
}

const words = { instrument: "instrument", optics: "optical model", dopantClass: "dopant class" } as const;

/** Densities nearer than this part are the same. */
const sameDensity = 1e-3;

/** In what a pair was measured otherwise than the powder now is; empty while it holds. Source: docs/science.md. */
export function staleness(pair: BetPair, now: CalibrationMetadata): readonly string[] {
  const names: readonly (keyof typeof words)[] = ["instrument", "optics", "dopantClass"];
  const differing = names.filter((name) => {
    const [then, today] = [pair[name], now[name]];
    return then !== undefined && today !== undefined && then !== today;
  });
  const [then, today] = [pair.densityGPerCm3, now.densityGPerCm3];
  const isOtherDensity =
    then !== undefined && today !== undefined && Math.abs(then / today - 1) > sameDensity;
  return [...differing.map((name) => words[name]), ...(isOtherDensity ? ["density"] : [])];
}
