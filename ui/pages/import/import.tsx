import { useEffect, useRef } from "preact/hooks";
import type { Choice as Answer, Problem } from "#distributions/problem.ts";
import { type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";
import { metadataText } from "#model/answers/report/metadataText.ts";
import { incoming, isImportOpen, isLabTable, stopLooking, tables } from "#ui/data/incoming.ts";
import { pastedText } from "#ui/data/pastedTable.ts";
import { countOf, isLarge, reading } from "#ui/data/readTables.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { later } from "#ui/parts/later.tsx";
import { MetadataFields, shown } from "#ui/parts/metadataFields.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import { BeingRead } from "./beingRead.tsx";
import css from "./drawer.css?inline";
import { ExportRead } from "./exportRead.tsx";
import { FileList } from "./fileList.tsx";
import {
  answer,
  askAgain,
  lookAgain,
  report,
  reported,
  reportedOf,
  reused,
  take,
  takeFiles,
} from "./importState.ts";
import { progress, stopInTurn } from "./inTurn.ts";
import { MeasurementList } from "./measurementList.tsx";
import { Places, SaveByPlaces } from "./places.tsx";
import { isByPlaces } from "./placesState.ts";
import { medianName, Reading } from "./reading.tsx";
import { SaveRead } from "./saveRead.tsx";
import { Watched } from "./watched.tsx";

/** Where nothing else holds the focus once the panel has gone, what opens it takes it. */
function focusOpener(): void {
  if (document.activeElement === document.body) document.getElementById("import-opener")?.focus();
}

const Candidates = later("the readings", async () => (await import("./candidates.tsx")).Candidates);
const LabTable = later("the table", async () => (await import("./labTable.tsx")).LabTable);

/** A table on its way in: paste, drop or choose; see how it was read; answer what it does not say; keep it or only look. */
export function Import() {
  addStyles(css);
  useEffect(() => () => queueMicrotask(focusOpener), []);
  return (
    <aside
      class="drawer"
      aria-labelledby="import"
      onKeyDown={(event) => {
        if (event.key === "Escape") isImportOpen.value = false;
      }}
    >
      <div class="drawer-head">
        <h2 id="import">Import a table</h2>
        <button type="button" class="small" onClick={stopLooking}>
          Close
        </button>
      </div>
      {isLabTable.value ? <LabTable /> : <Curves />}
    </aside>
  );
}

/** The table as text: typed, pasted, or that of a file. */
function TableText() {
  const field = useRef<HTMLTextAreaElement>(null);
  useEffect(() => {
    lookAgain();
    field.current?.focus();
    // A table that was left here goes when another is pasted over it.
    field.current?.select();
  }, []);
  const found = reading.value;
  const isTooLong = isLarge(incoming.value);
  return (
    <>
      <label for="table-text">Table</label>
      <textarea
        id="table-text"
        class={found === null ? "" : "is-read"}
        ref={field}
        spellcheck={false}
        value={incoming.value.text}
        readOnly={isTooLong}
        {...(isTooLong ? { "aria-describedby": "table-too-long" } : {})}
        onInput={(event) => take(event.currentTarget.value, null)}
        onPaste={(event) => {
          const data = event.clipboardData;
          const text = pastedText({
            html: data?.getData("text/html") ?? "",
            plain: data?.getData("text/plain") ?? "",
          });
          const { value, selectionStart, selectionEnd } = event.currentTarget;
          if (selectionEnd - selectionStart < value.length || !text.includes("\n")) return;
          event.preventDefault();
          take(text, null);
        }}
      />
      {isTooLong && (
        <p id="table-too-long" class="quiet">
          {incoming.value.file ?? "The pasted table"} ({figures((incoming.value.bytes?.length ?? 0) / 1e6)}{" "}
          MB) is too long to show in the field. Pasting another table replaces it.
        </p>
      )}
    </>
  );
}

/** Measured curves: how they are read, what is open, and where they go. */
function Curves() {
  const found = reading.value;
  const questions = uniqueQuestions(found?.problems ?? []);
  const others = (found?.problems ?? []).filter((p) => !isAnswerable(p));
  return (
    <>
      <p class={isByPlaces.value ? "lead is-known" : "lead"}>
        Paste sizes and shares with their headings, drop files anywhere on the page, or choose files. Nothing
        leaves this machine.
      </p>
      <TableText />
      <p>
        <label for="table-file">Or files</label>{" "}
        <input
          id="table-file"
          type="file"
          multiple
          accept=".csv,.tsv,.txt,.xlsx,.json"
          onChange={(event) => {
            void takeFiles(event.currentTarget.files ?? []);
          }}
        />
      </p>
      <InTurn />
      <Watched />
      {isByPlaces.value && <Places />}
      <FileList />
      <BeingRead />
      {reused.value !== null && <AsLastTime options={reused.value} />}
      {questions.map((q) => (
        <Question key={q.message} question={q} />
      ))}
      {questions.length > 0 && !isLarge(incoming.value) && <Candidates />}
      {found !== null && <Reading />}
      {found?.measurements.length === 0 && incoming.value.text.includes("\n") && (
        <p>
          Is it a table of the lab’s own: settings, results, masses, a history of lots?{" "}
          <button type="button" onClick={() => (isLabTable.value = true)}>
            Read it as a lab table
          </button>
        </p>
      )}
      <ProblemList problems={others} />
      <MeasurementList />
      {reportedOf.value.length > 0 && <HowItWasMeasured />}
      {found !== null && found.measurements.length > 0 && (
        <ExportRead
          measurements={reportedOf.value}
          table={incoming.value}
          stem={(incoming.value.file ?? "measurements").replace(/\.[^.]+$/, "")}
        />
      )}
      {tables.value.some((table) => countOf(table) > 0) && (
        <div class="drawer-foot">{isByPlaces.value ? <SaveByPlaces /> : <SaveRead />}</div>
      )}
    </>
  );
}

/** How far the reading or saving of many files is, and the way to stop it. */
function InTurn() {
  if (progress.value === null) return null;
  const { doing, done, of } = progress.value;
  return (
    <p>
      <span role="status">
        {doing} {done + 1} of {of} files …
      </span>{" "}
      <progress aria-label={`${doing} of ${of} files`} max={of} value={done} />{" "}
      <button type="button" onClick={stopInTurn}>
        Cancel
      </button>
    </p>
  );
}

/** A question, or a refusal that offers the nearest readings. */
function isAnswerable({ severity, choices = [] }: Problem): boolean {
  return severity === "question" || (severity === "refused" && choices.length > 0);
}

/** The same question about ten columns is asked once. */
function uniqueQuestions(problems: readonly Problem[]): Problem[] {
  const asked = new Map<string, Problem>();
  for (const p of problems) if (isAnswerable(p) && !asked.has(p.message)) asked.set(p.message, p);
  return [...asked.values()];
}

/** The answers that are taken over from the last table that looked like this one. */
function AsLastTime({ options }: { options: ReadingOptions }) {
  const words = Object.entries(options).map(([name, value]) => `${name} ${value}`);
  return (
    <p>
      Read as a table with the same headings was before: {words.join(", ")}.{" "}
      <button type="button" onClick={askAgain}>
        Ask again instead
      </button>
    </p>
  );
}

function Question({ question }: { question: Problem }) {
  const give = (choice: Answer) => {
    const options = withAnswer({}, choice.option, choice.value);
    if (options !== null) answer(options);
  };
  return (
    <fieldset>
      <legend>
        <strong>{question.message}</strong>
        {question.severity === "refused" && " It would be read with one of these:"}
      </legend>
      <div class="answers">
        {(question.choices ?? []).map((choice) => (
          <button type="button" key={choice.option + choice.value} onClick={() => give(choice)}>
            {question.severity === "refused" && `${choice.option} `}
            {choice.value}
            {choice.d50Um !== null && (
              <span class="unit">
                {" "}
                {medianName(choice.option)} {figures(choice.d50Um)} µm
              </span>
            )}
          </button>
        ))}
      </div>
    </fieldset>
  );
}

/** Technique, optical model and the rest, as the table states them and as they are told here, before it is kept. */
function HowItWasMeasured() {
  const [first] = reading.value?.measurements ?? [];
  return (
    <details>
      <summary>How it was measured: {unbroken(metadataText(reportedOf.value))}</summary>
      <MetadataFields how={shown(reported.value, first?.howMeasured ?? {})} onChange={report} />
      {tables.value.length > 1 && (
        <p class="quiet">Changes here apply to all files; everything else is as each file states it.</p>
      )}
    </details>
  );
}
