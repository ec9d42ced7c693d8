/** Chance that can be repeated: the same draws for the same seed. */
export interface Draw {
  /** 0 … 1 */
  readonly unit: () => number;
  readonly whole: (low: number, high: number) => number;
  readonly pick: <T>(list: readonly T[]) => T;
  readonly chance: (probability: number) => boolean;
}

/** Mulberry32, a small generator of good enough spread. */
export function drawFrom(seed: number): Draw {
  let state = (seed * 0x9e3779b1) >>> 0;
  const unit = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const whole = (low: number, high: number) => low + Math.floor(unit() * (high - low + 1));
  return {
    unit,
    whole,
    pick: (list) => {
      const found = list[whole(0, list.length - 1)];
      if (found === undefined) throw new Error("nothing to pick from");
      return found;
    },
    chance: (probability) => unit() < probability,
  };
}
