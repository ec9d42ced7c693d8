import { useId } from "preact/hooks";

/** A labelled choice among a few words. */
export function Choice<T extends string>(props: {
  label: string;
  value: T;
  options: readonly T[];
  say?: (option: T) => string;
  onChange: (value: T) => void;
}) {
  const id = useId();
  const { label, value, options, say = (option) => option, onChange } = props;
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <select
        id={id}
        value={value}
        onChange={(event) => {
          const chosen = options.find((option) => option === event.currentTarget.value);
          if (chosen !== undefined) onChange(chosen);
        }}
      >
        {options.map((option) => (
          <option key={option} value={option}>
            {say(option)}
          </option>
        ))}
      </select>
    </span>
  );
}
