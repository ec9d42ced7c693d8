import { type Curve, curveOf } from "#distributions/curve.ts";
import { type FittedCurve, verbsOf } from "#distributions/families/fittedCurve.ts";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";

/** Paper on which one family is a straight line: the eye judges the rest. */
export type NetKind = "log-probability net" | "Rosin–Rammler net";

export const netKinds: readonly NetKind[] = ["log-probability net", "Rosin–Rammler net"];

export interface Net {
  readonly sizesUm: readonly number[];
  /** Heights of each fitted curve on the net, null beyond it. */
  readonly heights: readonly (readonly (number | null)[])[];
  readonly points: readonly { readonly x: number; readonly y: number }[];
  readonly range: readonly [number, number];
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
}

const tickPercents = [0.1, 1, 5, 10, 25, 50, 75, 90, 95, 99, 99.9];
const lowestShare = 0.0005;

/** The height of a share on the net: the normal deviate of Q, or ln(−ln(1 − Q)). Source: ISO 9276-3. */
export function netHeight(kind: NetKind, share: number): number | null {
  if (!(share >= lowestShare && share <= 1 - lowestShare)) return null;
  return kind === "log-probability net" ? normalDeviate(share) : Math.log(-Math.log1p(-share));
}

/** The heights at which a net's own per cents stand. */
export function netTicks(kind: NetKind): { readonly at: number; readonly label: string }[] {
  return tickPercents.flatMap((percent) => {
    const at = netHeight(kind, percent / 100);
    return at === null ? [] : [{ at, label: String(percent) }];
  });
}

/** Measured points and fitted curves on a net. */
export function netOf(kind: NetKind, m: SizeDistribution, fits: readonly FittedCurve[]): Net {
  const curve = curveOf(m);
  const shown = telling(curve);
  const [from, to] = rangeOf(shown.map(({ x }) => x));
  const sizesUm = geometricSteps(from, to, 160);
  const height = (share: number) => netHeight(kind, share);
  return {
    sizesUm,
    heights: fits.map((fit) => {
      const { undersize } = verbsOf(fit);
      return sizesUm.map((x) => height(undersize(x)));
    }),
    points: shown.flatMap(({ x, share }) => {
      const y = height(share);
      return y === null ? [] : [{ x, y }];
    }),
    range: [height(lowestShare) ?? -4, height(1 - lowestShare) ?? 4],
    ticks: netTicks(kind),
  };
}

function telling({ edgesUm, undersize }: Curve): { x: number; share: number }[] {
  return zip(edgesUm, undersize)
    .map(([x, share]) => ({ x, share }))
    .filter(({ share }) => share >= lowestShare && share <= 1 - lowestShare);
}

/** From a little below the first size to a little above the last; where none is shown, what powders usually span. */
function rangeOf(sizesUm: readonly number[]): readonly [number, number] {
  if (sizesUm.length === 0) return [0.1 / 1.2, 100 * 1.2];
  return [itemAt(sizesUm, 0) / 1.2, itemAt(sizesUm, -1) * 1.2];
}
