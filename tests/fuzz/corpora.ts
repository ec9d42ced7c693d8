import { countHostile, type HostileCount } from "./hostile/count.ts";
import { steppedOf } from "./hostile/hostile.ts";
import { oddOf } from "./hostile/odd.ts";
import { sieveStackOf } from "./hostile/sieves.ts";
import { strangeOf } from "./hostile/strange.ts";
import { exportOf, tradeOf } from "./hostile/trades.ts";
import { countWorkbooks } from "./hostile/workbooks.ts";

/** A family of tables of known powders, a table a seed. */
export interface Corpus {
  readonly title: string;
  /** How many of 20,000 hostile tables' worth of work it gets. */
  readonly part: number;
  readonly count: (firstSeed: number, count: number) => HostileCount | Promise<HostileCount>;
}

export const corpora: Readonly<Record<string, Corpus>> = {
  hostile: { title: "hostile tables of known powders", part: 1, count: countHostile },
  strange: {
    title: "tables of a stranger",
    part: 0.25,
    count: (seed, count) => countHostile(seed, count, strangeOf),
  },
  odd: {
    title: "tables of a kind each",
    part: 0.25,
    count: (seed, count) => countHostile(seed, count, oddOf),
  },
  trades: {
    title: "tables of laboratories, spreadsheets and hands, and such as are no size distribution",
    part: 0.25,
    count: (seed, count) => countHostile(seed, count, tradeOf),
  },
  exports: {
    title: "tables of exports and laboratory books",
    part: 0.25,
    count: (seed, count) => countHostile(seed, count, exportOf),
  },
  sieves: {
    title: "stacks of sieves",
    part: 0.1,
    count: (seed, count) => countHostile(seed, count, sieveStackOf),
  },
  stepped: {
    title: "tables that change their unit on the way",
    part: 0.05,
    count: (seed, count) => countHostile(seed, count, steppedOf),
  },
  workbooks: { title: "workbooks", part: 0.1, count: countWorkbooks },
};

/** Seeds read before anything is said, so that a long run shows where it is and can be taken up there. */
const stretch = 500;

/**
 * Reads the tables of a run of seeds and says as it goes what came of them and what went wrong.
 *
 * @returns how many were misread, refused, or asked too much or needlessly
 */
export async function readCorpus(
  { count }: Corpus,
  { first, tables }: { readonly first: number; readonly tables: number },
  say: (line: string) => void,
): Promise<{ readonly wrong: number; readonly needless: number }> {
  let [wrong, needless] = [0, 0];
  for (let seed = first; seed < first + tables; seed += stretch) {
    const some = Math.min(stretch, first + tables - seed);
    const read = await count(seed, some);
    const outcomes = Object.entries(read.outcomes).map(([outcome, found]) => `${outcome} ${found}`);
    say(`  ${seed}-${seed + some - 1}: ${outcomes.join(", ")}, needless ${read.needless}`);
    for (const { seed: at, outcome, what, why } of read.wrong)
      say(`    ${at} ${outcome} [${what}] ${why.slice(0, 240)}`);
    needless += read.needless;
    wrong += read.wrong.filter((w) => !w.outcome.startsWith("needless")).length;
  }
  say(`  ${wrong} of ${tables} misread, refused or asked too often; ${needless} asked needlessly`);
  return { wrong, needless };
}
