/** An undersize curve as the loops see it: as many shares as edges, both rising, and the power its classes rise with. */
interface Steps {
  readonly edgesUm: readonly number[];
  readonly undersize: readonly number[];
  readonly power: number;
}

/** Share finer than a size; level beyond the ends. */
export function undersizeOn({ edgesUm, undersize, power }: Steps, sizeUm: number): number {
  const last = edgesUm.length - 1;
  const i = lastAtOrBelow(edgesUm, sizeUm);
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
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (undersize[mid] < fraction) low = mid;
    else high = mid;
  }
  const part = (fraction - undersize[low]) / (undersize[low + 1] - undersize[low]);
  return sizeWhenRisen(edgesUm[low], edgesUm[low + 1], power, part);
}

/** The last place whose value is at or below x; −1 where there is none. */
export function lastAtOrBelow(rising: readonly number[], x: number): number {
  let low = -1;
  let high = rising.length;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (rising[mid] <= x) low = mid;
    else high = mid;
  }
  return low;
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
