import { useId } from "preact/hooks";

/** A labelled line of text. */
export function TextField(props: {
  label: string;
  value: string;
  onChange: (value: string) => void;
  /** Words that are offered; others are taken too. */
  offered?: readonly string[];
  wide?: boolean;
}) {
  const id = useId();
  const { label, value, onChange, offered = [], wide = false } = props;
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        value={value}
        size={wide ? 50 : 24}
        {...(offered.length === 0 ? {} : { list: `${id}-offered` })}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
      {offered.length > 0 && (
        <datalist id={`${id}-offered`}>
          {offered.map((word) => (
            <option key={word} value={word} />
          ))}
        </datalist>
      )}
    </span>
  );
}
