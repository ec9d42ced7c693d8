import type { ComponentChildren } from "preact";
import { NumberField } from "#ui/parts/numberField.tsx";
import { feedKgPerH, feedRange, fittedMill, flowM3PerH, flowRange, slider, speedRpm } from "./wheel.ts";
import { faults, setFeed, setFlow, setSpeed, setTarget, targetD50Um } from "./wheelEntries.ts";

/** Speed, gas flow and feed, each by a slider and as a number, and the target; what is wrong with an entry stands beside it. */
export function WheelControls() {
  const speeds = slider.value;
  const flows = flowRange.value;
  const feeds = feedRange.value;
  const feed = feedKgPerH.value === null ? null : Number(feedKgPerH.value.toPrecision(3));
  return (
    <div class="plan-controls">
      <Control name="Wheel speed" {...speeds} step={10} value={speedRpm.value} onSlide={setSpeed}>
        <NumberField
          label="Speed"
          unit="rpm"
          {...speeds}
          value={speedRpm.value}
          fault={faults.speed.value}
          onChange={(v) => {
            if (v !== null) setSpeed(v);
          }}
        />
      </Control>
      <Control name="Gas flow" {...flows} step={1} value={flowM3PerH.value} onSlide={setFlow}>
        <NumberField
          label="Gas flow at the wheel"
          unit="m³/h"
          min={0}
          value={flowM3PerH.value}
          fault={faults.flow.value}
          onChange={setFlow}
          mayBeEmpty
        />
      </Control>
      <Control
        name="Feed rate"
        min={feeds?.min ?? 0}
        max={feeds?.max ?? 0}
        step={0.1}
        value={feed}
        onSlide={setFeed}
      >
        <NumberField
          label="Feed"
          unit="kg/h"
          min={0}
          value={feed}
          fault={faults.feed.value}
          onChange={setFeed}
          mayBeEmpty
        />
      </Control>
      <div class="plan-control plain-number">
        <NumberField
          label={fittedMill.value?.growth == null ? "Target D50" : "Target D50, re-fired"}
          unit="µm"
          min={0}
          value={targetD50Um.value}
          fault={faults.target.value}
          onChange={setTarget}
          mayBeEmpty
        />
      </div>
    </div>
  );
}

/** A number with the slider that moves it; without a value, or with only one place to stand, there is no slider. */
function Control(props: {
  name: string;
  min: number;
  max: number;
  step: number;
  value: number | null;
  onSlide: (value: number) => void;
  children: ComponentChildren;
}) {
  const { name, min, max, step, value, onSlide, children } = props;
  return (
    <div class="plan-control">
      {children}
      {value !== null && max > min && (
        <input
          type="range"
          aria-label={name}
          min={min}
          max={max}
          step={step}
          value={value}
          onInput={(event) => onSlide(event.currentTarget.valueAsNumber)}
        />
      )}
    </div>
  );
}
