import { verbs } from "#api/contract/verbs.ts";

/** The parts of the API's document in the order in which they are read, and the first words of their paths. */
const parts: readonly (readonly [tag: string, firstWords: readonly string[]])[] = [
  ["Questions", Object.keys(verbs)],
  [
    "Lots",
    ["lots", "whole-lots", "measurements", "how-measured", "batches", "balances", "results", "photographs"],
  ],
  ["Reports and release", ["sheets", "frozen", "labels", "logos", "export"]],
  ["Materials and bands", ["materials", "bands", "pairs", "lot-history"]],
  ["Mills", ["mills", "trials", "pressure-mills", "beliefs"]],
  ["Instruments", ["instruments", "instrument-checks", "instrument-offset"]],
  ["Intake", ["intake", "lab-table", "watch"]],
  ["Changes and backups", ["trail", "undo", "redo", "verify", "backup", "copy"]],
  ["Server and accounts", ["lab", "events", "health", "session", "accounts", "tokens"]],
];

export const tags = parts.map(([tag]) => tag);

/** The part that a path belongs to, as /api/lots/{id}/sheet to Lots. @throws Error  it is in none: a line above is missing */
export function tagOf(path: string): string {
  const [, , word = ""] = path.split("/");
  const found = parts.find(([, firstWords]) => firstWords.includes(word));
  if (found === undefined) throw new Error(`The API's document has no part for ${path}.`);
  return found[0];
}
