/** The store cannot do what was asked: it is away, full, read-only or damaged. Nothing of what was asked is kept. */
export class StoreFault extends Error {
  /** As HTTP says it: 507 for no space, 503 for what may pass, 500 for what is damaged. */
  readonly status: 500 | 503 | 507;

  constructor(message: string, status: StoreFault["status"], cause?: unknown) {
    super(message, { cause });
    this.status = status;
  }
}

const again = "Nothing was saved; the same request may be sent again.";

/** What the codes of SQLite mean to whoever asked, by how the code begins. */
const ofFile: readonly (readonly [string, StoreFault["status"], string])[] = [
  ["SQLITE_FULL", 507, `The disk that holds the store is full. Make room on it. ${again}`],
  [
    "SQLITE_READONLY",
    503,
    `The store's file or its folder may not be written. Give the server's user the right to write there. ${again}`,
  ],
  [
    "SQLITE_CANTOPEN",
    503,
    `The store's file cannot be opened: its folder is gone or may not be entered. Bring it back. ${again}`,
  ],
  [
    "SQLITE_IOERR",
    503,
    `The disk that holds the store answered with a fault. Look at the disk and its connection. ${again}`,
  ],
  ["SQLITE_BUSY", 503, `Another program has held the store's file for longer than this one waits. ${again}`],
  [
    "SQLITE_CORRUPT",
    500,
    'Part of the store\'s file is damaged, so this cannot be read. "fineband verify" names what is damaged; docs/recovery.md says how it is mended.',
  ],
  [
    "SQLITE_NOTADB",
    500,
    "The store's file does not begin as one does: it was damaged or replaced. docs/recovery.md says how a backup is brought back.",
  ],
];

const away = `The PostgreSQL server that holds the store does not answer. It is asked anew with the next request. ${again}`;
/** Classes 08 and 57 of PostgreSQL's codes: connection lost, shut down, starting up, told to stop. Class 53: no space, no memory. */
const ofServer: readonly (readonly [RegExp, StoreFault["status"], string])[] = [
  [/^(08...|57P0.|57014|ECONN.*|EPIPE|ETIMEDOUT|ENOTFOUND|EHOSTUNREACH|ENETUNREACH)$/, 503, away],
  [/^53100$/, 507, `The disk of the PostgreSQL server is full. Make room on it. ${again}`],
  [/^53...$/, 503, `The PostgreSQL server has no more connections or memory to give. ${again}`],
  [/^25006$/, 503, `The PostgreSQL server takes no writing at present. ${again}`],
  [
    /^XX00[12]$/,
    500,
    'Part of the database is damaged, so this cannot be read. "fineband verify" names what is damaged; docs/recovery.md says how it is mended.',
  ],
];
const awayWords =
  /^(Connection terminated|Client has encountered a connection error|timeout exceeded|Query read timeout)/;

/** What the codes of the file system mean where a file is written beside the store. */
const ofFolder: readonly (readonly [RegExp, StoreFault["status"], string])[] = [
  [/^(ENOSPC|EDQUOT)$/, 507, "cannot be written: the disk is full. Make room on it."],
  [/^(EROFS|EACCES|EPERM)$/, 503, "may not be written. Give the server's user the right to write there."],
  [
    /^(ENOENT|ENOTDIR|EISDIR|EEXIST|ELOOP|ENAMETOOLONG)$/,
    503,
    "is not there, or is something else. Bring it back.",
  ],
  [
    /^(EIO|ESTALE|ENODEV|ENXIO|EMFILE|ENFILE)$/,
    503,
    "cannot be written: the disk answered with a fault. Look at the disk and its connection.",
  ],
];

const codeOf = (fault: unknown): string =>
  fault instanceof Error && "code" in fault && typeof fault.code === "string" ? fault.code : "";

/** The same of a fault of the file system; what is none stays what it was. @param what  begins the sentence */
export function faultOfFolder(what: string, fault: unknown): unknown {
  const found = ofFolder.find(([pattern]) => pattern.test(codeOf(fault)));
  return found === undefined ? fault : new StoreFault(`${what} ${found[2]} ${again}`, found[1], fault);
}

/** What a driver's fault means; null where it is none of the store's. */
export function storeFaultOf(fault: unknown): StoreFault | null {
  if (fault instanceof StoreFault) return fault;
  if (!(fault instanceof Error)) return null;
  const code = codeOf(fault);
  const file = ofFile.find(([begin]) => code.startsWith(begin));
  if (file !== undefined) return new StoreFault(file[2], file[1], fault);
  const server = ofServer.find(([pattern]) => pattern.test(code));
  if (server !== undefined) return new StoreFault(server[2], server[1], fault);
  return awayWords.test(fault.message) ? new StoreFault(away, 503, fault) : null;
}

/** Whether what was read is damaged, not away. */
export function isDamage(fault: unknown): boolean {
  return storeFaultOf(fault)?.status === 500;
}
