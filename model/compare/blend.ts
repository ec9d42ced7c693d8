import { type Curve, curveOf, meanCurve, undersizeAt, unionOfEdges } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt, neighbours, zip } from "#distributions/lists.ts";
import {
  type NamedMeasurement,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { sizesOf } from "#model/band/envelope.ts";
import { limitValue } from "#model/band/limits.ts";
import { roomsOf } from "#model/band/sizeShift.ts";
import { leaveOneOut } from "#model/lot/leaveOneOut.ts";
import { chanceAllWithin } from "#model/numbers/jointChance.ts";

/** A mix of powders by volume, as one distribution at every edge that any of them has. */
export function mixOf(curves: readonly Curve[], weights: readonly number[]): SizeDistribution {
  const edges = unionOfEdges(curves);
  const parts = zip(curves, weights);
  const q = edges.map((x) => parts.reduce((sum, [c, weight]) => sum + weight * undersizeAt(c, x), 0));
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
  /** Least room of the mix's rows inside their limits, as a part of what is allowed; negative where one is out. */
  readonly room: number;
  /** Chance that all rows hold at once; null where a powder in use has fewer than three runs. */
  readonly chance: number | null;
}

/** Shares are tried in these steps, then between them. */
const coarseSteps = 10;
const fineSteps = 100;

/**
 * The convex mix of two to four powders with the most room inside a band's rows (and envelope), and its chance of being in.
 * Steps of a tenth first, then of a hundredth about the best. A lot that alone is as surely in is not mixed.
 *
 * @param lots  runs of each powder, by volume
 * @returns     null where a row is not known of some mix, or the band has neither rows nor envelope
 * @throws      DomainError  fewer than two or more than four powders, or one without runs
 * Accuracy:    the best of shares in steps of 0.01 for two powders, 0.02 for three, 0.04 for four; where the room is flat
 *              about it, they may lie farther from the true best. Source: mixtures add by weight within a quantity (ISO 9276-2); docs/science.md.
 */
export function bestBlend(lots: readonly (readonly NamedMeasurement[])[], band: Band): Blend | null {
  if (lots.length < 2 || lots.length > 4)
    throw new DomainError("lots", "must be two, three or four", lots.length);
  if (lots.some((runs) => runs.length === 0)) throw new DomainError("lots", "must each have a run", 0);
  const means = lots.map((runs) => meanCurve(runs.map((m) => curveOf(m.distribution))));
  const room = (weights: readonly number[]) => roomOf(mixOf(means, weights), band);
  let best = bestOf(simplex(lots.length, coarseSteps, null, 0), room);
  best = bestOf(simplex(lots.length, fineSteps, best.weights, 10), room);
  if (best.room === null) return null;
  const chance = chanceOf(lots, best.weights, band);
  const [alone] = lots
    .flatMap((_, which) => {
      const weights = lots.map((__, i) => (i === which ? 1 : 0));
      const own = room(weights);
      const ownChance = chanceOf(lots, weights, band);
      const isAsGood =
        own !== null && own >= 0 && chance !== null && ownChance !== null && ownChance >= chance;
      return isAsGood ? [{ weights, room: own, chance: ownChance }] : [];
    })
    .sort((a, b) => b.chance - a.chance);
  const chosen = alone ?? { weights: best.weights, room: best.room, chance };
  return { ...chosen, mix: mixOf(means, chosen.weights) };
}

function bestOf(
  candidates: readonly (readonly number[])[],
  room: (weights: readonly number[]) => number | null,
): { weights: readonly number[]; room: number | null } {
  return candidates
    .map((weights) => ({ weights, room: room(weights) }))
    .reduce((a, b) => ((b.room ?? Number.NEGATIVE_INFINITY) > (a.room ?? Number.NEGATIVE_INFINITY) ? b : a));
}

/** All shares in whole steps that add to 1; only those within `reach` steps of a centre, where there is one. */
function simplex(count: number, steps: number, centre: readonly number[] | null, reach: number): number[][] {
  const grow = (left: number, place: number): number[][] => {
    const near = (s: number) =>
      centre === null || Math.abs(s - itemAt(centre, place) * steps) <= reach + 1e-9;
    if (place === count - 1) return near(left) ? [[left / steps]] : [];
    const found: number[][] = [];
    const stride = centre === null ? 1 : count === 4 ? 4 : count === 3 ? 2 : 1;
    for (let s = 0; s <= left; s += stride)
      if (near(s)) for (const rest of grow(left - s, place + 1)) found.push([s / steps, ...rest]);
    return found;
  };
  return grow(steps, 0);
}

/** The least room over rows and envelope; null where a row is not known. */
export function roomOf(
  mix: SizeDistribution,
  band: Pick<Band, "rows" | "envelope" | "densityGPerCm3">,
): number | null {
  const values = band.rows.map((row) => limitValue(row, mix, band));
  const known = values.filter((v) => v !== null);
  if (known.length < values.length) return null;
  const rooms = roomsOf([known], band);
  const { envelope } = band;
  if (envelope !== null) {
    const curve = curveOf(mix);
    for (const { sizeUm, low, high } of sizesOf(envelope)) {
      const middle = (low + high) / 2;
      if (middle < 0.05 || middle > 0.95 || !(high > low)) continue;
      const q = undersizeAt(curve, sizeUm);
      rooms.push(Math.min(q - low, high - q) / (high - low));
    }
  }
  return rooms.length === 0 ? null : Math.min(...rooms);
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
  return chanceAllWithin(
    { means, covariance: joint.covariance, degrees: Math.min(...joint.degrees) },
    band.rows,
  );
}
