import {
  type NamedMeasurement,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { neckedShareOf } from "#model/compare/joining.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, powders, type SimulatedPowder } from "./powders.ts";

/** How often joining was claimed of lots of one kind. */
export interface JoiningCase {
  readonly powder: string;
  readonly joinedShare: number;
  readonly growthPercent: number;
  readonly runs: number;
  readonly lots: number;
  readonly claimed: number;
}

/** Fixed before the first run. */
const seed = 11_050_200;
export const lotsPerJoiningCase = 200;

const kinds = [
  { joinedShare: 0, growthPercent: 0 },
  { joinedShare: 0, growthPercent: 8 },
  { joinedShare: 0.05, growthPercent: 0 },
  { joinedShare: 0.05, growthPercent: 8 },
] as const;

/** Two powders of one hump, four and six runs a stage, with and without 5 % of the volume joined into pieces twice as large. */
export function joiningCases(lots = lotsPerJoiningCase): JoiningCase[] {
  return powders.slice(0, 2).flatMap((powder, p) =>
    [4, 6].flatMap((runs) =>
      kinds.map(({ joinedShare, growthPercent }, k): JoiningCase => {
        const chance = chanceFrom(seed + 100 * p + 10 * runs + k);
        let claimed = 0;
        for (let lot = 0; lot < lots; lot++) {
          const milled = runsOf(powder, 0, 1, runs, chance);
          const refired = runsOf(powder, joinedShare, 1 + growthPercent / 100, runs, chance);
          const found = neckedShareOf(milled, refired, 0.95);
          if (found?.verdict.startsWith("joining") === true) claimed++;
        }
        return { powder: powder.name, joinedShare, growthPercent, runs, lots, claimed };
      }),
    ),
  );
}

/** At least 80 % found of what joined, at most 5 % claimed of what did not. */
export function joiningIsWithin({ joinedShare, claimed, lots }: JoiningCase): boolean {
  return joinedShare > 0 ? claimed >= 0.8 * lots : claimed <= 0.05 * lots;
}

function runsOf(
  powder: SimulatedPowder,
  joined: number,
  growth: number,
  runs: number,
  chance: Chance,
): NamedMeasurement[] {
  return Array.from({ length: runs }, (_, i) => ({
    file: null,
    name: `run ${i + 1}`,
    distribution: joinedPowder(powder, joined, growth, {
      shiftLn: 0.012 * chance.normal(),
      width: 0.008 * chance.normal(),
      fines: 0.08 * chance.normal(),
    }),
  }));
}

const edges = Array.from({ length: 51 }, (_, i) => 0.08 * 1000 ** (i / 50));

function joinedPowder(
  powder: SimulatedPowder,
  joined: number,
  growth: number,
  run: Departure,
): SizeDistribution {
  const q = edges.map(
    (x) =>
      (1 - joined) * powder.undersize(x / growth, run) + joined * powder.undersize(x / (2 * growth), run),
  );
  return sizeDistribution({
    quantity: "volume",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
    belowShare: q[0] ?? 0,
    aboveShare: 1 - (q.at(-1) ?? 1),
  });
}
