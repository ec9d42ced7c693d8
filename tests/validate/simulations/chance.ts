/** A stream of chance that is the same on every machine: its seed is fixed before the first run. */
export interface Chance {
  /** Evenly between 0 and 1, both ends left out. */
  readonly even: () => number;
  /** Mean 0, standard deviation 1. */
  readonly normal: () => number;
  /** Mean 0, standard deviation 1, skewed to the right by 2/√shape: a gamma of a whole shape. */
  readonly skewed: (shape: number) => number;
}

/** Source: the mixing steps of mulberry32 (public domain), normals by Box and Muller (1958). */
export function chanceFrom(seed: number): Chance {
  let state = seed >>> 0;
  const even = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  return {
    even,
    normal: () => Math.sqrt(-2 * Math.log(even())) * Math.cos(2 * Math.PI * even()),
    skewed: (shape) => {
      let sum = 0;
      for (let i = 0; i < shape; i++) sum -= Math.log(even());
      return (sum - shape) / Math.sqrt(shape);
    },
  };
}
