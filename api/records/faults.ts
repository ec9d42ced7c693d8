import type { EntryKind } from "./kinds.ts";
import type { Damaged } from "./records.ts";

/** Someone else changed the entry since it was read. */
export class Conflict extends Error {
  readonly kind: EntryKind;
  readonly id: number;
  /** The entry as it stands; null when it was deleted. */
  readonly theirs: { readonly version: number; readonly body: unknown } | null;

  constructor(kind: EntryKind, id: number, theirs: Conflict["theirs"]) {
    super(
      theirs === null
        ? `The ${kind} was deleted by someone else while you changed it. Undo restores it.`
        : `The ${kind} was changed by someone else while you changed it. Compare both, then keep one.`,
    );
    this.kind = kind;
    this.id = id;
    this.theirs = theirs;
  }
}

/** There is no such entry, or no longer. */
export class NoSuchEntry extends Error {
  constructor(kind: EntryKind, id: number) {
    super(`There is no ${kind} ${id}.`);
  }
}

/** An entry that was asked for by itself does not match its checksum. */
export class DamagedEntry extends Error {
  constructor(damaged: Damaged) {
    super(damaged.message);
  }
}

/** The same key came with another request. */
export class KeyTaken extends Error {
  constructor(key: string) {
    super(`The key ${key} was used for another request. Give each request a key of its own.`);
  }
}

/** What was asked for was done when the request first came, and what it made was deleted since. */
export class MadeAndDeleted extends Error {
  constructor(kind: EntryKind, id: number) {
    super(
      `This request was saved as ${kind} ${id} when it first came, and that was deleted since. Undo restores it; a request with another key makes a new one.`,
    );
  }
}

/** Undo or redo was asked for a change that is no longer next. */
export class NotUndoable extends Error {}
