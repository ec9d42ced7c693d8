/**
 * Values that are none below zero as shares of a whole, divided by their sum; null where they miss it by more.
 * What comes out is what `sharesOfClasses` makes of them (evidence/shares.ts), to the last bit.
 *
 * @param whole  1 or 100
 * @param most   how far their sum may lie from 1
 */
export function wholeShares(
  values: readonly number[],
  { whole, most }: { readonly whole: number; readonly most: number },
): number[] | null {
  // A sum this near the whole is left as it is.
  const wholeEnough = 1e-9;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    if (!(values[i] >= 0)) return null;
    sum += values[i] / whole;
  }
  if (!(Math.abs(sum - 1) <= most)) return null;
  const isLeft = Math.abs(sum - 1) <= wholeEnough;
  const shares = new Array<number>(values.length);
  for (let i = 0; i < values.length; i++) shares[i] = isLeft ? values[i] / whole : values[i] / whole / sum;
  return shares;
}
