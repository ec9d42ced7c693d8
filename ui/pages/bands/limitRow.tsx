import type { BandRow } from "#model/band/band.ts";
import { limitsFault, limitWords } from "#model/band/limits.ts";
import { unbroken } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";

/** One limit: from, to, the agreed repeatability, its source, and what is wrong with it. */
export function LimitRow(props: {
  row: BandRow;
  onChange: (changed: BandRow) => void;
  onRemove: () => void;
}) {
  const { row, onChange, onRemove } = props;
  const { name, unit, factor } = limitWords(row);
  const show = (v: number | null | undefined) => (v == null ? null : Number((v * factor).toPrecision(6)));
  const took = (v: number | null) => (v === null ? null : v / factor);
  const fault = limitsFault(row);
  const { repeatabilitySd: agreed, ...others } = row;
  return (
    <li>
      <strong>{name}</strong>
      <NumberField
        label="from"
        fullName={`${name} from`}
        unit={unit}
        value={show(row.low)}
        mayBeEmpty
        fault={fault}
        onChange={(v) => onChange({ ...row, low: took(v), ...edited(row) })}
      />
      <NumberField
        label="to"
        fullName={`${name} to`}
        unit={unit}
        value={show(row.high)}
        mayBeEmpty
        onChange={(v) => onChange({ ...row, high: took(v), ...edited(row) })}
      />
      <NumberField
        label="agreed repeatability"
        fullName={`${name}, agreed repeatability`}
        unit={unit}
        value={show(agreed)}
        mayBeEmpty
        onChange={(v) => {
          if (v === null) onChange(others);
          else if (v > 0) onChange({ ...row, repeatabilitySd: v / factor });
        }}
      />
      <button type="button" aria-label={`Delete ${name}`} onClick={onRemove}>
        Delete
      </button>
      {row.source !== undefined && <p class="quiet">{unbroken(row.source)}</p>}
    </li>
  );
}

const byHand = "Edited by hand. Originally: ";

/** A limit that someone has changed no longer stands where its source put it, and says so. */
function edited({ source }: BandRow): Pick<BandRow, "source"> {
  if (source === undefined || source.startsWith(byHand)) return {};
  return { source: `${byHand}${source}` };
}
