/** How fast classes lose and receive, coarsest first; where fragments are powers of z, what is sent on is carried along. */
interface Rates {
  readonly losing: Float64Array;
  readonly landing: readonly Float64Array[];
  readonly powers?: readonly { readonly rate: Float64Array; readonly decay: number }[];
}

/** What each class holds and gives, and what all hold; or the class that receives and can neither break nor leave. */
type Balance =
  | { readonly holdUpS: Float64Array; readonly product: Float64Array; readonly heldS: number }
  | { readonly stuckClass: number };

/**
 * held_i = (feed_i + Σ landing_ij held_j) / (losing_i + leaving_i), from the coarsest class down.
 *
 * @param offerPerS  how often what is held is offered to the wheel; it takes `passing` of each class
 */
export function forwardBalance(
  { losing, landing, powers }: Rates,
  feed: Float64Array,
  offerPerS: number,
  passing: Float64Array,
): Balance {
  if (powers !== undefined && powers.length === 1)
    return balanceOfOne(losing, powers[0], feed, { offerPerS, passing });
  const n = losing.length;
  const holdUpS = new Float64Array(n + 1);
  const product = new Float64Array(n + 1);
  /** Of each power: what coarser classes send below the upper edge of this one, 1/s per unit feed. */
  const sent = new Float64Array(powers === undefined ? 0 : powers.length);
  let heldS = 0;
  for (let i = 0; i <= n; i++) {
    let inflow = feed[i];
    if (powers !== undefined) {
      for (let k = 0; k < powers.length; k++) {
        // What has come down to the remainder stays there.
        const decay = i < n ? powers[k].decay : 0;
        inflow += (1 - decay) * sent[k];
        sent[k] = decay * sent[k];
      }
    } else {
      const row = landing[i];
      for (let j = 0; j < row.length; j++) inflow += row[j] * holdUpS[j];
    }
    if (inflow === 0) continue;
    const leaving = offerPerS * passing[i];
    const held = inflow / ((i < n ? losing[i] : 0) + leaving);
    if (!Number.isFinite(held)) return { stuckClass: i };
    holdUpS[i] = held;
    product[i] = leaving * held;
    heldS += held;
    if (powers !== undefined && i < n)
      for (let k = 0; k < powers.length; k++) sent[k] += powers[k].rate[i] * held;
  }
  return { holdUpS, product, heldS };
}

/** The same of fragments that are one power of z: what is sent on is one number. */
function balanceOfOne(
  losing: Float64Array,
  { rate, decay }: { readonly rate: Float64Array; readonly decay: number },
  feed: Float64Array,
  { offerPerS, passing }: { readonly offerPerS: number; readonly passing: Float64Array },
): Balance {
  const n = losing.length;
  const holdUpS = new Float64Array(n + 1);
  const product = new Float64Array(n + 1);
  const landing = 1 - decay;
  let sent = 0;
  let heldS = 0;
  for (let i = 0; i < n; i++) {
    const leaving = offerPerS * passing[i];
    // Divided before what comes down is known: only products wait for the class before.
    const stay = 1 / (losing[i] + leaving);
    const inflow = feed[i] + landing * sent;
    sent *= decay;
    if (inflow === 0) continue;
    const held = inflow * stay;
    if (!Number.isFinite(held)) return { stuckClass: i };
    holdUpS[i] = held;
    product[i] = leaving * held;
    heldS += held;
    sent += rate[i] * held;
  }
  // What has come down to the remainder stays there.
  const inflow = feed[n] + sent;
  const leaving = offerPerS * passing[n];
  if (inflow === 0) return { holdUpS, product, heldS };
  const held = inflow / leaving;
  if (!Number.isFinite(held)) return { stuckClass: n };
  holdUpS[n] = held;
  product[n] = leaving * held;
  return { holdUpS, product, heldS: heldS + held };
}

/** Undersize at each edge from the finest up, of shares by class from the coarsest down with the remainder last. */
export function undersizeOfFalling(shares: Float64Array): number[] {
  const undersize: number[] = [];
  let sum = 0;
  for (let i = shares.length - 1; i > 0; i--) {
    sum += shares[i];
    undersize.push(Math.min(sum, 1));
  }
  undersize.push(1);
  return undersize;
}

/**
 * ln of the size that half of the whole is finer than, straight in ln x inside a class, of shares by class from the coarsest
 * down with the remainder last; null where half or more is remainder. `lnTop` and `lnRatio` are of the falling edges.
 */
export function lnMedianOfFalling(shares: Float64Array, lnTop: number, lnRatio: number): number | null {
  let below = shares[shares.length - 1];
  if (below >= 0.5) return null;
  for (let i = shares.length - 2; i >= 0; i--) {
    const upTo = below + shares[i];
    if (upTo >= 0.5) return lnTop - lnRatio * (i + 1 - (0.5 - below) / shares[i]);
    below = upTo;
  }
  return null;
}
