import type { Kysely } from "kysely";
import { UnusableInput } from "#api/faults.ts";
import { kinds } from "#api/records/kinds.ts";
import { photographType } from "#api/records/photograph.ts";
import { bytesOf, keepBytes } from "#api/store/database/bytesKept.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entryOf } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import type { Stage } from "#model/lot/stages.ts";
import { stageOf } from "./stageOfLot.ts";

interface Brought {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly note?: string;
}

/** Photographs beside the stages of lots. */
export function makePhotographs(db: Kysely<Tables>, clock: () => Date) {
  return {
    /** @throws UnusableInput  the bytes are no picture that is kept */
    keepPhotograph: (
      { lotId, stage: at }: { readonly lotId: number; readonly stage: Stage },
      { name, bytes, note = "" }: Brought,
      occasion: ChangeContext,
    ): Promise<Written> =>
      append(db, clock, occasion, async (writer) => {
        const type = photographType(bytes);
        if (type === null)
          throw new UnusableInput(
            `${name} is no photograph that can be kept: it must be a PNG, JPEG or WebP picture. Save it as one of them.`,
            bytes.length === 0 ? "an empty file" : "other bytes than those begin with",
            "PNG, JPEG or WebP",
          );
        const lot = await writer.read("lot", lotId);
        const stage = await stageOf(writer.tx, lot.material, at);
        const sha256 = await keepBytes(writer.tx, bytes);
        const keptAt = clock().toISOString();
        const body = { lotId, stage, name, note, type, sha256, sizeBytes: bytes.length, keptAt };
        await writer.make("photograph", body);
        return { what: `saved ${kinds.photograph.title(body)} of lot "${lot.name}"` };
      }),

    changePhotograph: (
      id: number,
      to: { readonly name: string; readonly note: string },
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      append(db, clock, occasion, async (writer) => ({
        what: `changed ${kinds.photograph.title(
          await writer.change("photograph", id, expected, (now) => ({ ...now, ...to })),
        )}`,
      })),

    /** Its type and bytes; null where there is no such photograph. @throws UnusableInput  its bytes are not here */
    async photograph(id: number) {
      const found = await entryOf(db, "photograph", id);
      if (found === null) return null;
      const bytes = await bytesOf(db, found.body.sha256);
      if (bytes === null)
        throw new UnusableInput(
          `The bytes of photograph ${id} are not here: it came with a copy that holds none. Restore a backup.`,
          "no bytes",
          "a backup that holds them",
        );
      return { ...found.body, bytes };
    },
  };
}
