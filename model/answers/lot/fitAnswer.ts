import { curveOf } from "#distributions/curve.ts";
import { type FamilyName, familyNames } from "#distributions/families/family.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement, Quantity } from "#distributions/sizeDistribution.ts";
import { type Derived, derivedFrom } from "#model/fit/derived.ts";
import { type FamilyFit, fitFamily, minEdges } from "#model/fit/fitFamily.ts";
import type { PointSet } from "#model/fit/fitPoints.ts";
import { noisePoints } from "#model/fit/noise.ts";
import { type Ranked, rankingOf } from "#model/fit/ranking.ts";
import { ownRuns } from "#model/lot/copies.ts";
import { type Humps, humpsOf } from "#model/lot/humps.ts";
import { type Lumps, lumpsOf } from "#model/lot/lumps.ts";
import { type OverRuns, overRuns } from "#model/lot/overRuns.ts";
import { type Shoulder, shoulderOf } from "#model/lot/shoulder.ts";
import { answerOf, type Steps } from "#model/numbers/pausing.ts";
import { capital, counted, figures, listed, misfitText } from "#model/words/wording.ts";

export interface FitQuestion {
  /** All of them when left out. */
  readonly families?: readonly FamilyName[];
  /** Of a mixture; 2 when left out. */
  readonly components?: 2 | 3;
  readonly points?: PointSet;
  /** What the percentiles of the fitted curves are weighted by; the measured quantity when left out. */
  readonly as?: Quantity;
  readonly densityGPerCm3?: number;
  /** Of the intervals; 0.95 when left out. */
  readonly level?: number;
}

/** One family's parameters over the measurements, taken as runs of one lot. */
export interface ParametersOverRuns {
  readonly family: FamilyName;
  /** By the parameter's name. */
  readonly parameters: Readonly<Record<string, OverRuns>>;
}

export interface FitAnswer {
  readonly fits: readonly (FamilyFit & { readonly derived: Derived })[];
  /** The best first. */
  readonly ranking: readonly Ranked[];
  readonly overRuns: readonly ParametersOverRuns[];
  /** Of the measured curves; null without a measurement. */
  readonly humps: Humps | null;
  /** A second part or a long tail that makes no hump of its own; null below three runs, or where there is none. */
  readonly shoulder: Shoulder | null;
  /** Powder apart from the main powder and coarser; null where there is none. */
  readonly lumps: Lumps | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

export const familyWords: Record<FamilyName, string> = {
  "log-normal": "the log-normal curve",
  "rosin-rammler": "the Rosin–Rammler curve",
  "gates-gaudin-schuhmann": "the Gates–Gaudin–Schuhmann curve",
  "log-logistic": "the log-logistic curve",
  "upper-limit-log-normal": "the upper-limit log-normal curve",
  mixture: "a mixture of log-normals",
};

/** A best misfit above this many points is called poor. A judgement of ours. */
const poorPoints = 2;

/** Families fitted to each measurement, and which describes the powder better. Source: ISO 9276-3; docs/science.md. */
export function fitAnswer(measurements: readonly NamedMeasurement[], asked: FitQuestion = {}): FitAnswer {
  return answerOf(fitAnswerSteps(measurements, asked));
}

/** The same with a pause after each fit. */
export function* fitAnswerSteps(
  measurements: readonly NamedMeasurement[],
  asked: FitQuestion = {},
): Steps<FitAnswer> {
  const { families = familyNames, components = 2, points = "edges", level = 0.95, ...derive } = asked;
  const problems: Problem[] = [];
  const noise = noisePoints(measurements);
  const fits: (FamilyFit & { readonly derived: Derived })[] = [];
  const own = new Set(ownRuns(measurements, (one) => curveOf(one.distribution)));
  const ofOwnRuns = new Set<FamilyFit>();
  for (const one of measurements)
    for (const family of families) {
      const fit = fitFamily(one, family, { components, points, noisePoints: noise });
      if (fit === null) problems.push(refusedFit(one, family, components));
      else {
        const derived = Object.assign({}, fit, { derived: derivedFrom(fit, fit.quantity, derive) });
        fits.push(derived);
        if (own.has(one)) ofOwnRuns.add(derived);
      }
      yield;
    }
  for (const family of families) problems.push(...remarks(fits.filter((fit) => fit.family === family)));
  const ranking = rankingOf(fits, noise);
  const of = (family: FamilyName) => fits.filter((fit) => fit.family === family);
  const curves = measurements.map((one) => curveOf(one.distribution));
  const shape = {
    humps: humpsOf(curves),
    shoulder: shoulderOf(curves),
    lumps: curves.length === 0 ? null : lumpsOf(curves),
  };
  const overAll = families.flatMap((family): ParametersOverRuns[] => {
    const those = of(family).filter((fit) => ofOwnRuns.has(fit));
    return those.length === 0 ? [] : [{ family, parameters: parametersOverRuns(those, level) }];
  });
  if (own.size < 3 && fits.length > 0)
    problems.push(
      problem(
        "note",
        `The fitted parameters have no confidence interval: ${counted(own.size, "run")} cannot show the run-to-run scatter. Import three runs or more; the standard errors of each fit are numerical only.`,
        {
          found: counted(own.size, "run"),
          expected: "three runs or more",
          effect: "a number stays unknown",
        },
      ),
    );
  return {
    fits,
    ranking,
    overRuns: overAll,
    ...shape,
    sentence: [rankingText(ranking, noise, measurements.length), shapeText(shape), convergenceText(fits)]
      .filter((part) => part !== "")
      .join(" "),
    problems,
  };
}

function parametersOverRuns(fits: readonly FamilyFit[], level: number): Record<string, OverRuns> {
  // A parameter that its data do not hold has no value to speak of, so the lot has none either.
  const isHeld = fits.every((fit) => fit.status === "converged");
  const each = fits.map((fit) => parametersOf(fit));
  return Object.fromEntries(
    (each[0] ?? []).map(({ name }, i) => [
      name,
      overRuns(
        each.map((parameters) => (isHeld ? (parameters[i]?.value ?? null) : null)),
        level,
      ),
    ]),
  );
}

/** Why a family cannot be fitted to a measurement. */
export function refusedFit(one: NamedMeasurement, family: FamilyName, components: 2 | 3): Problem {
  const fewest = minEdges(family, components);
  return problem(
    "refused",
    `${one.name} cannot be fitted by ${familyWords[family]}: the fit needs at least ${counted(fewest, "class edge")} where the curve rises. Import the whole table.`,
    { file: one.file, measurement: one.name, expected: `${fewest} edges or more` },
  );
}

/** One note a family: what its fits and its curves cannot say, and of which measurements. */
function remarks(fits: readonly (FamilyFit & { readonly derived: Derived })[]): Problem[] {
  const said = fits.map((fit) => ({ fit, words: [...fit.warnings, ...fit.derived.refused] }));
  const doubtful = said.filter(({ words }) => words.length > 0);
  const [first] = doubtful;
  if (first === undefined) return [];
  const names = listed(doubtful.map(({ fit }) => fit.name));
  return [
    problem("note", `${capital(familyWords[first.fit.family])} of ${names}: ${first.words.join(" ")}`, {
      file: first.fit.file,
      measurement: doubtful.length === 1 ? first.fit.name : null,
      effect: "a number stays unknown",
    }),
  ];
}

function convergenceText(fits: readonly FamilyFit[]): string {
  const doubtful = fits.filter((f) => f.status === "stalled" || f.status === "iteration limit").length;
  return doubtful > 0 ? `${capital(counted(doubtful, "fit"))} did not converge.` : "";
}

function rankingText(ranking: readonly Ranked[], noise: number, runs: number): string {
  const [best, second] = ranking;
  if (best === undefined) return "No curve could be fitted.";
  const which = second === undefined ? alone(best) : rankedText(ranking, noise, runs);
  if (best.rmsPoints <= poorPoints) return which;
  return `${which} ${ranking.length === 2 ? "Neither describes the powder well." : "It does not describe the powder well."}`;
}

function alone({ family, rmsPoints }: Ranked): string {
  return `${capital(familyWords[family])} fits with a root-mean-square misfit of ${misfitText(rmsPoints)} percentage points.`;
}

function rankedText(ranking: readonly Ranked[], noise: number, runs: number): string {
  const tied = ranking.filter((row) => !row.isToldApart);
  const [best, second] = ranking;
  if (best === undefined || second === undefined) return "";
  if (tied.length > 1) {
    // The better first, among those that have as many.
    const [simplest] = [...tied].sort((a, b) => a.parameters - b.parameters);
    const names = tied.map((row) => familyWords[row.family].replace(/ curve$/, ""));
    const misfits = listed(tied.map((row) => misfitText(row.rmsPoints)));
    return `${capital(tied.length === 2 && ranking.length === 2 ? "the two curves" : `${listed(names)}`)} are not distinguishable: their misfits of ${misfits} percentage points differ by less than the ${figures(noise)} ${runs > 1 ? "between runs" : "assumed for one run"}.${simplest === undefined || tied.every((row) => row.parameters === simplest.parameters) ? "" : ` The simplest of them, ${familyWords[simplest.family]}, is sufficient.`}`;
  }
  return ranking.length === 2
    ? `${capital(familyWords[best.family])} describes the powder better: its misfit is ${misfitText(best.rmsPoints)} percentage points, that of ${familyWords[second.family]} ${misfitText(second.rmsPoints)} percentage points.`
    : `${capital(familyWords[best.family])} describes the powder best: its misfit is ${misfitText(best.rmsPoints)} percentage points; next is ${familyWords[second.family]} with ${misfitText(second.rmsPoints)} percentage points.`;
}

/** Of lumps, two humps and a shoulder the one that says most: lumps are a hump, and a hump is a shoulder. */
function shapeText({ humps, shoulder, lumps }: Pick<FitAnswer, "humps" | "shoulder" | "lumps">): string {
  if (lumps !== null)
    return `${figures(100 * lumps.share)} % lies above ${figures(lumps.aboveUm)} µm, apart from the main powder.`;
  const said = humpText(humps);
  if (said !== "" || shoulder === null) return said;
  return `There is a shoulder on the ${shoulder.side} side, near ${figures(shoulder.atUm)} µm: a second part or a long tail, without a hump of its own.`;
}

function humpText(humps: Humps | null): string {
  if (humps === null || humps.smallerShare === null) return "";
  const [low, high] = humps.atUm;
  if (low === undefined || high === undefined) return "";
  const where = `the modes are near ${figures(low)} and ${figures(high)} µm, and the smaller holds ${figures(100 * humps.smallerShare)} % of the powder`;
  return humps.verdict === "second hump"
    ? `Every run shows a second mode: ${where}.`
    : `A second mode is possible: ${where}. Three runs are needed to confirm it.`;
}
