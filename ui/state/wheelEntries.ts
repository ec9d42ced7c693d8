import { computed, signal } from "@preact/signals";
import { mills } from "./kept.ts";
import { place, refine } from "./place.ts";
import { band } from "./subject.ts";

export const mill = computed(() => mills.value[0] ?? null);

/** What was typed, usable or not; null means the usual. */
export const chosenFlow = signal<number | null>(null);
export const chosenFeed = signal<number | null>(null);
/** A speed that is no speed at all; one that can be used stands in the address. */
const wrongSpeed = signal<number | null>(null);
/** Undefined until the user says: then the middle of the band; null for no target. */
const chosenTarget = signal<number | null | undefined>(undefined);

/** The middle of the band's D50, until another target is typed. */
export const targetD50Um = computed(() => {
  if (chosenTarget.value !== undefined) return chosenTarget.value;
  const row = band.value?.rows.find((r) => r.limit === "d50Um");
  return row?.low != null && row.high !== null ? Number(Math.sqrt(row.low * row.high).toPrecision(3)) : null;
});

export function setTarget(um: number | null): void {
  chosenTarget.value = um;
}

export const chosenSpeed = computed(() => wrongSpeed.value ?? place.value.speedRpm);

/** A whole number of revolutions from the slider or as typed. */
export function setSpeed(rpm: number): void {
  const isSpeed = rpm > 0;
  wrongSpeed.value = isSpeed ? null : rpm;
  if (isSpeed) refine({ speedRpm: rpm });
}

export function setFlow(m3PerH: number | null): void {
  chosenFlow.value = m3PerH;
}

function faultOf(name: string, unit: string, value: number | null): string | null {
  return value === null || value > 0
    ? null
    : `${name} must be above 0 ${unit}; ${value} was entered, so nothing is answered.`;
}

/** Why what was typed cannot be used, one a field; null while it can. */
export const faults = {
  speed: computed(() => {
    const rated = mill.value?.mill.ratedSpeedRpm ?? null;
    const speed = chosenSpeed.value;
    return speed !== null && rated !== null && speed > rated
      ? `Above the rated ${rated.toLocaleString("en-GB")} rpm: nothing is predicted there.`
      : faultOf("The speed", "rpm", speed);
  }),
  flow: computed(() => faultOf("The gas flow", "m³/h", chosenFlow.value)),
  feed: computed(() => faultOf("The feed", "kg/h", chosenFeed.value)),
  target: computed(() => faultOf("The target", "µm", targetD50Um.value)),
};
