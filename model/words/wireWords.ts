/**
 * What is said in code beside what stands on the wire: in requests and answers, in the output of the command line, in
 * stored entries and backups. The words on the wire are a contract and never change; those in code are the trade's.
 * No word stands on both sides.
 */
const wireWords = {
  exclusionReason: "asideBecause",
  sizeShiftNeeded: "rescue",
  targetBeforeRefiring: "aim",
  excludedLots: "leftOutLots",
  savedPriors: "beliefs",
  released: "frozen",
  releasedAt: "frozenAt",
} as const;

const toWire = new Map<string, string>(Object.entries(wireWords));
const toCode = new Map<string, string>(Object.entries(wireWords).map(([code, wire]) => [wire, code]));
/** A quote that is not escaped and a word before a colon stand nowhere in JSON but where a key does. */
const keyAmong = (words: ReadonlyMap<string, string>) =>
  new RegExp(`(?<!\\\\)"(${[...words.keys()].join("|")})"(?=\\s*:)`, "g");
const codeKeys = keyAmong(toWire);
const wireKeys = keyAmong(toCode);

/** JSON as code has it, with the keys of the wire; their order stays. */
export function onWire(json: string): string {
  return json.replace(codeKeys, (_, word: string) => `"${wireWord(word)}"`);
}

/** JSON as it came, with the keys that code has. */
export function inCode(json: string): string {
  return json.replace(wireKeys, (_, word: string) => `"${toCode.get(word) ?? word}"`);
}

/** A key as it stands on the wire, for what lists keys by name. */
export function wireWord(word: string): string {
  return toWire.get(word) ?? word;
}
