import { useState } from "preact/hooks";
import type { NewLot } from "#api/records/records.ts";
import { listed } from "#model/words/wording.ts";
import { clash, trouble } from "#ui/data/client.ts";
import { useDraft } from "#ui/data/draft.ts";
import { bands } from "#ui/data/entries.ts";
import { Choice } from "./choice.tsx";
import { NumberField } from "./numberField.tsx";
import { Restored } from "./restored.tsx";
import { TextField } from "./textField.tsx";

const noBand = "none";

/** What a lot is: name, material, density, target band, note. */
export function LotForm(props: {
  lot: Omit<NewLot, "densityGPerCm3"> & { readonly densityGPerCm3: number | null };
  button: string;
  onSave: (lot: NewLot) => Promise<void>;
}) {
  const draft = useDraft(`${props.button}: ${props.lot.name}`, props.lot);
  const { value: lot, set: setLot } = draft;
  const [isSending, setSending] = useState(false);
  const density = lot.densityGPerCm3;
  const missing = [
    ...(lot.name.trim() === "" ? ["a name"] : []),
    ...(density === null ? ["the density of the solid"] : []),
  ];
  return (
    <form
      aria-label={props.button}
      onSubmit={async (event) => {
        event.preventDefault();
        // The button stays as it is: one that is switched off loses the focus.
        if (density === null || isSending) return;
        setSending(true);
        await draft.saving(async () => {
          await props.onSave({ ...lot, name: lot.name.trim(), densityGPerCm3: density });
          return trouble.value === null && clash.value === null;
        });
        setSending(false);
      }}
    >
      <Restored draft={draft} of={lot.name.trim() === "" ? "a lot" : lot.name} />
      <TextField label="Name" value={lot.name} onChange={(name) => setLot({ ...lot, name })} />
      <TextField
        label="Material"
        value={lot.material ?? ""}
        onChange={(material) => setLot({ ...lot, material })}
      />
      <NumberField
        label="Density of the solid"
        unit="g/cm³"
        value={density}
        mayBeEmpty
        onChange={(densityGPerCm3) => setLot({ ...lot, densityGPerCm3 })}
      />
      <Choice
        label="Target band"
        value={lot.bandId === null ? noBand : String(lot.bandId)}
        options={[noBand, ...bands.value.map((b) => String(b.id))]}
        say={(id) => bands.value.find((b) => String(b.id) === id)?.band.name ?? noBand}
        onChange={(id) => setLot({ ...lot, bandId: id === noBand ? null : Number(id) })}
      />
      <TextField label="Note" value={lot.note} wide onChange={(note) => setLot({ ...lot, note })} />
      <button type="submit" disabled={missing.length > 0}>
        {props.button}
      </button>{" "}
      <span class="quiet" role="status">
        {missing.length > 0 && `Still needed: ${listed(missing)}.`}
      </span>
    </form>
  );
}
