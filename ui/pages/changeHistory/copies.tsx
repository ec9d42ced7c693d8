import { useState } from "preact/hooks";
import { askVerify, bringCopyBack, copyLinks } from "./copiesState.ts";

/** Copies to keep elsewhere, the way back, and a check of all that is kept. */
export function Copies() {
  const [found, setFound] = useState("");
  return (
    <section aria-labelledby="copies">
      <h2 id="copies">Save a copy, bring one back</h2>
      <ul>
        {copyLinks.map(({ href, name }) => (
          <li key={href}>
            <a href={href} download>
              {name}
            </a>
          </li>
        ))}
      </ul>
      <p>
        <label for="copy-file">Bring back a backup, a JSON copy, or the CSV files of a folder</label>{" "}
        <input
          id="copy-file"
          type="file"
          multiple
          accept=".json,.jsonl,.csv"
          onChange={(event) => {
            const files = [...(event.currentTarget.files ?? [])];
            // Emptied at once, so that the same file can be chosen again.
            event.currentTarget.value = "";
            void bringCopyBack(files);
          }}
        />
      </p>
      <p class="quiet">What is kept becomes what the copy holds, as one change that undo takes back.</p>
      <p>
        <button
          type="button"
          onClick={async () => {
            setFound("Going through everything …");
            setFound(await verifyWords());
          }}
        >
          Go through everything
        </button>{" "}
        <span role="status">{found}</span>
      </p>
    </section>
  );
}

async function verifyWords(): Promise<string> {
  try {
    const { events, entries, faults } = await askVerify();
    return faults.length === 0
      ? `Sound: ${events} events and the ${entries} entries that follow from them.`
      : faults.join(" ");
  } catch (fault) {
    return fault instanceof Error ? fault.message : String(fault);
  }
}
