import { sum } from "simple-statistics";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import {
  arithmeticMeanUm,
  type ClassMeans,
  convert,
  geometricMeanUm,
  geometricSurface,
  keptClassMeans,
  meanDiameterUm,
  sharesBy,
  standardDeviationUm,
} from "#distributions/moments.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import {
  type NamedMeasurement,
  type Quantity,
  type SizeDistribution,
  unseenShare,
} from "#distributions/sizeDistribution.ts";
import { span } from "#distributions/span.ts";
import { whyNoArea } from "#model/answers/surface/surfaceAnswer.ts";
import type { LotsBy } from "#model/lot/lotsOf.ts";
import { figures, listed } from "#model/words/wording.ts";
import type { Described } from "./described.ts";
import { type DescribedLot, describedLots } from "./describedLot.ts";

export interface DescribeOptions {
  /** Per cents; 10, 50 and 90 when left out. */
  readonly percentiles?: readonly number[];
  /** The quantity everything is weighted by; the measured one when left out. */
  readonly as?: Quantity;
  /** Density of the solid; without it no surface is given. */
  readonly densityGPerCm3?: number;
  /** Of the intervals; 0.95 when left out. */
  readonly level?: number;
  /** What counts as one lot; each file when left out. */
  readonly lotsBy?: LotsBy;
}

export interface DescribeAnswer {
  readonly measurements: readonly Described[];
  /** The same over the runs of each lot, with intervals. */
  readonly lots: readonly DescribedLot[];
  readonly problems: readonly Problem[];
}

/**
 * Percentiles, means, width and geometric surface of each measurement, with the reason for every number that is missing.
 * Source: ISO 9276-1 (percentiles), ISO 9276-2 (means).
 */
export function describeAnswer(
  measurements: readonly NamedMeasurement[],
  options: DescribeOptions,
): DescribeAnswer {
  const described: Described[] = [];
  const problems: Problem[] = [];
  for (const { answer, remarks } of describeEach(measurements, options)) {
    if (answer !== null) described.push(answer);
    problems.push(...remarks);
  }
  problems.push(...numberFromFinest(described, measurements));
  if (described.length > 0 && options.densityGPerCm3 === undefined) {
    problems.push(
      problem("note", "No geometric area is given: it needs the density of the solid in g/cm³.", {
        expected: "a density",
        effect: "no area is given",
      }),
    );
  }
  const { lots, problems: ofLots } = describedLots(
    described,
    options.level ?? 0.95,
    options.lotsBy ?? "file",
  );
  return { measurements: described, lots, problems: [...problems, ...ofLots] };
}

/** Each measurement in turn: its numbers, null where it cannot be counted as asked, and what is to be said of them. */
export function* describeEach(
  measurements: readonly NamedMeasurement[],
  options: DescribeOptions,
): Generator<{ readonly answer: Described | null; readonly remarks: readonly Problem[] }> {
  const meansOf = keptClassMeans();
  for (const one of measurements) {
    const as = options.as ?? one.distribution.quantity;
    const means = meansOf(one.distribution);
    const distribution = convert(one.distribution, as, means);
    if (distribution === null) {
      const refused = problem(
        "refused",
        `${one.name} cannot be converted to ${as}: ${unseenText(one.distribution)}. Give the finest class a lower edge, or measure a wider size range.`,
        {
          file: one.file,
          measurement: one.name,
          found: `${figures(100 * unseenShare(one.distribution))} % outside the size classes`,
          expected: "at most 0.05 %",
        },
      );
      yield { answer: null, remarks: [refused] };
      continue;
    }
    const answer = describeOne(one, distribution, options, means);
    yield { answer, remarks: remarksOn(one, distribution, answer, options.densityGPerCm3 !== undefined) };
  }
}

function describeOne(
  one: NamedMeasurement,
  m: SizeDistribution,
  options: DescribeOptions,
  means: ClassMeans,
): Described {
  const curve = curveOf(m);
  const wanted = options.percentiles ?? [10, 50, 90];
  const surface =
    options.densityGPerCm3 === undefined
      ? null
      : geometricSurface(one.distribution, options.densityGPerCm3, means);
  const finest = numberInFinestTwo(one.distribution, means);
  return {
    file: one.file,
    name: one.name,
    quantity: m.quantity,
    inClass: m.inClass,
    lowerUm: m.lowerUm,
    upperUm: m.upperUm,
    shares: m.shares,
    belowShare: m.belowShare,
    aboveShare: m.aboveShare,
    percentilesUm: Object.fromEntries(wanted.map((p) => [String(p), sizeAt(curve, p / 100)])),
    meansUm: {
      "4,3": meanDiameterUm(m, 4, 3, means),
      "3,2": meanDiameterUm(m, 3, 2, means),
      "1,0": meanDiameterUm(m, 1, 0, means),
    },
    arithmeticMeanUm: arithmeticMeanUm(m, means),
    geometricMeanUm: geometricMeanUm(m, means),
    standardDeviationUm: standardDeviationUm(m, means),
    span: span(curve),
    surfaceM2PerG: surface?.m2PerG ?? null,
    surfaceIsLowerBound: surface?.isLowerBound ?? false,
    ...(finest === null ? {} : { numberInFinestTwo: finest }),
  };
}

function remarksOn(
  one: NamedMeasurement,
  m: SizeDistribution,
  answer: Described,
  hasDensity: boolean,
): Problem[] {
  const at = { file: one.file, measurement: one.name };
  const found: Problem[] = [];
  const missing = Object.entries(answer.percentilesUm).filter(([, size]) => size === null);
  if (missing.length > 0) {
    found.push(
      problem(
        "note",
        `${listed(missing.map(([p]) => `D${p}`))} ${missing.length === 1 ? "is" : "are"} not known: ${unseenText(m)}.`,
        {
          ...at,
          effect: "no size is given",
        },
      ),
    );
  }
  if (answer.meansUm["4,3"] === null) {
    found.push(
      problem(
        "note",
        `The means are not known: ${unseenText(m)}, but means need at most 0.05 % outside the measured range.`,
        {
          ...at,
          effect: "no means are given",
        },
      ),
    );
  }
  if (answer.span === null && missing.length === 0) {
    found.push(
      problem("note", `The span is not known: it needs D10, D50 and D90, but ${unseenText(m)}.`, {
        ...at,
        effect: "no span is given",
      }),
    );
  }
  if (hasDensity && answer.surfaceM2PerG === null) {
    found.push(
      problem("note", `The geometric area is not known: ${whyNoArea(one.distribution)}.`, {
        ...at,
        effect: "no area is given",
      }),
    );
  } else if (answer.surfaceIsLowerBound) {
    found.push(
      problem(
        "note",
        `The geometric area is a lower bound: ${unseenText(m)}, which adds an unknown area.`,
        at,
      ),
    );
  }
  return found;
}

/** Below this part in the finest two classes, results by number hardly depend on them. A judgement of ours. */
const leastInFinest = 0.01;

/** How far results by number hang on the finest classes, said once, of the run where it is most. */
function numberFromFinest(
  described: readonly Described[],
  measurements: readonly NamedMeasurement[],
): Problem[] {
  const [worst] = described
    .flatMap(({ file, name, quantity, numberInFinestTwo: finest }) =>
      quantity === "number" && finest !== undefined && finest >= leastInFinest
        ? [{ file, name, finest }]
        : [],
    )
    .sort((a, b) => b.finest - a.finest);
  if (worst === undefined) return [];
  const { file, name, finest } = worst;
  const from = measurements.find((m) => m.file === file && m.name === name)?.distribution.measuredAs;
  return [
    problem(
      "note",
      `Results by number from a ${from} measurement depend on its finest classes: in ${name} the finest two hold ${figures(100 * finest)} % of all particles by number.`,
      { file, measurement: name, effect: `${figures(100 * finest)} % of the number in two classes` },
    ),
  ];
}

/** A number from a volume measurement multiplies its finest classes by x⁻³. Null where the number itself was measured, or cannot be had. */
function numberInFinestTwo(m: SizeDistribution, means: ClassMeans): number | null {
  if (m.measuredAs === "number") return null;
  const shares = sharesBy(m, "number", means);
  if (shares === null) return null;
  const first = Math.max(
    0,
    shares.findIndex((share) => share > 0),
  );
  return sum(shares.slice(first, first + 2));
}

function unseenPart(share: number, side: "below" | "above", edgeUm: number | undefined): string | null {
  return share > 0 && edgeUm !== undefined
    ? `${figures(100 * share)} % lies ${side} ${figures(edgeUm)} µm`
    : null;
}

function unseenText(m: SizeDistribution): string {
  const parts = [
    unseenPart(m.belowShare, "below", m.lowerUm[0]),
    unseenPart(m.aboveShare, "above", m.upperUm.at(-1)),
  ];
  return parts.filter((part) => part !== null).join(" and ") || "it lies outside the measured range";
}
