import { sha256 } from "#api/records/checksum.ts";
import { type EntryKind, isKind } from "#api/records/kinds.ts";
import { linkOf } from "#api/store/database/chain.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { changeRow } from "./eventWriter.ts";
import { eventChecksum } from "./trail.ts";

type EventRow = Tables["events"];
type ChangeRow = Tables["changes"];

/** An entry as the record says it stands. */
export interface Standing {
  readonly kind: EntryKind;
  readonly id: number;
  /** Its body as text, or the SHA-256 of it where only checksums are held. */
  readonly body: string;
  readonly version: number;
}

/** Goes through the record from its first event and says what stands, and what in it does not fit. */
export class Replay {
  readonly entries = new Map<string, Standing>();
  readonly standings = new Map<number, EventRow["standing"]>();
  readonly faults: string[] = [];
  events = 0;
  /** The link of each event, by its number. */
  readonly links = new Map<number, string>();
  /** The highest number of each kind. */
  readonly highest = new Map<string, number>();
  #link = "";
  readonly #undone = new Set<number>();
  readonly #held: (body: string) => string;

  /** @param holds  of a large record the bodies take its size in memory; whether all fits is told by checksums alone */
  constructor(holds: "bodies" | "checksums") {
    this.#held = holds === "bodies" ? (body) => body : sha256;
  }

  /** Whether an entry stands with this body; null asks whether it does not stand. */
  standsAs(key: string, body: string | null): boolean {
    const held = this.entries.get(key)?.body ?? null;
    return held === (body === null ? null : this.#held(body));
  }

  take(event: EventRow, changes: readonly ChangeRow[]): void {
    this.events++;
    const name = `Event ${event.seq}`;
    if (event.seq !== this.events) this.faults.push(`${name} stands where event ${this.events} should.`);
    if (eventChecksum(event) !== event.checksum) this.faults.push(`${name} does not match its checksum.`);
    this.#follow(event);
    for (const [position, row] of changes.entries()) this.#apply(event.seq, position, row);
    this.#link = linkOf(
      this.#link,
      event,
      changes.map(({ checksum }) => checksum),
    );
    this.links.set(event.seq, this.#link);
  }

  /** Events whose standing differs from what the later ones made of it. */
  compareStandings(events: readonly Pick<EventRow, "seq" | "standing">[]): void {
    for (const { seq, standing } of events)
      if (this.standings.get(seq) !== standing)
        this.faults.push(
          `Event ${seq} is marked ${standing}, but by the later ones it is ${this.standings.get(seq)}.`,
        );
  }

  #follow({ seq, kind, of_seq }: EventRow): void {
    this.standings.set(seq, "done");
    if (kind === "change") {
      for (const earlier of this.#undone) this.standings.set(earlier, "passed");
      this.#undone.clear();
    }
    if (of_seq === null) return;
    if (kind === "undo") this.#undone.add(of_seq);
    if (kind === "redo") this.#undone.delete(of_seq);
    this.standings.set(of_seq, kind === "undo" ? "undone" : "done");
  }

  #apply(seq: number, position: number, row: ChangeRow): void {
    const { id, before, after } = row;
    const name = `Change ${position} of event ${seq}`;
    if (!isKind(row.kind)) {
      this.faults.push(`${name} names a kind of entry that does not exist.`);
      return;
    }
    const kind = row.kind;
    this.highest.set(kind, Math.max(this.highest.get(kind) ?? 0, id));
    if (
      row.position !== position ||
      changeRow(seq, position, { kind, id, before, after }).checksum !== row.checksum
    )
      this.faults.push(`${name} does not match its checksum.`);
    const key = `${kind} ${id}`;
    if (!this.standsAs(key, before)) this.faults.push(`${name} does not start from what ${key} was.`);
    if (after === null) this.entries.delete(key);
    else this.entries.set(key, { kind, id, body: this.#held(after), version: seq });
  }
}
