import { useState } from "preact/hooks";
import { bandFromTarget, type TargetRead } from "#model/band/fromTarget.ts";
import { limitWords, quantityText } from "#model/band/limits.ts";
import { counted } from "#model/words/wording.ts";
import { useDraft } from "#ui/data/draft.ts";
import { saveBand } from "#ui/data/saving.ts";
import { density, lot } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { freeBandName } from "./freeBandName.ts";

const notSaid = "not said";

interface Target {
  readonly text: string;
  readonly name: string;
  readonly stage: string;
  readonly tolerancePercent: number | null;
}

/** The limits that were read of it, what was not, and what it leaves open. */
function WhatItSays({ read: { band, problems, open } }: { read: TargetRead }) {
  return (
    <>
      {band !== null && (
        <ul aria-label="Limits of the target">
          {band.rows.map((row) => (
            <li key={row.source}>
              {limitWords(row).name}:{" "}
              {row.low === null ? "no lower limit" : `from ${quantityText(row, row.low)}`},{" "}
              {row.high === null ? "no upper limit" : `to ${quantityText(row, row.high)}`}
            </li>
          ))}
          {band.betM2PerG !== undefined && (
            <li>
              BET area: {band.betM2PerG.low ?? "no lower limit"} to {band.betM2PerG.high ?? "no upper limit"}{" "}
              m²/g
            </li>
          )}
        </ul>
      )}
      <ProblemList problems={problems} />
      {open.length > 0 && (
        <>
          <p>It leaves open:</p>
          <ul aria-label="What the target leaves open">
            {open.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </>
      )}
    </>
  );
}

/** A customer's target, pasted as it came, as a band; what it leaves open is said before it is saved. */
export function CustomerTarget() {
  const draft = useDraft<Target>("target of a customer", {
    text: "",
    name: "",
    stage: notSaid,
    tolerancePercent: null,
  });
  const [said, setSaid] = useState("");
  const { text, name, stage, tolerancePercent } = draft.value;
  const set = (change: Partial<Target>) => draft.set({ ...draft.value, ...change });
  const { all, say } = useStages(lot.value);
  const read =
    text.trim() === ""
      ? null
      : bandFromTarget(
          text,
          {
            name: freeBandName(name.trim() || "Customer's target"),
            stage: stage === notSaid ? "" : stage,
            densityGPerCm3: density.value,
          },
          { tolerancePercent },
        );
  const band = read?.band ?? null;
  const save = async () => {
    if (band === null || !(await draft.saving(() => saveBand(band, null)))) return;
    draft.discard();
    setSaid("The band is saved; edit its limits above.");
  };
  return (
    <form
      aria-label="A customer's target"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <h2>A customer’s target</h2>
      <Restored draft={draft} of="the customer's target" />
      <p>
        <label for="customer-target">
          Paste it as it came: lines such as “D50 3.1 ± 0.2 µm”, or a table of limits.
        </label>
      </p>
      <textarea
        id="customer-target"
        rows={4}
        value={text}
        onInput={(event) => set({ text: event.currentTarget.value })}
      />
      <p>
        <TextField label="Name of the band" value={name} onChange={(to) => set({ name: to })} />
        <Choice
          label="Of the stage"
          value={stage}
          options={[notSaid, ...all]}
          say={(s) => (s === notSaid ? s : say(s))}
          onChange={(to) => set({ stage: to })}
        />
        <NumberField
          label="Tolerance where none is given"
          unit="%"
          value={tolerancePercent}
          min={0}
          mayBeEmpty
          onChange={(to) => set({ tolerancePercent: to !== null && to > 0 ? to : null })}
        />
      </p>
      {read !== null && <WhatItSays read={read} />}
      <p>
        <button type="submit" disabled={band === null}>
          {band === null ? "Make a band of it" : `Make a band of ${counted(band.rows.length, "limit")}`}
        </button>{" "}
        <span role="status">{said}</span>
      </p>
    </form>
  );
}
