import { curveOf } from "#distributions/curve.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, measure, powders } from "./powders.ts";

/** How often a run was called odd among runs of one scatter, and when one of them was moved by 8 % in size. */
export interface OddCase {
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
  return [5, 6, 8, 12].map((runs) => {
    const chance = chanceFrom(seed + runs);
    let falseCalls = 0;
    let found = 0;
    for (let lot = 0; lot < lots; lot++) {
      const departures = Array.from({ length: runs }, () => scattered(chance));
      const curves = departures.map((run) => curveOf(measure(powder, run)));
      if (oddRun(curves) !== null) falseCalls++;
      const [first, ...others] = departures;
      if (first === undefined) continue;
      const moved = { ...first, shiftLn: first.shiftLn + Math.log(1.08) };
      if (oddRun([moved, ...others].map((run) => curveOf(measure(powder, run))))?.index === 0) found++;
    }
    return { runs, lots, falseCalls, found };
  });
}

function scattered(chance: Chance): Departure {
  return { shiftLn: 0.012 * chance.normal(), width: 0.008 * chance.normal(), fines: 0.08 * chance.normal() };
}
