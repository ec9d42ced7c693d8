import { signal } from "@preact/signals";
import { useState } from "preact/hooks";
import { type ReportLevel, reportLevels } from "#model/answers/report/reportLevels.ts";
import { looking } from "#ui/data/incoming.ts";
import { lot, stage } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { later } from "#ui/parts/later.tsx";
import { TextField } from "#ui/parts/textField.tsx";

const CustomerLogo = later("the logo", async () => (await import("./customerLogo.tsx")).CustomerLogo);

/** What can be printed of a stage: a report, or the label of its jar. */
type Printed = ReportLevel | "label";
const printed: readonly Printed[] = [...reportLevels, "label"];

const words: Readonly<Record<Printed, string>> = {
  grade: "verdict and limits",
  method: "method and uncertainty too",
  full: "the full procedure",
  customer: "what a customer is given",
  label: "a label for the jar alone",
};

/** Who issues a customer's report and for whom, until the page is left. */
const issuer = signal("");
const customer = signal("");

/** The report of the stage shown, opened beside the page and handed to the printer. */
export function PrintReport() {
  const [report, setReport] = useState<Printed>("full");
  if (lot.value === null || stage.value === null || looking.value !== null) return null;
  const isForCustomer = report === "customer";
  const what = report === "label" ? "label" : "report";
  const asked = new URLSearchParams(
    report === "label"
      ? { ids: String(lot.value.id), stage: stage.value.stage }
      : { stage: stage.value.stage, report },
  );
  if (isForCustomer && issuer.value !== "") asked.set("issuer", issuer.value);
  if (isForCustomer && customer.value !== "") asked.set("customer", customer.value);
  const address = `api/${report === "label" ? "labels" : `lots/${lot.value.id}/sheet`}?${asked}`;
  return (
    <>
      <button
        type="button"
        onClick={() => {
          const page = open(address);
          page?.addEventListener("load", () => page.print());
        }}
      >
        Print the {what}
      </button>{" "}
      <Choice
        label="Report with"
        value={report}
        options={printed}
        say={(level) => words[level]}
        onChange={setReport}
      />
      {isForCustomer && (
        <>
          <TextField label="Issued by" value={issuer.value} onChange={(text) => (issuer.value = text)} />
          <TextField label="For" value={customer.value} onChange={(text) => (customer.value = text)} />
          <CustomerLogo />
        </>
      )}
      <a href={address} download={`${lot.value.name}, ${stage.value.stage}, ${what}.html`}>
        Save the {what}
      </a>
    </>
  );
}
