import { useId } from "preact/hooks";

/** A labelled day, saved as 2026-11-25; empty where none is known. */
export function DayField(props: { label: string; value: string; onChange: (day: string) => void }) {
  const id = useId();
  const { label, value, onChange } = props;
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <input id={id} type="date" value={value} onInput={(event) => onChange(event.currentTarget.value)} />
    </span>
  );
}
