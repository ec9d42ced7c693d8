import { percentileIn, speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Block } from "./block.ts";

interface Line {
  /** What stands before a tab or colon; "" for a line that has none. */
  readonly key: string;
  readonly value: string;
}

/** Lines above a table that are looked at for what it is called. */
const maxLines = 40;

/**
 * Tables below each other under the same headings are told apart by the lines above them: the first line that stands
 * above each, with a word of its own above each, in any language ("Sample: A", "試料\tA", or "lot A" alone).
 */
export function withTitles(blocks: readonly Block[]): readonly Block[] {
  const [first, ...rest] = blocks;
  if (first === undefined || rest.length === 0) return blocks;
  const headings = ({ series }: Block) => series.map(({ heading }) => heading.toLowerCase()).join("\t");
  if (rest.some((block) => headings(block) !== headings(first))) return blocks;
  const lines = blocks.map(({ notes }) => notes.slice(0, maxLines).map(lineOf));
  for (const { key } of lines[0] ?? []) {
    const titles = lines.map((all) => all.find((line) => line.key === key)?.value ?? "");
    if (titles.every(isName) && percentileIn(key) === null && new Set(titles).size === titles.length)
      return blocks.map((block, i) => ({ ...block, title: titles[i] ?? "" }));
  }
  return blocks;
}

function lineOf(text: string): Line {
  const [, key = "", value = text] = /^([^\t:=]{1,40})[\t:=]\s*(.*)$/.exec(text) ?? [];
  return { key: key.trim().toLowerCase(), value: value.replace(/\s+/g, " ").trim() };
}

/** Short, with a letter in it, and nothing that says how the shares count: a number alone is a figure of the measurement. */
function isName(text: string): boolean {
  return text.length <= 60 && /\p{L}/u.test(text) && !/^[-+\d.,]+\s/.test(text) && !speaksOfShares(text);
}
