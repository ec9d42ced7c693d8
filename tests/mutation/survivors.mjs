// The reviewed list: why a change that no test notices does no harm.
import { readFileSync } from "node:fs";
import { basename } from "node:path";

const list = readFileSync(new URL("./survivors.md", import.meta.url), "utf8");
// As many backticks stand about each piece as the formatter leaves there.
const rows = [...list.matchAll(/^- `([^`]+)` (`+)(.+)\2: (`+)(.+?)\4 → (`+)(.*?)\6: (.+)$/gm)].map(
  ([, path, , lineText, , found, , text, reason]) => ({ path, lineText, found, text, reason }),
);

/**
 * The reason given for a change, found again by its file's name and its line's words, since files move between rooms and
 * lines within them; null where there is none.
 */
export function reasonFor({ path, lineText, found, text }) {
  return (
    rows.find(
      (row) =>
        basename(row.path) === basename(path) &&
        row.lineText === lineText &&
        row.found === found &&
        row.text === text,
    )?.reason ?? null
  );
}
