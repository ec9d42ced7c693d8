import { useEffect, useState } from "preact/hooks";
import type { ChangeEvent, ChangeOfEntry } from "#api/records/records.ts";
import { fetchChangeHistory, fetchChanges, history } from "#ui/data/changeHistory.ts";
import { person, setPerson } from "#ui/data/client.ts";
import { allFields, differences } from "#ui/parts/differences.ts";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { Copies } from "./copies.tsx";

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
      <h1>{undo === null ? "Nothing is there to undo: all stands as it began." : `Last: ${undo.what}.`}</h1>
      <p class="lead">
        Every change stands here with who made it and why. Undo takes the last one back, deleting and bringing
        in included; what is undone stays in the trail.
      </p>
      <TextField label="Your name, for the trail" value={person.value} onChange={setPerson} />
      {trouble !== null && <p role="alert">{trouble}</p>}
      {events !== null && <EventTable events={events} />}
      {last !== undefined && last.seq > 1 && (
        <button type="button" onClick={() => void load(last.seq)}>
          Earlier
        </button>
      )}
      {(events !== null || trouble !== null) && <Copies />}
    </>
  );
}

function EventTable({ events }: { readonly events: readonly ChangeEvent[] }) {
  return (
    <Wide name="Trail">
      <table>
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">What</th>
            <th scope="col">Who</th>
            <th scope="col">Why</th>
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

const standings = { done: "", undone: " (undone)", passed: " (undone, then passed over)" } as const;
const ways = { start: "", change: "", undo: "undid: ", redo: "redid: " } as const;

function EventRow({ event }: { event: ChangeEvent }) {
  const [changes, setChanges] = useState<readonly ChangeOfEntry[] | null>(null);
  return (
    <>
      <tr>
        <td>
          <time dateTime={event.at}>{new Date(event.at).toLocaleString()}</time>
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
  if (before === null) return `made with ${all(after)}`;
  if (after === null) return `deleted; it was ${all(before)}`;
  return differences(before, after)
    .map(({ field, a, b }) => `${field} from ${a} to ${b}`)
    .join("; ");
}
