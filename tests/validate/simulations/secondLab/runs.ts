import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import type { OverRuns } from "#model/lot/overRuns.ts";
import { trendOf } from "#model/lot/trends.ts";
import { type Chance, chanceFrom } from "../chance.ts";
import {
  errorsOf,
  type Material,
  materialFrom,
  runOf,
  type SaidAndTrue,
  type Scatter,
  scatterKinds,
} from "./lab.ts";

/** Fixed before the first run. */
const seed = 21_210_001;
const noises = [0.002, 0.01, 0.05];

/** Intervals of 95 % of D10, D50, D90 and area over three, four and six runs, and over runs that hold copies. */
export function runIntervals(lots: number): SaidAndTrue[] {
  const plain = scatterKinds.flatMap((kind, k) =>
    [3, 4, 6].flatMap((runs) => covered({ kind, runs, copies: 0 }, lots, chanceFrom(seed + 100 * k + runs))),
  );
  const copied = [
    { kind: "normal" as const, runs: 3, copies: 1 },
    { kind: "normal" as const, runs: 3, copies: 3 },
  ].flatMap((of, i) => covered(of, lots, chanceFrom(seed + 900 + i)));
  return [...plain, ...copied];
}

interface RunsCase {
  readonly kind: Scatter;
  readonly runs: number;
  readonly copies: number;
}

function covered({ kind, runs, copies }: RunsCase, lots: number, chance: Chance): SaidAndTrue[] {
  const held = new Map<string, number>();
  for (let lot = 0; lot < lots; lot++) {
    const material = materialFrom(chance);
    const own = measured(material, noises[lot % noises.length] ?? 0.01, kind, runs, chance);
    const [truth] = quantities(material, [runOf(material, 0, 0, "truth")]);
    const [first] = own;
    const withCopies =
      first === undefined
        ? own
        : [...own, ...Array.from({ length: copies }, (_, i) => ({ ...first, name: `copy ${i}` }))];
    const [found] = quantities(material, withCopies);
    for (const [name, { low, high }] of Object.entries(found ?? {})) {
      const value = truth?.[name]?.value ?? Number.NaN;
      if (low !== null && high !== null && value >= low && value <= high)
        held.set(name, (held.get(name) ?? 0) + 1);
    }
  }
  const where = `${kind}, ${runs} runs${copies === 0 ? "" : `, the first copied ${copies}×`}`;
  return [...held].map(([name, count]) => ({
    said: `interval of ${name}`,
    where,
    cases: lots,
    nominal: 0.95,
    actual: count / lots,
    isBound: false,
  }));
}

/** Runs of one lot: each moved by the noise, its width by half as much. */
export function measured(material: Material, noise: number, kind: Scatter, runs: number, chance: Chance) {
  const shifts = errorsOf(kind, runs, chance);
  const widths = errorsOf(kind, runs, chance);
  return shifts.map((shift, i) =>
    runOf(material, noise * shift, 0.5 * noise * (widths[i] ?? 0), `run ${i + 1}`),
  );
}

function quantities(material: Material, runs: ReturnType<typeof measured>): Record<string, OverRuns>[] {
  const { densityGPerCm3 } = material;
  return describeAnswer(runs, { densityGPerCm3, lotsBy: "all" }).lots.map((lot) => ({
    ...Object.fromEntries(Object.entries(lot.percentilesUm).map(([p, over]) => [`D${p}`, over])),
    area: lot.surfaceM2PerG,
  }));
}

/** Trends called in runs that have none, at 3 % or less. */
export function trendCalls(lots: number): SaidAndTrue[] {
  return scatterKinds.flatMap((kind, k) =>
    [5, 6, 10].map((runs): SaidAndTrue => {
      const chance = chanceFrom(seed + 2000 + 100 * k + runs);
      const calls = Array.from({ length: lots }, () => trendOf(errorsOf(kind, runs, chance), null));
      const actual = calls.filter((call) => call !== "steady").length / lots;
      // Said the other way round, so that more calls than stated count as too little.
      return {
        said: "no trend is called",
        where: `${kind}, ${runs} runs`,
        cases: lots,
        nominal: 0.97,
        actual: 1 - actual,
        isBound: true,
      };
    }),
  );
}
