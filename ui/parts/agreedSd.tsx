import type { RowCheck } from "#model/band/band.ts";
import { limitWords, rowKey } from "#model/band/limits.ts";
import { agreedSd, band } from "../state/subject.ts";
import { NumberField } from "./numberField.tsx";

/** Where runs are too few, an agreed repeatability lets a limit be judged. */
export function Agreed({ row }: { row: RowCheck }) {
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
