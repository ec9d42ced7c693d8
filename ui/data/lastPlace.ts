import { signal } from "@preact/signals";
import { lab } from "./lab.ts";

/** What was looked at last in a lab, in this browser: a bare address opens there. */
export interface LastPlace {
  readonly lotId: number;
  /** Empty where the lot had no stage yet. */
  readonly stage: string;
  readonly material: string;
}

/** Null before anything was looked at. */
export const lastPlace = signal<LastPlace | null>(null);

/** The numbers of the demo's lots are not those of the own lab's. */
const place = () => `fineband.last.${lab.value?.shown}`;
const textOf = ({ lotId, stage, material }: LastPlace) => [lotId, stage, material].join("\n");

/** Reads what was looked at last in the lab that is shown. */
export function recallLastPlace(): void {
  const [id = "", stage = "", material = ""] = (localStorage.getItem(place()) ?? "").split("\n");
  if (id !== "") lastPlace.value ??= { lotId: Number(id), stage, material };
}

export function rememberPlace(now: LastPlace): void {
  if (lastPlace.value !== null && textOf(lastPlace.value) === textOf(now)) return;
  lastPlace.value = now;
  localStorage.setItem(place(), textOf(now));
}
