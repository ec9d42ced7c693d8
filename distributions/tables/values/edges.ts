import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";

/** The class edges a list of sizes stands for, and what had to be supposed. */
export interface Edges {
  readonly lowerUm: readonly number[];
  readonly upperUm: readonly number[];
  readonly supposed: readonly string[];
}

/** Why a list of sizes gives no edges. */
export interface NoEdges {
  readonly why: string;
  readonly expected: string;
}

/** End edges that are known, from the user or from an open class beside. */
export interface EndEdges {
  readonly firstUm?: number | undefined;
  readonly lastUm?: number | undefined;
}

const ratioTolerance = 0.01;

/** The ratio at which sizes step and how far the smallest and largest step stray from it. */
export function stepOf(sizesUm: readonly number[]): {
  ratio: number;
  isConstant: boolean;
  low: number;
  high: number;
} {
  const ratio = ((sizesUm.at(-1) ?? Number.NaN) / (sizesUm[0] ?? Number.NaN)) ** (1 / (sizesUm.length - 1));
  const steps = sizesUm.slice(1).map((x, i) => x / (sizesUm[i] ?? x));
  const isConstant = steps.length > 0 && steps.every((step) => Math.abs(step / ratio - 1) <= ratioTolerance);
  return { ratio, isConstant, low: Math.min(...steps), high: Math.max(...steps) };
}

/**
 * Class edges from one size a class. The missing end edge continues the nearest step: x1²/x2 below, xN²/x(N−1) above;
 * mids give edges back only where they step by a constant ratio.
 *
 * @param sizesUm  rising
 */
export function edgesFrom(
  sizesUm: readonly number[],
  edge: Exclude<EdgeOption, "both">,
  ends: EndEdges,
): Edges | NoEdges {
  const first = sizesUm[0] ?? Number.NaN;
  const second = sizesUm[1] ?? Number.NaN;
  const last = sizesUm.at(-1) ?? Number.NaN;
  const lastButOne = sizesUm.at(-2) ?? Number.NaN;
  if (edge === "upper") {
    const below = ends.firstUm ?? first ** 2 / second;
    const supposed =
      ends.firstUm === undefined
        ? [
            `The first class has no lower edge: ${figuresText(below)} µm is taken, one step of the same ratio below`,
          ]
        : [];
    return { lowerUm: [below, ...sizesUm.slice(0, -1)], upperUm: sizesUm, supposed };
  }
  if (edge === "lower") {
    const above = ends.lastUm ?? last ** 2 / lastButOne;
    const supposed =
      ends.lastUm === undefined
        ? [
            `The last class has no upper edge: ${figuresText(above)} µm is taken, one step of the same ratio above`,
          ]
        : [];
    return { lowerUm: sizesUm, upperUm: [...sizesUm.slice(1), above], supposed };
  }
  const { ratio, isConstant } = stepOf(sizesUm);
  if (!isConstant) {
    return {
      why: "the mid sizes do not step by a constant ratio, so the class edges cannot be found from them",
      expected: "a constant ratio within 1 %, or the edges themselves",
    };
  }
  // Neighbours share one edge, the geometric mean of the two that their mids give.
  const down = edge === "geometric-mid" ? 1 / Math.sqrt(ratio) : 2 / (1 + ratio);
  const up = edge === "geometric-mid" ? Math.sqrt(ratio) : (2 * ratio) / (1 + ratio);
  const lowerUm = sizesUm.map((m) => m * down);
  const upperUm = sizesUm.map((m, i) => {
    const next = sizesUm[i + 1];
    return next === undefined ? m * up : next * down;
  });
  return { lowerUm, upperUm, supposed: [`Edges rebuilt from mid sizes that step by ${ratio.toFixed(4)}`] };
}
