import type { Kysely } from "kysely";
import type { Tables } from "./tables.ts";

/** The steps from which on events are tied to those before them, and there is a place for bytes. */
export const [stepWithLinks, stepWithBytes] = [7, 11];

/** The last step of migrations.ts that a store has seen: a backup is also made of one that has not seen them all. */
export async function latestStep(db: Kysely<Tables>): Promise<number> {
  const last = await db
    .selectFrom("schema_steps")
    .select((eb) => eb.fn.max("step").as("step"))
    .executeTakeFirst();
  return last?.step ?? 0;
}
