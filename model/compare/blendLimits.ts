import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { type Band, type BandRow, judgedEnvelope } from "#model/band/band.ts";
import { percentileOf } from "#model/band/limits.ts";

/** A powder that may be mixed: its mean over runs. */
export interface Part {
  readonly curve: Curve;
  readonly mean: SizeDistribution;
}

/** What one limit asks of the shares: Σ share · perShare is at least so much. */
export interface HalfSpace {
  /** Of each powder. */
  readonly perShare: readonly number[];
  readonly atLeast: number;
}

/** One side of a limit, tightened by a room: a part of its half-width. */
export type LimitOfMix = (room: number) => HalfSpace;

/** A limit with one side only has no width of its own: so much of its value, as a half-width. A judgement of ours. */
const halfWidthOfOne = 0.5;

/**
 * The half-spaces of shares within which a mix by volume holds a band's percentiles, shares, means, area and curve. A span
 * and the largest class are none, and are looked at afterwards.
 *
 * A mix has D_p ≥ a exactly where Q(a) ≤ p, and Q of a mix is the weighted Q of its parts. D[4,3] and area add by share,
 * D[3,2] by its inverse.
 *
 * @returns null where a mean or an area is not known of a part
 * Source: ISO 9276-2 (mixtures add by weight within a quantity); docs/science.md.
 */
export function limitsOfMix(
  parts: readonly Part[],
  band: Pick<Band, "rows" | "envelope" | "envelopeUse" | "densityGPerCm3">,
): LimitOfMix[] | null {
  const rows = band.rows.map((row) => limitsOfRow(row, parts, band.densityGPerCm3));
  const known = rows.filter((row) => row !== null);
  return known.length < rows.length ? null : [...known.flat(), ...limitsOfCurve(parts, band)];
}

function limitsOfRow(row: BandRow, parts: readonly Part[], density: number | null): LimitOfMix[] | null {
  const percentile = percentileOf(row.limit);
  if (percentile !== null)
    return [
      ...lower(row.low, halfWidthLn(row), (low) => atMost(undersizes(parts, low), percentile)),
      ...upper(row.high, halfWidthLn(row), (high) => atLeast(undersizes(parts, high), percentile)),
    ];
  if (row.limit === "belowShare" || row.limit === "aboveShare") {
    if (row.sizeUm === undefined) return null;
    const below = undersizes(parts, row.sizeUm);
    const shares = row.limit === "belowShare" ? below : below.map((q) => 1 - q);
    return evenLimits(shares, row);
  }
  if (row.limit === "span" || row.limit === "largestClassUm") return [];
  const values = parts.map(({ mean }) => additive(row.limit, mean, density));
  const known = values.filter((v) => v !== null);
  if (known.length < values.length) return null;
  if (row.limit !== "sauterUm") return evenLimits(known, row);
  const inverse = known.map((v) => 1 / v);
  return [
    ...lower(row.low, halfWidthLn(row), (low) => atMost(inverse, 1 / low)),
    ...upper(row.high, halfWidthLn(row), (high) => atLeast(inverse, 1 / high)),
  ];
}

function additive(limit: string, mean: SizeDistribution, density: number | null): number | null {
  if (limit === "sauterUm") return meanDiameterUm(mean, 3, 2);
  if (limit === "deBrouckereUm") return meanDiameterUm(mean, 4, 3);
  return density === null ? null : (geometricSurface(mean, density)?.m2PerG ?? null);
}

function limitsOfCurve(parts: readonly Part[], band: Pick<Band, "envelope" | "envelopeUse">): LimitOfMix[] {
  const envelope = judgedEnvelope(band);
  if (envelope === null) return [];
  return envelope.sizesUm.flatMap((sizeUm, i) => {
    const [low, high] = [envelope.lowShares[i] ?? 0, envelope.highShares[i] ?? 1];
    const middle = (low + high) / 2;
    if (middle < 0.05 || middle > 0.95 || !(high > low)) return [];
    return evenLimits(undersizes(parts, sizeUm), { low, high });
  });
}

function undersizes(parts: readonly Part[], sizeUm: number): number[] {
  return parts.map(({ curve }) => undersizeAt(curve, sizeUm));
}

const atLeast = (perShare: readonly number[], value: number): HalfSpace => ({ perShare, atLeast: value });
const atMost = (perShare: readonly number[], value: number): HalfSpace => ({
  perShare: perShare.map((v) => -v),
  atLeast: -value,
});

type Sides = Pick<BandRow, "low" | "high">;

/** In ln size. */
function halfWidthLn({ low, high }: Sides): number {
  return low !== null && high !== null && high > low && low > 0 ? Math.log(high / low) / 2 : halfWidthOfOne;
}

function lower(low: number | null, width: number, at: (low: number) => HalfSpace): LimitOfMix[] {
  return low === null || low <= 0 ? [] : [(room) => at(low * Math.exp(room * width))];
}

function upper(high: number | null, width: number, at: (high: number) => HalfSpace): LimitOfMix[] {
  return high === null ? [] : [(room) => at(high * Math.exp(-room * width))];
}

/** Limits of what adds by share, with the room in its own unit. */
function evenLimits(values: readonly number[], { low, high }: Sides): LimitOfMix[] {
  const width =
    low !== null && high !== null && high > low
      ? (high - low) / 2
      : halfWidthOfOne * Math.abs(high ?? low ?? 1);
  return [
    ...(low === null ? [] : [(room: number) => atLeast(values, low + room * width)]),
    ...(high === null ? [] : [(room: number) => atMost(values, high - room * width)]),
  ];
}
