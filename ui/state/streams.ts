import { computed, signal } from "@preact/signals";
import { curveOf } from "#distributions/curve.ts";
import type { Measured } from "#distributions/measured.ts";
import { streamsAnswer } from "#model/answers/streamsAnswer.ts";

export type StreamName = "feed" | "fines" | "coarse";

/** Three tables as they were entered; for this visit. */
const entered = signal<Readonly<Record<StreamName, Measured | null>>>({
  feed: null,
  fines: null,
  coarse: null,
});
/** As weighed, per cent; null where it was not. */
export const fineYieldPercent = signal<number | null>(null);

export function enterStream(name: StreamName, curve: Measured | null): void {
  entered.value = { ...entered.value, [name]: curve };
}

export const yieldFault = computed(() =>
  fineYieldPercent.value === null || (fineYieldPercent.value > 0 && fineYieldPercent.value < 100)
    ? null
    : "Must lie between 0 and 100 %.",
);

export const missing = computed(() =>
  (["feed", "fines", "coarse"] as const).filter((name) => entered.value[name] === null),
);

export const streams = computed(() => {
  const { feed, fines, coarse } = entered.value;
  if (feed === null || fines === null || coarse === null || yieldFault.value !== null) return null;
  return streamsAnswer({
    feed: curveOf(feed),
    fines: curveOf(fines),
    coarse: curveOf(coarse),
    fineYield: fineYieldPercent.value === null ? null : fineYieldPercent.value / 100,
  });
});
