import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Kysely, PostgresDialect, sql } from "kysely";
import pg from "pg";
import { describe, test } from "vitest";
import { openDatabase } from "../../../api/store/database/database.ts";
import type { Tables } from "../../../api/store/database/tables.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";

/** A store of its own for one test, and the database below it. */
export interface Opened {
  readonly store: Store;
  readonly db: Kysely<Tables>;
  /** Whether two stores of this process can wait for each other: the file's driver holds the process while it waits. */
  readonly isServer: boolean;
  /** A second store on the same database, as another server would open it. */
  readonly again: () => Promise<Opened>;
  /** Closes and throws all away. */
  readonly done: () => Promise<void>;
}

const clock = () => new Date(0);

async function openSqlite(folder = mkdtempSync(join(tmpdir(), "fineband-store-"))): Promise<Opened> {
  const db = await openDatabase({ databaseUrl: null, folder });
  return {
    db,
    isServer: false,
    store: makeStore(db, clock),
    again: () => openSqlite(folder),
    done: async () => {
      await db.destroy();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const url = process.env["FINEBAND_TEST_DATABASE_URL"] ?? "";
let schemas = 0;

async function openPostgres(
  schema = `fineband_test_${process.pid}_${Date.now()}_${schemas++}`,
): Promise<Opened> {
  await ask(`create schema if not exists ${schema}`);
  const databaseUrl = new URL(url);
  databaseUrl.searchParams.set("options", `-c search_path=${schema}`);
  const db = await openDatabase({ databaseUrl: databaseUrl.href, folder: "" });
  return {
    db,
    isServer: true,
    store: makeStore(db, clock),
    again: () => openPostgres(schema),
    done: async () => {
      await db.destroy();
      await ask(`drop schema if exists ${schema} cascade`);
    },
  };
}

async function ask(statement: string): Promise<void> {
  const pool = new pg.Pool({ connectionString: url, max: 1, connectionTimeoutMillis: 3000 });
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool }) });
  try {
    await sql.raw(statement).execute(db);
  } finally {
    await db.destroy();
  }
}

/** Why there is no PostgreSQL to test on; null when there is one. */
const whyNot =
  url === ""
    ? "FINEBAND_TEST_DATABASE_URL is not set"
    : await ask("select 1").then(
        () => null,
        (fault: unknown) => (fault instanceof Error ? fault.message : "unreachable"),
      );

/** The same tests on both databases; without a PostgreSQL server its half counts as not run. */
export function describeStore(
  title: string,
  tests: (open: () => Promise<Opened>, on: "file" | "PostgreSQL") => void,
): void {
  describe(`${title}, on a file`, () => tests(() => openSqlite(), "file"));
  if (whyNot === null) describe(`${title}, on PostgreSQL`, () => tests(() => openPostgres(), "PostgreSQL"));
  else describe.skip(`${title}, on PostgreSQL`, () => test(`needs a server (${whyNot})`, () => {}));
}
