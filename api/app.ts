import type { OpenAPIHono } from "@hono/zod-openapi";
import { bodyLimit } from "hono/body-limit";
import { etag } from "hono/etag";
import { methodNotAllowed } from "hono/method-not-allowed";
import { door } from "#api/access/door.ts";
import { addressOf, type Guard } from "#api/access/guard.ts";
import { caching, headers, isWholeLab, reportPolicy } from "#api/access/headers.ts";
import { logged, type Tell } from "#api/access/log.ts";
import { showHealth } from "#api/contract/recordRoutes.ts";
import { changeHistoryRoutes } from "#api/routes/changeHistory.ts";
import { appWithFaults, problemDetails } from "./faultAnswers.ts";
import type { FolderWatch } from "./intake/folderWatch.ts";
import { pageFrom } from "./page.ts";
import { inPool } from "./pool/inPool.ts";
import type { Pool } from "./pool/pool.ts";
import { accountRoutes } from "./routes/accounts.ts";
import { answerRoutes } from "./routes/answers.ts";
import { cardRoutes } from "./routes/card.ts";
import { copyRoutes } from "./routes/copies.ts";
import { docsPage } from "./routes/docsPage.ts";
import { documentOf } from "./routes/document.ts";
import { equipmentRoutes } from "./routes/equipment.ts";
import { eventRoutes, type Listening } from "./routes/events.ts";
import { exportRoutes } from "./routes/exports.ts";
import { instrumentRoutes } from "./routes/instruments.ts";
import { intakeRoutes } from "./routes/intake.ts";
import { knownFields } from "./routes/knownFields.ts";
import { type LabDoor, labRoutes, onlyLab } from "./routes/lab.ts";
import { labTableRoutes } from "./routes/labTables.ts";
import { listForms } from "./routes/listForms.ts";
import { lotRoutes } from "./routes/lots.ts";
import { materialRoutes } from "./routes/materials.ts";
import { measurementRoutes } from "./routes/measurements.ts";
import { photographRoutes } from "./routes/photographs.ts";
import { sessionRoutes } from "./routes/session.ts";
import { severalPowderRoutes } from "./routes/severalPowders.ts";
import { simpleEntryRoutes } from "./routes/simpleEntries.ts";
import { translated } from "./routes/translated.ts";
import { watchRoutes } from "./routes/watch.ts";
import type { Store } from "./store/store.ts";
import { version } from "./version.ts";

/** A table of a lab is far smaller; what is larger is refused before it is read. */
const largestBody = 20 * 1024 * 1024;
/** Many files come as one change. */
const largestIntake = 100 * 1024 * 1024;
/** A copy of all that a lab keeps comes back in one piece. */
const largestCopy = 400 * 1024 * 1024;

/** What a server is made of. */
interface World {
  readonly store: Store;
  /** The folder of the built page, or its archive. */
  readonly uiFolder: string | null;
  readonly log: (fault: unknown) => void;
  /** What the server may be called beside the names of this machine. */
  readonly hosts?: readonly string[];
  /** The other lab beside this one. */
  readonly lab?: LabDoor;
  /** Where long questions are answered; without one they are answered in their turn. */
  readonly pool?: Pool;
  /** Beyond this machine: who may come in. */
  readonly guard?: Guard;
  /** The server is told to end: what never ends by itself is ended. */
  readonly closing?: AbortSignal;
  /** The folder whose new files are saved by themselves. */
  readonly watch?: FolderWatch;
  /** Hears of refusals and writes, a line each. */
  readonly tell?: Tell;
}

/** The whole server as a value: tests ask it without a port. */
export function makeApp(world: World) {
  const app = appWithFaults(world.log);
  const { tell } = world;
  if (tell !== undefined) app.use(logged(tell, (c) => world.guard?.addressOf(c) ?? addressOf(c)));
  // The outermost comes last to the answer, so a report's own policy stays.
  app.use("/api/*", reportPolicy);
  app.use(headers(world.guard?.isBehindTls === true));
  app.use(door(world.hosts ?? [], (c, { status, sentence }) => problemDetails(c.req.path, status, sentence)));
  const { guard } = world;
  if (guard !== undefined)
    app.use(guard.door((c, status, sentence) => problemDetails(c.req.path, status, sentence)));
  app.use(
    "/api/*",
    methodNotAllowed({
      app,
      onMethodNotAllowed: (c, methods) => notAllowed(c.req.path, c.req.method, methods),
    }),
  );
  const tagged = etag();
  // A tag is made of the whole answer: a whole lab leaves piece by piece, and a stream has no end.
  const isUntagged = (path: string) => isWholeLab(path) || path === "/api/events";
  app.use("/api/*", caching, (c, next) => (isUntagged(c.req.path) ? next() : tagged(c, next)));
  app.use(
    "/api/*",
    listForms(app, (c, sentence) => problemDetails(c.req.path, 406, sentence)),
  );
  const tableLimit = bodyLimit({
    maxSize: largestBody,
    onError: (c) =>
      problemDetails(c.req.path, 413, "The request is larger than 20 MB. Send the table in parts."),
  });
  const copyLimit = bodyLimit({
    maxSize: largestCopy,
    onError: (c) => problemDetails(c.req.path, 413, "The copy is larger than 400 MB."),
  });
  const intakeLimit = bodyLimit({
    maxSize: largestIntake,
    onError: (c) =>
      problemDetails(c.req.path, 413, "The files are larger than 100 MB together. Send them in parts."),
  });
  const limitAt = new Map([
    ["/api/copy", copyLimit],
    ["/api/intake", intakeLimit],
    ["/api/lab-table", intakeLimit],
  ]);
  app.use("/api/*", (c, next) => (limitAt.get(c.req.path) ?? tableLimit)(c, next));
  if (world.pool !== undefined)
    app.use(
      "/api/*",
      inPool(world.pool, (c) => guard?.personOf(c)?.name ?? addressOf(c)),
    );
  app.use("/api/*", translated, knownFields(app));
  apiRoutes(app, world.store, guard ?? null);
  watchRoutes(app, world.watch ?? null);
  sessionRoutes(app, guard ?? null);
  const lab = world.lab ?? onlyLab;
  labRoutes(app, lab);
  eventRoutes(app, listeningTo(world.store, lab, world));
  accountRoutes(app, guard ?? null);
  app.get("/api/openapi.json", (c) => c.body(documentOf(app), 200, { "content-type": "application/json" }));
  docsPage(app, () => documentOf(app));
  if (world.uiFolder !== null) {
    // The names of these files change with what is in them. Answers of the API keep their strong ETags, uncompressed.
    app.use("/assets/*", async (c, next) => {
      await next();
      if (c.res.ok) c.header("cache-control", "public, max-age=31536000, immutable");
    });
    app.use("/*", pageFrom(world.uiFolder));
  }
  app.notFound((c) => {
    const listed = c.req.path.startsWith("/api/") ? " /api/docs lists what there is." : "";
    return problemDetails(c.req.path, 404, `There is nothing at ${c.req.path}.${listed}`);
  });
  return app;
}

async function healthOf(store: Store) {
  const last = store.lastBackup();
  const ageSeconds = (at: string) => Math.round((Date.now() - Date.parse(at)) / 1000);
  return {
    isWritable: await store.isWritable(),
    lastBackup: last === null ? null : { name: last.name, at: last.at, ageSeconds: ageSeconds(last.at) },
    backupsCheckedAt: store.backupsCheckedAt(),
    freeBytes: store.freeBytes(),
  };
}

function apiRoutes(app: OpenAPIHono, store: Store, guard: Guard | null): void {
  app.openapi(showHealth, async (c) => {
    await store.isEmpty();
    const serves = { status: "ready" as const, version };
    if (guard !== null && guard.personOf(c) === null) return c.json(serves, 200);
    return c.json({ ...serves, ...(await healthOf(store)) }, 200);
  });
  answerRoutes(app);
  severalPowderRoutes(app);
  materialRoutes(app, store);
  lotRoutes(app, store);
  measurementRoutes(app, store);
  intakeRoutes(app, store);
  labTableRoutes(app, store);
  instrumentRoutes(app, store);
  cardRoutes(app, store);
  photographRoutes(app, store);
  equipmentRoutes(app, store);
  simpleEntryRoutes(app, store);
  changeHistoryRoutes(app, store);
  copyRoutes(app, store);
  exportRoutes(app, store);
}

/** What a listener hears: this lab, for as long as it is the one shown here and the listener may come in. */
function listeningTo(
  store: Store,
  lab: LabDoor,
  { guard, log, closing = new AbortController().signal }: Pick<World, "guard" | "log" | "closing">,
): Listening {
  return {
    store,
    closing,
    log,
    async hearing(c) {
      const { shown } = await lab.state();
      return async () =>
        (guard === undefined || guard.personOf(c) !== null) && (await lab.state()).shown === shown;
    },
  };
}

function notAllowed(path: string, method: string, methods: readonly string[]): Response {
  const allow = methods.join(", ");
  const response = problemDetails(path, 405, `${path} takes ${allow}, not ${method}.`);
  response.headers.set("allow", allow);
  return response;
}
