import { clash } from "#ui/data/client.ts";
import { damaged } from "#ui/data/entries.ts";
import { ClashPanel } from "./clash.tsx";

/** A change that someone else was quicker with, and entries that are damaged. */
export function Troubles() {
  return (
    <>
      {clash.value !== null && <ClashPanel />}
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
