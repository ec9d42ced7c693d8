import { createHash } from "node:crypto";
import type { MiddlewareHandler } from "hono";
import { secureHeaders } from "hono/secure-headers";

/**
 * What a browser may do with what it gets: run and fetch only what this server sent, show it in no frame, guess no type,
 * tell nobody where the reader came from. Behind TLS it asks by TLS alone from then on.
 */
export const headers = (isBehindTls: boolean): MiddlewareHandler => {
  const secured = secureHeaders({
    contentSecurityPolicy: {
      defaultSrc: ["'self'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'"],
      imgSrc: ["'self'", "data:", "blob:"],
      connectSrc: ["'self'"],
      workerSrc: ["'self'"],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      formAction: ["'self'"],
      frameAncestors: ["'none'"],
    },
    xFrameOptions: "DENY",
    referrerPolicy: "no-referrer",
    crossOriginOpenerPolicy: "same-origin",
    crossOriginResourcePolicy: "same-origin",
    strictTransportSecurity: isBehindTls ? "max-age=31536000" : false,
  });
  return async (c, next) => {
    await secured(c, next);
    // What a 304 says takes the place of what was stored with the answer: a report would lose a policy of its own.
    if (c.res.status === 304)
      for (const name of ["content-security-policy", "x-frame-options"]) c.res.headers.delete(name);
  };
};

/**
 * A report is a page of its own that runs nothing and fetches nothing; its one style sheet is known by its hash.
 * The page of the lot shows it in a frame and hands it to the printer, nobody else's page may.
 */
export const reportPolicy: MiddlewareHandler = async (c, next) => {
  await next();
  if (!(c.res.headers.get("content-type") ?? "").startsWith("text/html")) return;
  const html = await c.res.clone().text();
  const styles = [...html.matchAll(/<style>([^<]*)<\/style>/g)].map(([, style = ""]) => hashOf(style));
  c.res.headers.set("x-frame-options", "SAMEORIGIN");
  c.res.headers.set(
    "content-security-policy",
    `sandbox allow-same-origin allow-modals; default-src 'none'; style-src ${styles.length === 0 ? "'none'" : styles.join(" ")}; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'`,
  );
};

const hashOf = (style: string): string => `'sha256-${createHash("sha256").update(style).digest("base64")}'`;

/** Whether what is asked for is a copy of everything. */
export const isWholeLab = (path: string): boolean => /^\/api\/(?:copy|backup)/.test(path);

/** Whole labs stay in no cache; everything else is asked for anew each time, by its ETag. */
export const caching: MiddlewareHandler = async (c, next) => {
  await next();
  if (!c.res.headers.has("cache-control"))
    c.res.headers.set("cache-control", isWholeLab(c.req.path) ? "no-store" : "private, no-cache");
};
