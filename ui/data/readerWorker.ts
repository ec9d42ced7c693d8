import { mergedMetadata, type PartialMetadata } from "#distributions/measurementMetadata.ts";
import { jsonCopy } from "#distributions/tables/copies/jsonCopy.ts";
import { type CopyOptions, writeTables } from "#distributions/tables/copies/writeTable.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { MeasurementOutcome } from "#distributions/tables/values/outcomes.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";

/** What a worker is asked: to read a table, or to read it and write all of it as a copy. */
export interface WorkerQuestion {
  readonly bytes: Uint8Array;
  readonly file: string | null;
  readonly options: ReadingOptions;
  readonly write: {
    readonly as: "csv" | "json";
    readonly copy: CopyOptions;
    readonly entered: PartialMetadata;
  } | null;
}

export type WorkerAnswer =
  | { readonly kind: "progress"; readonly share: number }
  /** The first measurements alone come back: handing over thousands would hold the page up. */
  | { readonly kind: "read"; readonly reading: Reading; readonly total: number; readonly text: string }
  | { readonly kind: "written"; readonly text: string }
  /** A fault of our own: nothing more will come. */
  | { readonly kind: "fault"; readonly message: string };

/** So many are looked at on the page, as the runs of one lot would be; fits of more would hold it up. */
const maxShown = 6;
const maxNotes = 100;
const betweenReportsMs = 50;

addEventListener("message", (event: MessageEvent<WorkerQuestion>) => {
  work(event.data).catch((fault: unknown) =>
    answer({ kind: "fault", message: fault instanceof Error ? fault.message : String(fault) }),
  );
});

async function work({ bytes, file, options, write }: WorkerQuestion): Promise<void> {
  const workbook = isWorkbook(bytes) ? await workbookText(bytes) : null;
  if (workbook !== null && typeof workbook !== "string") {
    const reading = {
      file,
      measurements: [],
      problems: [{ ...workbook, file }],
      how: [],
      outcomes: [],
      tables: [],
      notes: [],
    };
    answer({ kind: "read", reading, total: 0, text: "" });
    return;
  }
  const reading = readTable(workbook ?? bytes, file, options, reporter());
  if (write === null) {
    const measurements = reading.measurements.slice(0, maxShown);
    const notes = reading.notes.slice(0, maxNotes);
    const text = workbook ?? decode(bytes, options.encoding).text;
    answer({
      kind: "read",
      reading: { ...reading, measurements, notes, outcomes: withoutRead(reading.outcomes) },
      total: reading.measurements.length,
      text,
    });
    return;
  }
  const stated = reading.measurements.map((one) => mergedMetadata(one, write.entered));
  answer({ kind: "written", text: write.as === "csv" ? writeTables(stated, write.copy) : jsonCopy(stated) });
}

/** Those that want something keep what was said of them; of the others their state is enough. */
function withoutRead(outcomes: readonly MeasurementOutcome[]): MeasurementOutcome[] {
  let entered = 0;
  return outcomes.map((o) =>
    o.state.startsWith("read") || ++entered > maxNotes ? { ...o, problems: [] } : o,
  );
}

function reporter(): (share: number) => void {
  let last = 0;
  return (share) => {
    const now = performance.now();
    if (now - last < betweenReportsMs) return;
    last = now;
    answer({ kind: "progress", share });
  };
}

function answer(words: WorkerAnswer): void {
  postMessage(words);
}
