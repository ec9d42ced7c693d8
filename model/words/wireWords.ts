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
const toCode = new Map([...toWire].map(([code, wire]) => [wire, code]));

/** Any of the words as a key: most answers hold none, and are looked through once. */
const anyOf = (words: ReadonlyMap<string, string>) => new RegExp(`"(?:${[...words.keys()].join("|")})"\\s*:`);
const anyInCode = anyOf(toWire);
const anyOnWire = anyOf(toCode);

/** A quote that is not escaped, a word and a quote before a colon stand nowhere in JSON but where a key does. */
const renamed = (json: string, words: ReadonlyMap<string, string>) =>
  json.replace(/(?<!\\)"(\w+)"(?=\s*:)/g, (_, key: string) => `"${words.get(key) ?? key}"`);

/** JSON as code has it, with the keys of the wire; their order stays. */
export const onWire = (json: string): string => (anyInCode.test(json) ? renamed(json, toWire) : json);

/** JSON as it came, with the keys that code has. */
export const inCode = (json: string): string => (anyOnWire.test(json) ? renamed(json, toCode) : json);

/** A key as it stands on the wire, for what lists keys by name. */
export function wireWord(word: string): string {
  return toWire.get(word) ?? word;
}
