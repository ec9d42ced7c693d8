import { useState } from "preact/hooks";
import { partsOfName } from "#model/intake/nameParts.ts";
import { stages } from "#model/lot/stages.ts";
import { counted } from "#model/words/wording.ts";
import { tables } from "#ui/data/incoming.ts";
import { readable } from "#ui/data/readTables.ts";
import { EditableTable } from "#ui/parts/editableTable.tsx";
import type { EditableColumn } from "#ui/parts/editableTableCells.ts";
import type { EditableRow } from "#ui/parts/editableTableState.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { hasOpenQuestion } from "./importState.ts";
import {
  type Correction,
  correct,
  densities,
  isWanted,
  newMaterials,
  openPlaces,
  pattern,
  placed,
  type RunPlaced,
  setPattern,
  stageWordsHere,
  toSave,
  typePattern,
  want,
} from "./placesState.ts";
import { savePlaces } from "./savePlaces.ts";

/** Measurements of one file that go to one place, in one row; pressed open, each has its own. */
interface PlaceRow {
  readonly row: EditableRow;
  readonly runs: readonly RunPlaced[];
}

const editedKeys = ["lot", "material", "stage", "portion"] as const;

function columns(): readonly EditableColumn[] {
  const text = (key: string, label: string): EditableColumn => ({ key, label, unit: "", kind: "text" });
  return [
    { ...text("file", "File"), isFixed: true },
    { ...text("runs", "Measurements"), isFixed: true },
    text("lot", "Lot"),
    text("material", "Material"),
    {
      ...text("stage", "Stage"),
      meaning: (typed) =>
        stages.find((stage) => stage === typed.toLowerCase()) ??
        partsOfName(typed, { stageWords: stageWordsHere.value, materials: [] }).stage,
      expected: stages.join(", "),
    },
    text("portion", "Portion"),
    { ...text("note", "Note"), isFixed: true },
  ];
}

function rowsOf(runs: readonly RunPlaced[], isEach: boolean): readonly PlaceRow[] {
  const grouped = new Map<string, RunPlaced[]>();
  for (const run of runs) {
    const { lot, material, stage, portion, question, double } = run;
    const place = JSON.stringify([
      run.id.split("/")[0],
      lot,
      material,
      stage,
      portion,
      question,
      double?.lotId,
      double?.as,
    ]);
    const key = isEach ? run.id : place;
    grouped.set(key, [...(grouped.get(key) ?? []), run]);
  }
  return [...grouped.values()].flatMap((of) => {
    const [first] = of;
    if (first === undefined) return [];
    const named = of.length === 1 ? first.name : `${first.name} … ${of.at(-1)?.name} (${of.length})`;
    const file = first.file ?? "pasted";
    const { lot, material, stage, portion } = first;
    const cells = { file, runs: named, lot, material, stage, portion, note: noteOf(first) };
    return [{ row: { id: first.id, name: `${named} of ${file}`, cells }, runs: of }];
  });
}

function noteOf({ question, double, lotId }: RunPlaced): string {
  if (double !== null)
    return double.as === "same file"
      ? `This file is saved already, in ${double.lot}.`
      : `The same curve as ${double.name}${double.stage === null ? "" : `, ${double.stage}`}, of ${double.lot}.`;
  return question ?? (lotId === null ? "A new lot." : "");
}

/** What of many files goes where, edited in place; one Save is one change, which one undo takes back. */
export function Places() {
  const [isEach, setEach] = useState(false);
  const all = placed.value;
  if (all.length === 0) return <p role="status">Looking where the names say that they go …</p>;
  const rows = rowsOf(all, isEach);
  const runsOf = (id: string) => rows.find(({ row }) => row.id === id)?.runs ?? [];
  return (
    <section class="places" aria-labelledby="places">
      <h3 id="places">What goes where</h3>
      <p>
        {all.length === 1 ? "One measurement is" : `${all.length} measurements are`} read from{" "}
        {readable.value.length} of {tables.value.length} files. {summaryOf(all)}
      </p>
      <EditableTable
        name="What goes where"
        columns={columns()}
        rows={rows.map(({ row }) => row)}
        onChange={(changes) =>
          correct(
            changes.flatMap(({ rowId, key, to }): Correction[] => {
              const edited = editedKeys.find((one) => one === key);
              const value = to === null ? null : String(to);
              const stage = edited === "stage" ? value : null;
              return edited === undefined ? [] : [{ runs: runsOf(rowId), key: edited, value, stage }];
            }),
          )
        }
        afterHeading="Save"
        after={(row) => {
          const runs = runsOf(row.id);
          return (
            <input
              type="checkbox"
              aria-label={`Save ${row.name}`}
              checked={runs.some(isWanted)}
              onChange={(event) => want(runs, event.currentTarget.checked)}
            />
          );
        }}
      />
      <p>
        <label>
          <input
            type="checkbox"
            checked={isEach}
            onChange={(event) => setEach(event.currentTarget.checked)}
          />{" "}
          Each measurement in a row of its own
        </label>
      </p>
      <Learned />
      {newMaterials.value.map((name) => (
        <NumberField
          key={name}
          label={`Density of ${name}, which is new`}
          unit="g/cm³"
          value={densities.value.get(name) ?? null}
          mayBeEmpty
          onChange={(value) => {
            densities.value = new Map([...densities.value, [name, value]]);
          }}
        />
      ))}
    </section>
  );
}

function summaryOf(all: readonly RunPlaced[]): string {
  const doubles = all.filter(({ double }) => double !== null).length;
  const lots = new Set(toSave.value.map(({ lot, material }) => `${lot} ${material}`)).size;
  const isNew = new Set(
    toSave.value.flatMap(({ lotId, lot }) => (lotId === null && lot !== null ? [lot] : [])),
  ).size;
  return [
    `${toSave.value.length === 1 ? "One goes" : `${toSave.value.length} go`} into ${counted(lots, "lot")}${isNew === 0 ? "" : `, ${isNew} of them new`}.`,
    ...(doubles === 0
      ? []
      : [`${doubles === 1 ? "One is" : `${doubles} are`} there already and left out unless ticked.`]),
  ].join(" ");
}

/** How files are called, as it was learned from a correction: shown, edited, or forgotten. */
function Learned() {
  const [wrong, setWrong] = useState<string | null>(null);
  const learned = pattern.value;
  if (learned === null) return null;
  const words = Object.entries(learned.words).map(([word, of]) => `${word} = ${of}`);
  return (
    <div>
      <p>
        <label for="names-read-as">Names are read as</label>{" "}
        <input
          id="names-read-as"
          value={learned.text}
          size={32}
          onChange={(event) => setWrong(typePattern(event.currentTarget.value))}
        />{" "}
        <label for="names-words">where</label>{" "}
        <input
          id="names-words"
          value={words.join(", ")}
          placeholder="M = milled"
          size={28}
          onChange={(event) => setPattern({ ...learned, words: wordsIn(event.currentTarget.value) })}
        />{" "}
        <button type="button" class="small" onClick={() => setPattern(null)}>
          Forget this pattern
        </button>
      </p>
      <p class="quiet" role="status">
        {wrong ?? "Learned from a correction; * is what says nothing. It goes before what is read otherwise."}
      </p>
    </div>
  );
}

function wordsIn(text: string): Record<string, string> {
  const pairs = text.split(",").map((pair) => pair.split("=").map((part) => part.trim()));
  return Object.fromEntries(
    pairs.flatMap(([word = "", of = ""]) => (word === "" || of === "" ? [] : [[word, of]])),
  );
}

/** Saves all that is ticked; what is missing is said in its place. */
export function SaveByPlaces() {
  const [isSaving, setSaving] = useState(false);
  const count = toSave.value.length;
  const open = openPlaces.value;
  const lacking = newMaterials.value.filter((name) => (densities.value.get(name) ?? null) === null);
  const why = hasOpenQuestion.value
    ? "A question is open: answer it first. Nothing is saved until then."
    : open.length > 0
      ? `${open.length === 1 ? "One measurement" : `${open.length} measurements`} cannot be placed yet: ${open[0]?.question ?? ""} Say it in the table, or leave them out.`
      : lacking.length > 0
        ? `The density of ${lacking.join(", ")} is needed.`
        : null;
  return (
    <p>
      <button
        type="button"
        class="main"
        disabled={count === 0 || why !== null || isSaving}
        onClick={async () => {
          setSaving(true);
          await savePlaces();
          setSaving(false);
        }}
      >
        Save
      </button>{" "}
      <span role="status">
        {why ?? `${count === 1 ? "One measurement" : `${count} measurements`}, as one change.`}
      </span>
    </p>
  );
}
