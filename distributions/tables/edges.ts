import { figuresText } from "./figuresText.ts";
import type { EdgeOption } from "./readingOptions.ts";

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

const ratioTolerance = 0.01;

/**
 * Class edges from one size a class. The missing end edge continues the nearest step: x1²/x2 below, xN²/x(N−1) above;
 * mids give edges back only where they step by a constant ratio.
 *
 * @param sizesUm      rising
 * @param firstEdgeUm  a lower edge for the finest class, if the user gave one
 */
export function edgesFrom(
  sizesUm: readonly number[],
  edge: Exclude<EdgeOption, "both">,
  firstEdgeUm: number | undefined,
): Edges | NoEdges {
  const first = sizesUm[0] ?? Number.NaN;
  const second = sizesUm[1] ?? Number.NaN;
  const last = sizesUm.at(-1) ?? Number.NaN;
  const lastButOne = sizesUm.at(-2) ?? Number.NaN;
  if (edge === "upper") {
    const below = firstEdgeUm ?? first ** 2 / second;
    const supposed =
      firstEdgeUm === undefined
        ? [
            `The first class has no lower edge: ${figuresText(below)} µm is taken, one step of the same ratio below`,
          ]
        : [];
    return { lowerUm: [below, ...sizesUm.slice(0, -1)], upperUm: sizesUm, supposed };
  }
  if (edge === "lower") {
    const above = last ** 2 / lastButOne;
    return {
      lowerUm: sizesUm,
      upperUm: [...sizesUm.slice(1), above],
      supposed: [
        `The last class has no upper edge: ${figuresText(above)} µm is taken, one step of the same ratio above`,
      ],
    };
  }
  const ratio = (last / first) ** (1 / (sizesUm.length - 1));
  const isConstant = sizesUm
    .slice(1)
    .every((x, i) => Math.abs(x / (sizesUm[i] ?? x) / ratio - 1) <= ratioTolerance);
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
