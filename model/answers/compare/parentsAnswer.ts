import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type FromParents, fromParents } from "#model/compare/fromParents.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { figures, listed, signedFigures } from "#model/words/wording.ts";

/** A parent as it was when powder was taken from it. */
export interface NamedParentRuns {
  readonly name: string;
  readonly stage: string;
  /** Of the child, 0..1. */
  readonly share: number;
  readonly runs: readonly NamedMeasurement[];
}

export interface ParentsAnswer {
  /** Blend of several; split of one at the same stage; made from one that was taken at another stage. */
  readonly kind: "blend" | "split" | "made from";
  readonly found: FromParents | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * A lot against its parents: what their runs, mixed by their shares, say of it, and what was measured.
 *
 * @param child  its runs, and the stage that they are of
 * @returns found null where a parent was not measured, or a powder cannot be turned to volume; the sentence says so
 */
export function parentsAnswer(
  child: { readonly stage: string; readonly runs: readonly NamedMeasurement[] },
  parents: readonly NamedParentRuns[],
  level = 0.95,
): ParentsAnswer {
  const kind = parents.length > 1 ? "blend" : parents[0]?.stage === child.stage ? "split" : "made from";
  const turned = [child, ...parents].map(({ runs }) => byVolume(runs, "Lots are compared by volume"));
  const problems = turned.flatMap((each) => each.problems);
  const without = parents.filter(({ runs }) => runs.length === 0);
  if (parents.length === 0 || child.runs.length === 0 || without.length > 0)
    return {
      kind,
      found: null,
      sentence:
        without.length > 0
          ? `This lot is not held against its ${without.length > 1 ? "parents" : "parent"}: ${listed(without.map(({ name, stage }) => `${name} was not measured when it was ${stage}`))}.`
          : "",
      problems,
    };
  const [own, ...others] = turned.map(({ runs }) => runs);
  const known = others.flatMap((runs, i) =>
    runs === null ? [] : parents.slice(i, i + 1).map(({ share }) => ({ runs, share })),
  );
  if (own === null || own === undefined || known.length < parents.length)
    return { kind, found: null, sentence: "A powder cannot be converted to volume.", problems };
  const found = fromParents(own, known, level);
  const few = found.agrees === null;
  return {
    kind,
    found,
    sentence: parentsSentence(kind, found, parents),
    problems: few
      ? [
          ...problems,
          problem("note", "Whether lot and parents agree is not judged: each needs at least three runs.", {
            expected: "three runs or more each",
          }),
        ]
      : problems,
  };
}

function parentsSentence(
  kind: ParentsAnswer["kind"],
  found: FromParents,
  parents: readonly NamedParentRuns[],
): string {
  const { meanShiftPercent, maxGapPoints, atUm, agrees } = found;
  const { value, interval } = meanShiftPercent;
  const within =
    interval === null ? "" : ` (${signedFigures(interval.low)} to ${signedFigures(interval.high)})`;
  const by = value === null ? "" : ` The mean size differs by ${signedFigures(value)} %${within}.`;
  const sizes = sizesWords(kind, found, parents);
  const gap = `the largest gap of the curves is ${figures(maxGapPoints)} percentage points at ${figures(atUm)} µm`;
  if (kind === "made from" || agrees === null) return `${sizes}${by}`;
  if (agrees) return `${sizes} They agree within the scatter of the runs; ${gap}.`;
  const reason = kind === "blend" ? "Weighing, mixing or sampling" : "Segregation on splitting, or sampling";
  return `${sizes}${by} That is more than the scatter of the runs; ${gap}. ${reason} may be the reason.`;
}

function sizesWords(
  kind: ParentsAnswer["kind"],
  { predictedUm, percentileRatios }: FromParents,
  parents: readonly NamedParentRuns[],
): string {
  const d50 = predictedUm["50"] ?? null;
  const ratio = percentileRatios["50"]?.value ?? null;
  const [only] = parents;
  const from =
    kind === "blend"
      ? `Blended from ${listed(parents.map(({ name, share }) => `${figures(100 * share)} % ${name}`))}`
      : `${kind === "split" ? "Part of" : "Made from"} ${only?.name ?? ""} (${only?.stage ?? ""})`;
  if (d50 === null || ratio === null) return `${from}.`;
  const given = kind === "blend" ? "their curves give" : "it had";
  return `${from}: ${given} a D50 of ${figures(d50)} µm, and ${figures(d50 * ratio)} µm was measured.`;
}
