import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parseSync } from "vite";

/** A text in the source: its fixed parts, with a gap between each two of them. */
export interface Literal {
  readonly file: string;
  readonly parts: readonly string[];
}

/** What stands for a gap on the page. */
const gap = "…";

export function literalText({ parts }: Literal): string {
  return parts.join(gap).replace(/\s+/g, " ").trim();
}

/** Whether a sentence is made from the literal: all of its parts, in order. */
export function isMadeFrom(sentence: string, { parts }: Literal): boolean {
  let from = 0;
  return parts.every((part) => {
    const at = sentence.toLowerCase().indexOf(part.toLowerCase(), from);
    from = at + part.length;
    return at >= 0;
  });
}

/** Every text in the sources under some folders that a person can read as a sentence or as a part of one. */
export function literalsIn(root: string, folders: readonly string[]): Literal[] {
  return folders
    .flatMap((folder) =>
      readdirSync(join(root, folder), { recursive: true, encoding: "utf8" }).map((f) => `${folder}/${f}`),
    )
    .filter((file) => /\.ts$/.test(file) && !/\/(samples|dist)\//.test(file))
    .map((file) => file.replaceAll("\\", "/"))
    .sort()
    .flatMap((file) => literalsOf(file, readFileSync(join(root, file), "utf8")));
}

function literalsOf(file: string, source: string): Literal[] {
  const { program } = parseSync(file, source);
  return textsIn(program)
    .map((parts) => ({ file, parts }))
    .filter((literal) => isReadable(literalText(literal)));
}

/** At least four words, and none of a query, a drawing or a format. */
function isReadable(text: string): boolean {
  const words = text.replaceAll(gap, " ").match(/[A-Za-zµ]{2,}/g) ?? [];
  return (
    words.length >= 4 && !/[<>{}=;]|^(select|create|drop|insert|PRAGMA) |^text|^[a-z]+ [a-z]+\?$/.test(text)
  );
}

function textsIn(node: unknown): string[][] {
  if (typeof node !== "object" || node === null) return [];
  if (Array.isArray(node)) return node.flatMap(textsIn);
  const record: Readonly<Record<string, unknown>> = Object.fromEntries(Object.entries(node));
  const { type } = record;
  if (
    typeof type === "string" &&
    /^(TS|Import|Export(All|Specifier))/.test(type) &&
    type !== "TSAsExpression" &&
    type !== "TSSatisfiesExpression" &&
    type !== "TSNonNullExpression"
  )
    return [];
  if (type === "Literal" && typeof record["value"] === "string") return [[record["value"]]];
  if (type === "TemplateLiteral") return [cooked(record["quasis"]), ...textsIn(record["expressions"])];
  return Object.values(record).flatMap(textsIn);
}

function cooked(quasis: unknown): string[] {
  if (!Array.isArray(quasis)) return [];
  return quasis.flatMap((q: { readonly value?: { readonly cooked?: unknown } }) =>
    typeof q.value?.cooked === "string" ? [q.value.cooked] : [],
  );
}
