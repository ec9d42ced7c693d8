import {
  CompiledQuery,
  type DatabaseConnection,
  Kysely,
  SqliteAdapter,
  type SqliteDatabase,
  SqliteDriver,
  SqliteIntrospector,
  SqliteQueryCompiler,
} from "kysely";
import { KeptFile } from "./keptFile.ts";
import { storeFaultOf } from "./storeFault.ts";
import type { Tables } from "./tables.ts";

/** A database in a file, with what watches over the file. */
export class FileDatabase extends Kysely<Tables> {
  readonly kept: KeptFile;

  /** @param kept  left out, the file is opened to be written */
  constructor(path: string, kept = new KeptFile(path)) {
    super({
      dialect: {
        createAdapter: () => new SqliteAdapter(),
        createDriver: () => new FileDriver(kept),
        createIntrospector: (db) => new SqliteIntrospector(db),
        createQueryCompiler: () => new SqliteQueryCompiler(),
      },
    });
    this.kept = kept;
  }

  /** Folds the log in, when nobody is within a transaction. */
  fold(): Promise<void> {
    return this.connection().execute(async () => this.kept.fold());
  }
}

/** Why a record is shorter than it was; null where it is not, or where nothing stands beside it that would say so. */
export function lossOf(db: Kysely<Tables>): string | null {
  return db instanceof FileDatabase ? db.kept.lost : null;
}

/** Takes a record for what it is, shorter than it was or not. */
export function acceptLoss(db: Kysely<Tables>): void {
  if (db instanceof FileDatabase && db.kept.lost !== null) db.kept.acceptLoss();
}

/** Kysely's driver of a file, which looks before and after each transaction whether the file is still there. */
class FileDriver extends SqliteDriver {
  readonly #kept: KeptFile;

  constructor(kept: KeptFile) {
    super({ database: readableDatabase(kept) });
    this.#kept = kept;
  }

  override async acquireConnection() {
    const connection = await super.acquireConnection();
    try {
      this.#kept.follow();
    } catch (fault) {
      await super.releaseConnection();
      throw fault;
    }
    return connection;
  }

  override async beginTransaction(connection: DatabaseConnection) {
    this.#kept.assertThere();
    // Who reads first and then writes is refused at once where another program has written in between: SQLite waits only
    // for who takes the right to write before anything else.
    if (this.#kept.isForWriting) await connection.executeQuery(CompiledQuery.raw("begin immediate"));
    else await super.beginTransaction(connection);
  }

  override async commitTransaction(connection: DatabaseConnection) {
    await super.commitTransaction(connection);
    // Written into a file that is gone from its place is not saved.
    this.#kept.assertThere();
    this.#kept.committed();
  }

  override async rollbackTransaction(connection: DatabaseConnection) {
    // A fault of the disk has ended it already.
    if (this.#kept.file.inTransaction) await super.rollbackTransaction(connection);
  }
}

/** How many forms of a question are remembered. */
const maxForms = 500;

/** The file's driver as Kysely asks it; its faults are told as those of the store. */
function readableDatabase(kept: KeptFile): SqliteDatabase {
  const forms = new Map<string, string>();
  const formOf = (sql: string): string => {
    const known = forms.get(sql) ?? readableForm(kept, sql);
    if (forms.size >= maxForms) forms.clear();
    forms.set(sql, known);
    return known;
  };
  return {
    prepare: (sql) =>
      entered(() => {
        const statement = kept.file.prepare(formOf(sql));
        return {
          reader: statement.reader,
          all: (given) => entered(() => statement.all([...given]).map(withTexts)),
          run: (given) => entered(() => statement.run([...given])),
          iterate: (given) => statement.iterate([...given]),
        };
      }),
    close: () => kept.close(),
  };
}

function entered<T>(work: () => T): T {
  try {
    return work();
  } catch (fault) {
    throw storeFaultOf(fault) ?? fault;
  }
}

/**
 * A question whose texts come as bytes. The driver takes every text for UTF-8 and ends the process where one is not,
 * as after a bit of it flipped.
 */
function readableForm(kept: KeptFile, sql: string): string {
  if (!/^\s*(select|with)\b/i.test(sql)) return sql;
  const columns = kept.file
    .prepare(sql)
    .columns()
    .map(({ name }) => {
      const column = `\`${name.replaceAll("`", "``")}\``;
      return `case typeof(${column}) when 'text' then cast(${column} as blob) else ${column} end as ${column}`;
    });
  return `select ${columns.join(", ")} from (${sql})`;
}

/** A row with its texts read; what is no UTF-8 in one becomes U+FFFD, which no checksum matches. */
function withTexts(row: unknown): unknown {
  if (typeof row !== "object" || row === null) return row;
  return Object.fromEntries(
    Object.entries(row).map(([name, value]) => [
      name,
      value instanceof ArrayBuffer ? Buffer.from(value).toString("utf8") : value,
    ]),
  );
}
