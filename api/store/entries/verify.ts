import type { Kysely } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import { type EntryKind, kindNames } from "#api/records/kinds.ts";
import { allBytes, isWhole } from "#api/store/database/bytesKept.ts";
import { FileDatabase, lossOf } from "#api/store/database/fileDatabase.ts";
import { listFaults } from "#api/store/database/lotListFaults.ts";
import { record } from "#api/store/database/record.ts";
import { fileFaults, inSnapshot } from "#api/store/database/snapshot.ts";
import { isDamage } from "#api/store/database/storeFault.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { damageOf, readEntries, rowsOf } from "#api/store/ledger/entries.ts";
import { entryRow } from "#api/store/ledger/eventWriter.ts";
import { Replay } from "#api/store/ledger/replay.ts";
import type { LabKey } from "#api/store/signing/labKey.ts";
import { signatureStateOf } from "#api/store/signing/signed.ts";
import { hashHolds } from "./releaseRecords.ts";

/** What was gone through, and every fault as a sentence. */
export interface Verified {
  readonly events: number;
  readonly entries: number;
  readonly faults: readonly string[];
  /** What is whole and yet worth knowing: release records that this lab did not sign. */
  readonly remarks: readonly string[];
}

/**
 * Goes through all that is kept as it stood at one moment: the file, every checksum, the record from its start, its
 * links and counters, and whether every column of what stands follows from it.
 */
export function verify(db: Kysely<Tables>, key: LabKey | null): Promise<Verified> {
  const lost = lossOf(db);
  const isFile = db instanceof FileDatabase;
  return inSnapshot(db, async (snapshot) => {
    const faults = [...(lost === null ? [] : [lost]), ...(await fileFaults(snapshot, isFile))];
    const replay = new Replay("checksums");
    const [ofRecord] = await orDamage("The change history", () => recordFaults(snapshot, replay));
    faults.push(...ofRecord);
    const [ofEntries, entries] = await orDamage("The entries", () => entryFaults(snapshot, replay));
    faults.push(...ofEntries);
    for (const [what, look] of [
      ["The list of lots", () => listFaults(snapshot)],
      ["What was brought in", () => contentFaults(snapshot)],
    ] as const)
      faults.push(...(await orDamage(what, async () => [await look(), 0] as const))[0]);
    const remarks = await signatureRemarks(snapshot, key).catch((fault: unknown) => {
      if (isDamage(fault)) return [];
      throw fault;
    });
    return { events: replay.events, entries, faults, remarks };
  });
}

type Found = readonly [faults: readonly string[], count: number];

/** What is damaged so far that it cannot be gone through is a fault among the others. */
async function orDamage(what: string, look: () => Promise<Found>): Promise<Found> {
  try {
    return await look();
  } catch (fault) {
    if (isDamage(fault)) return [[`${what} cannot be read to the end: a part of the file is damaged.`], 0];
    throw fault;
  }
}

async function recordFaults(db: Kysely<Tables>, replay: Replay): Promise<Found> {
  for await (const { event, changes } of record(db)) replay.take(event, changes);
  replay.compareStandings(await db.selectFrom("events").select(["seq", "standing"]).execute());
  return [[...replay.faults, ...(await linkFaults(db, replay)), ...(await counterFaults(db, replay))], 0];
}

/** Where the chain of events does not hold: then something within it is missing or was put in. */
async function linkFaults(db: Kysely<Tables>, { links }: Replay): Promise<string[]> {
  const rows = await db.selectFrom("links").selectAll().orderBy("seq").execute();
  const wrong = rows.filter(({ seq, link }) => links.has(seq) && links.get(seq) !== link);
  const gone = rows.filter(({ seq }) => !links.has(seq));
  const known = new Set(rows.map(({ seq }) => seq));
  const without = [...links.keys()].filter((seq) => !known.has(seq));
  return [
    ...wrong.slice(0, 1).map(({ seq }) => `The chain of events breaks at event ${seq}.`),
    ...gone.map(({ seq }) => `Event ${seq} is missing.`),
    ...without.map((seq) => `Event ${seq} has no link in the chain.`),
  ];
}

async function counterFaults(db: Kysely<Tables>, { events, highest }: Replay): Promise<string[]> {
  const rows = await db.selectFrom("counters").selectAll().execute();
  const counted = new Map(rows.map(({ name, value }) => [name, value]));
  const wanted = new Map([["event", events], ...highest]);
  return [...wanted].flatMap(([name, least]) => {
    const value = counted.get(name) ?? 0;
    const isRight = name === "event" ? value === least : value >= least;
    return isRight ? [] : [`The counter of ${name} stands at ${value}; ${least} was given out.`];
  });
}

async function entryFaults(db: Kysely<Tables>, replay: Replay): Promise<Found> {
  const faults: string[] = [];
  const seen = new Set<string>();
  for (const kind of kindNames)
    for await (const rows of rowsOf(db, kind)) {
      for (const row of rows) seen.add(`${kind} ${row.id}`);
      faults.push(...rows.flatMap((row) => rowFaults(kind, row, replay)));
      faults.push(
        ...readEntries(kind, rows)
          .damaged.filter((d) => d.message.includes("cannot be read"))
          .map((d) => d.message),
      );
    }
  for (const key of replay.entries.keys()) if (!seen.has(key)) faults.push(`${key} is missing.`);
  const { count } = await db
    .selectFrom("entries")
    .select((eb) => eb.fn.countAll<number | string>().as("count"))
    .executeTakeFirstOrThrow();
  if (Number(count) !== seen.size) faults.push("There are entries of a kind that does not exist.");
  return [faults, seen.size];
}

/** Where an entry is not as the record says it stands. */
function rowFaults(kind: EntryKind, row: Tables["entries"], replay: Replay): string[] {
  const key = `${kind} ${row.id}`;
  const standing = replay.entries.get(key);
  if (damageOf(kind, row) !== null) return [`${key} does not match its checksum.`];
  if (standing === undefined) return [`${key} is there, but the record does not know it.`];
  if (!replay.standsAs(key, row.body)) return [`${key} is not what the record says.`];
  if (standing.version !== row.version)
    return [`${key} has version ${row.version}, the record says ${standing.version}.`];
  return columnFaults(key, row, standing.version);
}

/** Where what an entry is found by is not what its body says. */
function columnFaults(key: string, row: Tables["entries"], version: number): string[] {
  const kind = kindNames.find((name) => name === row.kind);
  if (kind === undefined) return [];
  try {
    const right = entryRow(kind, row.id, row.body, version);
    return (["parent", "part", "day", "words"] as const).flatMap((column) =>
      right[column] === row[column]
        ? []
        : [`${key} is found by ${column} "${row[column]}", not "${right[column]}".`],
    );
  } catch {
    return [];
  }
}

/** Release records that bear another lab's signature or none. */
async function signatureRemarks(db: Kysely<Tables>, key: LabKey | null): Promise<string[]> {
  const remarks: string[] = [];
  for await (const rows of rowsOf(db, "frozen"))
    for (const { id, body } of readEntries("frozen", rows).kept) {
      const what = `Release record ${id} ("${body.name}")`;
      const state = signatureStateOf(body, key);
      if (state === "foreign") remarks.push(`${what} was signed with another key than this lab's.`);
      if (state === "none") remarks.push(`${what} is not signed.`);
    }
  return remarks;
}

/** Photographs whose bytes are not here, or not those that were brought in. */
async function bytesFaults(db: Kysely<Tables>): Promise<string[]> {
  const sound = new Set<string>();
  const faults: string[] = [];
  for await (const kept of allBytes(db))
    if (isWhole(kept)) sound.add(kept.sha256);
    else faults.push(`The bytes kept as ${kept.sha256} do not match that hash.`);
  for await (const rows of rowsOf(db, "photograph"))
    for (const { id, body } of readEntries("photograph", rows).kept)
      if (!sound.has(body.sha256))
        faults.push(`The bytes of photograph ${id} ("${body.name}") are not here; a backup holds them.`);
  return faults;
}

/** Where what was brought in or released is not what was said of it then. */
async function contentFaults(db: Kysely<Tables>): Promise<string[]> {
  const faults: string[] = [];
  for await (const rows of rowsOf(db, "import"))
    for (const { id, body } of readEntries("import", rows).kept)
      if (sha256(body.base64 === undefined ? body.text : Buffer.from(body.base64, "base64")) !== body.sha256)
        faults.push(`The text of import ${id} does not match its checksum.`);
  faults.push(...(await bytesFaults(db)));
  for await (const rows of rowsOf(db, "frozen"))
    for (const { id, body } of readEntries("frozen", rows).kept)
      if (!hashHolds(body)) faults.push(`Frozen answer ${id} does not give its hash.`);
      else if (signatureStateOf(body, null) === "forged")
        faults.push(
          `Release record ${id} bears a signature that does not fit: it was changed after it was signed.`,
        );
  return faults;
}
