import { unbroken } from "#ui/parts/format.ts";
import { planNumbers } from "./planNumbers.ts";

/** What the setting gives, in one row; a number without ground says what would fill it. */
export function NumberRow() {
  return (
    <dl class="plan-numbers" aria-label="The plan in numbers">
      {planNumbers.value.map(({ name, value, below }) => (
        <div key={name}>
          <dt>{name}</dt>
          {value !== null && <dd class="value">{unbroken(value)}</dd>}
          <dd class={value === null ? "missing" : "quiet"}>{unbroken(below)}</dd>
        </div>
      ))}
    </dl>
  );
}
