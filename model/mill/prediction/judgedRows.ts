import { itemAt, maxOf, minOf } from "#distributions/lists.ts";
import type { Band, BandRow } from "#model/band/band.ts";
import { percentileOf } from "#model/band/limits.ts";
import type { FittedMill } from "./fittedMill.ts";
import { placeOfValue, valueAtPlace } from "./kernels/straight.ts";
import { momentWith, type ProductShape, widthsAt } from "./productShape.ts";
import { growthFor } from "./targetBeforeRefiring.ts";

/** Limits of ln D50, µm; an open side is infinite. */
interface LnD50Limits {
  readonly low: number;
  readonly high: number;
}

/**
 * What one row asks of a width, given ln D50 = y: at least least(y) and at most most(y).
 * A limit on a percentile is straight in y; one on a mean is read off a table.
 */
export interface JudgedRow {
  readonly least: (y: number) => number;
  readonly most: (y: number) => number;
  /** Where in ln D50 the row turns from met to not met for one width; a sum over ln D50 must break about there. */
  readonly turnsAt: (width: number) => readonly number[];
}

/** What rows ask of a product. */
export interface RowsQuestion {
  readonly d50: LnD50Limits | null;
  /** Of ln(D50/D10). */
  readonly fine: readonly JudgedRow[];
  /** Of ln(D90/D50). */
  readonly coarse: readonly JudgedRow[];
}

/** The rows of a band that the trials' law speaks of, all together and each alone, and those it does not. */
export interface JudgedRows extends RowsQuestion {
  readonly alone: readonly (RowsQuestion & { readonly row: BandRow })[];
  readonly notJudged: readonly BandRow[];
}

const none = { least: () => Number.NEGATIVE_INFINITY, most: () => Number.POSITIVE_INFINITY };

function lnLimits({ low, high }: BandRow): LnD50Limits {
  return {
    low: low === null || low <= 0 ? Number.NEGATIVE_INFINITY : Math.log(low),
    high: high === null ? Number.POSITIVE_INFINITY : Math.log(high),
  };
}

/** A percentile that lies k widths from the median, k above zero on the side named. */
function percentileAsks(side: "fine" | "coarse", k: number, row: BandRow): JudgedRow {
  const { low, high } = lnLimits(row);
  const limits = [low, high].filter(Number.isFinite);
  return side === "fine"
    ? {
        least: (y) => (y - high) / k,
        most: (y) => (y - low) / k,
        turnsAt: (width) => limits.map((limit) => limit + k * width),
      }
    : {
        least: (y) => (low - y) / k,
        most: (y) => (high - y) / k,
        turnsAt: (width) => limits.map((limit) => limit - k * width),
      };
}

/** Widths at which a mean of the shape is tabled. */
const tabled = 40;
const widest = 3;

/** Limits on a mean, in µm to its power; null where there is none. */
interface AskedMean {
  readonly low: number | null;
  readonly high: number | null;
}

/** ln of a mean over D50^power rises with one width: read backwards, a limit on the mean is one on that width. */
function meanAsks(shape: ProductShape, half: "fine" | "coarse", power: number, asked: AskedMean): JudgedRow {
  const own = half === "fine" ? shape.fineWidth : shape.coarseWidth;
  const widths = Array.from({ length: tabled + 1 }, (_, i) => (own * widest * i) / tabled);
  const lns = widths.map((w) => Math.log(momentWith(shape, power, half, w)));
  const lnAt = (width: number) =>
    valueAtPlace(lns, Math.min(Math.max((tabled * width) / (own * widest), 0), tabled));
  const widthAt = (ln: number) => (own * widest * placeOfValue(lns, ln)) / tabled;
  const low = asked.low === null || asked.low <= 0 ? null : Math.log(asked.low);
  const high = asked.high === null ? null : Math.log(asked.high);
  const limits = [asked.low, asked.high].flatMap((v) => (v === null || v <= 0 ? [] : [Math.log(v)]));
  return {
    least: low === null ? none.least : (y) => widthAt(low - power * y),
    most: high === null ? none.most : (y) => widthAt(high - power * y),
    turnsAt: (width) => limits.map((limit) => (limit - lnAt(width)) / power),
  };
}

/** What the rows are judged with, beside the law. */
export interface Judging {
  /** Null where no trial has the percentile. */
  readonly coarse: unknown;
  readonly fine: unknown;
  /** Of the powder as the band is for; null where no trial has its whole curve: then D10, D50 and D90 alone are judged. */
  readonly shape?: ProductShape | null;
  readonly densityGPerCm3?: number | null;
  /** Between which shares finer re-firing is known; a row that hangs on others is not judged. All of them when left out. */
  readonly known?: readonly [number, number];
}

/** A mean over the whole powder needs re-firing to be known from here on to as near the coarse end. */
const farEnough = 0.05;

/**
 * Rows as limits on ln D50 and the two widths. D10, D50 and D90 by the law alone; other percentiles, shares below a size
 * (and so residues above it), geometric area, D[3,2] and D[4,3] by the shape of the trials' whole curves stretched to the
 * widths. Span, largest class and the envelope are not judged.
 *
 * Source: docs/science.md (P(in band | n, Q)).
 */
export function judgedRows(rows: readonly BandRow[], judging: Judging): JudgedRows {
  const asked = rows.map((row) => ({ row, asks: asksOf(row, judging) }));
  const together = (of: readonly (Asks | null)[]): RowsQuestion => {
    const limits = of.flatMap((asks) => asks?.d50 ?? []);
    return {
      d50:
        limits.length === 0
          ? null
          : { low: maxOf(limits.map((l) => l.low)), high: minOf(limits.map((l) => l.high)) },
      fine: of.flatMap((asks) => asks?.fine ?? []),
      coarse: of.flatMap((asks) => asks?.coarse ?? []),
    };
  };
  return {
    ...together(asked.map(({ asks }) => asks)),
    alone: asked.flatMap(({ row, asks }) => (asks === null ? [] : [{ row, ...together([asks]) }])),
    notJudged: asked.flatMap(({ row, asks }) => (asks === null ? [row] : [])),
  };
}

interface Asks {
  readonly d50?: readonly LnD50Limits[];
  readonly fine?: readonly JudgedRow[];
  readonly coarse?: readonly JudgedRow[];
}

/** A limit of the share above a size, as one of the share below it. */
function asBelow(row: BandRow): BandRow {
  const rest = (share: number | null) => (share === null ? null : 1 - share);
  return { ...row, limit: "belowShare", low: rest(row.high), high: rest(row.low) };
}

/** @returns null where the row cannot be judged */
function asksOf(row: BandRow, judging: Judging): Asks | null {
  const { shape = null, densityGPerCm3 = null, known: [knownFrom, knownTo] = [0, 1] } = judging;
  const fraction = percentileOf(row.limit);
  if (fraction !== null) return percentileAsksOf(fraction, row, judging);
  if (row.limit === "belowShare")
    return row.sizeUm === undefined ? null : shareAsksOf(row, row.sizeUm, judging);
  if (row.limit === "aboveShare") return row.sizeUm === undefined ? null : asksOf(asBelow(row), judging);
  if (shape === null || knownFrom > farEnough || knownTo < 1 - farEnough) return null;
  const byFine = judging.fine !== null;
  // Area is 6/ρ times the mean of 1/x; D[3,2] the inverse of that mean. Both hang on the fine half.
  if (row.limit === "surfaceM2PerG" && densityGPerCm3 !== null && byFine) {
    const mean = (v: number | null) => (v === null ? null : (v * densityGPerCm3) / 6);
    return { fine: [meanAsks(shape, "fine", -1, { low: mean(row.low), high: mean(row.high) })] };
  }
  const inverse = (v: number | null) => (v === null || v <= 0 ? null : 1 / v);
  if (row.limit === "sauterUm" && byFine)
    return { fine: [meanAsks(shape, "fine", -1, { low: inverse(row.high), high: inverse(row.low) })] };
  if (row.limit === "deBrouckereUm" && judging.coarse !== null)
    return { coarse: [meanAsks(shape, "coarse", 1, row)] };
  return null;
}

/** How many widths D10, D50 and D90 lie from the median, whatever the shape. */
const byDefinition: ReadonlyMap<number, number> = new Map([
  [0.1, -1],
  [0.5, 0],
  [0.9, 1],
]);

function percentileAsksOf(
  fraction: number,
  row: BandRow,
  { shape = null, fine, coarse, known: [knownFrom, knownTo] = [0, 1] }: Judging,
): Asks | null {
  if (fraction < knownFrom || fraction > knownTo) return null;
  const k = byDefinition.get(fraction) ?? (shape === null ? null : widthsAt(shape, fraction));
  if (k === null) return null;
  if (k === 0) return { d50: [lnLimits(row)] };
  if (k < 0) return fine === null ? null : { fine: [percentileAsks("fine", -k, row)] };
  return coarse === null ? null : { coarse: [percentileAsks("coarse", k, row)] };
}

/** At most a share below a size: that percentile is no finer; at least a share: that percentile is no coarser. */
function shareAsksOf(row: BandRow, sizeUm: number, judging: Judging): Asks | null {
  const sides = [
    row.high === null || row.high >= 1 ? null : { share: row.high, row: { ...row, low: sizeUm, high: null } },
    row.low === null || row.low <= 0 ? null : { share: row.low, row: { ...row, low: null, high: sizeUm } },
  ].filter((side) => side !== null);
  const asks = sides.map((side) => percentileAsksOf(side.share, side.row, judging));
  if (asks.length === 0 || asks.some((a) => a === null)) return null;
  return {
    d50: asks.flatMap((a) => a?.d50 ?? []),
    fine: asks.flatMap((a) => a?.fine ?? []),
    coarse: asks.flatMap((a) => a?.coarse ?? []),
  };
}

/** Whether any row is left to judge. */
export function isJudged({ alone }: JudgedRows): boolean {
  return alone.length > 0;
}

/** The rows of a band, judged with what was learned of the powder it is for. */
export function judgedWith(
  { thin, growth, shape, refiredShape }: FittedMill,
  band: Pick<Band, "rows" | "stage" | "densityGPerCm3">,
): JudgedRows {
  const after = growthFor(growth, band);
  return judgedRows(band.rows, {
    ...(after === null ? {} : { known: shareRange(after.shift.percents) }),
    coarse: thin.coarseWidth,
    fine: thin.fineWidth,
    shape: after === null ? shape : refiredShape,
    densityGPerCm3: band.densityGPerCm3,
  });
}

/** From the first to the last of rising percents, as shares. */
function shareRange(percents: readonly number[]): readonly [number, number] {
  return [itemAt(percents, 0) / 100, itemAt(percents, -1) / 100];
}
