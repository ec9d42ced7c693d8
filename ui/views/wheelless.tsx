import { useState } from "preact/hooks";
import { pressureAnswer } from "#model/answers/pressureAnswer.ts";
import { readPressureTrials } from "#model/mill/wheelless/pressureLaw.ts";
import { NumberField } from "../parts/numberField.tsx";
import { ProblemList } from "../parts/problemList.tsx";

const nothing = { pressureBar: null, feedKgPerH: null, targetD50Um: null, ratedBar: null };
type Asked = { readonly [K in keyof typeof nothing]: number | null };

const fields: readonly { key: keyof Asked; label: string; unit: string }[] = [
  { key: "ratedBar", label: "Rated pressure, from the plate", unit: "bar gauge" },
  { key: "pressureBar", label: "Nozzle pressure", unit: "bar gauge" },
  { key: "feedKgPerH", label: "Feed to the jets", unit: "kg/h" },
  { key: "targetD50Um", label: "D50 to reach", unit: "µm" },
];

/** A jet mill without a wheel: pressure and feed are all there is to set; from its own trials, for this visit. */
export function Wheelless() {
  const [text, setText] = useState("");
  const [asked, setAsked] = useState<Asked>(nothing);
  const read = text.trim() === "" ? null : readPressureTrials(text);
  return (
    <details>
      <summary>A mill without a wheel: pressure and feed</summary>
      <label for="pressure-trials">Its trials, under the headings </label>
      <code>pressureBar,feedKgPerH,d50Um</code>
      <textarea
        id="pressure-trials"
        spellcheck={false}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      {read !== null && <ProblemList problems={read.problems} />}
      <p>
        {fields.map(({ key, label, unit }) => (
          <NumberField
            key={key}
            label={label}
            unit={unit}
            value={asked[key]}
            mayBeEmpty
            fault={asked[key] !== null && !(asked[key] > 0) ? `Must be above 0 ${unit}.` : null}
            onChange={(v) => setAsked({ ...asked, [key]: v })}
          />
        ))}
      </p>
      <p class="lead" aria-live="polite">
        {pressureAnswer(read?.trials ?? [], asked).sentence}
      </p>
      <p class="quiet">
        Assumed until trials say otherwise: D50 goes with pressure to the power −0.5 ± 0.5 and with feed to
        0.15 ± 0.15. Keep to the ratings of vessel and hoses, and release pressure before opening anything.
      </p>
    </details>
  );
}
