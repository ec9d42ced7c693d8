import type { Kysely } from "kysely";
import { NotUndoable } from "#api/records/faults.ts";
import { kindNamed } from "#api/records/kinds.ts";
import type { NextUndoRedo } from "#api/records/records.ts";
import { bodyIn } from "#api/records/stored.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { folded } from "#model/lot/processSteps.ts";
import { type EventWriter, plain } from "./eventWriter.ts";
import { append, type ChangeContext, type Written } from "./ledger.ts";
import { changesOf, trailEvent } from "./trail.ts";

type Change = Awaited<ReturnType<typeof changesOf>>[number];

/** Which change is meant. */
export interface UndoRedoAsked {
  readonly way: "undo" | "redo";
  /** Null for whichever is next. */
  readonly seq: number | null;
  /** Whose; empty for whoever did the last. */
  readonly of: string;
}

/**
 * Takes the last change of a person back, or brings the first that was taken back into effect again.
 *
 * @throws NotUndoable  there is none, another is next, or somebody has touched since what it changed
 */
export async function undoOrRedo(
  db: Kysely<Tables>,
  clock: () => Date,
  occasion: ChangeContext,
  { way, seq, of }: UndoRedoAsked,
): Promise<Written> {
  return append(db, clock, { ...occasion, kind: way }, async (writer) => {
    const next = (await historyOf(writer.tx, of))[way];
    if (next === null) {
      const isOthers = of !== "" && (await historyOf(writer.tx, ""))[way] !== null;
      throw new NotUndoable(`There is nothing ${isOthers ? "of yours " : ""}to ${way}.`);
    }
    if (seq !== null && next.seq !== seq)
      throw new NotUndoable(`Something else happened since: next to ${way} is "${next.what}".`);
    const changes = await changesOf(writer.tx, next.seq);
    const inOrder = way === "undo" ? changes.toReversed() : changes;
    for (const change of inOrder) await turnBack(writer, way, change, { ...next, changes });
    await writer.tx
      .updateTable("events")
      .set({ standing: way === "undo" ? "undone" : "done" })
      .where("seq", "=", next.seq)
      .execute();
    return { what: next.what, of: next.seq };
  });
}

type Entry = Pick<Change, "kind" | "id">;

interface TargetEvent {
  readonly seq: number;
  readonly what: string;
  /** All that it changed: once all is turned none of it needs anything that came with the change, or all of it is back. */
  readonly changes: readonly Entry[];
}

async function turnBack(
  writer: EventWriter,
  way: "undo" | "redo",
  change: Change,
  target: TargetEvent,
): Promise<void> {
  const { kind, id } = change;
  const [from, to] = way === "undo" ? [change.after, change.before] : [change.before, change.after];
  const row = await writer.tx
    .selectFrom("entries")
    .select("body")
    .where("kind", "=", kind)
    .where("id", "=", id)
    .executeTakeFirst();
  const now = row?.body ?? null;
  // A material that is there already, or that another lot is of by now, stays.
  if (now === to || (kind === "material" && to === null && (await isStillUsed(writer, change, target))))
    return;
  if (now !== from) throw await inTheWay(writer, way, target, { kind, id });
  const later = to === null ? await namedSince(writer, target, change) : null;
  if (later !== null) throw await inTheWay(writer, way, target, later);
  await writer.put(kind, id, now, to);
}

/** Whether a lot that this event did not touch is of the material. */
async function isStillUsed(
  writer: EventWriter,
  { after }: Change,
  { changes }: TargetEvent,
): Promise<boolean> {
  if (after === null) return false;
  const touched = changes.flatMap(({ kind, id }) => (kind === "lot" ? [id] : []));
  const lots = await writer.tx
    .selectFrom("lot_list")
    .select("lot")
    .where("part", "=", plain(folded(bodyIn("material", after).name)))
    .limit(touched.length + 1)
    .execute();
  return lots.some(({ lot }) => !touched.includes(lot));
}

/** What came later, still stands and names an entry that is to go; null where nothing does. */
async function namedSince(
  writer: EventWriter,
  { seq, changes }: TargetEvent,
  { kind, id }: Change,
): Promise<Entry | null> {
  const naming = [`%"${kind}Id":${id},%`, `%"${kind}Id":${id}}%`];
  const rows = await writer.tx
    .selectFrom("changes")
    .innerJoin("entries", (join) =>
      join.onRef("entries.kind", "=", "changes.kind").onRef("entries.id", "=", "changes.id"),
    )
    .select(["changes.kind", "changes.id"])
    .where("changes.seq", ">", seq)
    .where("changes.kind", "<>", "frozen")
    .where((eb) => eb.or(naming.map((text) => eb("entries.body", "like", text))))
    .execute();
  const standing = rows.find((row) => !changes.some((c) => c.kind === row.kind && c.id === row.id));
  return standing === undefined ? null : { kind: kindNamed(standing.kind), id: standing.id };
}

/** Whose change stands in the way, as a sentence. */
async function inTheWay(
  writer: EventWriter,
  way: "undo" | "redo",
  { seq, what }: TargetEvent,
  { kind, id }: Entry,
): Promise<NotUndoable> {
  const last = await writer.tx
    .selectFrom("changes")
    .innerJoin("events", "events.seq", "changes.seq")
    .select(["events.seq", "events.person", "events.what", "events.kind"])
    .where("changes.kind", "=", kind)
    .where("changes.id", "=", id)
    .where("changes.seq", ">", seq)
    .orderBy("changes.seq", "desc")
    .limit(1)
    .executeTakeFirst();
  const done = way === "undo" ? "taken back" : "brought back";
  if (last === undefined)
    return new NotUndoable(`"${what}" cannot be ${done}: what it changed is no longer as it was.`);
  const whose = last.person === "" ? "Somebody who gave no name" : last.person;
  const did = last.kind === "undo" ? "took back" : last.kind === "redo" ? "brought back" : "did since";
  return new NotUndoable(
    `"${what}" cannot be ${done}: ${whose} ${did} "${last.what}" (event ${last.seq}). Change it by hand, or ask for that to be taken back first.`,
  );
}

/** What undo and redo would do next for a person; for one without a name, whoever did it. */
export async function historyOf(db: Kysely<Tables>, by: string): Promise<NextUndoRedo> {
  const changes = () => {
    const all = db.selectFrom("events").selectAll().where("kind", "=", "change");
    return by === "" ? all : all.where("person", "=", plain(by));
  };
  const undo = await changes()
    .where("standing", "=", "done")
    .orderBy("seq", "desc")
    .limit(1)
    .executeTakeFirst();
  const redo = await changes().where("standing", "=", "undone").orderBy("seq").limit(1).executeTakeFirst();
  return {
    undo: undo === undefined ? null : trailEvent(undo),
    redo: redo === undefined ? null : trailEvent(redo),
  };
}
