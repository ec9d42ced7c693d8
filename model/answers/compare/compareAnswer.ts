import { type Curve, curveOf, knownUndersizeAt, meanCurve, sizeAt } from "#distributions/curve.ts";
import { distances } from "#distributions/distances.ts";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { figures, listed, misfitText, signedFigures } from "#model/words/wording.ts";

export interface CompareAnswer {
  readonly maxGapPoints: number;
  readonly atUm: number;
  /** 100·(exp(W1) − 1), never negative. */
  readonly shiftPercent: number;
  /** 100·(exp(mean ln x of B − of A) − 1), positive where B is coarser. */
  readonly meanShiftPercent: number;
  readonly overlap: number;
  /** D_B / D_A, keyed by per cent. */
  readonly percentileRatios: Readonly<Record<string, number | null>>;
  /** Q_B − Q_A in percentage points, keyed by size in µm. */
  readonly finesPoints: Readonly<Record<string, number | null>>;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

const ratioPercents = [5, 10, 25, 50, 75, 90, 95];

/**
 * What changed from A to B, each side the mean curve of its measurements.
 *
 * @throws DomainError  a side without measurements
 * Source: docs/science.md (max gap, shift, overlap, percentile ratios).
 */
export function compareAnswer(
  a: readonly NamedMeasurement[],
  b: readonly NamedMeasurement[],
  { belowUm = [1] }: { readonly belowUm?: readonly number[] } = {},
): CompareAnswer {
  if (a.length === 0 || b.length === 0)
    throw new DomainError("measurements", "must hold at least one on each side", 0);
  const curveA = meanCurve(a.map((m) => curveOf(m.distribution)));
  const curveB = meanCurve(b.map((m) => curveOf(m.distribution)));
  const apart = distances(curveA, curveB);
  const percentileRatios = Object.fromEntries(
    ratioPercents.map((p) => [String(p), ratioAt(curveA, curveB, p / 100)]),
  );
  const finesPoints = Object.fromEntries(
    belowUm.map((x) => {
      const before = knownUndersizeAt(curveA, x);
      const after = knownUndersizeAt(curveB, x);
      return [String(x), before === null || after === null ? null : 100 * (after - before)];
    }),
  );
  const shiftPercent = 100 * Math.expm1(apart.wassersteinLn);
  const meanShiftPercent = 100 * Math.expm1(apart.meanLnShift);
  const body = {
    maxGapPoints: apart.maxGapPoints,
    atUm: apart.atUm,
    shiftPercent,
    meanShiftPercent,
    overlap: apart.overlap,
    percentileRatios,
    finesPoints,
  };
  return {
    ...body,
    sentence: sentenceOf(body),
    problems: [...quantityProblems(a, b), ...lostProblems([curveA, curveB], percentileRatios, finesPoints)],
  };
}

function ratioAt(a: Curve, b: Curve, fraction: number): number | null {
  const before = sizeAt(a, fraction);
  const after = sizeAt(b, fraction);
  return before === null || after === null ? null : after / before;
}

/** Two curves nearer than this many points everywhere are called the same; no instrument tells them apart. */
const samePoints = 1e-6;

function sentenceOf(c: Omit<CompareAnswer, "sentence" | "problems">): string {
  if (c.maxGapPoints < samePoints) return "The two curves are identical.";
  const word = c.meanShiftPercent < 0 ? "finer" : "coarser";
  const crosses = c.shiftPercent > 1.05 * 100 * Math.expm1(Math.abs(Math.log1p(c.meanShiftPercent / 100)));
  // Keys that look like whole numbers come first in an object: by size reads better.
  const fines = Object.entries(c.finesPoints)
    .sort(([x], [y]) => Number(x) - Number(y))
    .flatMap(([x, points]) =>
      points === null ? [] : [`${signedFigures(points)} percentage points below ${x} µm`],
    );
  const parts = [
    `The second powder is ${misfitText(Math.abs(c.meanShiftPercent))} % ${word} on average; the largest gap between the curves is ${figures(c.maxGapPoints)} percentage points at ${figures(c.atUm)} µm`,
  ];
  if (crosses) parts.push("and the curves cross, so part of the powder changed in the opposite direction");
  return `${parts.join(", ")}.${fines.length > 0 ? ` The fines change by ${listed(fines)}.` : ""}`;
}

function quantityProblems(a: readonly NamedMeasurement[], b: readonly NamedMeasurement[]): Problem[] {
  const kinds = [...new Set([...a, ...b].map((m) => m.distribution.quantity))];
  if (kinds.length < 2) return [];
  return [
    problem(
      "note",
      `The measurements use different quantities (${listed(kinds)}), so their curves differ even for the same powder. Convert them to the same quantity first.`,
      {
        found: listed(kinds),
        expected: "one quantity",
      },
    ),
  ];
}

function lostProblems(
  curves: readonly Curve[],
  ratios: Readonly<Record<string, number | null>>,
  fines: Readonly<Record<string, number | null>>,
): Problem[] {
  const lost = [
    ...Object.entries(ratios).map(([p, v]) => [`D${p}`, v] as const),
    ...Object.entries(fines).map(([x, v]) => [`share below ${x} µm`, v] as const),
  ]
    .filter(([, value]) => value === null)
    .map(([name]) => name);
  if (lost.length === 0) return [];
  const ends = curves.flatMap((curve, side) => endsText(curve, side === 0 ? "the first" : "the second"));
  return [
    problem("note", `${listed(lost)} cannot be compared: ${listed(ends)}.`, {
      effect: "a number stays unknown",
    }),
  ];
}

/** Where the measured range of a side ends with powder beyond it. */
function endsText({ edgesUm, undersize }: Curve, side: string): string[] {
  const starts = itemAt(undersize, 0) > 0 ? [`starts at ${figures(itemAt(edgesUm, 0))} µm`] : [];
  const ends =
    itemAt(undersize, -1) < 1 - roundingError ? [`ends at ${figures(itemAt(edgesUm, -1))} µm`] : [];
  const said = [...starts, ...ends];
  return said.length === 0 ? [] : [`${side} powder's measured range ${said.join(" and ")}`];
}

const roundingError = 1e-9;
