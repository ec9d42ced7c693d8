/** What an answer says, in the order of its record: sentences, cautions, warnings, problems and refusals, each once. */
export function saidBy(answer: unknown): string[] {
  const texts = [...new Set(said(answer))];
  const isPart = (text: string) =>
    texts.some((other) => other.length > text.length && other.toLowerCase().includes(text.toLowerCase()));
  return texts.filter((text) => !isPart(text));
}

/** Keys whose text a person reads as it stands. */
const plain = new Set(["sentence", "caution", "verdict", "rule", "about", "message", "source"]);
/** Keys whose list of texts a person reads as it stands. */
const lists = new Set(["warnings", "origin", "lines", "cautions"]);

function said(value: unknown): string[] {
  if (typeof value !== "object" || value === null || ArrayBuffer.isView(value)) return [];
  if (Array.isArray(value)) return value.flatMap((part) => (typeof part === "number" ? [] : said(part)));
  const { reason, remedy } = Object.fromEntries(Object.entries(value));
  const refusal = typeof reason === "string" && typeof remedy === "string" ? [`${reason}. ${remedy}`] : [];
  return [...refusal, ...Object.entries(value).flatMap(([key, part]) => saidUnder(key, part))];
}

function saidUnder(key: string, part: unknown): string[] {
  if (typeof part === "string") return plain.has(key) && /[.?]$/.test(part) ? [part] : [];
  if (lists.has(key) && Array.isArray(part)) return part.filter((text) => typeof text === "string");
  if (key === "words" && typeof part === "object" && part !== null)
    return Object.values(part).filter((text) => typeof text === "string" && text !== "");
  return said(part);
}
