import { itemAt, minOf } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow } from "./band.ts";
import { rowKey } from "./limits.ts";
import { valueChanged } from "./valueChanged.ts";

/** What milling finer or coarser would do for a lot that is not surely in its band. */
export interface SizeShift {
  /** Chance of every row being in, as it stands; null where no spread is known. */
  readonly chanceNow: number | null;
  /** Change of every size with the best chance (or the most room, without chances), per cent; 0 where none is better. */
  readonly sizeChangePercent: number;
  readonly chanceThen: number | null;
  /** Changes between which every row's mean is in; null where none brings all of them in. */
  readonly fromPercent: number | null;
  readonly toPercent: number | null;
  /** Of several rows the one that is least likely to hold now, by the same draws; null where the spread is not known. */
  readonly leastNow: { readonly row: LimitAtSize; readonly chance: number } | null;
  /** Rows that are out whatever the size, such as a span; where there are none and no change helps, those that cannot be in together. */
  readonly inTheWay: readonly LimitAtSize[];
  /** Whether those are out whatever the size. */
  readonly isAnySize: boolean;
}

type LimitAtSize = Pick<BandRow, "limit" | "sizeUm">;

/** How likely rows hold, and all of them at once, from the same draws. */
export interface ChancesOfRows {
  readonly all: number;
  /** By the key of a row; a row that has no chance is absent. */
  readonly byRow: ReadonlyMap<string, number>;
}

const widest = Math.log(2);
const steps = 160;
/** The chance is slow, so it is asked for only at these many changes between those that bring the means in. */
const chances = 9;

/**
 * Whether a coarser or finer mill alone would bring the lot in: every size multiplied by one factor between 1/2 and 2,
 * the shape kept. A change that the band's rows cannot all bear is named with the rows in the way.
 *
 * @param chancesAt  how likely every row holds, had every size been multiplied by a factor; null where no spread is known
 * @returns          null where a row is not known or the band has no rows
 * Source: ours; the shift of a milled curve along ln x is docs/science.md.
 */
export function sizeShift(
  runs: readonly NamedMeasurement[],
  band: Band,
  chancesAt: (factor: number) => ChancesOfRows | null = () => null,
): SizeShift | null {
  if (band.rows.length === 0 || runs.length === 0) return null;
  const grid = Array.from({ length: 2 * steps + 1 }, (_, i) => ((i - steps) / steps) * widest);
  const valuesAt = (ln: number) => valuesChanged(runs, band, Math.exp(ln));
  const now = valuesAt(0);
  if (now === null) return null;
  const tried = grid.map((ln) => {
    const rooms = roomsOf(valuesAt(ln) ?? [], band);
    return { ln, rooms, least: minOf(rooms) };
  });
  const inside = tried.filter(({ least }) => least >= 0).map(({ ln }) => ln);
  const best = tried.reduce((a, b) => (b.least > a.least ? b : a));
  const percent = (ln: number) => 100 * Math.expm1(ln);
  const chancesNow = chancesAt(1);
  const chanceNow = chancesNow?.all ?? null;
  const leastNow = leastLikely(chancesNow, band.rows);
  const [from, to] = [inside[0], inside.at(-1)];
  if (from === undefined || to === undefined) {
    const always = band.rows.filter((_, k) => tried.every(({ rooms }) => itemAt(rooms, k) < 0));
    const atBest = band.rows.filter((_, k) => itemAt(best.rooms, k) < 0);
    return {
      chanceNow,
      leastNow,
      sizeChangePercent: percent(best.ln),
      chanceThen: null,
      fromPercent: null,
      toPercent: null,
      inTheWay: always.length > 0 ? always : atBest,
      isAnySize: always.length > 0,
    };
  }
  const candidates = Array.from({ length: chances }, (_, i) => from + ((to - from) * i) / (chances - 1));
  const scored = candidates.map((ln) => ({
    ln,
    chance: chancesAt(Math.exp(ln))?.all ?? null,
  }));
  const top = scored.reduce((a, b) => ((b.chance ?? -1) > (a.chance ?? -1) ? b : a));
  const chosen = top.chance === null ? best.ln : top.ln;
  const isBetter = top.chance === null || chanceNow === null || top.chance > chanceNow + 0.01;
  return {
    chanceNow,
    leastNow,
    sizeChangePercent: isBetter ? percent(chosen) : 0,
    chanceThen: isBetter ? top.chance : chanceNow,
    fromPercent: percent(from),
    toPercent: percent(to),
    inTheWay: [],
    isAnySize: false,
  };
}

function leastLikely(chances: ChancesOfRows | null, rows: readonly BandRow[]): SizeShift["leastNow"] {
  const each = rows.flatMap((row) => {
    const chance = chances?.byRow.get(rowKey(row));
    return chance === undefined ? [] : [{ row, chance }];
  });
  const [first = null, ...others] = rows.length < 2 ? [] : each;
  return others.reduce((least, one) => (least !== null && least.chance <= one.chance ? least : one), first);
}

/** How far inside its nearer limit each row's mean lies, as a part of what is allowed; negative outside. */
export function roomsOf(values: readonly (readonly number[])[], band: Pick<Band, "rows">): number[] {
  return band.rows.map(({ low, high }, k) => {
    if (values.length === 0) return Number.NEGATIVE_INFINITY;
    const value = values.reduce((sum, row) => sum + itemAt(row, k), 0) / values.length;
    const scale = allowedRange(low, high);
    return Math.min(
      low === null ? Number.POSITIVE_INFINITY : (value - low) / scale,
      high === null ? Number.POSITIVE_INFINITY : (high - value) / scale,
    );
  });
}

/** What a room is a part of: the width of the limits, else the size of the one there is. */
function allowedRange(low: number | null, high: number | null): number {
  if (low !== null && high !== null && high > low) return high - low;
  const one = high ?? low;
  return one === null || one === 0 ? 1 : Math.abs(one);
}

/** The rows' values of each run, had every size been multiplied by a factor; null where one is not known. */
function valuesChanged(
  runs: readonly NamedMeasurement[],
  band: Band,
  factor: number,
): readonly (readonly number[])[] | null {
  const values = runs.map((run) => band.rows.map((row) => valueChanged(row, run.distribution, band, factor)));
  const known = values.map((row) => row.filter((v) => v !== null));
  return known.every((row) => row.length === band.rows.length) ? known : null;
}
