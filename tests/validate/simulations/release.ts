import { itemAt } from "#distributions/lists.ts";
import { chanceFromRuns, type DrawsFor } from "#model/release/chanceFromRuns.ts";
import { drawsOf } from "#model/release/draws.ts";
import { contradiction, ifProcessIsAsItWas, processOf } from "#model/release/process.ts";
import { type LotPortions, lotMean, pooledScatter } from "#model/release/scatter.ts";
import { type Chance, chanceFrom } from "./chance.ts";

/** Which lots are judged, against the 24 kept ones. */
export type LotsJudged =
  /** Spread flat over the limits and half as far beyond; the kept lots lie anywhere. */
  | "flat"
  /** Spread as flat, beside kept lots of a process; the process figure is shown of those that do not contradict it. */
  | "from anywhere"
  /** Of the process of the kept lots, its limits so many lot SDs from its mean. */
  | "2 SD"
  | "2.5 SD"
  | "3 SD"
  /** Every row of the process moved with the last four kept lots, its limits 2.5 lot SDs from the old mean. */
  | "drift of 1 SD"
  | "drift of 2 SD"
  /** … or with the lot judged alone. */
  | "sudden drift of 1 SD";

export interface ReleaseCase {
  readonly judged: LotsJudged;
  readonly rows: number;
  readonly runs: number;
  readonly portions: number;
  readonly correlation: number;
  readonly scatter: "normal" | "skewed";
  /** Kept lots; 24 where left out. */
  readonly kept?: number;
}

/** A lot with what was said of it and whether it conforms; null where the figure was not shown. */
interface JudgedLot {
  readonly fromRuns: number;
  readonly asProcess: number | null;
  readonly conforms: boolean;
}

/** Of the lots that a figure was said of: how many, the mean of what was said, and how many conform. */
export interface SaidBin {
  readonly figure: "these runs" | "process";
  readonly judged: LotsJudged;
  readonly rows: number;
  readonly scatter: string;
  readonly from: number;
  readonly to: number;
  readonly lots: number;
  readonly said: number;
  readonly true: number;
}

/** Fixed before the first run. */
const seed = 31_415_926;
const keptLots = 24;
const lotsPerGround = 10;
export const lotsPerReleaseCase = 1000;

/** Of a run about its portion and a portion about its lot, where a lot's SD is 1. */
const runSd = 0.5;
const portionSd = 0.5;

const rowCounts = [1, 3, 5, 7];
const runCounts = [2, 3, 6];
const correlations = [0, 0.8];

/** Rows × runs × correlations × processes, then skewed scatter and two portions a lot. */
export const releaseCases: readonly ReleaseCase[] = [
  ...(
    ["flat", "2 SD", "2.5 SD", "3 SD", "drift of 1 SD", "drift of 2 SD", "sudden drift of 1 SD"] as const
  ).flatMap((judged) =>
    rowCounts.flatMap((rows) =>
      runCounts.flatMap((runs) =>
        correlations.map(
          (correlation): ReleaseCase => ({
            judged,
            rows,
            runs,
            correlation,
            portions: 1,
            scatter: "normal",
          }),
        ),
      ),
    ),
  ),
  ...(["flat", "2.5 SD"] as const).flatMap((judged) =>
    [3, 5].flatMap((rows) =>
      correlations.flatMap((correlation): ReleaseCase[] => [
        { judged, rows, runs: 3, correlation, portions: 1, scatter: "skewed" },
        { judged, rows, runs: 2, correlation, portions: 2, scatter: "normal" },
      ]),
    ),
  ),
  ...[9, 24].flatMap((kept) =>
    (["2 SD", "from anywhere"] as const).flatMap((judged) =>
      [1, 3].flatMap((rows) =>
        correlations.map(
          (correlation): ReleaseCase => ({
            judged,
            rows,
            runs: 3,
            correlation,
            portions: 1,
            scatter: "normal",
            kept,
          }),
        ),
      ),
    ),
  ),
];

/** Lots of one case, each against limits −1 … 1 times the half width. */
export function judgedLots(of: ReleaseCase, lots: number, drawsFor: DrawsFor): JudgedLot[] {
  const chance = chanceFrom(seed + releaseCases.findIndex((c) => sameCase(c, of)));
  const halfWidth = of.judged === "2 SD" ? 2 : of.judged === "3 SD" ? 3 : 2.5;
  const limits = Array.from({ length: of.rows }, () => ({ low: -halfWidth, high: halfWidth }));
  return Array.from({ length: Math.ceil(lots / lotsPerGround) }, () => {
    const count = of.kept ?? keptLots;
    const kept = Array.from({ length: count }, (_, i) => {
      const drifted = of.judged.startsWith("drift") && i >= count - 4;
      return measuredLot(lotDrawn(of, drifted, chance), of, chance);
    });
    return Array.from({ length: lotsPerGround }, (): JudgedLot => {
      const truth =
        of.judged === "flat" || of.judged === "from anywhere"
          ? Array.from({ length: of.rows }, () => 3 * halfWidth * (chance.even() - 0.5))
          : lotDrawn(of, true, chance);
      const own = measuredLot(truth, of, chance);
      const ground = pooledScatter([own, ...kept]);
      if (ground === null) throw new Error("a ground without degrees");
      const lot = lotMean(own, ground);
      const process = processOf(kept.map((l) => lotMean(l, ground)));
      const asProcess =
        of.judged === "flat" || process === null || contradiction(process, lot) !== null
          ? null
          : ifProcessIsAsItWas(lot, process, limits, drawsFor);
      return {
        fromRuns: chanceFromRuns(lot, limits, drawsFor).all,
        asProcess: asProcess?.all ?? null,
        conforms: truth.every((v) => Math.abs(v) <= halfWidth),
      };
    });
  }).flat();
}

function lotDrawn({ judged, rows, correlation }: ReleaseCase, isLate: boolean, chance: Chance): number[] {
  const moved = !isLate ? 0 : judged.endsWith("of 1 SD") ? 1 : judged.endsWith("of 2 SD") ? 2 : 0;
  return together(rows, correlation, chance.normal).map((v) => v + moved);
}

function measuredLot(truth: readonly number[], of: ReleaseCase, chance: Chance): LotPortions {
  const { rows, correlation, runs, portions, scatter } = of;
  const draw = scatter === "normal" ? chance.normal : () => chance.skewed(4);
  return Array.from({ length: portions }, () => {
    const away = together(rows, correlation, chance.normal);
    const portion = truth.map((v, i) => v + (portions > 1 ? portionSd * itemAt(away, i) : 0));
    return Array.from({ length: runs }, () => {
      const error = together(rows, correlation, draw);
      return portion.map((v, i) => v + runSd * itemAt(error, i));
    });
  });
}

/** Numbers of variance 1 with one correlation among all of them. */
function together(count: number, correlation: number, draw: () => number): number[] {
  const common = draw();
  return Array.from(
    { length: count },
    () => Math.sqrt(correlation) * common + Math.sqrt(1 - correlation) * draw(),
  );
}

const sameCase = (a: ReleaseCase, b: ReleaseCase) => JSON.stringify(a) === JSON.stringify(b);

const flatBins = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1];
const highBins = [0.5, 0.8, 0.9, 1];

/** What was said against what was true, pooled over run counts and correlations, in bins of what was said. */
export function releaseBins(lots = lotsPerReleaseCase, cases = releaseCases): SaidBin[] {
  const drawn = new Map<string, Float64Array>();
  const drawsFor: DrawsFor = (rows, degrees) => {
    const key = `${rows}|${degrees}`;
    const draws = drawn.get(key) ?? drawsOf(rows, degrees, 1021);
    drawn.set(key, draws);
    return draws;
  };
  const key = (c: ReleaseCase) => `${c.judged}|${c.rows}|${wordOf(c)}`;
  const kinds = [...new Set(cases.map(key))];
  return kinds.flatMap((kind) => {
    const own = cases.filter((c) => key(c) === kind);
    const { judged, rows } = itemAt(own, 0);
    const found = own.flatMap((c) => judgedLots(c, lots, drawsFor));
    const edges = judged === "flat" ? flatBins : highBins;
    return (["these runs", "process"] as const).flatMap((figure) => {
      const said = found.flatMap((lot) => {
        const p = figure === "these runs" ? lot.fromRuns : lot.asProcess;
        return p === null ? [] : [{ p, conforms: lot.conforms }];
      });
      return edges.slice(1).flatMap((to, i): SaidBin[] => {
        const from = itemAt(edges, i);
        const inside = said.filter(({ p }) => p >= from && (p < to || to === 1));
        const count = inside.length;
        if (count === 0) return [];
        return [
          {
            figure,
            judged,
            rows,
            scatter: wordOf(itemAt(own, 0)),
            from,
            to,
            lots: count,
            said: inside.reduce((sum, s) => sum + s.p, 0) / count,
            true: inside.filter((s) => s.conforms).length / count,
          },
        ];
      });
    });
  });
}

const wordOf = ({ scatter, portions, kept }: ReleaseCase) =>
  portions > 1 ? "two portions" : kept === undefined ? scatter : `${scatter}, ${kept} kept lots`;

/**
 * Flat lots: these runs within 3 points both ways in bins of 300 lots. Lots of the process: the process figure never over by more than
 * 1 point from 90 % on, 2 below; of lots from anywhere, which it is not about, by 3 from 90 % on. A drift of one SD: no figure over by more than 3 from 90 % on; of two: these runs by 4.
 * Always with twice the standard error of so many lots.
 */
export function releaseIsWithin(bin: SaidBin): boolean {
  const over = bin.said - bin.true;
  const byChance = 2 * Math.sqrt(Math.max(bin.true * (1 - bin.true), 1 / bin.lots / 4) / bin.lots);
  if (bin.judged === "flat") return bin.lots < 300 || Math.abs(over) <= 0.03 + byChance;
  if (bin.judged === "from anywhere" || bin.judged.endsWith("drift of 1 SD"))
    return bin.from < 0.9 || over <= 0.03 + byChance;
  if (bin.judged === "drift of 2 SD")
    return bin.from < 0.9 || bin.figure === "process" || over <= 0.04 + byChance;
  if (bin.figure === "these runs") return true;
  return over <= (bin.from >= 0.9 ? 0.01 : 0.02) + byChance;
}
