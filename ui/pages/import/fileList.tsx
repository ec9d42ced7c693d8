import { jobs } from "#ui/data/background.ts";
import { chosen, type Incoming, tables } from "#ui/data/incoming.ts";
import { countOf, readingOf } from "#ui/data/readTables.ts";
import { choose } from "./importState.ts";

/** The files that were brought together, each with what became of it; one opens at a press. */
export function FileList() {
  if (tables.value.length < 2) return null;
  return (
    <ul class="files" aria-label="Files">
      {tables.value.map((table, i) => (
        <li key={`${i}${table.file}`}>
          <button type="button" aria-pressed={i === chosen.value} onClick={() => choose(i)}>
            {table.file}
          </button>{" "}
          {stateOf(table)}
        </li>
      ))}
    </ul>
  );
}

function stateOf(table: Incoming): string {
  const job = jobs.value.get(table);
  if (job?.state === "reading") return `being read, ${Math.round(100 * job.share)} %`;
  if (job?.state === "stopped") return "not read";
  const found = readingOf(table);
  if (found === null) return "empty";
  const count = (severity: string) => found.problems.filter((p) => p.severity === severity).length;
  const [notes, questions, refused] = [count("note"), count("question"), count("refused")];
  const parts = [
    countOf(table) > 0 ? `${countOf(table)} read${notes > 0 ? " with notes" : ""}` : "",
    questions > 0 ? "needs an answer" : "",
    refused > 0 ? `${found.measurements.length > 0 ? "some " : ""}refused` : "",
  ];
  return parts.filter((part) => part !== "").join(", ");
}
