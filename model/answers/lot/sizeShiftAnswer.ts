import { curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Band, judgedEnvelope, type Verdict } from "#model/band/band.ts";
import { envelopeFinding } from "#model/band/envelopeVerdict.ts";
import { judge, overall } from "#model/band/judge.ts";
import { limitValue, rowKey } from "#model/band/limits.ts";
import { type ChancesOfRows, type SizeShift, sizeShift } from "#model/band/sizeShift.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { type StepKind, stepNamed, usualSteps } from "#model/lot/processSteps.ts";
import { sharedDraws } from "#model/release/chanceFromRuns.ts";
import type { PortionRun } from "#model/release/portions.ts";
import { chancesOf } from "#model/release/release.ts";
import { type ReleaseOptions, releaseOf } from "./releaseAnswer.ts";
import { sizeShiftSentence } from "./sizeShiftWords.ts";

/** What a finer or coarser mill would do for a lot. */
export interface SizeShiftNeeded extends SizeShift {
  readonly sentence: string;
}

export interface SizeShiftOptions extends ReleaseOptions {
  /** What made the powder judged; told from the usual name of the band's stage when left out. */
  readonly step?: StepKind | null;
}

/**
 * Its chances are the first figure of a release, from this lot's runs: the scatter of other lots is pooled with the lot's own.
 *
 * @returns null where a row is not known, or the band has no rows
 */
export function sizeShiftAnswer(
  measurements: readonly PortionRun[],
  band: Band,
  options: SizeShiftOptions = {},
): SizeShiftNeeded | null {
  const { runs } = byVolume(measurements);
  if (runs === null) return null;
  const asked = releaseOf(measurements, band, options);
  const drawsFor = sharedDraws();
  const conformanceAt = (factor: number) =>
    asked === null ? null : chancesOf(asked.questionAt(factor), drawsFor);
  const found = sizeShift(runs, band, (factor): ChancesOfRows | null => {
    const at = conformanceAt(factor);
    if (asked === null || at === null) return null;
    const byRow = new Map(asked.rows.map((row, i) => [rowKey(row), itemAt(at.rows, i)]));
    return { all: at.all, byRow };
  });
  if (found === null) return null;
  const curves = runs.map((run) => curveOf(run.distribution));
  const judged = judgedEnvelope(band);
  const envelope = judged === null ? null : envelopeFinding(curves, judged, band.rule);
  const step = options.step ?? stepNamed(usualSteps, band.stage)?.kind ?? null;
  const isAtLeast = conformanceAt(1)?.isAtLeast ?? false;
  return {
    ...found,
    sentence: sizeShiftSentence(found, { limits: limitsVerdict(runs, band), envelope, isAtLeast, step }),
  };
}

function limitsVerdict(runs: readonly NamedMeasurement[], band: Band): Verdict {
  const verdicts = band.rows.map((row) => {
    const values = runs.flatMap((run) => limitValue(row, run.distribution, band) ?? []);
    return judge(values, row, band.rule).verdict;
  });
  return overall(verdicts);
}
