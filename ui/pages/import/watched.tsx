import { useEffect, useState } from "preact/hooks";
import type { Contract } from "#api/contract/contract.ts";
import { ask, attempt } from "#ui/data/client.ts";
import { takeFiles } from "./importState.ts";

type Watch = Contract["GET /api/watch"]["answer"];
const lookEveryMs = 5000;
const maxShown = 50;

/** What waits in the folder that the server watches, each file with its question; nothing where none is watched. */
export function Watched() {
  const [watch, setWatch] = useState<Watch | null>(null);
  useEffect(() => {
    // A server that does not answer is said elsewhere; this list only stays as it was.
    const look = () => ask("GET /api/watch", {}).then(setWatch, () => {});
    void look();
    const timer = setInterval(look, lookEveryMs);
    return () => clearInterval(timer);
  }, []);
  if (watch === null || watch.folder === null) return null;
  const { folder, fault, saved, beingWritten, waiting } = watch;
  return (
    <section aria-labelledby="watched">
      <h3 id="watched">Watched folder</h3>
      <p role="status">
        {folder}: {saved} {saved === 1 ? "file" : "files"} saved, {waiting.length} waiting
        {beingWritten === 0 ? "" : `, ${beingWritten} being written`}.
        {fault === null ? "" : ` It cannot be looked at: ${fault}.`}
      </p>
      {waiting.length > 0 && (
        <>
          <ul class="files" aria-label="Files that wait">
            {waiting.slice(0, maxShown).map(({ file, question }) => (
              <li key={file}>
                {file}: {question}
              </li>
            ))}
            {waiting.length > maxShown && <li>{waiting.length - maxShown} more.</li>}
          </ul>
          <p>
            <button type="button" onClick={() => void takeWaiting(waiting.map(({ file }) => file))}>
              Answer for {waiting.length === 1 ? "it" : "them"} here
            </button>
          </p>
        </>
      )}
    </section>
  );
}

/** Brings the files that wait into the table of what goes where; once saved, the folder's list lets go of them. */
async function takeWaiting(files: readonly string[]): Promise<void> {
  await attempt(async () => {
    const taken = await Promise.all(files.map((file) => ask("GET /api/watch/file", { query: { file } })));
    await takeFiles(
      taken.map(
        ({ file, base64 }) => new File([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], file),
      ),
    );
  });
}
