import { useState } from "preact/hooks";
import { type Stage, settingOfStep } from "#model/lot/stages.ts";
import { lot } from "#ui/data/selection.ts";
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
      />
      <AddSetting />
    </>
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
