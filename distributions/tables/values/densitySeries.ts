import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import {
  type DensityKind,
  type DensityOfClasses,
  densityFits,
  densityKinds,
  densityShares,
} from "#distributions/tables/evidence/density.ts";
import type { SeriesContext, SeriesGuess } from "#distributions/tables/evidence/seriesContext.ts";
import { sameColumn, sameRow } from "#distributions/tables/evidence/shares.ts";
import type { Cell } from "#distributions/tables/layout/block.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { Weigh } from "./buildDistribution.ts";

/** Shares that miss their whole by no more are asked about as shares. */
const maxLack = 0.01;

const kindWords: Readonly<Record<DensityKind, string>> = {
  density: "per unit of size",
  "density-ln": "per ln size",
  "density-decade": "per decade of size",
};

/**
 * Shares of classes from a density, once their edges are known. A density must integrate to a whole, which also
 * tells a density per µm from one per ln size or per decade where no word does.
 *
 * @param said  the kind that is known; null where nothing says that the values are a density at all
 */
export function weighDensity(
  values: readonly number[],
  cells: readonly Cell[],
  said: readonly [DensityKind] | null,
  context: SeriesContext,
): Weigh {
  const isExact = said !== null && (context.values?.source === "option" || said[0] !== "density");
  const kinds = isExact ? said : densityKinds;
  const negative = values.findIndex((v) => v < 0);
  return (lowerUm, upperUm) => {
    if (negative >= 0) return negativeDensity(itemAt(cells, negative));
    const density = { values, lowerUm, upperUm, umPerUnit: context.umPerUnit };
    const fits = densityFits(density, kinds, said !== null);
    const own = fits.find((f) => f.kind === said?.[0]) ?? (fits.length === 1 ? fits[0] : undefined);
    if (own === undefined) {
      const isNamed = said !== null && context.values?.source === "table";
      const isAmount = context.scale?.value === "amount";
      const other = isNamed ? otherKind(density, cells, { kinds, isAmount }) : null;
      const either = said === null && fits.length > 1 ? eitherKind(fits, cells) : null;
      return other ?? either ?? noWhole(density, cells, kinds);
    }
    const raw = densityShares(density, own.kind);
    const sum = raw.reduce((a, b) => a + b, 0);
    const whole = own.scale === "percent" ? "100 %" : "1";
    const evidence = `with the class widths it integrates to ${figuresText(sum)}`;
    const scale: SeriesGuess = { option: "scale", value: own.scale, source: "table", evidence };
    const kind: SeriesGuess = { option: "values", value: own.kind, source: "table", evidence };
    return {
      shares: raw.map((v) => v / sum),
      belowShare: 0,
      aboveShare: 0,
      remarks: [
        problem(
          "note",
          `Read as a density ${kindWords[own.kind]}: ${evidence}, about ${whole}; shares were divided by that.`,
          {
            effect: `every share times ${figuresText((own.scale === "percent" ? 100 : 1) / sum)}`,
          },
        ),
      ],
      how: own.kind === said?.[0] ? [scale] : [scale, kind],
    };
  };
}

function negativeDensity(cell: Cell): Problem {
  return problem(
    "refused",
    `Row ${cell.row}, column ${cell.column}: a density cannot be negative. Correct the value.`,
    {
      row: cell.row,
      column: cell.column,
      found: cell.text,
      expected: "zero or more",
    },
  );
}

/** What the values can be instead where only a heading calls them a density of this kind; null where nothing fits. */
function otherKind(
  density: DensityOfClasses,
  cells: readonly Cell[],
  { kinds, isAmount }: { readonly kinds: readonly DensityKind[]; readonly isAmount: boolean },
): Problem | null {
  const others = densityKinds.filter((kind) => !kinds.includes(kind));
  const fitting = densityFits(density, others, true).map(({ kind }) => kind);
  const { values } = density;
  // Counts, and shares that make a whole, under a word for a density: that may be part of a name.
  const sum = values.reduce((a, b) => a + b, 0);
  const isNearWhole = [1, 100].some((whole) => Math.abs(sum / whole - 1) <= maxLack);
  const areClasses = isNearWhole || isAmount || values.every((v) => Number.isInteger(v));
  const instead = fitting.length > 0 ? fitting : areClasses ? (["class"] as const) : [];
  if (instead.length === 0) return null;
  const sums = sumsText(density, kinds);
  const fits =
    fitting.length > 0
      ? `${fitting.map((kind) => kindWords[kind]).join(" or ")} they make the whole`
      : `they look like ${isNearWhole ? "shares" : "counts or masses"} of classes`;
  return {
    ...problem(
      "question",
      `The heading speaks of a density, but the values do not integrate to 1 or 100 %: they give ${sums}; ${fits}. Say what they are.`,
      { column: sameColumn(cells), row: sameRow(cells), found: sums, expected: "1 or 100 within 2 %" },
    ),
    choices: instead.map((value) => ({ option: "values", value, d50Um: null })),
  };
}

/** Values that make a whole as a density of more than one kind, where no word says which. */
function eitherKind(fits: readonly { readonly kind: DensityKind }[], cells: readonly Cell[]): Problem {
  const words = fits.map(({ kind }) => kindWords[kind]).join(" or ");
  return {
    ...problem("question", `The values make a whole as a density ${words}. Say which they are.`, {
      column: sameColumn(cells),
      row: sameRow(cells),
      found: "an integral of 1 or 100 either way",
      expected: words,
    }),
    choices: fits.map(({ kind }) => ({ option: "values", value: kind, d50Um: null })),
  };
}

function sumsText(density: DensityOfClasses, kinds: readonly DensityKind[]): string {
  return kinds
    .map((kind) => {
      const sum = densityShares(density, kind).reduce((a, b) => a + b, 0);
      return `${figuresText(sum)} ${kindWords[kind]}`;
    })
    .join(", ");
}

function noWhole(density: DensityOfClasses, cells: readonly Cell[], kinds: readonly DensityKind[]): Problem {
  const sums = sumsText(density, kinds);
  return problem(
    "refused",
    `The density does not integrate to 1 or 100 %: it gives ${sums}. Look for classes left out, or say the unit of the sizes, which edge they are, and what the density is per.`,
    {
      column: sameColumn(cells),
      row: sameRow(cells),
      found: sums,
      expected: "1 or 100 within 2 %",
    },
  );
}
