import { useState } from "preact/hooks";
import type { KeptMill } from "#api/records.ts";
import type { Mill } from "#model/mill/mill.ts";
import { gasNames } from "#model/mill/wheel/gas.ts";
import { Choice } from "../parts/choice.tsx";
import { NumberField } from "../parts/numberField.tsx";
import { TextField } from "../parts/textField.tsx";
import { WithReason } from "../parts/withReason.tsx";
import { changeMill, remove } from "../state/kept.ts";

/** The mill as it stands on its plate. */
export function MillForm({ kept }: { kept: KeptMill }) {
  const [mill, setMill] = useState<Mill>(kept.mill);
  const [name, setName] = useState(kept.name);
  const field = (
    label: string,
    unit: string,
    key:
      | "wheelRadiusM"
      | "wheelHeightM"
      | "freeAreaShare"
      | "swirlRatio"
      | "pressurePa"
      | "gasFlowM3PerH"
      | "particleDensityGPerCm3"
      | "temperatureC",
  ) => (
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
    <details>
      <summary>The mill</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void changeMill(kept, name.trim(), mill);
        }}
      >
        <TextField label="Name of the mill" value={name} onChange={setName} />
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
        {field("Gas flow at the wheel", "m³/h", "gasFlowM3PerH")}
        {field("Density of the powder's solid", "g/cm³", "particleDensityGPerCm3")}
        <button type="submit" disabled={name.trim() === ""}>
          Keep the mill
        </button>
      </form>
      <WithReason
        verb="Delete"
        of={`the mill ${kept.name} with its trials`}
        onDone={(why) => void remove("mills", kept, why)}
      />
    </details>
  );
}

function mustBePositive(value: number, unit: string): string | null {
  return value > 0 ? null : `Must be above 0 ${unit}.`.replace(" .", ".");
}
