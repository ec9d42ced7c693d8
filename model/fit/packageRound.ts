import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { at } from "#model/numbers/kernels/vectors.ts";
import type { FitProblem } from "./curveModel.ts";
import { scaled, scaledSlopes, unscaled } from "./kernels/scaling.ts";
import type { Linearised } from "./linearised.ts";

/** The package takes a step that harms as readily as one that helps, so it is let go a few at a time, from the best so far. */
const stepsPerRound = 3;

/**
 * The best parameters within some steps of the package. It damps all parameters alike and stops at a misfit, so it is
 * given units in which every slope is of length 1 and the misfit is 1; parameters held at a bound are left out.
 *
 * @param damping  λ of its first step
 * @returns        null where its matrix was singular to the last bit
 */
export function packageRound(
  { model, xs, ys, bounds }: FitProblem,
  { parameters, free, longest: lengths, sumOfSquares }: Linearised,
  damping: number,
): readonly number[] | null {
  const misfit = Math.sqrt(sumOfSquares) || 1;
  const own = (values: readonly number[]) => unscaled(parameters, { free, lengths, misfit }, values);
  // It asks for the values at one place up to three times.
  let kept: { readonly key: string; readonly values: readonly number[] } | null = null;
  const valuesAt = (at: readonly number[]) => {
    const key = at.join();
    if (kept?.key !== key) {
      const value = model.value(own(at));
      kept = { key, values: xs.map((x) => value(x) / misfit) };
    }
    return kept.values;
  };
  const xAt = at(xs);
  try {
    const found = levenbergMarquardt(
      { x: xs.map((_, i) => i), y: ys.map((y) => y / misfit) },
      (values) => at(valuesAt(values)),
      {
        initialValues: scaled(parameters, free, lengths, misfit),
        minValues: scaled(bounds.lowest, free, lengths, misfit),
        maxValues: scaled(bounds.highest, free, lengths, misfit),
        jacobianFunction: (values: number[]) => {
          const slopes = model.slopes(own(values));
          return (i) => scaledSlopes(slopes(xAt(i)), free, lengths);
        },
        damping,
        errorTolerance: 1e-20,
        maxIterations: stepsPerRound,
      },
    );
    return own(found.parameterValues);
  } catch {
    return null;
  }
}
