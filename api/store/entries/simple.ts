import type { Kysely } from "kysely";
import { type Bodies, type EntryKind, kinds } from "#api/records/kinds.ts";
import type { Damaged, Numbered } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";

/** Entries of any kind: listed, kept, changed and deleted as they are, with all that belongs to them. */
export function makeEntries(db: Kysely<Tables>, clock: () => Date) {
  return {
    async entries<K extends EntryKind>(
      kind: K,
    ): Promise<{ entries: (Bodies[K] & Numbered)[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, kind);
      return { entries: withIds(kept), damaged };
    },

    /** @throws where the value is no body of that kind */
    keepEntry: <K extends EntryKind>(
      kind: K,
      value: unknown,
      occasion: ChangeContext,
      verb: "saved" | "noted" = "saved",
    ): Promise<Written> =>
      append(db, clock, occasion, async (writer) => {
        const body = kinds[kind].read(value);
        await writer.make(kind, body);
        return { what: `${verb} ${kinds[kind].title(body)}` };
      }),

    changeEntry: <K extends EntryKind>(
      { kind, id }: { readonly kind: K; readonly id: number },
      value: unknown,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      append(db, clock, occasion, async (writer) => {
        const body = kinds[kind].read(value);
        await writer.change(kind, id, expected, () => body);
        return { what: `changed ${kinds[kind].title(body)}` };
      }),

    removeEntry: <K extends EntryKind>(
      kind: K,
      id: number,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      append(db, clock, occasion, async (writer) => ({
        what: `deleted ${kinds[kind].title(await writer.remove(kind, id, expected))}`,
      })),
  };
}
