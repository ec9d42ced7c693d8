import { useState } from "preact/hooks";
import { chanceText } from "#model/words/wording.ts";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { later } from "#ui/parts/later.tsx";
import { best, mapTable, next, settable, whyNoMap } from "./inBandMapState.ts";

const InBandMapTable = later("the table", async () => (await import("./inBandMapTable.tsx")).InBandMapTable);

/** What the map shows, in words and as a table. */
export function InBandMapWords() {
  return whyNoMap.value === null ? (
    <>
      <p class="lead">{unbroken(mapWords())}</p>
      <Table />
    </>
  ) : null;
}

/** Where the chance of being in band is highest, said as the button sets it; empty where it is not sought. */
export function likeliestWords(): string {
  const found = best.value;
  if (found === null) return "";
  const to = settable(found);
  return `Highest chance of being in band: ${chanceText(found.probability)} at ${rpm(to.speedRpm)} and ${figures(to.flowM3PerH)} m³/h.`;
}

/** The setting of the highest chance, and the trial that would tell most. */
export function mapWords(): string {
  const n = next.value;
  const teaching =
    n === null
      ? ""
      : n.isWorth
        ? `Most informative next trial: ${rpm(n.speedRpm)} and ${figures(n.flowM3PerH)} m³/h; it would reduce the uncertainty of the fitted D50 there to ${Math.round(100 * n.narrowing)} % of today's (run-to-run scatter excluded).`
        : "No single next trial stands out: trials spread evenly over the permitted speeds are about as informative.";
  return `${likeliestWords()} ${teaching}`.trim();
}

function Table() {
  const [isOpen, setOpen] = useState(false);
  return mapTable.value === null ? null : (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Map as a table</summary>
      {isOpen && <InBandMapTable />}
    </details>
  );
}
