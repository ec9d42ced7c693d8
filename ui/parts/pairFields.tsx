import { notedBefore, type PairDraft } from "#ui/data/betPair.ts";
import { DayField } from "./dayField.tsx";
import { NumberField } from "./numberField.tsx";
import { TextField } from "./textField.tsx";

/** The two areas of a pair, and how they were measured: what it holds for. */
export function PairFields({ draft, onChange }: { draft: PairDraft; onChange: (draft: PairDraft) => void }) {
  return (
    <>
      <TextField
        label="Material"
        value={draft.material}
        offered={notedBefore("material")}
        onChange={(material) => onChange({ ...draft, material })}
      />
      <NumberField
        label="Geometric area"
        unit="m²/g"
        value={draft.geometricM2PerG}
        mayBeEmpty
        onChange={(geometricM2PerG) => onChange({ ...draft, geometricM2PerG })}
      />
      <NumberField
        label="BET area"
        unit="m²/g"
        value={draft.betM2PerG}
        mayBeEmpty
        onChange={(betM2PerG) => onChange({ ...draft, betM2PerG })}
      />
      <DayField
        label="Measured on"
        value={draft.measuredOn}
        onChange={(measuredOn) => onChange({ ...draft, measuredOn })}
      />
      <TextField
        label="Instrument"
        value={draft.instrument}
        offered={notedBefore("instrument")}
        onChange={(instrument) => onChange({ ...draft, instrument })}
      />
      <TextField
        label="Optical model"
        value={draft.optics}
        offered={notedBefore("optics")}
        onChange={(optics) => onChange({ ...draft, optics })}
      />
      <TextField
        label="Dopant class"
        value={draft.dopantClass}
        offered={notedBefore("dopantClass")}
        onChange={(dopantClass) => onChange({ ...draft, dopantClass })}
      />
      <NumberField
        label="Density of the solid used"
        unit="g/cm³"
        value={draft.densityGPerCm3}
        mayBeEmpty
        onChange={(densityGPerCm3) => onChange({ ...draft, densityGPerCm3 })}
      />
    </>
  );
}
