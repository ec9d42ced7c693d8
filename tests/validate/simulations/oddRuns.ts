import { curveOf } from "#distributions/curve.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { chanceFrom } from "./chance.ts";
import { type Departure, measure, powders } from "./powders.ts";

/** How often a run was called odd among runs of one scatter, and when one of them was moved by 8 % in size. */
export interface OddCase {
  readonly scatter: "normal" | "exponential";
  readonly runs: number;
  readonly lots: number;
  readonly falseCalls: number;
  readonly found: number;
}

const seed = 77_001;
export const lotsPerOddCase = 1000;

export function oddCases(lots = lotsPerOddCase): OddCase[] {
  const [powder] = powders;
  if (powder === undefined) return [];
  return (["normal", "exponential"] as const).flatMap((scatter, s) =>
    [5, 6, 8, 12].map((runs) => {
      const chance = chanceFrom(seed + 100 * s + runs);
      const draw = scatter === "normal" ? chance.normal : () => chance.skewed(1);
      let falseCalls = 0;
      let found = 0;
      for (let lot = 0; lot < lots; lot++) {
        const departures = Array.from({ length: runs }, () => scattered(draw));
        const curves = departures.map((run) => curveOf(measure(powder, run)));
        if (oddRun(curves) !== null) falseCalls++;
        const [first, ...others] = departures;
        if (first === undefined) continue;
        const moved = { ...first, shiftLn: first.shiftLn + Math.log(1.08) };
        if (oddRun([moved, ...others].map((run) => curveOf(measure(powder, run))))?.index === 0) found++;
      }
      return { scatter, runs, lots, falseCalls, found };
    }),
  );
}

function scattered(draw: () => number): Departure {
  return { shiftLn: 0.012 * draw(), width: 0.008 * draw(), fines: 0.08 * draw() };
}
