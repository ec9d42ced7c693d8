import { useState } from "preact/hooks";
import type { SavedTrial } from "#api/records/records.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { excludedTrials, trials } from "#ui/data/entries.ts";
import { changeTrial, remove } from "#ui/data/saving.ts";
import { rpm, withUnit } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

/** The trials as they were noted, to mend a slip, to set one aside with the reason, or to delete it. */
export function EditTrials() {
  return (
    <ul class="plain">
      {[...trials.value, ...excludedTrials.value].map((kept) => (
        <TrialToMend key={`${kept.id} ${kept.version}`} kept={kept} />
      ))}
    </ul>
  );
}

function TrialToMend({ kept }: { kept: SavedTrial }) {
  const [isOpen, setOpen] = useState(false);
  const { speedRpm, d50Um } = kept.trial;
  return (
    <li>
      {kept.name}: {rpm(speedRpm)}, D50 {withUnit(d50Um, "µm")}{" "}
      <button
        type="button"
        class="small"
        aria-expanded={isOpen}
        aria-label={`Mend ${kept.name}`}
        onClick={() => setOpen(!isOpen)}
      >
        Mend
      </button>{" "}
      {kept.exclusionReason === null ? (
        <WithReason
          isInRow
          isNeeded
          verb="Set aside"
          of={kept.name}
          onDone={(exclusionReason) => changeTrial(kept, { exclusionReason })}
        />
      ) : (
        <>
          set aside: {kept.exclusionReason}{" "}
          <button
            type="button"
            class="small"
            aria-label={`Count ${kept.name} again`}
            onClick={() => void changeTrial(kept, { exclusionReason: null })}
          >
            Count it again
          </button>
        </>
      )}{" "}
      <WithReason isInRow verb="Delete" of={kept.name} onDone={(why) => remove("trials", kept, why)} />
      {isOpen && <TrialForm kept={kept} />}
    </li>
  );
}

function TrialForm({ kept }: { kept: SavedTrial }) {
  const [name, setName] = useState(kept.name);
  const [trial, setTrial] = useState<Trial>(kept.trial);
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
        void changeTrial(kept, { name: name.trim(), trial });
      }}
    >
      <TextField label="Name of the trial" value={name} onChange={setName} />
      {needed("Speed noted", "rpm", "speedRpm")}
      {maybe("Gas flow noted", "m³/h", "gasFlowM3PerH")}
      {maybe("Feed noted", "kg/h", "feedKgPerH")}
      {maybe("D10 noted", "µm", "d10Um")}
      {needed("D50 noted", "µm", "d50Um")}
      {maybe("D90 noted", "µm", "d90Um")}
      <button type="submit">Keep {kept.name} as mended</button>
    </form>
  );
}
