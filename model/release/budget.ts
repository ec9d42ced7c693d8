import { maxOf } from "#distributions/lists.ts";
import { tQuantile } from "#model/numbers/studentT.ts";

/** One source of error of a result, as a standard uncertainty of its ln: 0.01 is one per cent. */
export interface Contribution {
  readonly source: BudgetSource;
  readonly uLn: number;
  /** Degrees of freedom; null where it is known without end. */
  readonly degrees: number | null;
}

export type BudgetSource =
  | "run"
  | "portion"
  | "instrument from day to day"
  | "instrument's offset"
  | "reference material"
  | "optical model"
  | "density";

/** A combined standard uncertainty with its expanded one. */
export interface Combined {
  readonly uLn: number;
  /** Effective degrees of freedom; null for without end. */
  readonly degrees: number | null;
  /** k, of Student's t. */
  readonly coverageFactor: number;
  /** U = k·u, of ln. */
  readonly expandedLn: number;
  readonly level: number;
}

/**
 * Contributions that err independently, together.
 *
 * @param contributions  at least one; those of 0 add nothing
 * Source: JCGM 100:2008, 5.1.2 and G.4.1 (Welch and Satterthwaite; degrees cut to a whole number); docs/science.md.
 */
export function combined(contributions: readonly Omit<Contribution, "source">[], level: number): Combined {
  const variance = contributions.reduce((sum, c) => sum + c.uLn ** 2, 0);
  const uLn = Math.sqrt(variance);
  const known = contributions.reduce((sum, c) => sum + (c.degrees === null ? 0 : c.uLn ** 4 / c.degrees), 0);
  const degrees = known > 0 ? Math.max(1, Math.floor(variance ** 2 / known + 1e-9)) : null;
  const coverageFactor = tQuantile(0.5 + level / 2, degrees ?? Number.POSITIVE_INFINITY);
  return { uLn, degrees, coverageFactor, expandedLn: coverageFactor * uLn, level };
}

/** A check of the instrument against a reference material. */
export interface InstrumentCheck {
  readonly measured: number;
  /** As the material's sheet states it, with its standard uncertainty. */
  readonly stated: number;
  /** Null where the sheet does not say. */
  readonly statedU: number | null;
}

/**
 * What checks against stated values say of the instrument: how it moves from day to day, its offset, which is not taken
 * off and therefore counts in full, and the material's own uncertainty. On ln, so that it holds for other sizes in proportion.
 *
 * @returns nothing below two checks, which show no scatter
 * Source: JCGM 100:2008, F.2.4.5 (offset not corrected for; from memory); docs/science.md.
 */
export function instrumentContributions(checks: readonly InstrumentCheck[]): Contribution[] {
  if (checks.length < 2) return [];
  const n = checks.length;
  const offsets = checks.map((c) => Math.log(c.measured / c.stated));
  const offset = offsets.reduce((a, b) => a + b, 0) / n;
  const spread = Math.sqrt(offsets.reduce((sum, o) => sum + (o - offset) ** 2, 0) / (n - 1));
  const known = checks.flatMap((c) => (c.statedU === null ? [] : [c.statedU / c.stated]));
  return [
    { source: "instrument from day to day", uLn: spread * Math.sqrt(1 + 1 / n), degrees: n - 1 },
    { source: "instrument's offset", uLn: Math.abs(offset), degrees: null },
    ...(known.length < n
      ? []
      : [{ source: "reference material" as const, uLn: maxOf(known), degrees: null }]),
  ];
}

export type Measurand = "d10Um" | "d50Um" | "d90Um" | "areaM2PerG";

/** What is known of one result. Everything relative is a standard uncertainty over the value; null where it is not known. */
export interface BudgetQuestion {
  readonly measurand: Measurand;
  readonly value: number;
  /** Of one run, as a standard deviation of ln, and how many runs the value is the mean of. */
  readonly run: { readonly sdLn: number; readonly degrees: number; readonly runs: number } | null;
  /** Of one portion about its lot, likewise. */
  readonly portion: {
    readonly sdLn: number;
    readonly degrees: number | null;
    readonly portions: number;
  } | null;
  readonly checks: readonly InstrumentCheck[];
  readonly opticalModel: number | null;
  /** Of the density, for an area; a size does not hang on it. */
  readonly density: number | null;
  readonly level?: number;
}

type NotKnown = "run" | "portion" | "instrument" | "reference material" | "optical model" | "density";

/** A result with its uncertainty budget. */
export interface Budget extends Combined {
  readonly measurand: Measurand;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** With the share of the variance that each carries, the largest first. */
  readonly contributions: readonly (Contribution & { readonly share: number })[];
  /** Sources that nothing was given of: they are not in U, and that is no nought. */
  readonly notKnown: readonly NotKnown[];
}

/** @returns null where nothing at all is known. Source: JCGM 100:2008; docs/science.md. */
export function budgetOf(asked: BudgetQuestion): Budget | null {
  const { measurand, value, run, portion, checks, opticalModel, density, level = 0.95 } = asked;
  const isArea = measurand === "areaM2PerG";
  const instrument = instrumentContributions(checks);
  const contributions: Contribution[] = [
    ...(run === null
      ? []
      : [{ source: "run" as const, uLn: run.sdLn / Math.sqrt(run.runs), degrees: run.degrees }]),
    ...(portion === null
      ? []
      : [
          {
            source: "portion" as const,
            uLn: portion.sdLn / Math.sqrt(portion.portions),
            degrees: portion.degrees,
          },
        ]),
    ...instrument,
    ...(opticalModel === null
      ? []
      : [{ source: "optical model" as const, uLn: opticalModel, degrees: null }]),
    ...(density === null || !isArea ? [] : [{ source: "density" as const, uLn: density, degrees: null }]),
  ];
  if (contributions.length === 0) return null;
  const notKnown = (
    [
      ["run", run === null],
      ["portion", portion === null],
      ["instrument", instrument.length === 0],
      [
        "reference material",
        instrument.length > 0 && instrument.every((c) => c.source !== "reference material"),
      ],
      ["optical model", opticalModel === null],
      ["density", isArea && density === null],
    ] as const
  ).flatMap(([name, isMissing]) => (isMissing ? [name] : []));
  const whole = combined(contributions, level);
  const shareOf = (c: Contribution) => (whole.uLn > 0 ? (c.uLn / whole.uLn) ** 2 : 0);
  return {
    measurand,
    value,
    ...whole,
    low: value * Math.exp(-whole.expandedLn),
    high: value * Math.exp(whole.expandedLn),
    contributions: contributions.map((c) => ({ ...c, share: shareOf(c) })).sort((a, b) => b.share - a.share),
    notKnown,
  };
}
