import { type Drift, driftOf } from "#model/factors/drift.ts";
import { type DriftLimits, driftLimits, minLotsForDrift } from "#model/factors/driftLimits.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { capital, counted, figures, listed } from "#model/words/wording.ts";
import type { HistoryColumn } from "./historyAnswer.ts";

/** A result over the lots in the order they were made, with limits of which 5 % of steady histories leave one. */
export interface DriftChart {
  readonly name: string;
  readonly unit: string;
  readonly lots: readonly string[];
  readonly values: readonly number[];
  /** In the result's unit; null below eight lots, or where all values are the same. */
  readonly chart: {
    readonly middle: number;
    /** Limits of single values that scatter normally. */
    readonly low: number;
    readonly high: number;
    /** Weighted mean after each lot, with its limits there. */
    readonly means: readonly { readonly value: number; readonly low: number; readonly high: number }[];
    readonly alarms: Drift["alarms"];
    readonly farOut: Drift["farOut"];
    readonly falseAlarms: number;
    readonly falseAlarmsWhereSerial: number;
    readonly farOutOf: Drift["farOutOf"];
    readonly stepSeen: number;
    readonly serialCorrelation: number;
    readonly isCorrelated: boolean;
  } | null;
  readonly sentence: string;
}

/**
 * Whether a result drifts, on ln where all its values are above zero.
 *
 * @param limits  of the charts of so many lots, where they are at hand: they are simulated
 */
export function driftChart(
  lots: readonly string[],
  { name, unit, values }: HistoryColumn,
  limitsFor: (lots: number) => DriftLimits = driftLimits,
): DriftChart {
  const words = columnWords(name, unit);
  const kept = values.flatMap((value, i) => (value === null ? [] : [{ value, lot: lots[i] ?? "" }]));
  const plain = kept.map(({ value }) => value);
  const isOnLn = plain.length > 0 && plain.every((v) => v > 0);
  const scaled = isOnLn ? plain.map(Math.log) : plain;
  const drift = scaled.length < minLotsForDrift ? null : driftOf(scaled, limitsFor(scaled.length));
  const back = (value: number) => (isOnLn ? Math.exp(value) : value);
  const chart =
    drift === null
      ? null
      : {
          middle: back(drift.middle),
          low: back(drift.middle - drift.singleReach),
          high: back(drift.middle + drift.singleReach),
          means: drift.smoothed.map((value, i) => {
            const reach = drift.smoothedReach[i] ?? drift.singleReach;
            return {
              value: back(value),
              low: back(drift.middle - reach),
              high: back(drift.middle + reach),
            };
          }),
          alarms: drift.alarms,
          farOut: drift.farOut,
          falseAlarms: drift.falseAlarms,
          falseAlarmsWhereSerial: drift.falseAlarmsWhereSerial,
          farOutOf: drift.farOutOf,
          stepSeen: drift.stepSeen,
          serialCorrelation: drift.serialCorrelation,
          isCorrelated: drift.isCorrelated,
        };
  const named = kept.map(({ lot }) => lot);
  return {
    name,
    unit: words.unit ?? "",
    lots: named,
    values: plain,
    chart,
    sentence: driftWords(words.name, named, drift),
  };
}

/** Never "steady": no alarm, and how surely a step would have been seen. */
function driftWords(name: string, lots: readonly string[], drift: Drift | null): string {
  if (drift === null)
    return lots.length < minLotsForDrift
      ? `Drift of ${name} is not judged yet: limits need ${counted(minLotsForDrift, "lot")}, and there ${lots.length === 1 ? "is" : "are"} ${counted(lots.length, "lot")}.`
      : `Drift of ${name} is not judged: it was the same for all ${counted(lots.length, "lot")}.`;
  const rest = `${farOutWords(lots, drift)}${serialWords(lots, drift)}`;
  if (drift.alarms.length === 0)
    return `No alarm in ${name} over ${counted(lots.length, "lot")}; a step of two standard deviations half-way would have been seen in ${share(drift.stepSeen)} of such histories.${rest}`;
  const at = [...new Set(drift.alarms.map((alarm) => alarm.at))];
  const first = drift.alarms[0];
  const last = drift.alarms.at(-1);
  if (first === undefined || last === undefined) return "";
  const where =
    at.length > 3
      ? `at ${counted(at.length, "lot")}, first at ${lots[first.at]} and last at ${lots[last.at]}`
      : `at ${listed(drift.alarms.map((alarm) => `${lots[alarm.at]} (${alarm.by === "mean" ? "weighted mean" : alarm.by}, ${alarm.side})`))}`;
  return `${capital(name)} left its limits ${where}; at most ${share(drift.falseAlarms)} of steady histories do so.${rest}`;
}

const share = (of: number): string => `${Math.round(100 * of)} %`;

/** Single values that are far out only if lots scatter normally. */
function farOutWords(lots: readonly string[], { farOut, farOutOf }: Drift): string {
  if (farOut.length === 0) return "";
  const names = listed(farOut.map(({ at }) => lots[at] ?? ""));
  const many = farOut.length > 1;
  return ` ${names} ${many ? "lie" : "lies"} beyond the limits of single values: of steady histories ${figures(100 * farOutOf.normal, 2)} % have such a lot where lots scatter normally, ${share(farOutOf.heavyTailed)} where lots far out are frequent (Student's t of four degrees), so ${many ? "they are" : "it is"} no alarm by ${many ? "themselves" : "itself"}.`;
}

/** What it does to alarms that lots hang together, also where the lots are too few to show it. */
function serialWords(lots: readonly string[], drift: Drift): string {
  if (drift.isCorrelated)
    return ` Neighbouring lots hang together beyond a single step (serial correlation ${figures(drift.serialCorrelation, 2)}); the limits of the mean are wider for it.`;
  return drift.alarms.length === 0 || drift.falseAlarmsWhereSerial < 2 * drift.falseAlarms
    ? ""
    : ` Where half of each departure stays in the next lot ${share(drift.falseAlarmsWhereSerial)} do, and ${counted(lots.length, "lot")} seldom show that.`;
}
