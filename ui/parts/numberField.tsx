import { useId, useState } from "preact/hooks";

/** A labelled number with its unit. What is typed stays as typed while one is in the field; a value that cannot be used is said beside it. */
export function NumberField(props: {
  label: string;
  unit: string;
  value: number | null;
  onChange: (value: number | null) => void;
  min?: number;
  max?: number;
  step?: number | "any";
  /** Whether an empty field is an answer of its own. */
  mayBeEmpty?: boolean;
  /** Why the value cannot be used; null while it can. */
  fault?: string | null;
}) {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const { label, unit, value, onChange, min, max, step = "any", mayBeEmpty = false, fault = null } = props;
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="number"
        inputMode="decimal"
        value={typed ?? value ?? ""}
        step={step}
        {...(min === undefined ? {} : { min })}
        {...(max === undefined ? {} : { max })}
        {...(fault === null ? {} : { "aria-invalid": true, "aria-describedby": `${id}-fault` })}
        onBlur={() => setTyped(null)}
        onInput={(event) => {
          const text = event.currentTarget.value.trim();
          setTyped(text);
          const number = event.currentTarget.valueAsNumber;
          if (text === "" && mayBeEmpty) onChange(null);
          else if (Number.isFinite(number)) onChange(number);
        }}
      />
      {unit !== "" && <span class="unit">{unit}</span>}
      {fault !== null && (
        <span class="problem" id={`${id}-fault`}>
          {fault}
        </span>
      )}
    </span>
  );
}
