import { itemAt } from "#distributions/lists.ts";
import { type Envelope, sizesOf } from "./envelope.ts";

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

/**
 * An envelope that is wider to both sides by so much of the undersize share at every size, held to 0..1; a negative one
 * narrows it, and where the sides would cross they meet halfway.
 */
export function widenedEnvelope(envelope: Envelope, byShare: number): Envelope {
  const wider = sizesOf(envelope).map(({ low, high }) => {
    const half = Math.max((high - low) / 2 + byShare, 0);
    const mid = (low + high) / 2;
    return { low: within(mid - half, [0, 1]), high: within(mid + half, [0, 1]) };
  });
  return {
    ...envelope,
    lowShares: wider.map(({ low }) => low),
    highShares: wider.map(({ high }) => high),
  };
}

function within(value: number, [least, most]: readonly [number, number]): number {
  return Math.min(Math.max(value, least), most);
}
