import type { Guess } from "#distributions/tables/reading/guess.ts";
import { optionWords, type WordOption } from "#distributions/tables/text/readingOptions.ts";
import { incoming } from "#ui/data/incoming.ts";
import { hasEncoding, reading } from "#ui/data/readTables.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures } from "#ui/parts/format.ts";
import { medians, setOption } from "./importState.ts";
import { TableShown } from "./tableShown.tsx";

const labels: Readonly<Record<WordOption, string>> = {
  unit: "Sizes in",
  values: "Values are",
  scale: "As",
  edge: "Sizes are edges",
  quantity: "Shares count",
  layout: "Sizes stand in",
  empty: "Empty, a dash or n.d. is",
  sum: "Shares off their whole",
  decimal: "Decimal mark",
  delimiter: "Between fields",
  encoding: "Encoding",
  inClass: "In a class",
};
const shown: readonly WordOption[] = [
  "unit",
  "values",
  "scale",
  "edge",
  "quantity",
  "empty",
  "sum",
  "inClass",
];
const ofTheFile: readonly WordOption[] = ["layout", "decimal", "delimiter", "encoding"];

/** Each guess with its evidence; any can be changed, also where nothing could be read, and the page follows at once. */
export function Reading() {
  const how = reading.value?.how ?? [];
  const file = ofTheFile.filter((option) => option !== "encoding" || hasEncoding(incoming.value));
  return (
    <details open>
      <summary>Reading</summary>
      <div class="reading">{[...shown, ...file].map((option) => optionChoice(option, how))}</div>
      <TableShown />
      <ul class="quiet">
        {how.map((g) => (
          <li key={`${g.option}${g.value}`}>{sentenceOf(g)}</li>
        ))}
      </ul>
    </details>
  );
}

function optionChoice(option: WordOption, how: readonly Guess[]) {
  const { options } = incoming.value;
  const given = options[option];
  const guess = how.find((g) => g.option === option)?.value;
  const usual = option === "inClass" ? "log-uniform, the usual" : "as the table says";
  const unsaid = guess !== undefined && given === undefined ? `${guess}, as read` : usual;
  const words: readonly string[] = optionWords[option];
  const say = (word: string) => (word === "" ? unsaid : `${word}${medianOf(option, word, given)}`);
  return (
    <Choice
      key={option}
      label={labels[option]}
      value={given ?? ""}
      options={["", ...words]}
      say={say}
      onChange={(word) => setOption(option, word)}
    />
  );
}

/** The D50 that is weighed under an option. */
export function medianName(option: string): string {
  return option === "quantity" ? "D50 by volume" : "D50";
}

/** What the alternative would do to D50, where it gives another. */
function medianOf(option: WordOption, word: string, given: string | undefined): string {
  const um = word === given ? undefined : medians.value.get(`${option} ${word}`);
  return um === undefined ? "" : `, ${medianName(option)} ${figures(um)} µm`;
}

function sentenceOf({ option, value, source, evidence }: Guess): string {
  if (source === "option") return `${option}: ${value}, your answer`;
  return `${option}: ${value}, ${source === "assumed" ? "assumed" : "from the table"}: ${evidence}`;
}
