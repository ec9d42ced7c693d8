import { useEffect, useState } from "preact/hooks";
import type { Contract } from "#api/contract/contract.ts";
import { ask, attempt, fetchBeside } from "#ui/data/client.ts";
import { useDraft } from "#ui/data/draft.ts";
import { material } from "#ui/data/selection.ts";
import { DayField } from "#ui/parts/dayField.tsx";
import { dayText } from "#ui/parts/days.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";

type Saved = Contract["GET /api/instruments"]["answer"]["instruments"][number];
type Checked = Contract["GET /api/instrument-checks"]["answer"]["instruments"][number];
type Offset = Contract["GET /api/instrument-offset"]["answer"];

/** Instruments with their checks on reference materials as series, and the offset between two of them. */
export function Instruments() {
  const [saved, setSaved] = useState<readonly Saved[]>([]);
  const [checked, setChecked] = useState<readonly Checked[] | null>(null);
  const look = () =>
    fetchBeside(async () => {
      setSaved((await ask("GET /api/instruments", {})).instruments);
      setChecked((await ask("GET /api/instrument-checks", {})).instruments);
    });
  useEffect(() => void look(), []);
  if (checked === null) return <p class="quiet">Loading the instruments …</p>;
  return (
    <>
      {checked.length === 0 && (
        <p class="quiet">No instrument is saved yet: a check on a reference material begins one.</p>
      )}
      {checked.map((one) => (
        <Checks key={one.name} checked={one} />
      ))}
      <CheckForm key={`${saved.length} ${saved.map((s) => s.version).join()}`} saved={saved} onSaved={look} />
      <OffsetBetween names={saved.map(({ name }) => name)} />
    </>
  );
}

/** Every series of an instrument in one table, under one heading. */
function Checks({ checked: { name, sentence, series } }: { checked: Checked }) {
  return (
    <>
      <p class="lead">{unbroken(sentence)}</p>
      <Wide name={`Checks of ${name}`}>
        <table>
          <thead>
            <tr>
              <th scope="col">Day</th>
              <th scope="col" class="number">
                From the stated value, %
              </th>
              <th scope="col">Limits of the series, %</th>
              <th scope="col">Finding</th>
            </tr>
          </thead>
          {series.map((one) => (
            <Series key={`${one.referenceMaterial} ${one.quantity}`} of={one} />
          ))}
        </table>
      </Wide>
    </>
  );
}

function Series({ of: { referenceMaterial, quantity, values, limits } }: { of: Checked["series"][number] }) {
  return (
    <tbody>
      <tr>
        <th scope="rowgroup" colSpan={4}>
          <strong>
            {quantity} of {referenceMaterial}
          </strong>
        </th>
      </tr>
      {values.map(({ day, deviationPercent, isBeyondStated }, i) => (
        <tr key={`${day} ${i}`}>
          <th scope="row">{dayText(day)}</th>
          <td class="number">{figures(deviationPercent)}</td>
          <td>
            {limits === null ? "need five checks" : `${figures(limits.low)} to ${figures(limits.high)}`}
          </td>
          <td>
            {[
              ...(limits !== null && (deviationPercent < limits.low || deviationPercent > limits.high)
                ? ["beyond the limits"]
                : []),
              ...(isBeyondStated === true ? ["beyond twice the stated uncertainty"] : []),
            ].join(", ") || "–"}
          </td>
        </tr>
      ))}
    </tbody>
  );
}

interface CheckTyped {
  readonly name: string;
  readonly day: string;
  readonly referenceMaterial: string;
  readonly quantity: string;
  readonly stated: number | null;
  readonly standardUncertainty: number | null;
  readonly found: number | null;
}

function CheckFields(props: {
  typed: CheckTyped;
  instruments: readonly string[];
  onChange: (to: CheckTyped) => void;
}) {
  const { typed, instruments, onChange } = props;
  const { name, day, referenceMaterial, quantity, stated, standardUncertainty, found } = typed;
  const set = (change: Partial<CheckTyped>) => onChange({ ...typed, ...change });
  return (
    <>
      <TextField label="Instrument" value={name} offered={instruments} onChange={(to) => set({ name: to })} />
      <DayField label="Day" value={day} onChange={(to) => set({ day: to })} />
      <TextField
        label="Reference material"
        value={referenceMaterial}
        onChange={(to) => set({ referenceMaterial: to })}
      />
      <TextField
        label="What was checked"
        value={quantity}
        offered={["D10", "D50", "D90"]}
        onChange={(to) => set({ quantity: to })}
      />
      <NumberField
        label="Stated"
        unit="µm"
        value={stated}
        min={0}
        mayBeEmpty
        onChange={(to) => set({ stated: to })}
      />
      <NumberField
        label="Its standard uncertainty"
        unit="µm"
        value={standardUncertainty}
        min={0}
        mayBeEmpty
        onChange={(to) => set({ standardUncertainty: to })}
      />
      <NumberField
        label="Found"
        unit="µm"
        value={found}
        min={0}
        mayBeEmpty
        onChange={(to) => set({ found: to })}
      />
    </>
  );
}

function CheckForm({ saved, onSaved }: { saved: readonly Saved[]; onSaved: () => Promise<unknown> }) {
  const last = saved.at(-1)?.checks.at(-1);
  const draft = useDraft<CheckTyped>("check of an instrument", {
    name: saved.at(-1)?.name ?? "",
    day: "",
    referenceMaterial: last?.referenceMaterial ?? "",
    quantity: last?.quantity ?? "D50",
    stated: last?.stated ?? null,
    standardUncertainty: last?.standardUncertainty ?? null,
    found: null,
  });
  const { name, day, referenceMaterial, quantity, stated, standardUncertainty, found } = draft.value;
  const kept = saved.find((one) => one.name === name.trim());
  const save = async () => {
    if (stated === null || found === null) return false;
    const check = {
      day,
      referenceMaterial: referenceMaterial.trim(),
      quantity: quantity.trim(),
      stated,
      standardUncertainty,
      found,
    };
    return attempt(async () => {
      if (kept === undefined)
        await ask("POST /api/instruments", { body: { name: name.trim(), checks: [check] } });
      else {
        const { id, version, checks, ...others } = kept;
        const body = { ...others, checks: [...checks, check] };
        await ask("PUT /api/instruments/{id}", { params: { id }, body, version });
      }
      await onSaved();
    });
  };
  return (
    <form
      class="fields"
      aria-label="Check of an instrument"
      onSubmit={(event) => {
        event.preventDefault();
        void draft.saving(save);
      }}
    >
      <h3>Add a check on a reference material</h3>
      <Restored draft={draft} of="the check" />
      <CheckFields typed={draft.value} instruments={saved.map((one) => one.name)} onChange={draft.set} />
      <button
        type="submit"
        disabled={
          name.trim() === "" ||
          day === "" ||
          referenceMaterial.trim() === "" ||
          (stated ?? 0) <= 0 ||
          (found ?? 0) <= 0
        }
      >
        Save the check
      </button>
    </form>
  );
}

function OffsetBetween({ names }: { names: readonly string[] }) {
  const [first, setFirst] = useState("");
  const [second, setSecond] = useState("");
  const [offset, setOffset] = useState<Offset | null>(null);
  const offered = [...new Set([...names, ...(offset?.instruments ?? [])])];
  const look = () =>
    attempt(async () => {
      const of = material.value;
      const query = { first: first.trim(), second: second.trim(), ...(of === null ? {} : { material: of }) };
      setOffset(await ask("GET /api/instrument-offset", { query }));
    });
  return (
    <form
      aria-label="Offset between two instruments"
      onSubmit={(event) => {
        event.preventDefault();
        void look();
      }}
    >
      <h3>Offset between two instruments or techniques</h3>
      <TextField label="First" value={first} offered={offered} onChange={setFirst} />
      <TextField label="Second" value={second} offered={offered} onChange={setSecond} />
      <button type="submit" disabled={first.trim() === "" || second.trim() === ""}>
        Look at lots measured on both
      </button>
      {offset !== null && (
        <p class="lead" role="status">
          {offset.sentence}
        </p>
      )}
    </form>
  );
}
