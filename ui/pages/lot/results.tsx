import { useState } from "preact/hooks";
import type { NewResult, SavedResult } from "#api/records/records.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { betResult, whyNotCompared } from "#model/surface/bet.ts";
import { saveResult } from "#ui/data/card.ts";
import { remove } from "#ui/data/saving.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, unbroken } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

/** Results that are often noted, with their usual unit. Others are as welcome. */
const usual: Readonly<Record<string, string>> = {
  [betResult]: "m²/g",
  "titrated surface residues": "wt %",
  "tap density": "g/cm³",
  "crystallite size": "nm",
  capacity: "mAh/g",
  yield: "%",
  "mass balance": "%",
};
const wholeLot = "the lot";

/** What the lab found beside the sizes, each with its unit and uncertainty. */
export function Results({ lotId, kept }: { lotId: number; kept: readonly SavedResult[] }) {
  return (
    <>
      <h2>Other results</h2>
      {kept.length > 0 && (
        <Wide name="Other results">
          <table>
            <thead>
              <tr>
                <th scope="col">Result</th>
                <th scope="col">Of</th>
                <th scope="col">Value</th>
                <th scope="col">Standard uncertainty</th>
                <th scope="col">Note</th>
                <th scope="col">Mend or delete</th>
              </tr>
            </thead>
            <tbody>
              {kept.map((result) => (
                <ResultRow key={`${result.id} ${result.version}`} lotId={lotId} kept={result} />
              ))}
            </tbody>
          </table>
        </Wide>
      )}
      <ResultForm key={kept.length} lotId={lotId} kept={null} button="Note the result" />
    </>
  );
}

function ResultRow({ lotId, kept }: { lotId: number; kept: SavedResult }) {
  const why = whyNotCompared(kept);
  const [isOpen, setOpen] = useState(false);
  return (
    <tr>
      <th scope="row">{kept.name}</th>
      <td>{kept.stage ?? wholeLot}</td>
      <td class="number">
        {figures(kept.value)} {kept.unit}
      </td>
      <td class="number">
        {kept.uncertainty === null ? "not known" : `${figures(kept.uncertainty)} ${kept.unit}`}
      </td>
      <td>
        {kept.note}
        {why !== null && <p class="quiet">{unbroken(why)}</p>}
      </td>
      <td>
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Mend ${kept.name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Mend
        </button>{" "}
        <WithReason isInRow verb="Delete" of={kept.name} onDone={(why) => remove("results", kept, why)} />
        {isOpen && <ResultForm lotId={lotId} kept={kept} button="Keep the result as mended" />}
      </td>
    </tr>
  );
}

function ResultForm(props: { lotId: number; kept: SavedResult | null; button: string }) {
  const { lotId, kept, button } = props;
  const [name, setName] = useState(kept?.name ?? "");
  const [stage, setStage] = useState<Stage | null>(kept?.stage ?? null);
  const [value, setValue] = useState<number | null>(kept?.value ?? null);
  const [unit, setUnit] = useState(kept?.unit ?? "");
  const [uncertainty, setUncertainty] = useState<number | null>(kept?.uncertainty ?? null);
  const [note, setNote] = useState(kept?.note ?? "");
  const isWhole = name.trim() !== "" && value !== null && (uncertainty ?? 0) >= 0;
  return (
    <form
      aria-label={kept === null ? "A new result" : `Mend ${kept.name}`}
      onSubmit={(event) => {
        event.preventDefault();
        if (value === null) return;
        const result: NewResult = { stage, name: name.trim(), value, unit: unit.trim(), uncertainty, note };
        void saveResult(lotId, result, kept);
      }}
    >
      <TextField
        label="Result"
        value={name}
        offered={Object.keys(usual)}
        onChange={(chosen) => {
          setName(chosen);
          if (unit === "") setUnit(usual[chosen] ?? "");
        }}
      />
      <Choice
        label="Of"
        value={stage ?? wholeLot}
        options={[wholeLot, ...stages]}
        onChange={(chosen) => setStage(stages.find((s) => s === chosen) ?? null)}
      />
      <NumberField label="Value" unit="" value={value} mayBeEmpty onChange={setValue} />
      <TextField label="Unit" value={unit} onChange={setUnit} />
      <NumberField
        label="Standard uncertainty"
        unit={unit}
        value={uncertainty}
        mayBeEmpty
        onChange={setUncertainty}
      />
      <TextField label="Note on the result" value={note} onChange={setNote} />
      <button type="submit" disabled={!isWhole}>
        {button}
      </button>
    </form>
  );
}
