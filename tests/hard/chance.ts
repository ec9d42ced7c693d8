/** Numbers that look like chance and are the same for the same seed: a linear congruential generator, its high bits. */
export function chanceFrom(seed: number): (below: number) => number {
  let state = BigInt(seed) * 2654435761n + 12345n;
  return (below) => {
    // Constants: D. Knuth, MMIX (from memory); only that the sequence is fixed matters here.
    state = BigInt.asUintN(64, state * 6364136223846793005n + 1442695040888963407n);
    return Number(state >> 33n) % below;
  };
}
