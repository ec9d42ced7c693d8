/** One thing noted of how a stage was run. */
interface NotedSetting {
  readonly name: string;
  readonly value: string;
  readonly unit: string;
}

/** The grams of powder that a stage gave: as weighed, else from a setting "mass" in g; null where neither was noted. */
export function notedMassG(noted: {
  readonly settings: readonly NotedSetting[];
  readonly massOutG?: number | undefined;
}): number | null {
  return noted.massOutG ?? settingMassG(noted.settings);
}

function settingMassG(settings: readonly NotedSetting[]): number | null {
  const noted = settings.find((s) => s.name.trim().toLowerCase() === "mass" && s.unit.trim() === "g");
  if (noted === undefined) return null;
  const grams = Number(noted.value.replace(",", "."));
  return grams > 0 ? grams : null;
}
