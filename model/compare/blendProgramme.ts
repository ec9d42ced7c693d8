import { solve } from "yalps";
import { dot } from "#model/numbers/kernels/vectors.ts";
import type { HalfSpace, LimitOfMix } from "./blendLimits.ts";

/** Shares of powders with the room that all limits have at once. */
export interface RoomiestShares {
  readonly shares: readonly number[];
  /** Least distance to a limit over its half-width; negative where one is out. */
  readonly room: number;
}

/** Full room is the middle of every limit; beyond this much the wrong way nothing is worth telling. */
const fullRoom = 1;
const leastRoom = -40;
/** The room is found to this. */
const fineness = 1e-8;
/** A share is found to this. */
const shareFineness = 1e-7;
/** How far a limit may seem missed by rounding. */
const rounding = 1e-9;

/**
 * The shares with the most room inside all limits: the room a programme still allows is halved in on, one linear programme
 * each. Exact, since each limit is a half-space of the shares that only shrinks as its room grows.
 *
 * @param least  share that each powder has at least; 0 where left out
 * @returns      null where no shares add to 1 with those least ones
 * Source: quasi-concave maximisation by bisection (textbook); the programme by a package's simplex method, each answer held
 * against its limits.
 */
export function roomiestShares(
  count: number,
  limits: readonly LimitOfMix[],
  least: readonly number[] = Array.from({ length: count }, () => 0),
): RoomiestShares | null {
  const at = (room: number) =>
    sharesWithin(
      count,
      limits.map((limit) => limit(room)),
      least,
    );
  let low = leastRoom;
  let shares = at(low);
  if (shares === null) return null;
  let high = fullRoom;
  while (high - low > fineness) {
    const middle = (low + high) / 2;
    const found = at(middle);
    if (found === null) high = middle;
    else {
      low = middle;
      shares = found;
    }
  }
  return { shares, room: low };
}

/**
 * The largest share that one powder can have in a mix within all limits, halved in on: with more of it at least, fewer mixes are left.
 *
 * @returns  null where no mix is within them
 * Accuracy: 1e-7. Source: one linear programme each step, as for the roomiest shares.
 */
export function largestShare(count: number, limits: readonly LimitOfMix[], place: number): number | null {
  const atLimits = limits.map((limit) => limit(0));
  const holds = (share: number) => {
    const least = Array.from({ length: count }, (_, i) => (i === place ? share : 0));
    return sharesWithin(count, atLimits, least) !== null;
  };
  if (!holds(0)) return null;
  if (holds(1)) return 1;
  let [low, high] = [0, 1];
  while (high - low > shareFineness) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * Shares that hold every limit, as far inside them all as can be; null where none do.
 * A programme that runs in circles or whose answer misses a limit is asked again with its limits moved by less than rounding.
 */
function sharesWithin(
  count: number,
  limits: readonly HalfSpace[],
  least: readonly number[],
): number[] | null {
  for (const nudge of [0, 1e-12, 1e-11]) {
    const answer = solved(count, limits, { least, nudge });
    if (answer === "again") continue;
    return answer;
  }
  return null;
}

function solved(
  count: number,
  limits: readonly HalfSpace[],
  { least, nudge }: { readonly least: readonly number[]; readonly nudge: number },
): number[] | null | "again" {
  const left = 1 - least.reduce((a, b) => a + b, 0);
  if (left < -rounding) return null;
  // In shares beyond the least ones; the slack of all limits is what is made largest, 1 taken for none.
  const asked = limits.map(({ perShare, atLeast }, i) => ({
    key: `limit ${i}`,
    perShare,
    atLeast: atLeast - dot(perShare, least) - nudge * (1 + (i % 7)),
  }));
  const { status, variables } = solve<string, string>(
    {
      direction: "maximize",
      objective: "slack",
      constraints: [
        ["whole", { equal: left }],
        ["slack", { max: 2 }],
        ...asked.map(({ key, atLeast }) => [key, { min: atLeast - 1 }] as const),
      ],
      variables: [
        ...Array.from(
          { length: count },
          (_, k) =>
            [
              String(k),
              [["whole", 1] as const, ...asked.map(({ key, perShare }) => [key, perShare[k] ?? 0] as const)],
            ] as const,
        ),
        ["slack", [["slack", 1] as const, ...asked.map(({ key }) => [key, -1] as const)]],
      ],
    },
    { precision: 1e-12, checkCycles: true, maxPivots: 20_000 },
  );
  if (status === "infeasible") return null;
  if (status !== "optimal") return "again";
  const found = new Map(variables);
  const raw = least.map((own, k) => Math.max(0, found.get(String(k)) ?? 0) + own);
  const sum = raw.reduce((a, b) => a + b, 0);
  if (!(Math.abs(sum - 1) < 1e-6)) return "again";
  const shares = raw.map((v) => v / sum);
  const slack = (found.get("slack") ?? 0) - 1;
  if (slack < -rounding) return null;
  return missesOf(shares, limits) > 10 * rounding ? "again" : shares;
}

/** By how much the worst limit is missed. */
function missesOf(shares: readonly number[], limits: readonly HalfSpace[]): number {
  return Math.max(0, ...limits.map(({ perShare, atLeast }) => atLeast - dot(perShare, shares)));
}
