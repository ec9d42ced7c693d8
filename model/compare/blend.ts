import {
  type Curve,
  curveOf,
  meanCurve,
  undersizeAt,
  undersizeSums,
  unionOfEdges,
} from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt, minOf, neighbours } from "#distributions/lists.ts";
import {
  type NamedMeasurement,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { type Band, type BandRow, judgedEnvelope } from "#model/band/band.ts";
import { sizesOf } from "#model/band/envelope.ts";
import { limitValue } from "#model/band/limits.ts";
import { roomsOf } from "#model/band/sizeShift.ts";
import { leaveOneOut } from "#model/lot/leaveOneOut.ts";
import { chanceAllWithin } from "#model/numbers/jointChance.ts";
import { limitsOfMix } from "./blendLimits.ts";
import { largestShare, roomiestShares } from "./blendProgramme.ts";

/** A mix of powders by volume, as one distribution at every edge that any of them has. */
export function mixOf(curves: readonly Curve[], weights: readonly number[]): SizeDistribution {
  const edges = unionOfEdges(curves);
  const q = undersizeSums(curves, weights, edges);
  const belowShare = itemAt(q, 0);
  const shares = neighbours(q).map(([lower, upper]) => Math.max(0, upper - lower));
  const aboveShare = Math.max(0, 1 - belowShare - shares.reduce((a, b) => a + b, 0));
  return sizeDistribution({
    quantity: "volume",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares,
    belowShare,
    aboveShare,
  });
}

export interface Blend {
  /** Share of each powder, adding to 1. */
  readonly weights: readonly number[];
  readonly mix: SizeDistribution;
  /** Least distance to a limit over its half-width, of all limits that shares can be worked out for; negative where one is out. */
  readonly room: number;
  /** Chance that all rows hold at once; null where a powder in use has fewer than three runs. */
  readonly chance: number | null;
  /** The most of the first powder that a mix within all limits can hold; null where no mix is within them. */
  readonly mostOfFirst: number | null;
  /** Of each powder without a share: what a twentieth of it would do. */
  readonly withoutShare: readonly WithoutShare[];
}

/** A powder that gets no share, the room left were it a twentieth of the mix, and the row of the band that then has least. */
export interface WithoutShare {
  readonly place: number;
  readonly room: number;
  readonly row: BandRow | null;
}

/** As much of a powder as is tried to say why it gets no share. */
const tried = 0.05;

/** A room that falls by less is none lost. */
const hardly = 1e-4;

/**
 * The convex mix of powders with the most room inside a band's limits and envelope, and its chance of being in: exact, for any
 * number of powders. A lot that alone is as surely in is not mixed. A span or a largest class is looked at afterwards.
 *
 * @param lots  runs of each powder, by volume
 * @returns     null where a row is not known of the mix, or the band has neither rows nor envelope
 * @throws      DomainError  fewer than two powders, or one without runs
 * Accuracy:    the room to 1e-7. Source: mixtures add by weight within a quantity (ISO 9276-2); docs/science.md.
 */
export function bestBlend(lots: readonly (readonly NamedMeasurement[])[], band: Band): Blend | null {
  if (lots.length < 2) throw new DomainError("lots", "must be two or more", lots.length);
  if (lots.some((runs) => runs.length === 0)) throw new DomainError("lots", "must each have a run", 0);
  const means = lots.map((runs) => meanCurve(runs.map((m) => curveOf(m.distribution))));
  const limits = limitsOfMix(
    means.map((curve) => ({ curve, mean: mixOf([curve], [1]) })),
    band,
  );
  if (limits === null || (band.rows.length === 0 && judgedEnvelope(band) === null)) return null;
  const best = roomiestShares(lots.length, limits);
  if (best === null || roomOf(mixOf(means, best.shares), band) === null) return null;
  const chance = chanceOf(lots, best.shares, band);
  const alone = lots
    .map((_, which) => lots.map((__, i) => (i === which ? 1 : 0)))
    .map((shares) => ({
      shares,
      room: roomiestShares(lots.length, limits, shares)?.room ?? -1,
      chance: chanceOf(lots, shares, band),
    }))
    .filter((one) => one.room >= 0 && chance !== null && one.chance !== null && one.chance >= chance)
    .sort((a, b) => (b.chance ?? 0) - (a.chance ?? 0))[0];
  const chosen = alone ?? { ...best, chance };
  const withoutShare = chosen.shares.flatMap((share, place): WithoutShare[] => {
    if (share > hardly) return [];
    const least = chosen.shares.map((_, i) => (i === place ? tried : 0));
    const with5 = roomiestShares(lots.length, limits, least);
    if (with5 === null || with5.room > chosen.room - hardly) return [{ place, room: chosen.room, row: null }];
    return [{ place, room: with5.room, row: leastRow(mixOf(means, with5.shares), band) }];
  });
  return {
    weights: chosen.shares,
    room: chosen.room,
    chance: chosen.chance,
    mix: mixOf(means, chosen.shares),
    mostOfFirst: largestShare(lots.length, limits, 0),
    withoutShare,
  };
}

/** The row that has least room; null where the curve has less, or a row is not known. */
function leastRow(mix: SizeDistribution, band: Band): BandRow | null {
  const values = band.rows.map((row) => limitValue(row, mix, band));
  const known = values.filter((v) => v !== null);
  if (known.length < values.length || known.length === 0) return null;
  const rooms = roomsOf([known], band);
  const all = roomOf(mix, band);
  const least = minOf(rooms);
  return all !== null && all < least ? null : (band.rows[rooms.indexOf(least)] ?? null);
}

/** What shares given by hand would make, and the chance that all rows hold. @throws DomainError  shares that do not fit */
export function blendOf(
  lots: readonly (readonly NamedMeasurement[])[],
  shares: readonly number[],
  band: Band,
): Pick<Blend, "mix" | "chance"> & { readonly room: number | null } {
  const sum = shares.reduce((a, b) => a + b, 0);
  if (shares.length !== lots.length || shares.some((v) => !(v >= 0)) || !(sum > 0))
    throw new DomainError("shares", `must be ${lots.length}, none below 0 and one above`, shares.join(", "));
  const weights = shares.map((v) => v / sum);
  const means = lots.map((runs) => meanCurve(runs.map((m) => curveOf(m.distribution))));
  const mix = mixOf(means, weights);
  return { mix, room: roomOf(mix, band), chance: chanceOf(lots, weights, band) };
}

/** The least room over rows and envelope; null where a row is not known. */
export function roomOf(
  mix: SizeDistribution,
  band: Pick<Band, "rows" | "envelope" | "envelopeUse" | "densityGPerCm3">,
): number | null {
  const values = band.rows.map((row) => limitValue(row, mix, band));
  const known = values.filter((v) => v !== null);
  if (known.length < values.length) return null;
  const rooms = roomsOf([known], band);
  const envelope = judgedEnvelope(band);
  if (envelope !== null) {
    const curve = curveOf(mix);
    for (const { sizeUm, low, high } of sizesOf(envelope)) {
      const middle = (low + high) / 2;
      if (middle < 0.05 || middle > 0.95 || !(high > low)) continue;
      const q = undersizeAt(curve, sizeUm);
      rooms.push(Math.min(q - low, high - q) / (high - low));
    }
  }
  return rooms.length === 0 ? null : minOf(rooms);
}

/** Each powder's runs err by themselves; the mix errs by all of them. */
function chanceOf(
  lots: readonly (readonly NamedMeasurement[])[],
  weights: readonly number[],
  band: Band,
): number | null {
  if (band.rows.length === 0) return null;
  const used = lots.filter((_, i) => itemAt(weights, i) > 0);
  const shares = weights.filter((w) => w > 0);
  const joint = leaveOneOut(used, (powders) => {
    const mix = mixOf(
      powders.map((runs) => meanCurve(runs.map((m) => curveOf(m.distribution)))),
      shares,
    );
    return band.rows.map((row) => limitValue(row, mix, band));
  });
  const means = joint.values.filter((v) => v !== null);
  // A row that is lost when a run is left out has no spread that could be told.
  const isKnown = joint.covariance?.every((row) => row.every(Number.isFinite)) === true;
  if (joint.covariance === null || !isKnown || means.length < band.rows.length) return null;
  return chanceAllWithin({ means, covariance: joint.covariance, degrees: minOf(joint.degrees) }, band.rows);
}
