import type { Kysely } from "kysely";
import { z } from "zod";
import { UnusableInput } from "#api/faults.ts";
import { DamagedEntry } from "#api/records/faults.ts";
import { type EntryKind, kindNames, kinds } from "#api/records/kinds.ts";
import { bodyIn, parsed, textOf } from "#api/records/stored.ts";
import { allBytes, isWhole, type KeptBytes } from "#api/store/database/bytesKept.ts";
import { inSnapshot, streamedFromSnapshot } from "#api/store/database/snapshot.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { readEntries, rowsOf } from "#api/store/ledger/entries.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import { DomainError } from "#distributions/domainError.ts";
import { parentsOf } from "#model/lot/lineage.ts";
import { folded } from "#model/lot/processSteps.ts";
import { wireWord } from "#model/words/wireWords.ts";

/** An entry on its way into or out of a copy: its body as the text that is kept. */
export interface Copied {
  readonly kind: EntryKind;
  readonly id: number;
  readonly body: string;
}

/** The name of a kind's list in a copy. */
export function listName(kind: EntryKind): string {
  return wireWord(kinds[kind].list);
}

/** Everything that stands, in one fixed order. @throws DamagedEntry  a copy of what is damaged would be none */
export async function copiedEntries(db: Kysely<Tables>): Promise<Copied[]> {
  return inSnapshot(db, async (snapshot) => {
    const all: Copied[] = [];
    for (const kind of kindNames) for await (const some of copiedOf(snapshot, kind)) all.push(...some);
    return all;
  });
}

/** All of one kind, some at a time. @throws DamagedEntry */
async function* copiedOf(db: Kysely<Tables>, kind: EntryKind): AsyncGenerator<Copied[]> {
  for await (const rows of rowsOf(db, kind)) {
    const { kept, damaged } = readEntries(kind, rows);
    if (damaged[0] !== undefined) throw new DamagedEntry(damaged[0]);
    yield kept.map(({ id, body }) => ({ kind, id, body: textOf(kind, body) }));
  }
}

/**
 * Everything that stands at one moment as JSON, an entry a line, in pieces. The same entries give the same text, byte for
 * byte. All is gone through before the first piece, so that none is given of what is damaged.
 *
 * @throws DamagedEntry  a copy of what is damaged would be none
 */
export function copyPieces(db: Kysely<Tables>): AsyncGenerator<string> {
  return streamedFromSnapshot(db, async function* (snapshot) {
    for (const kind of kindNames) for await (const _ of copiedOf(snapshot, kind));
    yield '{"fineband":"copy","version":1';
    for (const kind of kindNames) {
      yield `,\n"${listName(kind)}":[`;
      let between = "";
      for await (const some of copiedOf(snapshot, kind)) {
        yield between + some.map(({ id, body }) => `\n{"id":${id},${body.slice(1)}`).join(",");
        between = ",";
      }
      yield "]";
    }
    let begin = ',\n"bytes":[\n';
    for await (const kept of allBytes(snapshot)) {
      yield begin + JSON.stringify(kept);
      begin = ",\n";
    }
    yield begin.startsWith(',\n"') ? "}\n" : "]}\n";
  });
}

const copyFile = z.looseObject({ fineband: z.literal("copy"), version: z.literal(1) });
const listed = z.array(z.looseObject({ id: z.number().int().positive() }));

/** A text that a program wrote back with the mark some put before UTF-8. */
export const withoutByteOrderMark = (text: string): string => text.replace(/^\uFEFF/, "");

/** Reads a copy; every entry is checked before any is kept. @throws UnusableInput */
export function readCopy(text: string): Copied[] {
  let value: unknown;
  try {
    value = parsed(withoutByteOrderMark(text));
  } catch {
    throw new UnusableInput("The copy is no JSON. It may have been cut off; save it again.");
  }
  const file = copyFile.safeParse(value);
  if (!file.success)
    throw new UnusableInput(
      'This is no copy that Fineband saved: it must say {"fineband":"copy","version":1}.',
    );
  const entries = kindNames.flatMap((kind) => {
    const list = listed.safeParse(file.data[kinds[kind].list] ?? []);
    if (!list.success)
      throw new UnusableInput(`${listName(kind)} must be a list of entries, each with its id.`);
    return list.data.map(({ id, ...body }) => readOne(kind, id, body));
  });
  refuseLooseEnds(entries);
  return entries;
}

const bytesList = z.array(z.object({ sha256: z.string(), base64: z.string() }));

/** The bytes that a copy holds beside its entries; none in most. @throws UnusableInput  some are others than their hash names */
export function bytesInCopy(text: string): KeptBytes[] {
  if (!text.includes('\n"bytes":[')) return [];
  const found = z.looseObject({ bytes: bytesList }).safeParse(parsed(withoutByteOrderMark(text)));
  if (!found.success || !found.data.bytes.every(isWhole))
    throw new UnusableInput("The bytes of photographs in the copy do not match their hashes. Save it again.");
  return found.data.bytes;
}

/**
 * Makes what stands what the copy holds, as one change that undo takes back.
 *
 * @param what  how the trail names it
 */
export function importCopy(
  db: Kysely<Tables>,
  clock: () => Date,
  occasion: ChangeContext,
  entries: readonly Copied[],
  what: string,
): Promise<Written> {
  return append(db, clock, occasion, async (writer) => {
    await becomes(writer, entries);
    return { what };
  });
}

async function becomes(writer: EventWriter, entries: readonly Copied[]): Promise<void> {
  const rows = await writer.tx.selectFrom("entries").select(["kind", "id", "body"]).execute();
  const now = new Map(rows.map((row) => [`${row.kind} ${row.id}`, row.body]));
  const wanted = new Set([...entries, ...materialsOf(entries, rows)].map(({ kind, id }) => `${kind} ${id}`));
  // What belongs to others goes before them and comes after them.
  for (const kind of [...kindNames].reverse())
    for (const row of rows)
      if (row.kind === kind && !wanted.has(`${kind} ${row.id}`))
        await writer.put(kind, row.id, row.body, null);
  for (const { kind, id, body } of entries)
    await writer.put(kind, id, now.get(`${kind} ${id}`) ?? null, body);
}

/** The materials of today that lots of a copy name which was made before there were any: they stay. */
function materialsOf(
  entries: readonly Copied[],
  rows: readonly { readonly kind: string; readonly id: number; readonly body: string }[],
) {
  if (entries.some(({ kind }) => kind === "material")) return [];
  const named = new Set(
    entries.flatMap(({ kind, body }) => (kind === "lot" ? [folded(bodyIn("lot", body).material)] : [])),
  );
  return rows.filter(
    ({ kind, body }) => kind === "material" && named.has(folded(bodyIn("material", body).name)),
  );
}

export function readOne<K extends EntryKind>(kind: K, id: number, value: unknown): Copied {
  try {
    return { kind, id, body: textOf(kind, kinds[kind].read(value)) };
  } catch (fault) {
    const why =
      fault instanceof z.ZodError
        ? fault.issues.map((i) => `${i.path.join(".")}: ${i.message}`).join("; ")
        : fault instanceof Error
          ? fault.message
          : "";
    throw new UnusableInput(`${kind} ${id} cannot be read: ${why}. Nothing was imported.`);
  }
}

/** @throws UnusableInput  an id occurs twice, or an entry belongs to one that is not there */
export function refuseLooseEnds(entries: readonly Copied[]): void {
  const there = new Set<string>();
  for (const { kind, id } of entries) {
    if (there.has(`${kind} ${id}`)) throw new UnusableInput(`${kind} ${id} occurs twice.`);
    there.add(`${kind} ${id}`);
  }
  for (const { kind, id, body } of entries)
    for (const [to, number] of refersTo(kind, body))
      if (!there.has(`${to} ${number}`))
        throw new UnusableInput(`${kind} ${id} belongs to ${to} ${number}, which is not in the copy.`);
  refuseWrongMaterials(entries);
  refuseWrongParents(entries);
}

/** @throws UnusableInput  two materials of one name, or a density that no solid has */
function refuseWrongMaterials(entries: readonly Copied[]): void {
  const byName = new Map<string, number>();
  for (const { id, body: text } of entries.filter(({ kind }) => kind === "material")) {
    const { name, densityGPerCm3 } = bodyIn("material", text);
    if (!(densityGPerCm3 > 0))
      throw new UnusableInput(
        `material ${id} ("${name}") has a density of ${densityGPerCm3} g/cm³; it must be above 0. Nothing was imported.`,
      );
    const other = byName.get(folded(name));
    if (other !== undefined)
      throw new UnusableInput(
        `material ${id} is called "${name}" as material ${other} is: rename one, or make them one before saving the copy. Nothing was imported.`,
      );
    byName.set(folded(name), id);
  }
}

/** @throws UnusableInput  lots that come from themselves, or shares of parents that do not add to 1 */
function refuseWrongParents(entries: readonly Copied[]): void {
  const lots = entries.flatMap(({ kind, id, body }) => {
    if (kind !== "lot") return [];
    const { parents = [] } = bodyIn("lot", body);
    return parents.length === 0 ? [] : [{ id, parents }];
  });
  for (const lot of lots)
    try {
      parentsOf(lot, lots);
    } catch (fault) {
      if (!(fault instanceof DomainError)) throw fault;
      throw new UnusableInput(`lot ${lot.id}: ${fault.message}. Nothing was imported.`);
    }
}

/** A field named lotId refers to a lot, and so on. What stands alone holds all that it rests on; its lot may be gone. */
function refersTo(kind: EntryKind, body: string): [EntryKind, number][] {
  if (kinds[kind].standsAlone) return [];
  return numbersIn(JSON.parse(body)).flatMap(([name, id]) =>
    kindNames.flatMap((to): [EntryKind, number][] => (name === `${to}Id` ? [[to, id]] : [])),
  );
}

/** The numbers in JSON with the names of their fields, those of lists and records within it too. */
function numbersIn(value: unknown): [string, number][] {
  if (Array.isArray(value)) return value.flatMap(numbersIn);
  return Object.entries(fieldsOf(value)).flatMap(([name, held]): [string, number][] =>
    typeof held === "number" ? [[name, held]] : numbersIn(held),
  );
}

/** The fields of a JSON object; none where it is no object. */
export function fieldsOf(value: unknown): Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? { ...value } : {};
}
