import { useEffect, useState } from "preact/hooks";
import type { ChangeEvent, ChangeOfEntry } from "#api/records/records.ts";
import { fetchChangeHistory, fetchChanges, history } from "#ui/data/changeHistory.ts";
import { session } from "#ui/data/session.ts";
import { momentText } from "#ui/parts/days.ts";
import { allFields, differences } from "#ui/parts/differences.ts";
import { later } from "#ui/parts/later.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { Copies } from "./copies.tsx";
import { WhoWorksHere } from "./whoWorksHere.tsx";

const Accounts = later("the accounts", async () => (await import("./accounts.tsx")).Accounts);

/** What changed, when, by whom and why, from the latest back. */
export function ChangeHistory() {
  const [events, setEvents] = useState<readonly ChangeEvent[] | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const load = async (before: number | null) => {
    try {
      const more = await fetchChangeHistory(before);
      setEvents(before === null || events === null ? more : [...events, ...more]);
      setTrouble(null);
    } catch (fault) {
      setTrouble(fault instanceof Error ? fault.message : String(fault));
    }
  };
  const { undo, redo } = history.value;
  useEffect(() => void load(null), [undo, redo]);
  const last = events?.at(-1);
  return (
    <>
      <h1>{undo === null ? "Nothing to undo yet." : `Last change: ${undo.what}.`}</h1>
      <p class="lead">
        Every change with its author and reason. Undo reverses the last one, including deletions and imports;
        undone changes stay in the history.
      </p>
      <WhoWorksHere />
      {session.value?.account != null && <Accounts />}
      {trouble !== null && <p role="alert">{trouble}</p>}
      {events !== null && <EventTable events={events} />}
      {last !== undefined && last.seq > 1 && (
        <button type="button" onClick={() => void load(last.seq)}>
          Earlier changes
        </button>
      )}
      {(events !== null || trouble !== null) && <Copies />}
    </>
  );
}

function EventTable({ events }: { readonly events: readonly ChangeEvent[] }) {
  return (
    <Wide name="Change history">
      <table>
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">Change</th>
            <th scope="col">Who</th>
            <th scope="col">Reason</th>
          </tr>
        </thead>
        <tbody>
          {events.map((event) => (
            <EventRow key={event.seq} event={event} />
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

const standings = { done: "", undone: " (undone)", passed: " (undone and replaced)" } as const;
const ways = { start: "", change: "", undo: "undone: ", redo: "redone: " } as const;

function EventRow({ event }: { event: ChangeEvent }) {
  const [changes, setChanges] = useState<readonly ChangeOfEntry[] | null>(null);
  return (
    <>
      <tr>
        <td>
          <time dateTime={event.at}>{momentText(event.at)}</time>
        </td>
        <th scope="row">
          {ways[event.kind]}
          {event.what}
          {standings[event.standing]}{" "}
          <button
            type="button"
            class="small"
            aria-expanded={changes !== null}
            aria-label={`${changes === null ? "Show" : "Hide"} what changed: ${event.what}`}
            onClick={async () => setChanges(changes === null ? await fetchChanges(event.seq) : null)}
          >
            {changes === null ? "Show" : "Hide"}
          </button>
        </th>
        <td>{event.by === "" ? "not named" : event.by}</td>
        <td>{event.why}</td>
      </tr>
      {changes?.map((change) => (
        <tr key={`${change.kind} ${change.id}`} class="quiet">
          <td>
            {change.kind} {change.id}
          </td>
          <td colSpan={3}>{wordsOf(change)}</td>
        </tr>
      ))}
    </>
  );
}

function wordsOf({ before, after }: ChangeOfEntry): string {
  const all = (entry: unknown) =>
    allFields(entry)
      .map(({ field, text }) => `${field} ${text}`)
      .join("; ");
  if (before === null) return `created with ${all(after)}`;
  if (after === null) return `deleted; it was ${all(before)}`;
  return differences(before, after)
    .map(({ field, a, b }) => `${field} from ${a} to ${b}`)
    .join("; ");
}
