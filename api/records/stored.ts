import { inCode, onWire } from "#model/words/wireWords.ts";
import { type Bodies, type EntryKind, kinds } from "./kinds.ts";

/** An entry as it is written down: checked, and its fields in their one order, so that a copy brought back is the same. */
export function textOf<K extends EntryKind>(kind: K, body: Bodies[K]): string {
  return onWire(JSON.stringify(kinds[kind].read(body)));
}

/** An entry that was written down. @throws where the text holds none of that kind */
export function bodyIn<K extends EntryKind>(kind: K, text: string): Bodies[K] {
  return kinds[kind].read(parsed(text));
}

/** JSON that was written down, with the words that code has. */
export function parsed(text: string): unknown {
  return JSON.parse(inCode(text));
}
