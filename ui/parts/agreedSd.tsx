import type { RowCheck } from "#model/band/band.ts";
import { isByClass, limitWords, rowKey } from "#model/band/limits.ts";
import { agreedSd, band } from "#ui/data/selection.ts";
import { NumberField } from "./numberField.tsx";

/** Where runs are too few, an agreed repeatability lets a limit be judged. */
export function AgreedSds({ rows }: { rows: readonly RowCheck[] }) {
  return (
    <details class="agreed">
      <summary>Use an agreed repeatability</summary>
      <p class="quiet">
        The run-to-run standard deviation agreed for a limit. It is used on this page only; save it with the
        band on the page Bands.
      </p>
      {rows.map((row) => row.value !== null && !isByClass(row) && <Agreed key={rowKey(row)} row={row} />)}
    </details>
  );
}

function Agreed({ row }: { row: RowCheck }) {
  const { name, unit, factor } = limitWords(row);
  const key = rowKey(row);
  const sd = band.value?.rows.find((r) => rowKey(r) === key)?.repeatabilitySd;
  return (
    <NumberField
      label={name}
      fullName={`${name}, agreed repeatability`}
      unit={unit}
      value={sd === undefined ? null : sd * factor}
      mayBeEmpty
      onChange={(v) => {
        if (v === null || v > 0)
          agreedSd.value = { ...agreedSd.value, [key]: v === null ? null : v / factor };
      }}
    />
  );
}
