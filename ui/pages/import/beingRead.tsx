import { jobs, stopReading } from "#ui/data/background.ts";
import { incoming } from "#ui/data/incoming.ts";
import { figures } from "#ui/parts/format.ts";
import { readLarge } from "./importState.ts";

/** A large table on its way: how far it is read, and the way to stop. */
export function BeingRead() {
  const table = incoming.value;
  const job = jobs.value.get(table);
  if (job === undefined || job.state === "read") return null;
  const name = `${table.file ?? "the table"} (${figures((table.bytes?.length ?? 0) / 1e6)} MB)`;
  return (
    <p>
      <span role="status">
        {job.state === "reading" ? `Reading ${name} in the background; you can go on working.` : job.why}
      </span>{" "}
      {job.state === "reading" ? (
        <>
          <progress aria-label={`How far ${name} is read`} max={1} value={job.share} />{" "}
          <button type="button" onClick={() => stopReading(table)}>
            Cancel
          </button>
        </>
      ) : (
        <button type="button" onClick={() => readLarge(table)}>
          Read it anyway
        </button>
      )}
    </p>
  );
}
