import { curveOf } from "#distributions/curve.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, measure, powders } from "./powders.ts";

/** How often a run was called odd among runs of one scatter, and when one of them was moved by 8 % in size. */
export interface OddCase {
  readonly scatter: OddScatter;
  readonly runs: number;
  readonly lots: number;
  readonly falseCalls: number;
  readonly found: number;
}

/** Each with mean 0; standard deviation 1, of a log-normal number too. */
const scatters = {
  normal: (chance) => chance.normal(),
  exponential: (chance) => chance.skewed(1),
  "log-normal, GSD 1.65": (chance) => logNormally(chance),
  "Student's t, 4 degrees": (chance) => heavyTailed(chance, 4),
  "Student's t, 3 degrees": (chance) => heavyTailed(chance, 3),
} satisfies Readonly<Record<string, (chance: Chance) => number>>;
type OddScatter = keyof typeof scatters;

function logNormally({ normal }: Chance): number {
  const mean = Math.exp(0.5 * 0.5 ** 2);
  return (Math.exp(0.5 * normal()) - mean) / (mean * Math.sqrt(Math.expm1(0.5 ** 2)));
}

function heavyTailed({ normal }: Chance, degrees: number): number {
  const squares = Array.from({ length: degrees }, normal).reduce((sum, z) => sum + z * z, 0);
  return normal() / Math.sqrt(squares / degrees) / Math.sqrt(degrees / (degrees - 2));
}

const seed = 77_001;
export const lotsPerOddCase = 1000;

export function oddCases(lots = lotsPerOddCase): OddCase[] {
  const [powder] = powders;
  if (powder === undefined) return [];
  return (Object.keys(scatters) as OddScatter[]).flatMap((scatter, s) =>
    [5, 6, 8, 12].map((runs) => {
      const chance = chanceFrom(seed + 100 * s + runs);
      const draw = () => scatters[scatter](chance);
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
