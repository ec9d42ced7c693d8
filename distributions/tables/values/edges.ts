import { itemAt, maxOf, minOf, neighbours } from "#distributions/lists.ts";
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

/** The ratio at which sizes step, NaN for fewer than two, and how far the smallest and largest step stray from it. */
export function stepOf(sizesUm: readonly number[]): {
  ratio: number;
  isConstant: boolean;
  low: number;
  high: number;
} {
  const steps = sizesUm.slice(1).map((upper, i) => upper / itemAt(sizesUm, i));
  const ratio =
    steps.length === 0 ? Number.NaN : (itemAt(sizesUm, -1) / itemAt(sizesUm, 0)) ** (1 / steps.length);
  const isConstant = steps.length > 0 && steps.every((step) => Math.abs(step / ratio - 1) <= ratioTolerance);
  return { ratio, isConstant, low: minOf(steps), high: maxOf(steps) };
}

const widthTolerance = 0.01;
/** Fewer sizes show no width. */
const minOfWidth = 4;

/** The width at which sizes step, where they all do and the finest class does not reach below zero; null where not. */
export function widthOf(sizesUm: readonly number[]): number | null {
  if (sizesUm.length < minOfWidth) return null;
  const width = (itemAt(sizesUm, -1) - itemAt(sizesUm, 0)) / (sizesUm.length - 1);
  const isConstant = neighbours(sizesUm).every(
    ([lower, upper]) => Math.abs((upper - lower) / width - 1) <= widthTolerance,
  );
  return isConstant && itemAt(sizesUm, 0) >= width * (0.5 - widthTolerance) ? width : null;
}

/**
 * Class edges from one size a class. The missing end edge continues the nearest step: x1²/x2 below, xN²/x(N−1) above;
 * mids give edges back only where they step by a constant ratio or, arithmetic ones, by a constant width.
 *
 * @param sizesUm  rising, at least one
 */
export function edgesFrom(
  sizesUm: readonly number[],
  edge: Exclude<EdgeOption, "both">,
  ends: EndEdges,
): Edges | NoEdges {
  if (edge === "upper") {
    const below = ends.firstUm ?? stepBeyond(itemAt(sizesUm, 0), sizesUm[1]);
    const supposed =
      ends.firstUm === undefined
        ? [
            `The first class has no lower edge: ${figuresText(below)} µm is taken, one step of the same ratio below`,
          ]
        : [];
    return { lowerUm: [below, ...sizesUm.slice(0, -1)], upperUm: sizesUm, supposed };
  }
  if (edge === "lower") {
    const above = ends.lastUm ?? stepBeyond(itemAt(sizesUm, -1), sizesUm.at(-2));
    const supposed =
      ends.lastUm === undefined
        ? [
            `The last class has no upper edge: ${figuresText(above)} µm is taken, one step of the same ratio above`,
          ]
        : [];
    return { lowerUm: sizesUm, upperUm: [...sizesUm.slice(1), above], supposed };
  }
  const { ratio, isConstant } = stepOf(sizesUm);
  const widthUm = widthOf(sizesUm);
  if (!isConstant && widthUm !== null && edge === "arithmetic-mid")
    return {
      lowerUm: sizesUm.map((m) => Math.max(0, m - widthUm / 2)),
      upperUm: sizesUm.map((m, i) => Math.max(0, (sizesUm[i + 1] ?? m + widthUm) - widthUm / 2)),
      supposed: [`Edges rebuilt from mid sizes of classes that are all ${figuresText(widthUm)} µm wide`],
    };
  if (!isConstant) {
    return {
      why:
        widthUm === null
          ? "the mid sizes do not step by a constant ratio, so the class edges cannot be found from them"
          : "the mid sizes step by a constant width, not by a constant ratio, so they are no geometric mids",
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

/** The size one step beyond the outermost; NaN where there is no other to take the step from. */
function stepBeyond(outermostUm: number, nextUm: number | undefined): number {
  return nextUm === undefined ? Number.NaN : outermostUm ** 2 / nextUm;
}
