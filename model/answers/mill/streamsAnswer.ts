import { type GradeEfficiency, gradeEfficiency } from "#model/mill/streams/gradeEfficiency.ts";
import { type Reconciled, reconcile, type Streams, worstClass } from "#model/mill/streams/reconcile.ts";
import { sizeRepeatability, streamErrors } from "#model/mill/streams/streamErrors.ts";
import { figures, misfitText } from "#model/words/wording.ts";

export interface StreamsAnswer {
  readonly reconciled: Reconciled | null;
  readonly efficiency: GradeEfficiency | null;
  /** Ends of the size class whose mass balance closes worst, in µm; null where nothing was separated. */
  readonly worstClassUm: readonly [number, number] | null;
  readonly sentence: string;
  readonly warnings: readonly string[];
}

/** Beyond this a class of the balance is out by more than laser diffraction repeats. Judgements of ours. */
const wideGapPoints = 1.5;
const wideYieldGap = 0.05;

/** Feed, fines and coarse made to agree, and the grade-efficiency curve that follows. Source: ISO 9276-4. */
export function streamsAnswer(streams: Streams): StreamsAnswer {
  const reconciled = reconcile(streams);
  if (reconciled === null) {
    return {
      reconciled,
      efficiency: null,
      worstClassUm: null,
      sentence:
        "There is no grade efficiency: fines and coarse are the same powder, so nothing was separated. Check which table belongs to which stream.",
      warnings: [],
    };
  }
  const fitted = gradeEfficiency(reconciled);
  const efficiency =
    fitted === null ? null : { ...fitted, standardErrors: streamErrors(streams, reconciled, fitted) };
  const warnings: string[] = [];
  const { closureMaxPoints, closureRmsPoints, fineYield, fineYieldOfCurves } = reconciled;
  const worstClassUm = worstClass(streams, fineYield);
  const isClosed = closureMaxPoints <= wideGapPoints;
  const gaps = `root mean square ${misfitText(closureRmsPoints, 2)} percentage points over the classes, ${misfitText(closureMaxPoints, 2)} in the worst, ${worstClassUm.map((um) => figures(um)).join("–")} µm`;
  if (!isClosed) warnings.push("The three samples may not belong together, or one is not representative.");
  if (Math.abs(fineYield - fineYieldOfCurves) > wideYieldGap)
    warnings.push(
      `The weighed fine yield of ${figures(100 * fineYield)} % disagrees with the ${figures(100 * fineYieldOfCurves)} % calculated from the curves.`,
    );
  const closure = `the mass balance ${isClosed ? "closes" : "does not close"} (${gaps})`;
  if (efficiency === null)
    return {
      reconciled,
      efficiency,
      worstClassUm,
      sentence: `The fine yield is ${figures(100 * fineYield)} %; ${closure}. Too few classes contain feed to fit a grade-efficiency curve.`,
      warnings,
    };
  if (efficiency.status !== "converged")
    warnings.push(
      `The fit of the grade-efficiency curve did not converge (${efficiency.status}): cut size, sharpness and bypass are unreliable.`,
    );
  const { cutUm, sharpness, bypassShare, standardErrors, rmsPoints } = efficiency;
  const give = (i: 0 | 1 | 2, factor: number) =>
    standardErrors === null ? "" : ` ± ${figures(standardErrors[i] * factor, 2)}`;
  return {
    reconciled,
    efficiency,
    worstClassUm,
    sentence: `The separator cuts at ${figures(cutUm)}${give(0, cutUm)} µm with a sharpness of ${figures(sharpness)}${give(1, 1)} and a bypass of ${figures(100 * bypassShare, 2)}${give(2, 100)} %. The fine yield is ${figures(100 * fineYield)} %; ${closure}, and the fitted curve deviates by ${misfitText(rmsPoints, 2)} percentage points. ${errorWords(standardErrors)}`,
    warnings,
  };
}

/** What the figures' ± stand for, or why there is none. */
function errorWords(standardErrors: GradeEfficiency["standardErrors"]): string {
  return standardErrors === null
    ? "No errors are stated: streams that err as much as this balance does cannot be fitted."
    : `± is one standard error: from the gaps of the balance, sizes that repeat to ${figures(100 * sizeRepeatability, 1)} % from one measurement to the next, and the fit.`;
}
