/** A stream of chance numbers that is the same on every machine and for every caller with the same seed. */
export interface RandomNumbers {
  /** Evenly between 0 and 1, both ends left out. */
  readonly even: () => number;
  /** Mean 0, standard deviation 1. */
  readonly normal: () => number;
}

/**
 * Reproducible chance for limits that are found by simulation: the same question gets the same limit everywhere.
 *
 * Source: the mixing steps of mulberry32 (public domain), normals by Box and Muller (1958).
 */
export function randomNumbers(seed: number): RandomNumbers {
  let state = seed >>> 0;
  const even = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  return { even, normal: () => Math.sqrt(-2 * Math.log(even())) * Math.cos(2 * Math.PI * even()) };
}
