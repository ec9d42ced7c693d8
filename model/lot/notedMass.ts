/** One thing noted of how a stage was run. */
interface NotedSetting {
  readonly name: string;
  readonly value: string;
  readonly unit: string;
}

/** The grams of powder at a stage, from a setting "mass" in g; null where none was noted. */
export function notedMassG(settings: readonly NotedSetting[]): number | null {
  const noted = settings.find((s) => s.name.trim().toLowerCase() === "mass" && s.unit.trim() === "g");
  if (noted === undefined) return null;
  const grams = Number(noted.value.replace(",", "."));
  return grams > 0 ? grams : null;
}
