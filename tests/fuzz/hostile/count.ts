import { type Hostile, hostileOf } from "./hostile.ts";
import { judge, type Outcome } from "./judge.ts";

export interface HostileCount {
  readonly outcomes: Readonly<Record<Outcome, number>>;
  readonly needless: number;
  /** Seeds with what went wrong. */
  readonly wrong: readonly {
    readonly seed: number;
    readonly outcome: string;
    readonly what: string;
    readonly why: string;
  }[];
}

/** Reads the hostile tables of a run of seeds and judges each. */
export function countHostile(
  firstSeed: number,
  count: number,
  tableOf: (seed: number) => Hostile = (seed) => hostileOf(seed),
): HostileCount {
  const outcomes = {
    right: 0,
    asked: 0,
    "refused rightly": 0,
    refused: 0,
    misread: 0,
    "too many questions": 0,
  };
  const wrong: HostileCount["wrong"][number][] = [];
  let needless = 0;
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const table = tableOf(seed);
    const judged = judge(table);
    outcomes[judged.outcome]++;
    if (judged.needless.length > 0) {
      needless++;
      wrong.push({
        seed,
        outcome: `needless ${judged.needless.join(", ")}`,
        what: table.what,
        why: judged.why,
      });
    }
    if (["refused", "misread", "too many questions"].includes(judged.outcome))
      wrong.push({ seed, outcome: judged.outcome, what: table.what, why: judged.why });
  }
  return { outcomes, needless, wrong };
}
