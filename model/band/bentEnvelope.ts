import { itemAt } from "#distributions/lists.ts";
import type { Envelope } from "./envelope.ts";

/** Which limit of the curve is moved: the least or the most that may be finer. */
export type EnvelopeSide = "lowShares" | "highShares";

/**
 * An envelope with one of its limits moved at one size, and its neighbours with it: by less the farther they are, not at
 * all from the sizes `reach` places away. The limits keep rising with size, and the lower one stays below the upper.
 *
 * @param share  the undersize share the limit shall have there, 0..1
 * @throws RangeError  there is no such size
 */
export function bentEnvelope(
  envelope: Envelope,
  at: { readonly side: EnvelopeSide; readonly index: number; readonly reach: number },
  share: number,
): Envelope {
  const { side, index, reach } = at;
  const shares = envelope[side];
  const other = side === "lowShares" ? envelope.highShares : envelope.lowShares;
  const wanted = within(share, [0, 1]);
  const moved = wanted - itemAt(shares, index);
  const bent = shares.map((s, i) => {
    const part = Math.max(0, 1 - Math.abs(i - index) / Math.max(reach, 1));
    const free = within(s + moved * part, [0, 1]);
    const bound = itemAt(other, i);
    return side === "lowShares" ? Math.min(free, bound) : Math.max(free, bound);
  });
  const held = itemAt(bent, index);
  // Beyond the size moved nothing may fall below it, before it nothing may lie above.
  return { ...envelope, [side]: bent.map((s, i) => (i < index ? Math.min(s, held) : Math.max(s, held))) };
}

function within(value: number, [least, most]: readonly [number, number]): number {
  return Math.min(Math.max(value, least), most);
}
