import { useState } from "preact/hooks";
import type { NewLot } from "#api/records.ts";
import { Choice } from "../parts/choice.tsx";
import { NumberField } from "../parts/numberField.tsx";
import { TextField } from "../parts/textField.tsx";
import { bands } from "../state/kept.ts";

const noBand = "none";

/** What a lot is: name, material, density, the band it is held against, a note. */
export function LotForm(props: {
  lot: Omit<NewLot, "densityGPerCm3"> & { readonly densityGPerCm3: number | null };
  button: string;
  onKeep: (lot: NewLot) => void;
}) {
  const [lot, setLot] = useState(props.lot);
  const density = lot.densityGPerCm3;
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (density !== null) props.onKeep({ ...lot, name: lot.name.trim(), densityGPerCm3: density });
      }}
    >
      <TextField label="Name" value={lot.name} onChange={(name) => setLot({ ...lot, name })} />
      <TextField
        label="Material"
        value={lot.material}
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
      <button type="submit" disabled={lot.name.trim() === "" || density === null}>
        {props.button}
      </button>{" "}
      {(lot.name.trim() === "" || density === null) && (
        <span class="quiet">A name and the density of the solid are needed.</span>
      )}
    </form>
  );
}
