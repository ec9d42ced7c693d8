import { useState } from "preact/hooks";
import type { NewResult, SavedLot, SavedResult } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { betResult, whyNotCompared } from "#model/surface/bet.ts";
import { saveResult } from "#ui/data/card.ts";
import { useDraft } from "#ui/data/draft.ts";
import { remove } from "#ui/data/saving.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, unbroken } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

/** Results that are often recorded, with their usual unit. Any other can be typed. */
const usual: Readonly<Record<string, string>> = {
  [betResult]: "m²/g",
  "titrated surface residues": "wt %",
  "tap density": "g/cm³",
  "crystallite size": "nm",
  capacity: "mAh/g",
  yield: "%",
  "mass balance": "%",
};
const wholeLot = "whole lot";

/** Other results of the laboratory, each with its unit and uncertainty. */
export function Results({ lot, saved }: { lot: SavedLot; saved: readonly SavedResult[] }) {
  return (
    <>
      <h2>Results</h2>
      {saved.length > 0 && (
        <Wide name="Results">
          <table>
            <thead>
              <tr>
                <th scope="col">Result</th>
                <th scope="col">Stage</th>
                <th scope="col">Value</th>
                <th scope="col">Standard uncertainty</th>
                <th scope="col">Note</th>
                <th scope="col">Edit or delete</th>
              </tr>
            </thead>
            <tbody>
              {saved.map((result) => (
                <ResultRow key={`${result.id} ${result.version}`} lot={lot} saved={result} />
              ))}
            </tbody>
          </table>
        </Wide>
      )}
      <ResultForm key={saved.length} lot={lot} saved={null} button="Save the new result" />
    </>
  );
}

function ResultRow({ lot, saved }: { lot: SavedLot; saved: SavedResult }) {
  const { say } = useStages(lot);
  const why = whyNotCompared(saved);
  const [isOpen, setOpen] = useState(false);
  return (
    <tr>
      <th scope="row">{saved.name}</th>
      <td>{saved.stage === null ? wholeLot : say(saved.stage)}</td>
      <td class="number">
        {figures(saved.value)} {saved.unit}
      </td>
      <td class="number">
        {saved.uncertainty === null ? "not known" : `${figures(saved.uncertainty)} ${saved.unit}`}
      </td>
      <td>
        {saved.note}
        {why !== null && <p class="quiet">{unbroken(why)}</p>}
      </td>
      <td>
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Edit ${saved.name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Edit
        </button>{" "}
        <WithReason isInRow verb="Delete" of={saved.name} onDone={(why) => remove("results", saved, why)} />
        {isOpen && <ResultForm lot={lot} saved={saved} button="Save the result" />}
      </td>
    </tr>
  );
}

/** A result while it is typed. */
interface EmptyResult {
  readonly stage: Stage | null;
  readonly name: string;
  readonly value: number | null;
  readonly unit: string;
  readonly uncertainty: number | null;
  readonly note: string;
}

function ResultForm(props: { lot: SavedLot; saved: SavedResult | null; button: string }) {
  const { lot, saved, button } = props;
  const { all, say } = useStages(lot);
  const draft = useDraft<EmptyResult>(`lot ${lot.id} result ${saved?.id ?? "to add"}`, {
    stage: saved?.stage ?? null,
    name: saved?.name ?? "",
    value: saved?.value ?? null,
    unit: saved?.unit ?? "",
    uncertainty: saved?.uncertainty ?? null,
    note: saved?.note ?? "",
  });
  const { stage, name, value, unit, uncertainty, note } = draft.value;
  const change = (part: Partial<EmptyResult>) =>
    draft.set({ stage, name, value, unit, uncertainty, note, ...part });
  const isWhole = name.trim() !== "" && value !== null && (uncertainty ?? 0) >= 0;
  return (
    <form
      aria-label={saved === null ? "New result" : `Edit ${saved.name}`}
      onSubmit={(event) => {
        event.preventDefault();
        if (value === null) return;
        const result: NewResult = { stage, name: name.trim(), value, unit: unit.trim(), uncertainty, note };
        void draft.saving(() => saveResult(lot.id, result, saved));
      }}
    >
      <Restored draft={draft} of={name.trim() === "" ? "a result" : name} />
      <TextField
        label="Result"
        value={name}
        offered={Object.keys(usual)}
        onChange={(chosen) => {
          change({ name: chosen, ...(unit === "" ? { unit: usual[chosen] ?? "" } : {}) });
        }}
      />
      <Choice
        label="Stage"
        value={stage ?? wholeLot}
        options={[wholeLot, ...all]}
        say={say}
        onChange={(chosen) => change({ stage: chosen === wholeLot ? null : chosen })}
      />
      <NumberField label="Value" unit="" value={value} mayBeEmpty onChange={(to) => change({ value: to })} />
      <TextField label="Unit" value={unit} onChange={(to) => change({ unit: to })} />
      <NumberField
        label="Standard uncertainty"
        unit={unit}
        value={uncertainty}
        mayBeEmpty
        onChange={(to) => change({ uncertainty: to })}
      />
      <TextField label="Note on the result" value={note} onChange={(to) => change({ note: to })} />
      <button type="submit" disabled={!isWhole}>
        {button}
      </button>
    </form>
  );
}
