import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";

/** A workbook whose cells say by themselves what their formats said, and what its sheets hide. */
export interface PlainWorkbook {
  readonly bytes: Uint8Array;
  /** In words, one a sheet in the workbook's order; null where nothing is hidden. */
  readonly hidden: readonly (string | null)[];
}

/** Numbers of the formats 0% and 0.00%. Source: ECMA-376 Part 1, 18.8.30. */
const percentFormats = ["9", "10"];
/** Stops at the next tag, so that a tag that never ends costs no more than its own length. */
const tags = /<(?:\w{1,20}:)?([a-zA-Z]+)((?:\s[^<>]*)?)>/g;

/**
 * The same workbook with what only its formats tell written into the cells: 0.105 under a per cent format is "10.5%", and
 * a cell that holds an error is that text and does not stop the reading of all others.
 *
 * @param bytes  a workbook that was looked into before
 */
export function plainWorkbook(bytes: Uint8Array): PlainWorkbook {
  const parts = unzipSync(bytes, { filter: ({ name }) => /\.(xml|rels)$/i.test(name) });
  const text = (name: string) => {
    const part = parts[name];
    return part === undefined ? "" : strFromU8(part);
  };
  const styles = percentStyles(text("xl/styles.xml"));
  const hidden: (string | null)[] = [];
  let isChanged = false;
  for (const { path, isHidden } of sheetParts(text("xl/workbook.xml"), text("xl/_rels/workbook.xml.rels"))) {
    const before = text(path);
    hidden.push(hiddenIn(before, isHidden));
    const after = withPlainCells(before, styles);
    if (after === before) continue;
    parts[path] = strToU8(after);
    isChanged = true;
  }
  return { bytes: isChanged ? zipSync(parts, { level: 0 }) : bytes, hidden };
}

function attribute(text: string, name: string): string | null {
  return new RegExp(`\\s${name}\\s*=\\s*["']([^"']*)["']`).exec(text)?.[1] ?? null;
}

/** The sheets in their order, each with the part that holds it. */
function sheetParts(workbook: string, links: string): { path: string; isHidden: boolean }[] {
  const targets = new Map<string, string>();
  for (const [, name, inside = ""] of links.matchAll(tags)) {
    const id = attribute(inside, "Id");
    const target = attribute(inside, "Target");
    if (name !== "Relationship" || id === null || target === null) continue;
    targets.set(id, target.startsWith("/") ? target.slice(1) : `xl/${target}`);
  }
  const sheets: { path: string; isHidden: boolean }[] = [];
  for (const [, name, inside = ""] of workbook.matchAll(tags)) {
    if (name !== "sheet") continue;
    const path = targets.get(attribute(inside, "\\w{1,20}:id") ?? "") ?? "";
    sheets.push({ path, isHidden: /hidden/i.test(attribute(inside, "state") ?? "") });
  }
  return sheets;
}

/** Numbers of the styles that show a value as per cent. */
function percentStyles(styles: string): ReadonlySet<string> {
  const formats = new Set(percentFormats);
  const found = new Set<string>();
  let style = -1;
  for (const [tag, name, inside = ""] of styles.matchAll(tags)) {
    if (name === "numFmt") {
      const code = (attribute(inside, "formatCode") ?? "").replaceAll("&quot;", '"');
      // What stands in quotes or behind a stroke is shown as it is and multiplies nothing.
      if (code.replace(/"[^"]*"|\\./g, "").includes("%")) formats.add(attribute(inside, "numFmtId") ?? "");
    } else if (name === "cellXfs") style = 0;
    else if (name === "xf" && style >= 0) {
      if (formats.has(attribute(inside, "numFmtId") ?? "")) found.add(String(style));
      style++;
    } else if (name === "cellStyles" || tag.startsWith("<dxfs")) style = -1;
  }
  return found;
}

function withPlainCells(sheet: string, percent: ReadonlySet<string>): string {
  const pieces: string[] = [];
  let done = 0;
  let isPercent = false;
  for (const match of sheet.matchAll(tags)) {
    const [tag, name, inside = ""] = match;
    if (name === "c") {
      const kind = attribute(inside, "t");
      isPercent = (kind === null || kind === "n") && percent.has(attribute(inside, "s") ?? "");
      if (!isPercent && kind !== "e") continue;
      const bare = inside.replace(/\st\s*=\s*["'][^"']*["']/, "");
      const opened = tag.slice(0, tag.length - inside.length - 1);
      pieces.push(sheet.slice(done, match.index), `${opened} t="str"${bare}>`);
      done = match.index + tag.length;
      if (tag.endsWith("/>")) isPercent = false;
    } else if (name === "v" && isPercent) {
      const from = match.index + tag.length;
      const to = sheet.indexOf("<", from);
      if (to < 0) break;
      pieces.push(sheet.slice(done, from), percentText(sheet.slice(from, to)));
      done = to;
      isPercent = false;
    }
  }
  return done === 0 ? sheet : pieces.join("") + sheet.slice(done);
}

/** Fifteen digits are what a workbook keeps; the last bits of the product are not the table's. */
function percentText(text: string): string {
  const value = Number(text);
  return text.trim() === "" || !Number.isFinite(value) ? text : `${Number((100 * value).toPrecision(15))}%`;
}

function hiddenIn(sheet: string, isHidden: boolean): string | null {
  const rows: number[] = [];
  const columns: number[] = [];
  let row = 0;
  for (const [, name, inside = ""] of sheet.matchAll(tags)) {
    if (name === "row") {
      row = Number(attribute(inside, "r") ?? row + 1);
      if (isOn(inside)) rows.push(row);
    } else if (name === "col" && isOn(inside)) {
      const [from, to] = [Number(attribute(inside, "min")), Number(attribute(inside, "max"))];
      for (let c = from; c <= Math.min(to, from + maxNamed); c++) columns.push(c);
    } else if (name === "mergeCells") break;
  }
  const words = [
    ...(isHidden ? ["the whole sheet"] : []),
    ...(rows.length === 0 ? [] : [listed("row", rows)]),
    ...(columns.length === 0 ? [] : [listed("column", columns)]),
  ];
  return words.length === 0 ? null : words.join(" and ");
}

const maxNamed = 12;

const isOn = (inside: string) => /^(1|true)$/.test(attribute(inside, "hidden") ?? "");

function listed(what: string, places: readonly number[]): string {
  const named = places.slice(0, maxNamed).join(", ");
  const more = places.length > maxNamed ? ` and ${places.length - maxNamed} more` : "";
  return `${what}${places.length === 1 ? "" : "s"} ${named}${more}`;
}
