import { clash, trouble } from "#ui/data/client.ts";
import { damaged, loadAll } from "#ui/data/entries.ts";
import { later } from "#ui/parts/later.tsx";
import { SaidLine } from "./saidLine.tsx";

const ClashPanel = later("both versions", async () => (await import("./clash.tsx")).ClashPanel);

/** What was just done, and what went wrong: a change that someone else was quicker with, no answer, a damaged entry. */
export function Notices() {
  return (
    <>
      <SaidLine />
      {clash.value !== null && <ClashPanel />}
      {trouble.value !== null && (
        <p role="alert" class="problem">
          {trouble.value} The page shows the last data received.{" "}
          <button type="button" onClick={() => void loadAll()}>
            Try again
          </button>
        </p>
      )}
      {damaged.value.length > 0 && (
        <ul role="alert" class="problem">
          {damaged.value.map((d) => (
            <li key={`${d.kind} ${d.id}`}>{d.message}</li>
          ))}
        </ul>
      )}
    </>
  );
}
