import { useState } from "preact/hooks";
import type { KeptMill } from "#api/records.ts";
import type { Mill } from "#model/mill/mill.ts";
import { gasNames } from "#model/mill/wheel/gas.ts";
import { Choice } from "../parts/choice.tsx";
import { NumberField } from "../parts/numberField.tsx";
import { looking } from "../state/bringIn.ts";
import { changeMill, keepTrial, trials } from "../state/kept.ts";

/** The mill as it stands on its plate, and one more trial. */
export function MillForm({ kept }: { kept: KeptMill }) {
  const [mill, setMill] = useState<Mill>(kept.mill);
  const [trial, setTrial] = useState<{
    speedRpm: number | null;
    d50Um: number | null;
    gasFlowM3PerH: number | null;
    feedKgPerH: number | null;
  }>({ speedRpm: null, d50Um: null, gasFlowM3PerH: null, feedKgPerH: null });
  const curve = looking.value?.[0]?.distribution ?? null;
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
      onChange={(v) => {
        if (v !== null) setMill({ ...mill, [key]: v });
      }}
    />
  );
  return (
    <details>
      <summary>The mill and its trials: change or add</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void changeMill(kept.id, kept.name, mill);
        }}
      >
        {field("Wheel radius", "m", "wheelRadiusM")}
        {field("Wheel height", "m", "wheelHeightM")}
        {field("Free area", "share", "freeAreaShare")}
        {field("Swirl ratio", "", "swirlRatio")}
        <NumberField
          label="Rated speed, from the plate"
          unit="rpm"
          value={mill.ratedSpeedRpm}
          mayBeEmpty
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
        <button type="submit">Keep the mill</button>
      </form>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const { speedRpm, d50Um } = trial;
          if (speedRpm !== null && d50Um !== null)
            void keepTrial(
              kept.id,
              `trial ${trials.value.length + 1}`,
              {
                ...trial,
                speedRpm,
                d50Um,
                d10Um: null,
                d90Um: null,
              },
              curve,
            );
        }}
      >
        <NumberField
          label="Trial speed"
          unit="rpm"
          value={trial.speedRpm}
          mayBeEmpty
          onChange={(v) => setTrial({ ...trial, speedRpm: v })}
        />
        <NumberField
          label="D50 found"
          unit="µm"
          value={trial.d50Um}
          mayBeEmpty
          onChange={(v) => setTrial({ ...trial, d50Um: v })}
        />
        <NumberField
          label="Gas flow"
          unit="m³/h"
          value={trial.gasFlowM3PerH}
          mayBeEmpty
          onChange={(v) => setTrial({ ...trial, gasFlowM3PerH: v })}
        />
        <NumberField
          label="Feed"
          unit="kg/h"
          value={trial.feedKgPerH}
          mayBeEmpty
          onChange={(v) => setTrial({ ...trial, feedKgPerH: v })}
        />
        <p class="quiet">
          {curve === null
            ? "Bring in the trial's table first, and its whole curve is kept with it."
            : "The table you are looking at is kept with it as its whole curve."}
        </p>
        <button type="submit" disabled={trial.speedRpm === null || trial.d50Um === null}>
          Keep the trial
        </button>
      </form>
    </details>
  );
}
