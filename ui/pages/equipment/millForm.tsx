import type { SavedMill } from "#api/records/records.ts";
import { actualFlowM3PerH, gasNames, normalFlowM3PerH } from "#model/mill/gas/gas.ts";
import type { Mill } from "#model/mill/mill.ts";
import { useDraft } from "#ui/data/draft.ts";
import { changeMill, remove } from "#ui/data/saving.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

type NumberOfMill =
  | "wheelRadiusM"
  | "wheelHeightM"
  | "freeAreaShare"
  | "swirlRatio"
  | "pressurePa"
  | "particleDensityGPerCm3"
  | "temperatureC";

/** The classifier mill: data from its plate and its usual gas. */
export function MillForm({ saved }: { saved: SavedMill }) {
  const draft = useDraft(`mill ${saved.id}`, { mill: saved.mill, name: saved.name });
  const { mill, name } = draft.value;
  const setMill = (to: Mill) => draft.set({ mill: to, name });
  const field = (label: string, unit: string, key: NumberOfMill) => (
    <NumberField
      label={label}
      unit={unit}
      value={mill[key]}
      fault={key === "temperatureC" ? null : mustBePositive(mill[key], unit)}
      onChange={(v) => {
        if (v !== null) setMill({ ...mill, [key]: v });
      }}
    />
  );
  return (
    <>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void draft.saving(() => changeMill(saved, name.trim(), mill));
        }}
      >
        <Restored draft={draft} of={`the mill ${saved.name}`} />
        <TextField label="Name of the mill" value={name} onChange={(to) => draft.set({ mill, name: to })} />
        {field("Wheel radius", "m", "wheelRadiusM")}
        {field("Wheel height", "m", "wheelHeightM")}
        {field("Free area", "share", "freeAreaShare")}
        {field("Swirl ratio", "", "swirlRatio")}
        <NumberField
          label="Rated speed, from the plate"
          unit="rpm"
          value={mill.ratedSpeedRpm}
          mayBeEmpty
          fault={mill.ratedSpeedRpm === null ? null : mustBePositive(mill.ratedSpeedRpm, "rpm")}
          onChange={(v) => setMill({ ...mill, ratedSpeedRpm: v })}
        />
        <Choice
          label="Gas"
          value={mill.gas}
          options={gasNames}
          onChange={(gas) => setMill({ ...mill, gas })}
        />
        {field("Temperature", "°C", "temperatureC")}
        {field("Absolute pressure at the wheel", "Pa", "pressurePa")}
        <GasFlow mill={mill} onChange={setMill} />
        <NumberField
          label="Absolute pressure before the nozzles"
          unit="bar"
          value={mill.nozzlePressurePa == null ? null : mill.nozzlePressurePa / 1e5}
          mayBeEmpty
          fault={
            mill.nozzlePressurePa != null && mill.nozzlePressurePa <= mill.pressurePa
              ? "Must be above the pressure at the wheel: gauge pressure plus ambient pressure."
              : null
          }
          onChange={(v) => setMill({ ...mill, nozzlePressurePa: v === null ? null : v * 1e5 })}
        />
        <NumberField
          label="Grinding limit, if known"
          unit="µm"
          value={mill.grindingLimitUm ?? null}
          mayBeEmpty
          fault={mill.grindingLimitUm == null ? null : mustBePositive(mill.grindingLimitUm, "µm")}
          onChange={(v) => setMill({ ...mill, grindingLimitUm: v })}
        />
        {field("Density of the solid", "g/cm³", "particleDensityGPerCm3")}
        <button type="submit" disabled={name.trim() === ""}>
          Save the mill
        </button>
      </form>
      <WithReason
        verb="Delete"
        of={`the mill ${saved.name} with its trials`}
        onDone={(why) => remove("mills", saved, why)}
      />
    </>
  );
}

const flowKinds = ["at the wheel", "normal"] as const;

/** The flow as it is read at the plant, and what that is in the other state. */
function GasFlow({ mill, onChange }: { mill: Mill; onChange: (mill: Mill) => void }) {
  const isNormal = mill.gasFlowNormalM3PerH != null;
  const state = [mill.temperatureC + 273.15, mill.pressurePa] as const;
  const isKnown = state[0] > 0 && state[1] > 0;
  const normal = mill.gasFlowNormalM3PerH ?? (isKnown ? normalFlowM3PerH(mill.gasFlowM3PerH, ...state) : 0);
  const actual = isNormal && isKnown ? actualFlowM3PerH(normal, ...state) : mill.gasFlowM3PerH;
  const value = isNormal ? normal : actual;
  return (
    <>
      <Choice
        label="Gas flow given"
        value={isNormal ? "normal" : "at the wheel"}
        options={flowKinds}
        say={(kind) => (kind === "normal" ? "in normal m³/h (0 °C, 101,325 Pa, dry)" : kind)}
        onChange={(kind) =>
          onChange({
            ...mill,
            gasFlowM3PerH: actual,
            gasFlowNormalM3PerH: kind === "normal" ? Number(normal.toPrecision(4)) : null,
          })
        }
      />
      <NumberField
        label={isNormal ? "Gas flow, normal" : "Gas flow at the wheel"}
        unit="m³/h"
        value={Number(value.toPrecision(4))}
        fault={mustBePositive(value, "m³/h")}
        onChange={(v) => {
          if (v !== null)
            onChange(isNormal ? { ...mill, gasFlowNormalM3PerH: v } : { ...mill, gasFlowM3PerH: v });
        }}
      />
      <span class="quiet">
        {isNormal
          ? `Equal to ${figures(actual)} m³/h at the temperature and pressure of the wheel.`
          : `Equal to ${figures(normal)} normal m³/h.`}{" "}
      </span>
    </>
  );
}

function mustBePositive(value: number, unit: string): string | null {
  return value > 0 ? null : `Must be above 0 ${unit}.`.replace(" .", ".");
}
