import { useState } from "preact/hooks";
import type { SavedTrial } from "#api/records/records.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { useDraft } from "#ui/data/draft.ts";
import { excludedTrials, trials } from "#ui/data/mill.ts";
import { changeTrial, remove } from "#ui/data/saving.ts";
import { rpm, withUnit } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

/** The trials as saved: each can be edited, excluded with a reason, or deleted. */
export function EditTrials() {
  return (
    <ul class="plain">
      {[...trials.value, ...excludedTrials.value].map((saved) => (
        <TrialEntry key={`${saved.id} ${saved.version}`} saved={saved} />
      ))}
    </ul>
  );
}

function TrialEntry({ saved }: { saved: SavedTrial }) {
  const [isOpen, setOpen] = useState(false);
  const { speedRpm, d50Um } = saved.trial;
  return (
    <li>
      {saved.name}: {rpm(speedRpm)}, D50 {withUnit(d50Um, "µm")}{" "}
      <button
        type="button"
        class="small"
        aria-expanded={isOpen}
        aria-label={`Edit ${saved.name}`}
        onClick={() => setOpen(!isOpen)}
      >
        Edit
      </button>{" "}
      {saved.exclusionReason === null ? (
        <WithReason
          isInRow
          isNeeded
          verb="Exclude"
          of={saved.name}
          onDone={(exclusionReason) => changeTrial(saved, { exclusionReason })}
        />
      ) : (
        <>
          excluded: {saved.exclusionReason}{" "}
          <button
            type="button"
            class="small"
            aria-label={`Include ${saved.name} again`}
            onClick={() => void changeTrial(saved, { exclusionReason: null })}
          >
            Include again
          </button>
        </>
      )}{" "}
      <WithReason isInRow verb="Delete" of={saved.name} onDone={(why) => remove("trials", saved, why)} />
      {isOpen && <TrialForm saved={saved} />}
    </li>
  );
}

function TrialForm({ saved }: { saved: SavedTrial }) {
  const draft = useDraft<{ readonly name: string; readonly trial: Trial }>(`trial ${saved.id}`, {
    name: saved.name,
    trial: saved.trial,
  });
  const { name, trial } = draft.value;
  const setTrial = (to: Trial) => draft.set({ name, trial: to });
  const needed = (label: string, unit: string, key: "speedRpm" | "d50Um") => (
    <NumberField
      label={label}
      unit={unit}
      value={trial[key]}
      onChange={(v) => {
        if (v !== null) setTrial({ ...trial, [key]: v });
      }}
    />
  );
  const maybe = (label: string, unit: string, key: "gasFlowM3PerH" | "feedKgPerH" | "d10Um" | "d90Um") => (
    <NumberField
      label={label}
      unit={unit}
      value={trial[key]}
      mayBeEmpty
      onChange={(v) => setTrial({ ...trial, [key]: v })}
    />
  );
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void changeTrial(saved, { name: name.trim(), trial });
      }}
    >
      <Restored draft={draft} of={saved.name} />
      <TextField label="Name of the trial" value={name} onChange={(to) => draft.set({ name: to, trial })} />
      {needed("Wheel speed", "rpm", "speedRpm")}
      {maybe("Gas flow", "m³/h", "gasFlowM3PerH")}
      {maybe("Feed rate", "kg/h", "feedKgPerH")}
      {maybe("D10", "µm", "d10Um")}
      {needed("D50", "µm", "d50Um")}
      {maybe("D90", "µm", "d90Um")}
      <button type="submit">Save {saved.name}</button>
    </form>
  );
}
