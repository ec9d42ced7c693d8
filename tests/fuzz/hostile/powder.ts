import { logNormal } from "#distributions/families/logNormal.ts";
import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Draw } from "../../distributions/tables/draw.ts";

/** What is known of one measurement before it is written as a table. */
export interface KnownPowder {
  readonly name: string;
  readonly edgesUm: readonly number[];
  /** One a class, summing to 1 exactly as they are written. */
  readonly shares: readonly number[];
  /** What its shares count, where that is another than the table's. */
  readonly quantity?: Quantity;
}

/** Edges from a fine to a coarse one, even in ln size or not, with all of the powder well inside. */
export function edgesOf(draw: Draw, isEven: boolean, isAround1 = false): number[] {
  const count = draw.whole(9, 48);
  const step = 1.12 + (count < 20 ? 0.35 : 0.14) * draw.unit();
  const drawn = draw.pick([0.02, 0.1, 0.3, 1, 4.5]);
  // At least four sizes lie below 1 µm and, with enough steps, as many above.
  const first = isAround1 ? step ** -Math.floor(count / 2) : drawn;
  const edges = Array.from({ length: count + 1 }, (_, i) => {
    const stray = isEven ? 0 : 0.12 * (draw.unit() - 0.5);
    return Number((first * step ** (i + stray)).toPrecision(isEven ? 7 : 5));
  });
  return edges;
}

/** Shares with so many decimals of a per cent, so that what is written is what is true. */
export function powderIn(
  draw: Draw,
  edgesUm: readonly number[],
  name: string,
  decimals: number,
): KnownPowder {
  const [low, high] = [Math.log(edgesUm[0] ?? 1), Math.log(edgesUm.at(-1) ?? 1)];
  const room = high - low;
  const medianUm = Math.exp(low + room * (0.4 + 0.2 * draw.unit()));
  const gsd = Math.exp(room * (0.1 + 0.06 * draw.unit()));
  const under = (x: number) => logNormal.cdf({ medianUm, gsd }, x);
  const whole = 100 * 10 ** decimals;
  const sums = edgesUm.map((x) => Math.round(whole * under(x)));
  sums[0] = 0;
  sums[sums.length - 1] = whole;
  const shares = sums.slice(1).map((q, i) => (q - (sums[i] ?? 0)) / whole);
  return { name, edgesUm, shares };
}

export function undersizeOf({ shares }: KnownPowder): number[] {
  const sums = [0];
  for (const share of shares) sums.push((sums.at(-1) ?? 0) + share);
  return sums;
}

/** The size below which a part lies, uniform in ln size inside a class. */
export function percentileOf(known: KnownPowder, part: number): number {
  const sums = undersizeOf(known);
  const i = sums.findIndex((q, k) => k > 0 && q >= part - 1e-12);
  const [x0 = 1, x1 = 1] = [known.edgesUm[i - 1], known.edgesUm[i]];
  const [q0 = 0, q1 = 1] = [sums[i - 1], sums[i]];
  return x0 * (x1 / x0) ** ((part - q0) / (q1 - q0));
}
