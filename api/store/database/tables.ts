import type { Generated } from "kysely";
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
  /** A checksum of each event, its changes and the link before it: what is missing or added anywhere is noticed. */
  links: { seq: number; link: string };
  entries: {
    kind: string;
    id: number;
    /** The entry it belongs to: a measurement's lot, a trial's mill. */
    parent: number | null;
    /** A part of the parent: a measurement's stage, empty for a run set aside; of a table its SHA-256. */
    part: string;
    /** What a search looks through, in lower case. */
    words: string;
    /** JSON, as it was computed. */
    body: string;
    checksum: string;
    /** The event that last touched it. */
    version: number;
    /** The day a lot was made, else when it was saved; of a measurement the mark of its curve; else empty. */
    day: string;
  };
  /** A lot as the list finds it: a row each, narrow, written with the lot. What was computed of it comes later. */
  lot_list: {
    lot: number;
    /** The folded name of its material. */
    part: string;
    day: string;
    /** Its name as it is sorted. */
    name: string;
    words: string;
    state: string;
    /** The band that was given to it. */
    own_band: number | null;
    /** The band it was last held against; null for none. */
    band: number | null;
    /** The stage that the list shows; empty while it has no runs or was not summarised. */
    shown: string;
    /** The last event that changed what its own summary rests on. */
    touched: number;
    /** The event up to which its summary knows everything; 0 while there is none. */
    computed: number;
    /** The version of the model that made it. */
    model: string;
    /** What was computed of the stage shown, again, so that sorting and filtering look at one narrow table. */
    verdict: string | null;
    chance: number | null;
    d10_um: number | null;
    d50_um: number | null;
    d90_um: number | null;
    area: number | null;
    bet: number | null;
    /** Of all that follows from computing; empty while nothing was computed. */
    checksum: Generated<string>;
  };
  /** A stage of a lot with runs that count, and what was last computed of it: nulls while nothing was. */
  lot_stages: {
    lot: number;
    stage: string;
    part: string;
    day: string;
    runs: number;
    verdict: string | null;
    chance: number | null;
    d10_um: number | null;
    d50_um: number | null;
    d90_um: number | null;
    area: number | null;
    bet: number | null;
    /** The summary as it is answered, with what it rests on, as JSON. */
    summary: string | null;
    /** Of what was computed; empty while nothing was. */
    checksum: string;
  };
  /** Bytes of photographs as received, in base64, once each: events hold their SHA-256. None is taken away, so that undo finds it. */
  bytes_kept: { sha256: string; base64: string };
  /** The last event that changed what answers about a material rest on. */
  ground_marks: { part: string; touched: number };
  /** The highest number given out, for "event" and for each kind of entry: none is given out twice. */
  counters: { name: string; value: number };
  /** The steps of migrations.ts this database has seen. */
  schema_steps: { step: number };
}
