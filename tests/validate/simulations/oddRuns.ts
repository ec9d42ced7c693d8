import { curveOf } from "#distributions/curve.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, measure, powders } from "./powders.ts";
import { errorsOf } from "./secondLab/lab.ts";

/** How often a run was called odd among runs of one scatter, and when one of them was moved by 8 % in size. */
export interface OddCase {
  readonly scatter: "normal" | "exponential" | "heavy-tailed";
  readonly runs: number;
  readonly lots: number;
  readonly falseCalls: number;
  readonly found: number;
}

const seed = 77_001;
export const lotsPerOddCase = 1000;

/** Runs and lots of each case: many runs take long, so fewer lots serve. */
const oddRunDesigns = (lots: number) => [
  ...[5, 6, 8, 10, 12].map((runs) => ({ runs, lots })),
  { runs: 40, lots: Math.round(lots / 5) },
  { runs: 200, lots: Math.round(lots / 20) },
];

/** Heavy-tailed: Student's t of four degrees, of standard deviation 1. */
function drawOf(scatter: OddCase["scatter"], chance: Chance): () => number {
  if (scatter === "normal") return chance.normal;
  if (scatter === "exponential") return () => chance.skewed(1);
  return () => errorsOf("heavy-tailed", 1, chance)[0] ?? Number.NaN;
}

export function oddCases(all = lotsPerOddCase): OddCase[] {
  const [powder] = powders;
  if (powder === undefined) return [];
  return (["normal", "exponential", "heavy-tailed"] as const).flatMap((scatter, s) =>
    oddRunDesigns(all).map(({ runs, lots }) => {
      const chance = chanceFrom(seed + 100 * s + runs);
      const draw = drawOf(scatter, chance);
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
