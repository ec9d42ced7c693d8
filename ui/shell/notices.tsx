import { clash, trouble } from "#ui/data/client.ts";
import { damaged, loadAll } from "#ui/data/entries.ts";
import { later } from "#ui/parts/later.tsx";
import { SaidLine } from "./saidLine.tsx";

const Troubles = later("what went wrong", async () => (await import("./troubles.tsx")).Troubles);

/** What was just done, and what went wrong; that there is no answer is said without asking for more. */
export function Notices() {
  return (
    <>
      <SaidLine />
      {(clash.value !== null || damaged.value.length > 0) && <Troubles />}
      {trouble.value !== null && (
        <p role="alert" class="problem">
          {trouble.value} The page shows the last data received.{" "}
          <button type="button" onClick={() => void loadAll()}>
            Try again
          </button>
        </p>
      )}
    </>
  );
}
