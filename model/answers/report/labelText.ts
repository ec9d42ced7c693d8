import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import type { Stage } from "#model/lot/stages.ts";
import { writtenDay } from "#model/words/days.ts";
import { counted, figures } from "#model/words/wording.ts";

/** What a jar's label is of. */
export interface LabelQuestion {
  readonly lotName: string;
  readonly material: string;
  readonly stage: Stage;
  /** The runs that count. */
  readonly runs: readonly NamedMeasurement[];
  /** As 2026-11-26; null where it is not known. */
  readonly madeOn: string | null;
  readonly measuredOn: string | null;
  /** What was said of the lot; "open" where nothing was. */
  readonly state: string;
}

/** A jar's label, line by line. */
export interface Label {
  readonly lot: string;
  readonly powder: string;
  /** D50 by volume with its interval; why there is none where there is none. */
  readonly size: string;
  readonly days: string;
  /** What keeps it from use; null where nothing does. */
  readonly state: string | null;
  readonly caution: string;
}

/** The usual caution of a fine powder; what else a label must bear is a matter of local codes. */
const caution = "Fine powder: do not breathe the dust. See the safety data sheet.";

/** Lot, material and stage, D50, days, and a caution: what a jar of powder is told apart by. */
export function labelText({ lotName, material, stage, runs, ...asked }: LabelQuestion): Label {
  const made = asked.madeOn === null ? [] : [`made ${writtenDay(asked.madeOn)}`];
  const measured = asked.measuredOn === null ? [] : [`measured ${writtenDay(asked.measuredOn)}`];
  return {
    lot: lotName,
    powder: material === "" ? stage : `${material}, ${stage}`,
    size: sizeOf(runs),
    days: [...made, ...measured].join(", "),
    state: asked.state === "open" || asked.state === "released" ? null : asked.state,
    caution,
  };
}

function sizeOf(measurements: readonly NamedMeasurement[]): string {
  const { runs } = byVolume(measurements);
  if (measurements.length === 0 || runs === null) return "D50 not known";
  const [lot] = describeAnswer(runs, { percentiles: [50], lotsBy: "all" }).lots;
  const d50 = lot?.percentilesUm["50"];
  if (d50 === undefined || d50.value === null) return "D50 not known";
  const { low, high } = d50;
  const interval = low === null || high === null ? "" : ` (95 %: ${figures(low)}–${figures(high)})`;
  return `D50 ${figures(d50.value)} µm${interval}, ${counted(measurements.length, "run")}`;
}
