import { useEffect, useState } from "preact/hooks";
import { askVerify, backupWords, copyLinks, importCopy } from "./copiesState.ts";

/** Export of all data, its import, and a check of all that is saved. */
export function Copies() {
  const [found, setFound] = useState("");
  const [backup, setBackup] = useState("");
  useEffect(() => {
    // The page says elsewhere where the server does not answer.
    void backupWords().then(setBackup, () => {});
  }, []);
  return (
    <section aria-labelledby="copies">
      <h2 id="copies">Export and import all data</h2>
      <ul>
        {copyLinks.map(({ href, name }) => (
          <li key={href}>
            <a href={href} download>
              {name}
            </a>
          </li>
        ))}
      </ul>
      {backup !== "" && <p class="quiet">{backup}</p>}
      <p>
        <label for="copy-file">Import a backup, a JSON file, or the CSV files of a folder</label>{" "}
        <input
          id="copy-file"
          type="file"
          multiple
          accept=".json,.jsonl,.csv"
          onChange={(event) => {
            const files = [...(event.currentTarget.files ?? [])];
            // Emptied at once, so that the same file can be chosen again.
            event.currentTarget.value = "";
            void importCopy(files);
          }}
        />
      </p>
      <p class="quiet">The import replaces all saved data as one change, which can be undone.</p>
      <p>
        <button
          type="button"
          onClick={async () => {
            setFound("Checking all data …");
            setFound(await verifyWords());
          }}
        >
          Check all data
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
      ? `No faults: ${events} changes and the ${entries} entries that follow from them.`
      : faults.join(" ");
  } catch (fault) {
    return fault instanceof Error ? fault.message : String(fault);
  }
}
