import { rpm } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { showProduct } from "./grinding.tsx";
import { feedKgPerH, fittedMill, flowM3PerH, slider, speedRpm } from "./wheel.ts";
import { faults, setFeed, setFlow, setSpeed, setTarget, targetD50Um } from "./wheelEntries.ts";

/** Speed by slider and by number, gas flow, feed and the target, with what is wrong with an entry beside its field. */
export function WheelControls() {
  const { min, max } = slider.value;
  const isRefired = fittedMill.value?.growth != null;
  return (
    <div>
      <label for="speed">
        Wheel speed: <strong>{rpm(speedRpm.value)}</strong>
      </label>
      <input
        id="speed"
        type="range"
        min={min}
        max={max}
        step={10}
        value={speedRpm.value}
        onInput={(event) => setSpeed(event.currentTarget.valueAsNumber)}
      />
      <NumberField
        label="Speed"
        unit="rpm"
        min={min}
        max={max}
        value={speedRpm.value}
        fault={faults.speed.value}
        onChange={(v) => {
          if (v !== null) setSpeed(v);
        }}
      />
      <NumberField
        label="Gas flow at the wheel"
        unit="m³/h"
        min={0}
        value={flowM3PerH.value}
        fault={faults.flow.value}
        onChange={setFlow}
        mayBeEmpty
      />
      <NumberField
        label="Feed"
        unit="kg/h"
        min={0}
        value={feedKgPerH.value === null ? null : Number(feedKgPerH.value.toPrecision(3))}
        fault={faults.feed.value}
        onChange={setFeed}
        mayBeEmpty
      />
      <NumberField
        label={isRefired ? "Target D50, re-fired" : "Target D50"}
        unit="µm"
        min={0}
        value={targetD50Um.value}
        fault={faults.target.value}
        onChange={setTarget}
        mayBeEmpty
      />
      <button type="button" onClick={showProduct}>
        Show throughput, yield and energy
      </button>
    </div>
  );
}
