import {
  type MeasurementMetadata,
  notStated,
  type StatedField,
  statedFields,
  statedWords,
} from "#distributions/measurementMetadata.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { capital, listed } from "#model/words/wording.ts";

/** How runs were measured, in a line: what they state, where they differ, and what none of them states. */
export function metadataText(runs: readonly Pick<NamedMeasurement, "howMeasured">[]): string {
  const said = statedFields.map((field) => ({ field, words: distinctWords(runs, field) }));
  const isMissing = ({ words }: { words: readonly string[] }) => words.every((w) => w === notStated);
  const stated = said.filter((one) => !isMissing(one));
  const missing = said.filter(isMissing).map(({ field }) => field.label);
  const first = stated.map(
    ({ field, words }) =>
      `${field.label} ${words.join(" or ")}${words.length > 1 ? " (the runs differ)" : ""}`,
  );
  return [
    first.length === 0 ? "" : `${capital(first.join("; "))}.`,
    missing.length === 0 ? "" : `${capital(notStated)}: ${listed(missing)}.`,
  ]
    .filter((part) => part !== "")
    .join(" ");
}

function distinctWords(
  runs: readonly { readonly howMeasured?: MeasurementMetadata }[],
  field: StatedField,
): string[] {
  const words = runs.map(({ howMeasured = {} }) => statedWords(howMeasured, field));
  return words.length === 0 ? [notStated] : [...new Set(words)];
}
