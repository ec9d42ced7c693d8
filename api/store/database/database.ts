import { existsSync, lstatSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { Kysely, PostgresDialect } from "kysely";
import { FileDatabase } from "./fileDatabase.ts";
import { migrate } from "./migrations.ts";
import type { Tables } from "./tables.ts";

/** The files inside the folder: the lab's own memory, and the demo, which is always a file. */
const ownFile = "fineband.sqlite";
const demoFile = "demo.sqlite";

/** Where a lab's memory is kept: a PostgreSQL server when there is an address of one, else a file in a folder. */
export interface Whereabouts {
  readonly databaseUrl: string | null;
  readonly folder: string;
  /** Where backups are made by themselves; a folder within the folder where it is not said. */
  readonly backups?: string | undefined;
  /** The file of the key that release records and backups are signed with; within the folder where it is not said. */
  readonly signingKey?: string | undefined;
}

/** DATABASE_URL names a server, FINEBAND_DATA a folder, FINEBAND_BACKUPS another for the backups, FINEBAND_SIGNING_KEY a file. */
export function whereaboutsOf(
  environment: Readonly<Record<string, string | undefined>>,
  usualFolder: string,
): Whereabouts {
  const url = environment["DATABASE_URL"] ?? "";
  return {
    databaseUrl: url === "" ? null : url,
    folder: environment["FINEBAND_DATA"] ?? usualFolder,
    backups: environment["FINEBAND_BACKUPS"],
    signingKey: environment["FINEBAND_SIGNING_KEY"],
  };
}

/** A sentence for whoever started the program. An address may hold a password, so it is not repeated. */
export function whyNotOpen({ databaseUrl, folder }: Whereabouts, fault: unknown): string {
  const why = fault instanceof Error ? fault.message : String(fault);
  return databaseUrl === null
    ? `The store in ${folder} cannot be opened: ${why}. Set FINEBAND_DATA to a folder that can be written.`
    : `The store on the PostgreSQL server of DATABASE_URL cannot be opened: ${why}. Start the server or correct the address; without DATABASE_URL a file serves.`;
}

/** Makes a backup of a database whose schema is about to be changed. */
type BackUp = (db: Kysely<Tables>) => Promise<unknown>;

export function openDatabase(
  { databaseUrl, folder }: Whereabouts,
  backUp: BackUp = async () => {},
): Promise<Kysely<Tables>> {
  return databaseUrl === null ? openSqlite(folder, ownFile, backUp) : openPostgres(databaseUrl, backUp);
}

/** Opens the demo's file in a folder, making it when it is missing; several that start at once wait for who fills it. */
export async function openDemoDatabase(
  folder: string,
  fill: (db: Kysely<Tables>) => Promise<unknown>,
): Promise<Kysely<Tables>> {
  const db = await openSqlite(folder, demoFile, async () => {});
  try {
    await db.kept.whileOpening(() => fill(db));
  } catch (fault) {
    await db.destroy();
    throw fault;
  }
  return db;
}

export const hasDemoFile = (folder: string): boolean => existsSync(join(folder, demoFile));

/**
 * Opens the store in a folder, making both when they are missing, and brings an older one up to date. What the log
 * beside the file held is in the file then.
 */
async function openSqlite(folder: string, fileName: string, backUp: BackUp): Promise<FileDatabase> {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const path = join(folder, fileName);
  if (lstatSync(path, { throwIfNoEntry: false })?.isSymbolicLink() === true)
    throw new Error(`${fileName} is a link to somewhere else; put the file itself there`);
  const db = new FileDatabase(path);
  try {
    await db.kept.whileOpening(() => migrate(db, "sqlite", () => backUp(db)));
    db.kept.lookForLoss();
    await db.fold();
  } catch (fault) {
    await db.destroy();
    throw fault;
  }
  return db;
}

/** Opens the store on a PostgreSQL server. The driver is loaded only for one. */
async function openPostgres(databaseUrl: string, backUp: BackUp): Promise<Kysely<Tables>> {
  // Without this the driver takes a part of whatever it is given for the name of a host.
  if (!/^postgres(ql)?:\/\//i.test(databaseUrl))
    throw new Error("the address does not begin as one does, postgres://user@host:5432/database");
  const { default: pg } = await import("pg");
  const pool = new pg.Pool({ connectionString: databaseUrl, max: 10, connectionTimeoutMillis: 10_000 });
  // A connection that breaks while idle is replaced with the next question; without this it would end the program.
  pool.on("error", () => {});
  // One that breaks while it is lent out answers the question it was asked with the fault; it too would end the program.
  pool.on("connect", (client) => client.on("error", () => {}));
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool }) });
  await migrate(db, "postgres", () => backUp(db)).catch(async (fault: unknown) => {
    await db.destroy();
    throw fault;
  });
  return db;
}
