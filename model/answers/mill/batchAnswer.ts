import { type Curve, sizeAt } from "#distributions/curve.ts";
import { batchOf, curveAfter, doseForD50 } from "#model/mill/grinding/batchTime.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { figures } from "#model/words/wording.ts";

export interface BatchOptions {
  /** What was found after a known time: it gives the rate. */
  readonly afterMin: number;
  readonly d50AfterUm: number;
  /** Null without a target. */
  readonly targetD50Um: number | null;
  /** Usual where left out: assumed. */
  readonly rateExponent?: number;
  readonly fragmentExponent?: number;
}

export interface BatchAnswer {
  /** Breakage rate at 1 µm, 1/min; null where the powder did not get finer. */
  readonly rateAt1UmPerMin: number | null;
  readonly minutesToTarget: number | null;
  /** Percentiles against time, from the start to somewhat beyond the later of the known time and the target's. */
  readonly course: readonly {
    readonly minutes: number;
    readonly curve: Curve;
    readonly d10Um: number | null;
    readonly d50Um: number | null;
    readonly d90Um: number | null;
  }[];
  readonly refused: { readonly reason: string; readonly remedy: string } | null;
  readonly sentence: string;
}

/** How rate and fragments go with size until the reader says otherwise. Judgements of ours. */
export const usualBatch = { rateExponent: 1, fragmentExponent: 1.4 } as const;

/**
 * A batch that grinds: its curve against time, and the time to a target median. The rate comes from one measurement after
 * a known time; how rate and fragments go with size is assumed unless given.
 *
 * Source: docs/science.md (batch balance). Accuracy: exact in time on its classes.
 */
export function batchAnswer(start: Curve, options: BatchOptions): BatchAnswer {
  const { afterMin, d50AfterUm, targetD50Um } = options;
  const shape = {
    rateExponent: options.rateExponent ?? usualBatch.rateExponent,
    fragmentExponent: options.fragmentExponent ?? usualBatch.fragmentExponent,
  };
  const no = (reason: string, remedy: string): BatchAnswer => ({
    rateAt1UmPerMin: null,
    minutesToTarget: null,
    course: [],
    refused: { reason, remedy },
    sentence: `The grinding curve cannot be calculated: ${reason}. ${remedy}`,
  });
  const wrong = [afterMin, d50AfterUm, targetD50Um ?? 1, ...Object.values(shape)].find((v) => !(v > 0));
  if (wrong !== undefined)
    return no("every time, size and exponent must be above zero", "Correct the value.");
  const batch = batchOf(start, shape, Math.min(d50AfterUm, targetD50Um ?? d50AfterUm));
  const known = doseForD50(batch, d50AfterUm);
  if (known === null || known === 0)
    return no(
      `the powder after ${figures(afterMin)} min (D50 ${figures(d50AfterUm)} µm) is not finer than at the start (D50 ${sizeText(sizeAt(start, 0.5))})`,
      "Check which measurement belongs to the start of grinding.",
    );
  const rate = known / afterMin;
  const wanted = targetD50Um === null ? null : doseForD50(batch, targetD50Um);
  const minutesToTarget = wanted === null ? null : wanted / rate;
  const last = 1.2 * Math.max(afterMin, ...(minutesToTarget === null ? [] : [minutesToTarget]));
  const course = evenSteps(0, last, 13).map((minutes) => {
    const curve = minutes === 0 ? start : curveAfter(batch, rate * minutes);
    return {
      minutes,
      curve,
      d10Um: sizeAt(curve, 0.1),
      d50Um: sizeAt(curve, 0.5),
      d90Um: sizeAt(curve, 0.9),
    };
  });
  return {
    rateAt1UmPerMin: rate,
    minutesToTarget,
    course,
    refused: null,
    sentence: sentenceOf(options, rate, minutesToTarget, shape),
  };
}

const sizeText = (um: number | null) => (um === null ? "not known" : `${figures(um)} µm`);

function sentenceOf(
  { afterMin, targetD50Um }: BatchOptions,
  rate: number,
  minutes: number | null,
  shape: { rateExponent: number; fragmentExponent: number },
): string {
  const to =
    targetD50Um === null
      ? ""
      : minutes === null
        ? `D50 ${figures(targetD50Um)} µm is coarser than the start or finer than the model reaches. `
        : `D50 ${figures(targetD50Um)} µm takes ${figures(minutes)} min${minutes > 1.5 * afterMin ? `, ${figures(minutes / afterMin, 2)} times the measured grinding time: grinding may slow down by then` : ""}. `;
  return `${to}The breakage rate of 1 µm particles is ${figures(rate)} per minute, from the measurement after ${figures(afterMin)} min. The exponents of breakage rate (${figures(shape.rateExponent, 2)}) and breakage function (${figures(shape.fragmentExponent, 2)}) are assumed, so there is no interval.`;
}
