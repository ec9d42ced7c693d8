import { batch, computed, signal } from "@preact/signals";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { mergedMetadata, type PartialMetadata } from "#distributions/measurementMetadata.ts";
import { convert } from "#distributions/moments.ts";
import type { NamedMeasurement, SizeDistribution } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import {
  optionWords,
  type ReadingOptions,
  type WordOption,
  withAnswer,
} from "#distributions/tables/text/readingOptions.ts";
import { readInBackground } from "#ui/data/background.ts";
import { said } from "#ui/data/client.ts";
import {
  chosen,
  type Incoming,
  incoming,
  isImportOpen,
  looking,
  lookingStage,
  nothing,
  readCount,
  tables,
} from "#ui/data/incoming.ts";
import { answersFor, rememberAnswers } from "#ui/data/layouts.ts";
import { incomingOf, largestDirect } from "#ui/data/openFile.ts";
import { type Pasted, pastedText } from "#ui/data/pastedTable.ts";
import { contentOf, countOf, isLarge, reading, readingOf, textOf } from "#ui/data/readTables.ts";
import { inTurn } from "./inTurn.ts";
import { forgetPlaces } from "./placesState.ts";
import { forgetChoices, stageFor } from "./saveAs.ts";
import { weighRoles } from "./tableShownState.ts";

/** What is told of how these tables were measured, over what each states of it. */
export const reported = signal<PartialMetadata>({});

/** What is read from the table that is looked at, with what is told of how it was measured. */
export const reportedOf = computed<readonly NamedMeasurement[]>(() =>
  (reading.value?.measurements ?? []).map((one) => mergedMetadata(one, reported.value)),
);

/** Whether any table on its way in still asks something. */
export const hasOpenQuestion = computed(() =>
  tables.value.some((table) => readingOf(table)?.problems.some((p) => p.severity === "question") ?? false),
);

export function report(change: PartialMetadata): void {
  reported.value = { ...reported.value, ...change };
  // Only these two can change an answer; the others need not have every fit worked out again at each letter.
  const matters = "instrument" in change || "referenceDrum" in change;
  if (looking.value !== null && matters) looking.value = reportedOf.value;
}

/** The answers that were taken over from a table of the same layout and still hold, where there are any. */
export const reused = computed(() => {
  const { options } = incoming.value;
  const before = textOf(incoming.value) === "" ? null : answersFor(textOf(incoming.value));
  const isSame = JSON.stringify(before) === JSON.stringify(options);
  return before !== null && isSame && Object.keys(options).length > 0 ? before : null;
});

/** Takes such answers back: the table is read, and asks, as if it were the first of its layout. */
export function askAgain(): void {
  replace({});
}

/** Takes a pasted text; old answers do not carry over to another table. */
export function take(text: string, file: string | null): void {
  const isLong = text.length > largestDirect;
  const table = { ...nothing, file, ...(isLong ? { bytes: new TextEncoder().encode(text) } : { text }) };
  bring([withEarlierAnswers(table)]);
}

/** Takes what was pasted, a spreadsheet's own cells first. */
export function takePasted(pasted: Pasted): void {
  take(pastedText(pasted), null);
}

/** Takes files that were chosen or dropped together; one that cannot be read never loses the others. */
export async function takeFiles(files: Iterable<File>): Promise<void> {
  const all = [...files];
  if (all.length === 0) return;
  isImportOpen.value = true;
  const taken: Incoming[] = [];
  const done = await inTurn(all, "Reading", async (file) => {
    const table = withEarlierAnswers(await incomingOf(file));
    // What is read is kept with the table: the list finds it there.
    if (!isLarge(table)) readingOf(table);
    taken.push(table);
    return true;
  });
  if (done < all.length)
    said.value = `${done} of ${all.length} files were read; the others were left as they are.`;
  if (taken.length > 0) bring(taken);
}

function bring(taken: readonly Incoming[]): void {
  tables.value = taken;
  for (const table of tables.value) if (isLarge(table)) readLarge(table);
  chosen.value = 0;
  reported.value = {};
  forgetChoices();
  forgetPlaces();
  isImportOpen.value = true;
  showIfReadable();
}

/** The answers given for the same layout before are taken over, and said. */
function withEarlierAnswers(table: Incoming): Incoming {
  const answers = isLarge(table) || table.text === "" ? null : answersFor(table.text);
  return answers === null ? table : { ...table, options: answers };
}

/** Reads a large table, for the first time or after it was stopped. */
export function readLarge(table: Incoming): void {
  readInBackground(table, () => {
    if (incoming.value === table) showIfReadable();
  });
}

export function choose(at: number): void {
  chosen.value = at;
  showIfReadable();
}

/** Takes a table out once it is kept, so that it is never kept twice; the others stay. */
export function letGo(table: Incoming): void {
  const lookedAt = incoming.value;
  const left = tables.value.filter((t) => t !== table);
  batch(() => {
    chosen.value = Math.max(left.indexOf(lookedAt), 0);
    tables.value = left;
  });
  if (lookedAt === table) showIfReadable();
}

/** Adds answers for the table that is looked at. */
export function answer(change: ReadingOptions): void {
  replace({ ...incoming.value.options, ...change });
}

/** Sets one option by its words, or takes the answer back where the word is empty. */
export function setOption(option: WordOption, value: string): void {
  const { [option]: _, ...others } = incoming.value.options;
  replace(withAnswer(others, option, value) ?? others);
}

/** Says what columns and rows are, or takes all of it back. */
export function sayRoles(roles: string | null): void {
  const { roles: _, ...others } = incoming.value.options;
  replace(roles === null ? others : { ...others, roles });
}

function replace(options: ReadingOptions): void {
  const was = incoming.value;
  const content = contentOf(was);
  const text = typeof content === "string" ? was.text : decode(content, options.encoding).text;
  const now = { ...was, text, options };
  tables.value = tables.value.map((table, i) => (i === chosen.value ? now : table));
  if (isLarge(now)) {
    readLarge(now);
  }
  showIfReadable();
}

/** Keeps the answers of every table for the next that looks the same. */
export function rememberAll(): void {
  for (const table of tables.value) rememberAnswers(textOf(table), table.options);
}

const weighed: readonly WordOption[] = ["edge", "values", "scale", "quantity"];

/** The median of the first measurement if one option were another, by "option value"; filled while the page idles. */
export const medians = signal<ReadonlyMap<string, number>>(new Map());
let round = 0;

/** Works out what each alternative would do to D50, one reading at a time, until another table or answer comes. */
async function weighAlternatives(): Promise<void> {
  const mine = ++round;
  const { file, options } = incoming.value;
  const found = new Map<string, number>();
  medians.value = found;
  const [first] = reading.value?.measurements ?? [];
  if (first === undefined || isLarge(incoming.value)) return;
  for (const option of weighed) {
    for (const value of optionWords[option]) {
      await new Promise((resolve) => setTimeout(resolve, 20));
      if (mine !== round) return;
      const changed = withAnswer(options, option, value);
      if (changed === null) continue;
      const [other] = readTable(contentOf(incoming.value), file, {
        ...changed,
        only: [first.name],
      }).measurements;
      const um = other === undefined ? null : medianOf(other.distribution, option);
      if (um !== null) found.set(`${option} ${value}`, um);
    }
  }
  medians.value = new Map(found);
}

/** What the shares count leaves the median as measured where it is; by volume it moves, as the reader's question says. */
function medianOf(m: SizeDistribution, option: WordOption): number | null {
  const of = option === "quantity" ? convert(m, "volume") : m;
  return of === null ? null : sizeAt(curveOf(of), 0.5);
}

/** Looks again at what was left in the panel. */
export function lookAgain(): void {
  if (looking.value === null) showIfReadable();
}

function showIfReadable(): void {
  const found = reportedOf.value;
  looking.value = found.length > 0 ? found : null;
  lookingStage.value = looking.value === null ? null : stageFor(incoming.value);
  readCount.value = countOf(incoming.value);
  void weighAlternatives().then(weighRoles);
}
