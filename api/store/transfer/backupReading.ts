import { createHash } from "node:crypto";
import { setImmediate } from "node:timers/promises";
import { z } from "zod";
import { UnusableInput } from "#api/faults.ts";
import { signatureFields } from "#api/records/signature.ts";
import { isWhole, type KeptBytes } from "#api/store/database/bytesKept.ts";
import { Replay } from "#api/store/ledger/replay.ts";
import { fits } from "#api/store/signing/labKey.ts";
import { signedOfBackup } from "#api/store/signing/signed.ts";
import { withoutByteOrderMark } from "./copies.ts";

const header = z.object({ fineband: z.literal("backup"), version: z.literal(1) });
const eventLine = z.object({
  event: z.object({
    seq: z.number().int(),
    at: z.string(),
    kind: z.enum(["start", "change", "undo", "redo"]),
    what: z.string(),
    person: z.string(),
    why: z.string(),
    of_seq: z.number().int().nullable(),
    standing: z.enum(["done", "undone", "passed"]),
    request_key: z.string().nullable(),
    request_hash: z.string().nullable(),
    checksum: z.string(),
  }),
  changes: z.array(
    z.object({
      seq: z.number().int(),
      position: z.number().int(),
      kind: z.string(),
      id: z.number().int(),
      before: z.string().nullable(),
      after: z.string().nullable(),
      checksum: z.string(),
    }),
  ),
});
const bytesLine = z.object({ bytes: z.object({ sha256: z.string(), base64: z.string() }) });
const lastLine = z.object({
  events: z.number().int(),
  sha256: z.string(),
  /** Absent in backups of before. */
  signature: signatureFields.exactOptional(),
});

const anyLine = z.union([eventLine, bytesLine]);

export type BackupLine = z.infer<typeof eventLine>;

/** Whether a text begins as a backup does, whatever mark a program put before it. */
export const isBackup = (text: string): boolean =>
  withoutByteOrderMark(text.slice(0, 100)).startsWith('{"fineband":"backup"');

/** Goes through a backup line by line, from its first event. What is wrong with it is said at its end. */
class BackupReading {
  readonly replay: Replay;
  readonly #take: (line: BackupLine | KeptBytes) => void;
  readonly #hash = createHash("sha256");
  readonly #standings: Pick<BackupLine["event"], "seq" | "standing">[] = [];
  /** The latest line: whether it is the last is known with the next one. */
  #latest: string | null = null;
  #lines = 0;
  #odd: string | null = null;

  constructor(
    holds: ConstructorParameters<typeof Replay>[0],
    take: (line: BackupLine | KeptBytes) => void = () => {},
  ) {
    this.replay = new Replay(holds);
    this.#take = take;
  }

  line(text: string): void {
    if (text === "") return;
    if (this.#latest !== null) this.#enter(this.#latest);
    this.#latest = text;
  }

  #enter(text: string): void {
    this.#hash.update(`${text}\n`);
    const isFirst = this.#lines++ === 0;
    const found = (isFirst ? header : anyLine).safeParse(parsed(text));
    if (found.success && "bytes" in found.data) {
      const { bytes } = found.data;
      if (!isWhole(bytes)) this.#odd ??= `the bytes named ${bytes.sha256} are others.`;
      this.#take(bytes);
    } else if (!found.success) this.#odd ??= `line ${this.#lines} is none that Fineband writes.`;
    else if ("event" in found.data) {
      const { event, changes } = found.data;
      this.replay.take(event, changes);
      this.#standings.push({ seq: event.seq, standing: event.standing });
      this.#take(found.data);
    }
  }

  /** @throws UnusableInput  it is cut off or damaged */
  end(): z.infer<typeof lastLine> {
    const last = lastLine.safeParse(parsed(this.#latest ?? ""));
    if (!last.success || this.#lines === 0)
      throw new UnusableInput("The backup is cut off: its last line is missing. Take another.");
    if (this.#hash.digest("hex") !== last.data.sha256)
      throw new UnusableInput("The backup does not match its checksum. Take another.");
    const { signature } = last.data;
    if (signature !== undefined && !fits(signedOfBackup(last.data), signature))
      throw new UnusableInput(
        "The signature of the backup does not fit: it was changed after it was made. Take another.",
      );
    if (this.#odd !== null) throw new UnusableInput(`The backup has a fault: ${this.#odd}`);
    this.replay.compareStandings(this.#standings);
    const [fault] = this.replay.faults;
    if (fault !== undefined) throw new UnusableInput(`The backup has a fault: ${fault}`);
    return last.data;
  }
}

/** Reads a backup and goes through it from its first event. @throws UnusableInput  it is cut off or damaged */
export function readBackup(text: string): {
  lines: BackupLine[];
  replay: Replay;
  last: z.infer<typeof lastLine>;
  /** What events name by its hash. */
  bytes: KeptBytes[];
} {
  const lines: BackupLine[] = [];
  const bytes: KeptBytes[] = [];
  const reading = new BackupReading("bodies", (line) => {
    if ("event" in line) lines.push(line);
    else bytes.push(line);
  });
  for (const line of withoutByteOrderMark(text).split("\n")) reading.line(line);
  return { last: reading.end(), lines, bytes, replay: reading.replay };
}

/** Goes through a backup without holding it. @param pieces  its text @throws UnusableInput  it is cut off or damaged */
export async function checkBackup(pieces: AsyncIterable<string>): Promise<void> {
  const reading = new BackupReading("checksums");
  // A line may come in many pieces, so they are put together once.
  let begun: string[] = [];
  for await (const piece of pieces) {
    const [first = "", ...others] = piece.split("\n");
    begun.push(first);
    for (const next of others) {
      reading.line(begun.join(""));
      begun = [next];
    }
    await setImmediate();
  }
  reading.line(begun.join(""));
  reading.end();
}

/** Whether a row of the record can be written into a backup and read from it. */
export const isBackupLine = (value: unknown): boolean => eventLine.safeParse(value).success;

function parsed(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return null;
  }
}
