import { useId } from "preact/hooks";

/** A labelled number with its unit. An entry that is no number leaves the value as it was and says so. */
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
}) {
  const id = useId();
  const { label, unit, value, onChange, min, max, step = "any", mayBeEmpty = false } = props;
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="number"
        inputMode="decimal"
        value={value ?? ""}
        step={step}
        {...(min === undefined ? {} : { min })}
        {...(max === undefined ? {} : { max })}
        onInput={(event) => {
          const text = event.currentTarget.value.trim();
          const number = event.currentTarget.valueAsNumber;
          if (text === "" && mayBeEmpty) onChange(null);
          else if (Number.isFinite(number)) onChange(number);
        }}
      />
      {unit !== "" && <span class="unit">{unit}</span>}
    </span>
  );
}
