import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { bandFactor } from "#model/band/fromReference.ts";
import { chanceWithin } from "#model/lot/intervals.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { type CheckGroup, table } from "../check.ts";

const topic = "Verdicts and intervals";

/** The chance, in %, that a value found w·U under its upper limit is really above it; U is twice the standard uncertainty. */
const falseAcceptance = (guardInU: number) =>
  100 * chanceWithin({ mean: 1 - guardInU, standardError: 0.5, degrees: null }, 1, null);

const guardBands: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "decision-rule pages",
    full: "Laboratories' pages on decision rules that quote ILAC-G8:09/2019: largest false acceptance by guard band.",
    reading: "second-hand",
  },
  checks: () => [
    ...table<[number]>([["false acceptance without guard band, %", "50", 0]], falseAcceptance),
    ...table<[number]>([["false acceptance, guard band U, %", "2.5", 1]], falseAcceptance, {
      by: "upper limit",
    }),
  ],
};

const guardBandsFromMemory: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "ILAC-G8, other rows",
    full: "ILAC-G8:09/2019, table of decision rules, rows not seen on the pages above; the row of 0.83 U after ISO 14253-1.",
    reading: "from memory",
  },
  checks: () =>
    table<[number]>(
      [
        ["false acceptance, guard band 0.83 U, %", "5", 0.83],
        ["false acceptance, guard band 1.5 U, %", "0.16", 1.5],
        ["false acceptance, guard band 3 U, %", "0.0001", 3],
      ],
      falseAcceptance,
      { by: "upper limit" },
    ),
};

const conformance: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "JCGM 106",
    full: "JCGM 106:2012, The role of measurement uncertainty in conformity assessment: z for a conformance probability.",
    reading: "from memory",
  },
  checks: () =>
    table<[number]>(
      [
        ["z for a conformance probability of 0.80", "0.84", 0.8],
        ["z for 0.90", "1.28", 0.9],
        ["z for 0.95", "1.64", 0.95],
        ["z for 0.99", "2.33", 0.99],
      ],
      normalDeviate,
    ),
};

const fromRuns: CheckGroup = {
  topic,
  kind: "computed",
  source: {
    short: "factors by simulation",
    full: "Factors for one further run, worked out and their coverage simulated for this project, not by its code.",
    reading: "read",
  },
  checks: () => [
    ...table<[number]>(
      [
        ["band factor, 5 runs", "4.73", 5],
        ["band factor, 6 runs", "4.12", 6],
        ["band factor, 8 runs", "3.54", 8],
        ["band factor, 10 runs", "3.26", 10],
        ["band factor, 20 runs", "2.83", 20],
      ],
      bandFactor,
    ),
    ...table<[number]>(
      [
        ["t√(1 + 1/n), 95 %, 3 runs", "4.97", 3],
        ["t√(1 + 1/n), 5 runs", "3.04", 5],
        ["t√(1 + 1/n), 10 runs", "2.37", 10],
        ["t√(1 + 1/n), 20 runs", "2.14", 20],
      ],
      (runs) => tQuantile(0.975, runs - 1) * Math.sqrt(1 + 1 / runs),
    ),
  ],
};

export const decisions: readonly CheckGroup[] = [guardBands, guardBandsFromMemory, conformance, fromRuns];
