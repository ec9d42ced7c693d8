import { problem } from "#distributions/problem.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";
import { type Incoming, nothing } from "./incoming.ts";

/** In bytes; a larger table is read by a worker, a smaller one at once. */
export const largestDirect = 300_000;

/** What a file that was chosen or dropped holds; where it cannot be read, why. */
export async function incomingOf(file: File): Promise<Incoming> {
  const bytes = await bytesOf(file);
  if (bytes === null)
    return { ...nothing, file: file.name, fault: problem("refused", unreadable, { file: file.name }) };
  if (bytes.length > largestDirect) return { ...nothing, file: file.name, bytes };
  if (!isWorkbook(bytes)) return { ...nothing, file: file.name, text: decode(bytes).text, bytes };
  const text = await workbookText(bytes);
  return typeof text === "string"
    ? { ...nothing, file: file.name, text, bytes }
    : { ...nothing, file: file.name, fault: { ...text, file: file.name } };
}

const unreadable =
  "It cannot be read: it is a folder, or it was moved or changed since. Choose the files themselves again.";

/** Null where the browser cannot read it: a folder, or a file that is gone. */
async function bytesOf(file: File): Promise<Uint8Array | null> {
  try {
    return new Uint8Array(await file.arrayBuffer());
  } catch {
    return null;
  }
}
