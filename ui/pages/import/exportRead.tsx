import { useState } from "preact/hooks";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { jsonCopy } from "#distributions/tables/copies/jsonCopy.ts";
import { type CopyOptions, writeTables } from "#distributions/tables/copies/writeTable.ts";
import { writeInBackground } from "#ui/data/background.ts";
import type { Incoming } from "#ui/data/incoming.ts";
import { countOf } from "#ui/data/readTables.ts";
import { saveFile } from "#ui/parts/saveFile.ts";
import { reported } from "./importState.ts";

/** What was read, in Fineband's own tables: onto the clipboard, or as a file. */
export function ExportRead({
  measurements,
  table,
  stem,
}: {
  measurements: readonly NamedMeasurement[];
  /** Where they come from; a large one is written in the background, whole. */
  table: Incoming;
  stem: string;
}) {
  const [escapesFormulas, setEscapes] = useState(false);
  const [said, setSaid] = useState("");
  const written = async (as: "csv" | "json", options: CopyOptions) => {
    if (countOf(table) > measurements.length)
      return writeInBackground(table, { as, copy: options, entered: reported.value });
    return as === "csv" ? writeTables(measurements, options) : jsonCopy(measurements);
  };
  /** Null where it could not be written, which is said. */
  const attempted = async (as: "csv" | "json", options: CopyOptions) => {
    setSaid("");
    try {
      return await written(as, options);
    } catch (fault) {
      setSaid(`It could not be written: ${fault instanceof Error ? fault.message : String(fault)}.`);
      return null;
    }
  };
  const copy = async () => {
    const text = await attempted("csv", { delimiter: "\t", escapesFormulas });
    if (text === null) return;
    try {
      await navigator.clipboard.writeText(text);
      setSaid("Copied.");
    } catch {
      setSaid("The browser did not allow copying; save as CSV instead.");
    }
  };
  const saveAs = async (as: "csv" | "json") => {
    const type = as === "csv" ? "text/csv" : "application/json";
    const text = await attempted(as, { escapesFormulas });
    if (text !== null) saveFile(`${stem}.${as}`, type, text);
  };
  return (
    <p>
      Export:{" "}
      <button type="button" onClick={() => void copy()}>
        Copy as a table
      </button>{" "}
      <button type="button" onClick={() => void saveAs("csv")}>
        Save CSV
      </button>{" "}
      <button type="button" onClick={() => void saveAs("json")}>
        Save JSON
      </button>{" "}
      <label>
        <input
          type="checkbox"
          checked={escapesFormulas}
          onChange={(event) => setEscapes(event.currentTarget.checked)}
        />{" "}
        escape names that a spreadsheet would take for formulas
      </label>{" "}
      <span role="status">{said}</span>
    </p>
  );
}
