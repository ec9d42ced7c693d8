import type { BetPair } from "#model/surface/bet.ts";
import { predictedBet } from "#model/surface/predictedBet.ts";
import { type Chance, chanceFrom } from "./chance.ts";

/** How often the 95 % interval held the BET value that came back, and the 50 % limit's chance was true. */
export interface BetCase {
  readonly truth: "ratio" | "offset and ratio";
  readonly pairs: number;
  readonly sets: number;
  readonly share: number;
}

/** Fixed before the first run. */
const seed = 5_092_770;
export const setsPerBetCase = 4000;

/** Pairs whose ratio scatters by 6 %, without and with an offset of 0.05 m²/g; the next powder of the same kind. */
export function betCases(sets = setsPerBetCase): BetCase[] {
  return (["ratio", "offset and ratio"] as const).flatMap((truth, t) =>
    [3, 5, 6, 12].map((count): BetCase => {
      const chance = chanceFrom(seed + 100 * t + count);
      let held = 0;
      for (let set = 0; set < sets; set++) {
        const pairs = Array.from({ length: count }, () => drawn(truth, chance));
        const next = drawn(truth, chance);
        const { low, high } = predictedBet(pairs, next.geometricM2PerG, { level: 0.95 });
        if (low !== null && high !== null && next.betM2PerG >= low && next.betM2PerG <= high) held++;
      }
      return { truth, pairs: count, sets, share: held / sets };
    }),
  );
}

/** 93–97 % is asked for. */
export const betIsWithin = ({ share }: BetCase) => share >= 0.93 && share <= 0.97;

function drawn(truth: BetCase["truth"], chance: Chance): BetPair {
  const geometricM2PerG = 0.5 * Math.exp(0.15 * chance.normal());
  const offset = truth === "ratio" ? 0 : 0.05;
  return {
    stage: "re-fired",
    geometricM2PerG,
    betM2PerG: (offset + 1.25 * geometricM2PerG) * Math.exp(0.06 * chance.normal()),
  };
}
