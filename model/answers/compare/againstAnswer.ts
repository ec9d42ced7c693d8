import { DomainError } from "#distributions/domainError.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import {
  type Against,
  against,
  linePercents,
  type NoiseFloor,
  noiseFloorOf,
} from "#model/compare/against.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { figures, listed } from "#model/words/wording.ts";
import type { NamedLot } from "./blendAnswer.ts";

export interface AgainstAnswer {
  readonly reference: string;
  readonly noise: NoiseFloor | null;
  /** The nearest to the reference first, by how far the powder would have to move. */
  readonly others: readonly (Against & { readonly name: string })[];
  /** Per cents of each powder's percentile-ratio line. */
  readonly percents: readonly number[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

const maxPowders = 20;

/**
 * One to nineteen powders against a reference, the nearest first, each beside the reference's own noise.
 * @throws DomainError  fewer than two or more than twenty powders in all, or one without runs
 */
export function againstAnswer(lots: readonly NamedLot[]): AgainstAnswer {
  if (lots.length < 2 || lots.length > maxPowders)
    throw new DomainError("powders", "must be two to twenty", lots.length);
  const empty = lots.find(({ runs }) => runs.length === 0);
  if (empty !== undefined) throw new DomainError(`powder ${empty.name}`, "must have a measurement", 0);
  const turned = lots.map(({ name, runs }) => ({
    name,
    ...byVolume(runs, "Powders are compared by volume"),
  }));
  const known = turned.flatMap(({ name, runs }) => (runs === null ? [] : [{ name, runs }]));
  const problems = turned.flatMap((t) => t.problems);
  const [first] = turned;
  const [reference, ...rest] = known;
  if (reference === undefined || reference.name !== first?.name)
    return {
      reference: first?.name ?? "",
      noise: null,
      others: [],
      percents: linePercents,
      sentence: "No comparison is possible: the reference cannot be converted to volume.",
      problems,
    };
  const noise = noiseFloorOf(reference.runs);
  if (noise === null)
    problems.push(
      problem(
        "note",
        "The reference has only one run, so its repeatability is not known. At least three runs are needed.",
        {
          found: "one run",
          expected: "three runs or more",
          effect: "a number stays unknown",
        },
      ),
    );
  const others = rest
    .map(({ name, runs }) => ({ name, ...against(reference.runs, runs, noise) }))
    .sort((a, b) => a.shiftPercent - b.shiftPercent);
  return {
    reference: reference.name,
    noise,
    others,
    percents: linePercents,
    sentence: againstSentence(reference.name, others, noise),
    problems,
  };
}

/** "Lot 08 is nearest to the reference: on average 1.9 % coarser, with …" */
export function againstSentence(
  reference: string,
  others: readonly (Against & { readonly name: string })[],
  noise: NoiseFloor | null,
): string {
  const [nearest] = others;
  if (nearest === undefined) return "There is no powder to compare with the reference.";
  const same = others.filter((o) => o.isWithinNoise === true).map((o) => o.name);
  const { meanShiftPercent, maxGapPoints, shiftPercent } = nearest;
  const side = meanShiftPercent < 0 ? "finer" : "coarser";
  const own =
    noise === null
      ? ""
      : ` The runs of the reference differ by ${figures(noise.shiftPercent)} % in size and ${figures(noise.maxGapPoints)} percentage points.`;
  const alike = same.length === 0 ? "" : ` Not distinguishable from it: ${listed(same)}.`;
  return `${nearest.name} is nearest to ${reference}: on average ${figures(Math.abs(meanShiftPercent))} % ${side}, with a size shift of ${figures(shiftPercent)} % and a largest gap of ${figures(maxGapPoints)} percentage points.${own}${alike}`;
}
