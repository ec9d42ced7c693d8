import { useState } from "preact/hooks";
import { type Stage, settingOfStep } from "#model/lot/stages.ts";
import { counted } from "#model/words/wording.ts";
import { ask, attempt, said } from "#ui/data/client.ts";
import { bringLabTable } from "#ui/data/incoming.ts";
import { lot, material } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { EditableTable } from "#ui/parts/editableTable.tsx";
import type { CellValue, EditableColumn } from "#ui/parts/editableTableCells.ts";
import { figures } from "#ui/parts/format.ts";
import { TextField } from "#ui/parts/textField.tsx";
import { addField, fields, savedHistory } from "./historyState.ts";
import { saveCells } from "./saveCells.ts";

/** Settings that are often recorded, with their usual unit. Any other can be typed. */
const usual: Readonly<Record<string, string>> = {
  temperature: "°C",
  time: "h",
  excess: "%",
  "dopant level": "mol %",
  "wheel speed": "rpm",
  "gas flow": "m³/h",
  feed: "kg/h",
};

/** Lots × settings × results: settings and other results are edited in place, sizes come from the measurements. */
export function ProcessTable() {
  const history = savedHistory.value;
  if (history === null) return null;
  const edited = fields.value.map(
    ({ column, unit }): EditableColumn => ({
      key: column,
      label: column,
      unit,
      kind: "number",
      isCarried: !history.results.includes(column),
    }),
  );
  const measured = history.columns
    .filter(({ name }) => history.sizes.includes(name))
    .map(
      ({ name, unit = "" }): EditableColumn => ({
        key: name,
        label: name,
        unit,
        kind: "number",
        isFixed: true,
        show: figures,
      }),
    );
  const columns: readonly EditableColumn[] = [
    { key: "lot", label: "Lot", unit: "", kind: "text", isFixed: true },
    ...edited,
    ...measured,
  ];
  const rows = history.lots.map((lot, i) => ({
    id: String(history.ids[i] ?? ""),
    name: lot,
    cells: Object.fromEntries<CellValue>([
      ["lot", lot],
      ...history.columns.map(({ name, values }): [string, CellValue] => [name, values[i] ?? null]),
    ]),
  }));
  return (
    <>
      <EditableTable
        name="Lots, settings and results"
        asLast="As the last lot"
        canSort
        columns={columns}
        rows={rows}
        onChange={saveCells}
        onHeaded={takeHeaded}
      />
      <LabTableDeeds />
      <AddSetting />
    </>
  );
}

/** A block whose first row names a column of lots is a table of its own, not cells of this one. */
function takeHeaded(text: string): boolean {
  const [heading = "", ...rows] = text.split(/\r?\n/);
  const isHeaded =
    rows.length > 0 &&
    heading.split("\t").some((cell) => /^(lot|batch|charge|los|lote|lotto)\b/i.test(cell.trim()));
  // A first row of this table's own may begin with a lot's name: then a number stands beside it.
  if (!isHeaded || heading.split("\t").some((cell) => /^[\d.,]+$/.test(cell.trim()))) return false;
  bringLabTable(text);
  return true;
}

/** The same as a table of the lab's own, in and out. */
function LabTableDeeds() {
  const copy = async () => {
    await attempt(async () => {
      const of = material.value;
      const { text, lots } = await ask("GET /api/lab-table", { query: of === null ? {} : { material: of } });
      await navigator.clipboard.writeText(text);
      said.value = `Copied what is noted of ${counted(lots, "lot")}; pasted here it reads back as the very same.`;
    });
  };
  return (
    <p>
      <button type="button" class="small" onClick={() => bringLabTable("")}>
        Bring in a lab table
      </button>{" "}
      <button type="button" class="small" onClick={() => void copy()}>
        Copy all as a table
      </button>
    </p>
  );
}

/** One more column, filled in the table. */
function AddSetting() {
  const [name, setName] = useState("");
  const [unit, setUnit] = useState("");
  const [stage, setStage] = useState<Stage>("fired");
  const { all, say } = useStages(lot.value);
  const column = settingOfStep(name, stage);
  return (
    <form
      class="process-add"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() === "") return;
        addField({ column, stage, name: name.trim(), unit: unit.trim() });
        setName("");
        setUnit("");
      }}
    >
      <TextField
        label="New setting"
        value={name}
        offered={Object.keys(usual)}
        onChange={(typed) => {
          setName(typed);
          setUnit(unit || (usual[typed] ?? ""));
        }}
      />
      <TextField label="Unit" value={unit} onChange={setUnit} />
      <Choice label="of" value={stage} options={all} say={say} onChange={setStage} />
      <button type="submit" class="small" disabled={name.trim() === ""}>
        Add the column
      </button>
    </form>
  );
}
