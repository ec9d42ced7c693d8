import type { SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { saysMid } from "#distributions/tables/text/words.ts";
import { type Edges, edgesFrom, type NoEdges, stepOf } from "./edges.ts";

/** Sizes as they stand for classes: those beside open ends apart. */
export interface Core {
  readonly sizesUm: readonly number[];
  readonly firstUm: number | undefined;
  readonly lastUm: number | undefined;
  readonly below: boolean;
  readonly above: boolean;
}

/** @param closing  end edges that the values themselves give */
export function coreOf(context: SeriesContext, closing: { below?: number; above?: number }): Core {
  const [list = []] = context.sizes.listsUm;
  const { below, above } = context.sizes.open;
  return {
    sizesUm: list.slice(below ? 1 : 0, above ? -1 : undefined),
    firstUm: below ? list[0] : (context.options.firstEdgeUm ?? closing.below),
    lastUm: above ? list.at(-1) : closing.above,
    below,
    above,
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
  const mids = ["geometric-mid", "arithmetic-mid"] as const;
  const all = isMid
    ? mids
    : isConstant
      ? (["lower", "upper", ...mids] as const)
      : (["lower", "upper"] as const);
  const allowed = all.filter((edge) => meetsOpenEnds(core, edge));
  const missing =
    isMid || isConstant
      ? null
      : `Mid sizes are not offered: their ratio is not constant within 1 % (it runs from ${figuresText(low)} to ${figuresText(high)})`;
  return { edges: allowed.length > 0 ? allowed : all, missing };
}

/** "<1" must end where the next class begins, ">100" begin where the class before ends. */
function meetsOpenEnds(core: Core, edge: Exclude<EdgeOption, "both">): boolean {
  if (!core.below && !core.above) return true;
  const found = edgesFrom(core.sizesUm, edge, {});
  if ("why" in found) return false;
  const near = (a: number | undefined, b: number | undefined) =>
    a !== undefined && b !== undefined && Math.abs(a / b - 1) <= 0.03;
  const first = core.below
    ? edge === "upper"
      ? (core.firstUm ?? 0) < (found.upperUm[0] ?? 0)
      : near(found.lowerUm[0], core.firstUm)
    : true;
  const last = core.above
    ? edge === "lower"
      ? (core.lastUm ?? 0) > (found.lowerUm.at(-1) ?? 0)
      : near(found.upperUm.at(-1), core.lastUm)
    : true;
  return first && last;
}

/** Classes with the open ones at the ends, which start at zero or have no upper edge. */
export function classesOf(core: Core, edge: Exclude<EdgeOption, "both">): Edges | NoEdges {
  if (core.sizesUm.length < 1) return { why: "all sizes are open ends", expected: "sizes between them" };
  const found = edgesFrom(core.sizesUm, edge, { firstUm: core.firstUm, lastUm: core.lastUm });
  if ("why" in found) return found;
  const { supposed } = found;
  const lowerUm = [...(core.below ? [0] : []), ...found.lowerUm, ...(core.above ? [core.lastUm ?? 0] : [])];
  const upperUm = [
    ...(core.below ? [core.firstUm ?? 0] : []),
    ...found.upperUm,
    ...(core.above ? [Number.POSITIVE_INFINITY] : []),
  ];
  return { lowerUm, upperUm, supposed };
}
