import type { ChangeEvent } from "#api/records/records.ts";

/**
 * The columns of the database. `events` and `changes` are the record: nothing in them is changed or deleted but
 * `standing`. `entries` is what follows from it, kept beside it so that reading is quick.
 */
export interface Tables {
  /** What happened, in order. */
  events: {
    seq: number;
    at: string;
    kind: ChangeEvent["kind"];
    what: string;
    person: string;
    why: string;
    /** For undo and redo: the change meant. */
    of_seq: number | null;
    standing: ChangeEvent["standing"];
    /** The key of the request and the hash of its body, so that a repeat makes no duplicate. */
    request_key: string | null;
    request_hash: string | null;
    checksum: string;
  };
  /** Each entry an event touched, before and after as JSON: swapped, they are its inverse. */
  changes: {
    seq: number;
    position: number;
    kind: string;
    id: number;
    before: string | null;
    after: string | null;
    checksum: string;
  };
  entries: {
    kind: string;
    id: number;
    /** The entry it belongs to: a measurement's lot, a trial's mill. */
    parent: number | null;
    /** A part of the parent: a measurement's stage; empty for a run set aside. */
    part: string;
    /** What a search looks through, in lower case. */
    words: string;
    /** JSON, as it was computed. */
    body: string;
    checksum: string;
    /** The event that last touched it. */
    version: number;
    /** The day a lot was made, else when it was saved; empty for other kinds. */
    day: string;
  };
  /** The highest number given out, for "event" and for each kind of entry: none is given out twice. */
  counters: { name: string; value: number };
  /** The steps of migrations.ts this database has seen. */
  schema_steps: { step: number };
}
