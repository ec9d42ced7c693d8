import { curveOf, sizeAt } from "#distributions/curve.ts";
import { budgetAnswer } from "#model/answers/lot/budgetAnswer.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import type { Band } from "#model/band/band.ts";
import type { PortionRun } from "#model/release/portions.ts";
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
const seed = 21_210_004;

interface LotsCase {
  readonly where: string;
  readonly kind: Scatter;
  readonly runs: number;
  /** Runs of the first that stand there twice. */
  readonly copies: number;
  readonly portions: number;
  /** Lots about the process, in run SDs; null: spread flat over the limits. */
  readonly lotSd: number | null;
  readonly kept: number;
  /** Half the band in run SDs. */
  readonly half: number;
  readonly isOfLot: boolean;
}

const usual: Omit<LotsCase, "where"> = {
  kind: "normal",
  runs: 3,
  copies: 0,
  portions: 1,
  lotSd: null,
  kept: 24,
  half: 3,
  isOfLot: true,
};

const cases: readonly LotsCase[] = [
  ...scatterKinds.flatMap((kind) =>
    [1, 2, 3, 6].map(
      (runs): LotsCase => ({ ...usual, kind, runs, where: `${runs} runs, ${kind}, lots anywhere` }),
    ),
  ),
  { ...usual, runs: 2, copies: 2, where: "2 runs and two copies, lots anywhere" },
  { ...usual, half: 0.5, where: "band of half a run SD, lots anywhere" },
  { ...usual, half: 12, where: "band of 12 run SD, lots anywhere" },
  { ...usual, kept: 0, where: "no kept lots, lots anywhere" },
  { ...usual, portions: 2, runs: 2, where: "two portions of two runs, lots anywhere" },
  ...scatterKinds.map(
    (kind): LotsCase => ({ ...usual, kind, lotSd: 2, half: 6, where: `lots of the process, ${kind}` }),
  ),
  { ...usual, lotSd: 2, half: 40, where: "lots of the process, limits far off" },
  { ...usual, lotSd: 2, half: 1, where: "lots of the process, narrow band" },
];

const noises = [0.002, 0.01, 0.05];
const lotsPerGround = 8;

/** Both figures of the release, by what was said of them, against which lots truly conform. */
export function releases(lots: number): SaidAndTrue[] {
  return cases.flatMap((of, i) => {
    const chance = chanceFrom(seed + i);
    const said: { figure: string; p: number; isIn: boolean; isBound: boolean }[] = [];
    for (let g = 0; g < Math.ceil(lots / lotsPerGround); g++)
      said.push(...groundJudged(of, noises[g % noises.length] ?? 0.01, chance));
    return binned(of, said);
  });
}

type Said = {
  readonly figure: string;
  readonly p: number;
  readonly isIn: boolean;
  readonly isBound: boolean;
};

function binned(of: LotsCase, said: readonly Said[]): SaidAndTrue[] {
  const bins = [
    ["under 50 %", 0, 0.5],
    ["50–90 %", 0.5, 0.9],
    ["90 % and more", 0.9, 1.01],
  ] as const;
  return ["from these runs", "at least, from these runs", "as the process"].flatMap((figure) =>
    bins.flatMap(([name, from, to]): SaidAndTrue[] => {
      const own = said.filter((s) => s.figure === figure && s.p >= from && s.p < to);
      if (own.length < 20) return [];
      return [
        {
          said: `chance ${figure}, ${name}`,
          where: of.where,
          cases: own.length,
          nominal: own.reduce((sum, s) => sum + s.p, 0) / own.length,
          actual: own.filter((s) => s.isIn).length / own.length,
          // The second figure may understate; the first is no claim about lots of one process.
          isBound: figure !== "from these runs" || of.lotSd !== null,
        },
      ];
    }),
  );
}

function groundJudged(of: LotsCase, noise: number, chance: Chance): Said[] {
  const material = materialFrom(chance);
  const limits = bandOf(material, of.half * noise);
  const spread = () => [0, 1].map(() => (of.lotSd ?? 1.5) * chance.normal());
  const kept = Array.from({ length: of.kept }, () => lotRuns(material, spread(), noise, of, chance));
  return Array.from({ length: lotsPerGround }, (): Said[] => {
    const truth = of.lotSd === null ? [0, 1].map(() => 4 * of.half * (chance.even() - 0.5)) : spread();
    const runs = lotRuns(material, truth, noise, of, chance);
    const [first] = runs;
    const copies =
      first === undefined
        ? []
        : Array.from({ length: of.copies }, (_, i) => ({ ...first, name: `copy ${i}` }));
    const found = releaseAnswer([...runs, ...copies], limits, { kept });
    if (found === null) return [];
    const isIn = conforms(material, truth, noise, of.half);
    return [
      {
        figure: found.fromRuns.isAtLeast ? "at least, from these runs" : "from these runs",
        p: found.fromRuns.all,
        isIn,
        isBound: false,
      },
      ...(found.asProcess === null
        ? []
        : [{ figure: "as the process", p: found.asProcess.all, isIn, isBound: true }]),
    ];
  }).flat();
}

/** Two rows: D50, which follows the size, and D90, which follows size and width. */
function bandOf(material: Material, half: number): Band {
  const [d50, d90] = sizesOf(material, [0, 0], 0);
  return {
    version: 1,
    name: "asked",
    stage: "re-fired",
    densityGPerCm3: null,
    rule: "simple",
    envelope: null,
    rows: [
      { limit: "d50Um", low: d50 * Math.exp(-half), high: d50 * Math.exp(half) },
      { limit: "d90Um", low: d90 * Math.exp(-1.5 * half), high: d90 * Math.exp(1.5 * half) },
    ],
  };
}

function sizesOf(
  material: Material,
  [size = 0, width = 0]: readonly number[],
  noise: number,
): [number, number] {
  const run = runOf(material, noise * size, 0.5 * noise * width, "truth");
  const curve = curveOf(run.distribution);
  return [sizeAt(curve, 0.5) ?? Number.NaN, sizeAt(curve, 0.9) ?? Number.NaN];
}

function conforms(material: Material, truth: readonly number[], noise: number, half: number): boolean {
  const own = sizesOf(material, truth, noise);
  return bandOf(material, half * noise).rows.every(
    ({ low, high }, i) => (own[i] ?? Number.NaN) >= (low ?? 0) && (own[i] ?? Number.NaN) <= (high ?? 0),
  );
}

/** Runs of a lot that lies so many run SDs from the material, by portion; portions differ by a run SD. */
function lotRuns(
  material: Material,
  lot: readonly number[],
  noise: number,
  of: LotsCase,
  chance: Chance,
): PortionRun[] {
  return Array.from({ length: of.portions }, (_, p) => {
    const portion = lot.map((v) => v + (of.portions > 1 ? chance.normal() : 0));
    const [shifts = [], widths = []] = [0, 1].map(() => errorsOf(of.kind, of.runs, chance));
    return shifts.map((shift, i) => ({
      ...runOf(
        material,
        noise * ((portion[0] ?? 0) + shift),
        0.5 * noise * ((portion[1] ?? 0) + (widths[i] ?? 0)),
        `${p}-${i}`,
      ),
      ...(of.portions > 1 ? { portion: `P${p}` } : {}),
    }));
  }).flat();
}

/** The expanded uncertainty of D50 from runs, portions and checks as they are kept, 95 %. */
export function budgets(sets: number): SaidAndTrue[] {
  const designs = [
    { portionSd: 1, keptLots: 3, runs: 2, checks: 0 },
    { portionSd: 1, keptLots: 8, runs: 2, checks: 0 },
    { portionSd: 0.3, keptLots: 3, runs: 2, checks: 0 },
    { portionSd: 0, keptLots: 8, runs: 3, checks: 0 },
    { portionSd: 1, keptLots: 12, runs: 3, checks: 2 },
    { portionSd: 1, keptLots: 12, runs: 3, checks: 6 },
    { portionSd: 1, keptLots: 12, runs: 1, checks: 6 },
  ];
  return designs.map(({ portionSd, keptLots, runs, checks }, d): SaidAndTrue => {
    const chance = chanceFrom(seed + 5000 + d);
    let [held, cases] = [0, 0];
    for (let set = 0; set < sets; set++) {
      const material = materialFrom(chance);
      const noise = noises[set % noises.length] ?? 0.01;
      // The instrument is off by the same on every powder and moves from day to day by a run SD.
      const offset = checks > 0 ? noise * chance.normal() : 0;
      const day = () => (checks > 0 ? noise * chance.normal() : 0);
      const portionsOf = (portions: number, today: number) =>
        Array.from({ length: portions }, (_, p) => {
          const portion = noise * portionSd * chance.normal();
          return Array.from({ length: runs }, (_r, i) => ({
            ...runOf(material, portion + today + offset + noise * chance.normal(), 0, `${p}-${i}`),
            portion: `P${p}`,
          }));
        }).flat();
      const found = budgetAnswer(portionsOf(1, day()), {
        densityGPerCm3: null,
        kept: Array.from({ length: keptLots }, () => portionsOf(2, day())),
        checks: Array.from({ length: checks }, () => ({
          measurand: "d50Um" as const,
          measured: 10 * Math.exp(offset + day() + (noise / Math.sqrt(3)) * chance.normal()),
          stated: 10,
          statedU: 0,
        })),
      })?.budgets.find(({ measurand }) => measurand === "d50Um");
      if (found === undefined) continue;
      cases++;
      const [truth] = sizesOf(material, [0, 0], 0);
      if (truth >= found.low && truth <= found.high) held++;
    }
    return {
      said: "expanded uncertainty of D50",
      where: `portions ± ${portionSd} run SD, ${keptLots} kept lots of two portions, ${runs} ${runs === 1 ? "run" : "runs"} each, ${checks} checks`,
      cases,
      nominal: 0.95,
      actual: held / cases,
      isBound: true,
    };
  });
}
