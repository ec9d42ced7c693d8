import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import {
  d50AtPressure,
  type PressureTrial,
  pressureForD50,
  pressureLaw,
} from "#model/mill/wheelless/pressureLaw.ts";
import { counted, figures } from "./wording.ts";

export interface PressureAsked {
  readonly pressureBar: number | null;
  readonly feedKgPerH: number | null;
  readonly targetD50Um: number | null;
  /** The vessel's and hoses' rating, gauge; without it no pressure is suggested. */
  readonly ratedBar: number | null;
}

export interface PressureAnswer {
  readonly d50Um: SizeInterval | null;
  readonly pressureBar: number | null;
  readonly sentence: string;
}

const level = 0.9;

/** A jet mill without a wheel, from its own trials alone. */
export function pressureAnswer(trials: readonly PressureTrial[], asked: PressureAsked): PressureAnswer {
  const law = pressureLaw(trials);
  const nothing = (sentence: string) => ({ d50Um: null, pressureBar: null, sentence });
  if (law === null) return nothing("No trial yet: without a wheel there is no physics to stand in for one.");
  if (Object.values(asked).some((v) => v !== null && !(v > 0)))
    return nothing("Every entry must be above zero, so nothing is answered.");
  const { pressureBar, feedKgPerH, targetD50Um, ratedBar } = asked;
  const rests = counted(trials.length, "trial");
  const isAbove = pressureBar !== null && ratedBar !== null && pressureBar > ratedBar;
  const at =
    pressureBar === null
      ? null
      : isAbove
        ? { d50Um: null, why: `${figures(pressureBar)} bar is above the rated ${figures(ratedBar)} bar` }
        : d50AtPressure(law, pressureBar, feedKgPerH, level);
  const suggested =
    targetD50Um === null || ratedBar === null ? null : pressureForD50(law, targetD50Um, feedKgPerH, ratedBar);
  const parts = [
    at === null || pressureBar === null
      ? ""
      : at.d50Um === null
        ? `No D50 is predicted: ${at.why}.`
        : `At ${figures(pressureBar)} bar expect D50 ${figures(at.d50Um.median)} µm (${figures(at.d50Um.low)}–${figures(at.d50Um.high)}, 90 % of runs; ${rests}).`,
    targetD50Um === null
      ? ""
      : ratedBar === null
        ? "No rated pressure is entered, so none is suggested. Take it from the plate of vessel and hoses."
        : suggested === null
          ? `D50 ${figures(targetD50Um)} µm is not reached within the rated pressure and 1.5 times your trials.`
          : `For D50 ${figures(targetD50Um)} µm run ${figures(suggested)} bar: half of all runs come out finer, half coarser (${rests}).`,
  ].filter((p) => p !== "");
  return {
    d50Um: at?.d50Um ?? null,
    pressureBar: suggested,
    sentence: parts.join(" ") || "Give a pressure or a target D50.",
  };
}
