import { useState } from "preact/hooks";
import { type ReportLevel, reportLevels } from "#model/answers/report/reportLevels.ts";
import { looking } from "#ui/data/incoming.ts";
import { lot, stage } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";

const words: Readonly<Record<ReportLevel, string>> = {
  grade: "verdict and limits",
  method: "method and uncertainty too",
  full: "the full procedure",
};

/** The report of the stage shown, opened beside the page and handed to the printer. */
export function PrintReport() {
  const [report, setReport] = useState<ReportLevel>("full");
  if (lot.value === null || stage.value === null || looking.value !== null) return null;
  const asked = new URLSearchParams({ stage: stage.value.stage, report });
  const address = `api/lots/${lot.value.id}/sheet?${asked}`;
  return (
    <>
      <button
        type="button"
        onClick={() => {
          const page = open(address);
          page?.addEventListener("load", () => page.print());
        }}
      >
        Print the report
      </button>{" "}
      <Choice
        label="Report with"
        value={report}
        options={reportLevels}
        say={(level) => words[level]}
        onChange={setReport}
      />
      <a href={address} download={`${lot.value.name}, ${stage.value.stage}.html`}>
        Save the report
      </a>
    </>
  );
}
