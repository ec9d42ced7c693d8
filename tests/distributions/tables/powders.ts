import { logNormal } from "#distributions/families/logNormal.ts";
import type { Draw } from "./draw.ts";

/** Classes with known shares that add to 1. */
export interface TestPowder {
  readonly edgesUm: readonly number[];
  readonly shares: readonly number[];
}

/**
 * A powder of one or two humps between edges that hold all of it.
 *
 * @param isEven  whether the edges step by a constant ratio
 */
export function powderFrom(
  draw: Draw,
  isEven: boolean,
  edgesUm: readonly number[] = edgesFrom(draw, isEven),
): TestPowder {
  const middle = Math.sqrt((edgesUm[0] ?? 1) * (edgesUm.at(-1) ?? 1));
  const hump = () => ({ medianUm: middle * Math.exp(1.2 * (draw.unit() - 0.5)), gsd: 1.3 + draw.unit() });
  const [a, b, weight] = [hump(), hump(), draw.chance(0.4) ? 0.3 + 0.4 * draw.unit() : 1];
  const under = (x: number) => weight * logNormal.cdf(a, x) + (1 - weight) * logNormal.cdf(b, x);
  const raw = edgesUm.slice(1).map((x, i) => under(x) - under(edgesUm[i] ?? x));
  const sum = raw.reduce((total, v) => total + v, 0);
  return { edgesUm, shares: raw.map((v) => v / sum) };
}

function edgesFrom(draw: Draw, isEven: boolean): number[] {
  const first = draw.pick([0.02, 0.05, 0.1, 0.3, 0.5]);
  const step = 1.12 + 0.3 * draw.unit();
  const count = draw.whole(8, 60);
  const edges = [first];
  for (let i = 0; i < count && (edges.at(-1) ?? 0) < 2000; i++)
    edges.push((edges.at(-1) ?? first) * (isEven ? step : step * (1 + 0.08 * (draw.unit() - 0.5))));
  return edges.map((x) => Number(x.toPrecision(6)));
}
