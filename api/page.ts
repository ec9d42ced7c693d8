import { serveStatic as fromFolder } from "@hono/node-server/serve-static";
import type { MiddlewareHandler } from "hono";
import { serveStatic } from "hono/serve-static";
import { archiveOf, isArchive } from "./archive.ts";

/** The built page from its folder or its archive. The build laid each file compressed beside it. */
export function pageFrom(place: string): MiddlewareHandler {
  if (!isArchive(place)) return fromFolder({ root: place, precompressed: true });
  const files = archiveOf(place);
  return serveStatic({
    precompressed: true,
    getContent: async (path) => {
      const file = files.get(path.replace(/^\.?\/+/, ""));
      return file === undefined ? null : Uint8Array.from(file);
    },
    isDir: (path) => path === "" || path === "." || path === "/" || path === "./",
  });
}
