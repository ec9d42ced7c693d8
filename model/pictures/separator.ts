import { itemAt, neighbours, zip } from "#distributions/lists.ts";
import { passing } from "#model/mill/separation/separation.ts";
import type { GradeEfficiency } from "#model/mill/streams/gradeEfficiency.ts";
import type { Reconciled } from "#model/mill/streams/reconcile.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";

/** A grade-efficiency curve that can be drawn: per cent thrown back, by class and fitted. */
export interface SeparatorPicture {
  readonly sizesUm: readonly number[];
  readonly fitted: readonly (number | null)[];
  readonly points: readonly { readonly x: number; readonly y: number }[];
}

/** Per cent thrown back, 100 T, against size in µm: of each class at its geometric mid, and of the fitted curve. */
export function separatorPicture(
  { edgesUm, thrownBack }: Reconciled,
  efficiency: GradeEfficiency | null,
): SeparatorPicture {
  const sizesUm = geometricSteps(itemAt(edgesUm, 0), itemAt(edgesUm, -1), 121);
  const pass = efficiency === null ? null : passing({ kind: "log-logistic", leakShare: 0, ...efficiency });
  return {
    sizesUm,
    fitted: sizesUm.map((x) => (pass === null ? null : 100 * (1 - pass(x)))),
    points: zip(neighbours(edgesUm), thrownBack).flatMap(([[lower, upper], t]) =>
      t === null ? [] : [{ x: Math.sqrt(lower * upper), y: 100 * t }],
    ),
  };
}
