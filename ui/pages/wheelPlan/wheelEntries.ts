import { computed, effect, type ReadonlySignal, signal } from "@preact/signals";
import { type Address, address, refine } from "#ui/data/address.ts";
import { mill } from "#ui/data/mill.ts";
import { band } from "#ui/data/selection.ts";

/** What is asked of the mill. What can be used stands in the address; what cannot stays here, for its field to say why. */
function entryOf<Value extends number | "none">(
  read: () => Value | null,
  keep: (value: Value | null) => Partial<Address>,
) {
  const unusable = signal<number | null>(null);
  return {
    chosen: computed(() => unusable.value ?? read()),
    choose(value: Value | null): void {
      unusable.value = typeof value === "number" && !(value > 0) ? value : null;
      if (unusable.value === null) refine(keep(value));
    },
  };
}

const speed = entryOf(
  () => address.value.speedRpm,
  (speedRpm) => ({ speedRpm }),
);
const flow = entryOf(
  () => address.value.flowM3PerH,
  (flowM3PerH) => ({ flowM3PerH }),
);
const feed = entryOf(
  () => address.value.feedKgPerH,
  (feedKgPerH) => ({ feedKgPerH }),
);
const target = entryOf(
  () => address.value.targetD50Um,
  (targetD50Um) => ({ targetD50Um }),
);

/** What was typed, usable or not; null means the usual. */
export const chosenSpeed = speed.chosen;
export const chosenFlow = flow.chosen;
export const chosenFeed = feed.chosen;

/** So long after the last move what does not have to move with the pointer follows. */
const restMs = 100;

/** A choice once it has rested: for what takes longer than a stroke of the slider, such as the map's hills and the set point. */
function rested<Value>(of: ReadonlySignal<Value>): ReadonlySignal<Value> {
  const settled = signal(of.peek());
  effect(() => {
    const now = of.value;
    const timer = setTimeout(() => {
      settled.value = now;
    }, restMs);
    return () => clearTimeout(timer);
  });
  return settled;
}

export const restedFlow = rested(chosenFlow);
export const restedFeed = rested(chosenFeed);

/** A whole number of revolutions from the slider or as typed. */
export const setSpeed = speed.choose;
export const setFlow = flow.choose;
export const setFeed = feed.choose;

/** The middle of the band's D50, until another target is typed; null where none is wanted. */
export const targetD50Um = computed(() => {
  if (target.chosen.value !== null) return target.chosen.value === "none" ? null : target.chosen.value;
  const row = band.value?.rows.find((r) => r.limit === "d50Um");
  return row?.low != null && row.high !== null ? Number(Math.sqrt(row.low * row.high).toPrecision(3)) : null;
});

export function setTarget(um: number | null): void {
  target.choose(um ?? "none");
}

function faultOf(name: string, unit: string, value: number | null): string | null {
  return value === null || value > 0
    ? null
    : `${name} must be above 0 ${unit}; ${value} was entered, so nothing is predicted.`;
}

/** Why what was typed cannot be used, one a field; null while it can. */
export const faults = {
  speed: computed(() => {
    const rated = mill.value?.mill.ratedSpeedRpm ?? null;
    const speed = chosenSpeed.value;
    return speed !== null && rated !== null && speed > rated
      ? `Above the rated speed of ${rated.toLocaleString("en-GB")} rpm: nothing is predicted there.`
      : faultOf("The speed", "rpm", speed);
  }),
  flow: computed(() => faultOf("The gas flow", "m³/h", chosenFlow.value)),
  feed: computed(() => faultOf("The feed", "kg/h", chosenFeed.value)),
  target: computed(() => faultOf("The target", "µm", targetD50Um.value)),
};
