import { curveOf, meanCurve, undersizeAt } from "#distributions/curve.ts";
import { type FamilyName, familyNames } from "#distributions/families/family.ts";
import type { NamedMeasurement } from "#distributions/measured.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { type FamilyFit, fewestEdges, fitFamily } from "#model/fit/fitFamily.ts";
import { counted, figures } from "./wording.ts";

export interface FitAnswer {
  readonly fits: readonly FamilyFit[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

const familyWords: Record<FamilyName, string> = {
  "log-normal": "the log-normal curve",
  "rosin-rammler": "the Rosin–Rammler curve",
};

/** One run says nothing of the noise between runs; this many points are then taken for it. A judgement of ours. */
const noiseOfOneRunPoints = 0.3;

/** Each family fitted to each measurement, and which describes the powder better. Source: ISO 9276-3; MODEL §4. */
export function fitAnswer(
  measurements: readonly NamedMeasurement[],
  families: readonly FamilyName[] = familyNames,
): FitAnswer {
  const fits: FamilyFit[] = [];
  const problems: Problem[] = [];
  for (const one of measurements) {
    for (const family of families) {
      const fit = fitFamily(one, family);
      if (fit !== null) {
        fits.push(fit);
        continue;
      }
      problems.push(
        problem(
          "refused",
          `${one.name} cannot be fitted by ${familyWords[family]}: it needs at least ${counted(fewestEdges, "class edge")} where the curve rises. Bring in the whole table.`,
          {
            file: one.file,
            measurement: one.name,
            expected: `${fewestEdges} edges or more`,
          },
        ),
      );
    }
  }
  return { fits, sentence: sentenceOf(measurements, fits), problems };
}

function sentenceOf(measurements: readonly NamedMeasurement[], fits: readonly FamilyFit[]): string {
  const means = familyNames.flatMap((family) => {
    const ofFamily = fits.filter((f) => f.family === family);
    if (ofFamily.length === 0) return [];
    return [{ family, rmsPoints: ofFamily.reduce((sum, f) => sum + f.rmsPoints, 0) / ofFamily.length }];
  });
  const [best, second] = [...means].sort((a, b) => a.rmsPoints - b.rmsPoints);
  const doubtful = fits.filter((f) => f.status !== "converged").length;
  const doubt = doubtful > 0 ? ` ${counted(doubtful, "fit")} did not converge.` : "";
  if (best === undefined) return "Nothing could be fitted.";
  if (second === undefined)
    return `Misfit of ${familyWords[best.family]}: ${figures(best.rmsPoints)} points.${doubt}`;
  const noise = noisePoints(measurements);
  const gap = second.rmsPoints - best.rmsPoints;
  if (gap < noise) {
    return `The two curves cannot be told apart: misfits ${figures(best.rmsPoints)} and ${figures(second.rmsPoints)} points, closer than the ${figures(noise)} points ${measurements.length > 1 ? "between runs" : "assumed for one run"}.${doubt}`;
  }
  const words = familyWords[best.family];
  return `${words.charAt(0).toUpperCase()}${words.slice(1)} describes the powder better: misfit ${figures(best.rmsPoints)} points against ${figures(second.rmsPoints)}.${best.rmsPoints > 2 ? " Neither describes it well." : ""}${doubt}`;
}

/** Run-to-run rms of Q about the mean curve, in points. */
function noisePoints(measurements: readonly NamedMeasurement[]): number {
  if (measurements.length < 2) return noiseOfOneRunPoints;
  const curves = measurements.map((m) => curveOf(m.distribution));
  const mean = meanCurve(curves);
  const inside = mean.edgesUm.filter((_, i) => (mean.undersize[i] ?? 0) > 0 && (mean.undersize[i] ?? 1) < 1);
  let sum = 0;
  for (const x of inside) {
    const middle = undersizeAt(mean, x);
    for (const curve of curves) sum += (undersizeAt(curve, x) - middle) ** 2;
  }
  return inside.length === 0
    ? noiseOfOneRunPoints
    : 100 * Math.sqrt(sum / (inside.length * (curves.length - 1)));
}
