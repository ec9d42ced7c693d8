import type { MeasuredHow } from "./stale.ts";

/** Names under which the settings of a stage say how its powder was measured. */
export const howSettings = {
  instrument: "instrument",
  optics: "optical model",
  dopantClass: "dopant class",
} as const;

/** How the powder of a stage was measured, from its settings; what is not noted is left out. */
export function measuredHow(
  settings: readonly { readonly name: string; readonly value: string }[],
): MeasuredHow {
  const noted = (key: keyof typeof howSettings) => {
    const value = settings.find((s) => s.name.trim().toLowerCase() === howSettings[key])?.value.trim() ?? "";
    return value === "" ? {} : { [key]: value };
  };
  return { ...noted("instrument"), ...noted("optics"), ...noted("dopantClass") };
}
