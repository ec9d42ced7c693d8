import { readFileSync, statSync } from "node:fs";
import { join, resolve, sep } from "node:path";
import type { MiddlewareHandler } from "hono";
import { serveStatic } from "hono/serve-static";
import { archiveOf, isArchive } from "./archive.ts";

/**
 * The built page from its folder or its archive. The build laid each file compressed beside it. Files stay in memory once
 * they were asked for: a page is some dozens of them, and those under assets/ never change under their names.
 */
export function pageFrom(place: string): MiddlewareHandler {
  const read = isArchive(place) ? inArchive(place) : inFolder(place);
  return serveStatic({
    precompressed: true,
    getContent: async (path) => read(path.replace(/^\.?\/+/, "")),
    isDir: (path) => path === "" || path === "." || path === "/" || path === "./",
  });
}

type Bytes = Uint8Array<ArrayBuffer>;

function inArchive(place: string): (path: string) => Bytes | null {
  const files = archiveOf(place);
  return (path) => {
    const file = files.get(path);
    return file === undefined ? null : Uint8Array.from(file);
  };
}

function inFolder(place: string): (path: string) => Bytes | null {
  const root = resolve(place) + sep;
  const known = new Map<string, Bytes>();
  return (path) => {
    const full = join(root, path);
    const before = known.get(full);
    if (before !== undefined) return before;
    if (!full.startsWith(root)) return null;
    if (statSync(full, { throwIfNoEntry: false })?.isFile() !== true) return null;
    const content = Uint8Array.from(readFileSync(full));
    if (path.startsWith("assets/")) known.set(full, content);
    return content;
  };
}
