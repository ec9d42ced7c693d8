import { itemAt } from "#distributions/lists.ts";
import type { SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { saysMid } from "#distributions/tables/text/words.ts";
import { type Edges, edgesFrom, type NoEdges, stepOf, widthOf } from "./edges.ts";

/** Sizes as they stand for classes: those beside open ends apart. */
export interface Core {
  readonly sizesUm: readonly number[];
  readonly firstUm: number | undefined;
  readonly lastUm: number | undefined;
  /** The size at which an open class at the fine end stops; null where there is none. */
  readonly belowUm: number | null;
  /** The size at which an open class at the coarse end starts. */
  readonly aboveUm: number | null;
}

/** @param closing  end edges that the values themselves give */
export function coreOf(context: SeriesContext, closing: { below?: number; above?: number }): Core {
  const [list = []] = context.sizes.listsUm;
  const { below, above } = context.sizes.open;
  const belowUm = below ? itemAt(list, 0) : null;
  const aboveUm = above ? itemAt(list, -1) : null;
  return {
    sizesUm: list.slice(below ? 1 : 0, above ? -1 : undefined),
    firstUm: belowUm ?? context.options.firstEdgeUm ?? closing.below,
    lastUm: aboveUm ?? closing.above,
    belowUm,
    aboveUm,
  };
}

/** The edges left to try: the one that is known, else each that the sizes and their open ends allow. */
export function edgesToTry(
  core: Core,
  context: SeriesContext,
): { edges: readonly Exclude<EdgeOption, "both">[]; missing: string | null } {
  const { value } = context.edge ?? {};
  if (value !== undefined && value !== "both") return { edges: [value], missing: null };
  const isMid = saysMid(context.sizeHeading);
  const { isConstant, low, high } = stepOf(core.sizesUm);
  const isEven = widthOf(core.sizesUm) !== null;
  const mids = ["geometric-mid", "arithmetic-mid"] as const;
  const all = isMid
    ? mids
    : isConstant
      ? (["lower", "upper", ...mids] as const)
      : isEven
        ? (["lower", "upper", "arithmetic-mid"] as const)
        : (["lower", "upper"] as const);
  const allowed = all.filter((edge) => meetsOpenEnds(core, edge));
  const missing =
    isMid || isConstant || isEven
      ? null
      : `Mid sizes are not offered: their ratio is not constant within 1 % (it runs from ${figuresText(low)} to ${figuresText(high)})`;
  return { edges: allowed.length > 0 ? allowed : all, missing };
}

/** "<1" must end where the next class begins, ">100" begin where the class before ends. */
function meetsOpenEnds(core: Core, edge: Exclude<EdgeOption, "both">): boolean {
  const { sizesUm, belowUm, aboveUm } = core;
  if (belowUm === null && aboveUm === null) return true;
  if (sizesUm.length === 0) return false;
  const found = edgesFrom(sizesUm, edge, {});
  if ("why" in found) return false;
  const near = (a: number, b: number) => Math.abs(a / b - 1) <= 0.03;
  const meetsBelow =
    belowUm === null ||
    (edge === "upper" ? belowUm < itemAt(found.upperUm, 0) : near(itemAt(found.lowerUm, 0), belowUm));
  const meetsAbove =
    aboveUm === null ||
    (edge === "lower" ? aboveUm > itemAt(found.lowerUm, -1) : near(itemAt(found.upperUm, -1), aboveUm));
  return meetsBelow && meetsAbove;
}

/** Classes with the open ones at the ends, which start at zero or have no upper edge. */
export function classesOf(core: Core, edge: Exclude<EdgeOption, "both">): Edges | NoEdges {
  if (core.sizesUm.length < 1) return { why: "all sizes are open ends", expected: "sizes between them" };
  const found = edgesFrom(core.sizesUm, edge, { firstUm: core.firstUm, lastUm: core.lastUm });
  if ("why" in found) return found;
  const { supposed } = found;
  const below = core.belowUm === null ? [] : [{ lower: 0, upper: core.belowUm }];
  const above = core.aboveUm === null ? [] : [{ lower: core.aboveUm, upper: Number.POSITIVE_INFINITY }];
  const lowerUm = [...below.map((open) => open.lower), ...found.lowerUm, ...above.map((open) => open.lower)];
  const upperUm = [...below.map((open) => open.upper), ...found.upperUm, ...above.map((open) => open.upper)];
  return { lowerUm, upperUm, supposed };
}
