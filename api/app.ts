import { serveStatic } from "@hono/node-server/serve-static";
import { OpenAPIHono, type z } from "@hono/zod-openapi";
import { bodyLimit } from "hono/body-limit";
import { etag } from "hono/etag";
import { HTTPException } from "hono/http-exception";
import { methodNotAllowed } from "hono/method-not-allowed";
import { door } from "#api/access/door.ts";
import { caching, headers, reportPolicy } from "#api/access/headers.ts";
import { showHealth } from "#api/contract/recordRoutes.ts";
import { Conflict, DamagedEntry, KeyTaken, NoSuchEntry, NotNext } from "#api/records/faults.ts";
import { changeHistoryRoutes } from "#api/routes/changeHistory.ts";
import { DomainError } from "#distributions/domainError.ts";
import { UnusableInput } from "./faults.ts";
import { answerRoutes } from "./routes/answers.ts";
import { cardRoutes } from "./routes/card.ts";
import { copyRoutes } from "./routes/copies.ts";
import { documentOf } from "./routes/document.ts";
import { equipmentRoutes } from "./routes/equipment.ts";
import { type LabDoor, labRoutes, onlyLab } from "./routes/lab.ts";
import { lotRoutes } from "./routes/lots.ts";
import { materialRoutes } from "./routes/materials.ts";
import { measurementRoutes } from "./routes/measurements.ts";
import { severalPowderRoutes } from "./routes/severalPowders.ts";
import { simpleEntryRoutes } from "./routes/simpleEntries.ts";
import { translated } from "./routes/translated.ts";
import { storeFaultOf } from "./store/database/storeFault.ts";
import type { Store } from "./store/store.ts";
import { version } from "./version.ts";

/** A table of a lab is far smaller; what is larger is refused before it is read. */
const largestBody = 20 * 1024 * 1024;
/** A copy of all that a lab keeps comes back in one piece. */
const largestCopy = 400 * 1024 * 1024;

const whyOf = (fault: unknown) => (fault instanceof Error ? `(${fault.message})` : "");

/** When whoever was turned away may ask again. */
const retryAfterS = "5";

/** The whole server as a value: tests ask it without a port. */
export function makeApp(world: {
  readonly store: Store;
  readonly uiFolder: string | null;
  readonly log: (fault: unknown) => void;
  /** What the server may be called beside the names of this machine. */
  readonly hosts?: readonly string[];
  /** The other lab beside this one. */
  readonly lab?: LabDoor;
}) {
  const app = new OpenAPIHono({
    defaultHook: (result, c) =>
      result.success ? undefined : problemDetails(c.req.path, 422, sentenceOf(result.error)),
  });
  app.onError((fault, c) => {
    if (fault instanceof Conflict)
      return problemDetails(c.req.path, 412, fault.message, { theirs: fault.theirs });
    if (fault instanceof NoSuchEntry) return problemDetails(c.req.path, 404, fault.message);
    if (fault instanceof NotNext) return problemDetails(c.req.path, 409, fault.message);
    if (fault instanceof DamagedEntry) return problemDetails(c.req.path, 500, fault.message);
    if (fault instanceof KeyTaken) return problemDetails(c.req.path, 422, fault.message);
    if (fault instanceof DomainError || fault instanceof UnusableInput)
      return problemDetails(c.req.path, 422, fault.message);
    if (fault instanceof HTTPException)
      return problemDetails(
        c.req.path,
        fault.status,
        fault.message === "" ? "The request cannot be used." : fault.message,
      );
    const ofStore = storeFaultOf(fault);
    world.log(ofStore?.status === 503 ? `${ofStore.message} ${whyOf(ofStore.cause)}` : fault);
    if (ofStore !== null) {
      const answer = problemDetails(c.req.path, ofStore.status, ofStore.message);
      if (ofStore.status === 503) answer.headers.set("retry-after", retryAfterS);
      return answer;
    }
    return problemDetails(
      c.req.path,
      500,
      "A fault of Fineband's own. Nothing was kept; the server's log has the details.",
    );
  });
  // The outermost comes last to the answer, so a report's own policy stays.
  app.use("/api/*", reportPolicy);
  app.use(headers);
  app.use(door(world.hosts ?? [], (c, { status, sentence }) => problemDetails(c.req.path, status, sentence)));
  app.use(
    "/api/*",
    methodNotAllowed({
      app,
      onMethodNotAllowed: (c, methods) => notAllowed(c.req.path, c.req.method, methods),
    }),
  );
  app.use("/api/*", caching, etag());
  const tableLimit = bodyLimit({
    maxSize: largestBody,
    onError: (c) =>
      problemDetails(c.req.path, 413, "The request is larger than 20 MB. Send the table in parts."),
  });
  const copyLimit = bodyLimit({
    maxSize: largestCopy,
    onError: (c) => problemDetails(c.req.path, 413, "The copy is larger than 400 MB."),
  });
  app.use("/api/*", (c, next) => (c.req.path === "/api/copy" ? copyLimit : tableLimit)(c, next));
  app.use("/api/*", translated);
  apiRoutes(app, world.store);
  labRoutes(app, world.lab ?? onlyLab);
  app.get("/api/openapi.json", (c) => c.body(documentOf(app), 200, { "content-type": "application/json" }));
  if (world.uiFolder !== null) {
    // The names of these files change with what is in them. Answers of the API keep their strong ETags, uncompressed.
    app.use("/assets/*", async (c, next) => {
      await next();
      if (c.res.ok) c.header("cache-control", "public, max-age=31536000, immutable");
    });
    // The build laid each of them compressed beside it.
    app.use("/*", serveStatic({ root: world.uiFolder, precompressed: true }));
  }
  app.notFound((c) => {
    const listed = c.req.path.startsWith("/api/") ? " /api/openapi.json lists what there is." : "";
    return problemDetails(c.req.path, 404, `There is nothing at ${c.req.path}.${listed}`);
  });
  return app;
}

function apiRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(showHealth, async (c) => {
    await store.isEmpty();
    const last = store.lastBackup();
    return c.json(
      {
        status: "ready" as const,
        version,
        isWritable: store.isWritable(),
        lastBackup: last === null ? null : { name: last.name, at: last.at },
      },
      200,
    );
  });
  answerRoutes(app);
  severalPowderRoutes(app);
  materialRoutes(app, store);
  lotRoutes(app, store);
  measurementRoutes(app, store);
  cardRoutes(app, store);
  equipmentRoutes(app, store);
  simpleEntryRoutes(app, store);
  changeHistoryRoutes(app, store);
  copyRoutes(app, store);
}

function notAllowed(path: string, method: string, methods: readonly string[]): Response {
  const allow = methods.join(", ");
  const response = problemDetails(path, 405, `${path} takes ${allow}, not ${method}.`);
  response.headers.set("allow", allow);
  return response;
}

/** One shape for everything that went wrong. Source: RFC 9457. */
function problemDetails(instance: string, status: number, detail: string, more: object = {}): Response {
  return Response.json(
    { type: "about:blank", title: titles[status] ?? "Fault", status, detail, instance, ...more },
    { status, headers: { "content-type": "application/problem+json" } },
  );
}

const titles: Readonly<Record<number, string>> = {
  400: "Unreadable request",
  403: "Not from here",
  404: "Not found",
  405: "Not that way",
  409: "Not possible as things stand",
  412: "Changed by someone else",
  413: "Too large",
  415: "Undeclared body",
  421: "Another server's name",
  422: "Unusable input",
  500: "Fault of the server",
  503: "Store away",
  507: "No space left",
};

function sentenceOf(error: z.ZodError): string {
  return error.issues
    .slice(0, 5)
    .map((issue) => `${issue.path.length === 0 ? "The body" : issue.path.join(".")}: ${issue.message}.`)
    .join(" ");
}
