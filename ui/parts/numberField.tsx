import { useEffect, useId, useState } from "preact/hooks";
import { decimalMark, typedText } from "#ui/data/numberMarks.ts";
import { numberOf } from "./numberText.ts";

/** A labelled number with its unit. An entry that is no number leaves the value as it was and says so beside it. */
export function NumberField(props: {
  label: string;
  /** What the field is called where its label is short for what stands around it; it must hold the label. */
  fullName?: string;
  unit: string;
  value: number | null;
  onChange: (value: number | null) => void;
  min?: number;
  max?: number;
  step?: number | "any";
  /** Whether an empty field is an answer of its own. */
  mayBeEmpty?: boolean;
  /** What is wrong with the value, known to whoever uses the field. */
  fault?: string | null;
}) {
  const id = useId();
  const { label, fullName, unit, value, onChange, min, max, mayBeEmpty = false, fault = null } = props;
  const [text, setText] = useState<string | null>(null);
  const typed = text === null ? null : numberOf(text, decimalMark.value);
  const wrong = faultOf(text, min, max) ?? fault;

  // A new value from elsewhere, such as a slider, replaces what was typed; the value just typed does not.
  useEffect(() => {
    setText((before) => {
      const was = before === null ? null : numberOf(before, decimalMark.value);
      return was?.kind === "number" && was.value === value
        ? before
        : was?.kind === "empty" && value === null
          ? before
          : null;
    });
  }, [value]);

  return (
    <span class="field">
      <label for={id}>{label}</label>
      <span class="box">
        <input
          id={id}
          class="number"
          type="text"
          inputMode="decimal"
          autoComplete="off"
          value={text ?? (value === null ? "" : typedText(value))}
          {...(fullName === undefined ? {} : { "aria-label": fullName })}
          {...(wrong === null ? {} : { "aria-invalid": true, "aria-describedby": `${id}-wrong` })}
          onInput={(event) => {
            const now = numberOf(event.currentTarget.value, decimalMark.value);
            setText(event.currentTarget.value);
            if (now.kind === "number") onChange(now.value);
            else if (now.kind === "empty" && mayBeEmpty) onChange(null);
          }}
          onBlur={() => {
            // What was read and taken, or was left empty, is shown as the value that counts.
            if (typed?.kind !== "unclear") setText(null);
          }}
        />
        {unit !== "" && <span class="unit">{unit}</span>}
      </span>
      {wrong !== null && (
        <span class="problem" id={`${id}-wrong`} role="status">
          {wrong}
        </span>
      )}
    </span>
  );
}

function faultOf(text: string | null, min?: number, max?: number): string | null {
  const typed = text === null ? null : numberOf(text, decimalMark.value);
  if (typed?.kind === "unclear") return typed.why;
  if (typed?.kind !== "number") return null;
  if (min !== undefined && typed.value < min) return `Not under ${min}.`;
  return max !== undefined && typed.value > max ? `Not over ${max}.` : null;
}
