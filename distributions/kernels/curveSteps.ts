import { countBelow } from "./sorted.ts";

/** An undersize curve as the loops see it: as many shares as edges, both rising, and the power its classes rise with. */
interface Steps {
  readonly edgesUm: readonly number[];
  readonly undersize: readonly number[];
  readonly power: number;
}

/** Classes in rising order, as lists of one length, and the shares of the whole outside them. */
interface Classes {
  readonly lowerUm: readonly number[];
  readonly upperUm: readonly number[];
  readonly shares: readonly number[];
  readonly belowShare: number;
  readonly aboveShare: number;
}

/** Whether what is left of the whole is no more than the rounding of its sum. */
function isLastBits(left: number): boolean {
  return left < 1e-12;
}

/** Edges of classes and the share finer than each; where two classes do not quite meet, the geometric mean of theirs. */
export function edgesOfClasses({ lowerUm, upperUm, shares, belowShare, aboveShare }: Classes): {
  edgesUm: number[];
  undersize: number[];
} {
  const last = shares.length - 1;
  const edgesUm = [lowerUm[0]];
  const undersize = [belowShare];
  const top = 1 - aboveShare;
  let sum = belowShare;
  for (let i = 0; i <= last; i++) {
    const upper = upperUm[i];
    const next = i < last ? lowerUm[i + 1] : upper;
    edgesUm.push(next === upper ? upper : Math.sqrt(upper * next));
    sum += shares[i];
    // The last bits of the sum must not tell an empty class at the end from a full one.
    undersize.push(i === last || isLastBits(top - sum) ? top : sum);
  }
  return { edgesUm, undersize };
}

/** Share finer than a size; level beyond the ends. */
export function undersizeOn({ edgesUm, undersize, power }: Steps, sizeUm: number): number {
  const last = edgesUm.length - 1;
  const i = countBelow(edgesUm, sizeUm, true) - 1;
  if (i < 0) return undersize[0];
  if (i >= last) return undersize[last];
  const low = undersize[i];
  return low + (undersize[i + 1] - low) * risen(edgesUm[i], edgesUm[i + 1], power, sizeUm);
}

/** The size that a fraction of the whole is finer than; null in the share outside the edges. */
export function sizeOn({ edgesUm, undersize, power }: Steps, fraction: number): number | null {
  const last = undersize.length - 1;
  if (fraction < undersize[0] || fraction > undersize[last]) return null;
  // Zero is read at the last edge with nothing below it, everything else at the first size that reaches it.
  if (fraction <= undersize[0]) {
    let i = 0;
    while (i < last && undersize[i + 1] <= fraction) i++;
    return edgesUm[i];
  }
  const low = countBelow(undersize, fraction) - 1;
  const part = (fraction - undersize[low]) / (undersize[low + 1] - undersize[low]);
  return sizeWhenRisen(edgesUm[low], edgesUm[low + 1], power, part);
}

/** How much of a class's share lies finer than x: 0 at its lower edge, 1 at its upper. */
function risen(from: number, to: number, power: number, x: number): number {
  const width = Math.log(to / from);
  const reached = Math.log(x / from);
  return power === 0 ? reached / width : Math.expm1(power * reached) / Math.expm1(power * width);
}

function sizeWhenRisen(from: number, to: number, power: number, part: number): number {
  const width = Math.log(to / from);
  const reached = power === 0 ? part * width : Math.log1p(part * Math.expm1(power * width)) / power;
  return Math.min(Math.max(from * Math.exp(reached), from), to);
}
