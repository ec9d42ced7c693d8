import { useState } from "preact/hooks";
import type { NamedMeasurement } from "#distributions/measured.ts";
import { jsonCopy } from "#distributions/tables/jsonCopy.ts";
import { writeTables } from "#distributions/tables/writeTable.ts";
import { saveFile } from "../parts/saveFile.ts";

/** What was read, in Fineband's own tables: onto the clipboard, or as a file. */
export function SaveRead({
  measurements,
  stem,
}: {
  measurements: readonly NamedMeasurement[];
  stem: string;
}) {
  const [escapesFormulas, setEscapes] = useState(false);
  const [said, setSaid] = useState("");
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(writeTables(measurements, { delimiter: "\t", escapesFormulas }));
      setSaid("Copied.");
    } catch {
      setSaid("The browser did not allow copying; save it as CSV.");
    }
  };
  return (
    <p>
      Save it in plain tables:{" "}
      <button type="button" onClick={() => void copy()}>
        Copy as a table
      </button>{" "}
      <button
        type="button"
        onClick={() => saveFile(`${stem}.csv`, "text/csv", writeTables(measurements, { escapesFormulas }))}
      >
        Save CSV
      </button>{" "}
      <button
        type="button"
        onClick={() => saveFile(`${stem}.json`, "application/json", jsonCopy(measurements))}
      >
        Save JSON
      </button>{" "}
      <label>
        <input
          type="checkbox"
          checked={escapesFormulas}
          onChange={(event) => setEscapes(event.currentTarget.checked)}
        />{" "}
        escape names that a spreadsheet would run as formulas
      </label>{" "}
      <span role="status">{said}</span>
    </p>
  );
}
