import { useState } from "preact/hooks";
import type { BandRow } from "#model/band/band.ts";
import { limitWords, percentileOf, rowKey } from "#model/band/limits.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";

const kinds = [
  "percentile",
  "share below a size",
  "span",
  "Sauter mean D[3,2]",
  "De Brouckere mean D[4,3]",
  "geometric area",
  "largest class",
] as const;

type LimitKind = (typeof kinds)[number];

/** One more limit for a band: what it limits is chosen here, its values beside the others. */
export function AddLimit({ rows, onAdd }: { rows: readonly BandRow[]; onAdd: (row: BandRow) => void }) {
  const [kind, setKind] = useState<LimitKind>("percentile");
  const [percent, setPercent] = useState<number | null>(97);
  const [sizeUm, setSizeUm] = useState<number | null>(1);
  const row = rowOf(kind, percent, sizeUm);
  const isThere = row !== null && rows.some((r) => rowKey(r) === rowKey(row));
  return (
    <p>
      <Choice label="Another limit" value={kind} options={kinds} onChange={setKind} />
      {kind === "percentile" && (
        <NumberField label="undersize" unit="%" value={percent} onChange={setPercent} />
      )}
      {kind === "share below a size" && (
        <NumberField label="size" unit="µm" value={sizeUm} onChange={setSizeUm} />
      )}
      <button
        type="button"
        disabled={row === null || isThere}
        onClick={() => {
          if (row !== null) onAdd(row);
        }}
      >
        Add {row === null ? "the limit" : limitWords(row).name}
      </button>{" "}
      {isThere && <span class="quiet">Already in the list.</span>}
    </p>
  );
}

function rowOf(kind: LimitKind, percent: number | null, sizeUm: number | null): BandRow | null {
  const open = { low: null, high: null };
  switch (kind) {
    case "percentile": {
      const limit = `d${percent}Um`;
      return percentileOf(limit) === null ? null : { limit, ...open };
    }
    case "share below a size":
      return sizeUm === null || sizeUm <= 0 ? null : { limit: "belowShare", sizeUm, ...open };
    case "span":
      return { limit: "span", ...open };
    case "Sauter mean D[3,2]":
      return { limit: "sauterUm", ...open };
    case "De Brouckere mean D[4,3]":
      return { limit: "deBrouckereUm", ...open };
    case "geometric area":
      return { limit: "surfaceM2PerG", ...open };
    case "largest class":
      return { limit: "largestClassUm", ...open };
  }
}
