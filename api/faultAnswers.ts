import { OpenAPIHono, type z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import {
  Conflict,
  DamagedEntry,
  KeyTaken,
  MadeAndDeleted,
  NoSuchEntry,
  NotUndoable,
} from "#api/records/faults.ts";
import { DomainError } from "#distributions/domainError.ts";
import { NotNow, UnusableInput } from "./faults.ts";
import { storeFaultOf } from "./store/database/storeFault.ts";

const whyOf = (fault: unknown) => (fault instanceof Error ? `(${fault.message})` : "");

/** When whoever was turned away because the store is away may ask again. */
const retryAfterS = "5";

/** An app that says what went wrong in one shape; `log` hears of faults of its own. */
export function appWithFaults(log: (fault: unknown) => void): OpenAPIHono {
  const app = new OpenAPIHono({
    defaultHook: (result, c) =>
      result.success ? undefined : problemDetails(c.req.path, 422, sentenceOf(result.error)),
  });
  app.onError((fault, c) => {
    if (fault instanceof Conflict)
      return problemDetails(c.req.path, 412, fault.message, { theirs: fault.theirs });
    if (fault instanceof NoSuchEntry) return problemDetails(c.req.path, 404, fault.message);
    if (fault instanceof NotUndoable) return problemDetails(c.req.path, 409, fault.message);
    if (fault instanceof DamagedEntry) return problemDetails(c.req.path, 500, fault.message);
    if (fault instanceof MadeAndDeleted) return problemDetails(c.req.path, 409, fault.message);
    if (fault instanceof KeyTaken) return problemDetails(c.req.path, 422, fault.message);
    if (fault instanceof DomainError || fault instanceof UnusableInput)
      return problemDetails(c.req.path, 422, fault.message);
    if (fault instanceof NotNow) {
      const response = problemDetails(c.req.path, fault.status, fault.message);
      response.headers.set("retry-after", String(fault.seconds));
      return response;
    }
    if (fault instanceof HTTPException)
      return problemDetails(
        c.req.path,
        fault.status,
        fault.message === "" ? "The request cannot be used." : fault.message,
      );
    // Nobody is there to read an answer, and nothing went wrong.
    if (c.req.raw.signal.aborted) return new Response(null, { status: 499 });
    const ofStore = storeFaultOf(fault);
    log(ofStore?.status === 503 ? `${ofStore.message} ${whyOf(ofStore.cause)}` : fault);
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
  return app;
}

/** One shape for everything that went wrong. Source: RFC 9457. */
export function problemDetails(
  instance: string,
  status: number,
  detail: string,
  more: object = {},
): Response {
  return Response.json(
    { type: "about:blank", title: titles[status] ?? "Fault", status, detail, instance, ...more },
    { status, headers: { "content-type": "application/problem+json" } },
  );
}

const titles: Readonly<Record<number, string>> = {
  400: "Unreadable request",
  401: "Not signed in",
  403: "Not from here",
  404: "Not found",
  405: "Not that way",
  406: "Not in that form",
  409: "Not possible as things stand",
  412: "Changed by someone else",
  413: "Too large",
  415: "Undeclared body",
  421: "Another server's name",
  422: "Unusable input",
  429: "Too many attempts",
  500: "Fault of the server",
  503: "Not now",
  507: "No space left",
};

function sentenceOf(error: z.ZodError): string {
  return error.issues
    .slice(0, 5)
    .map((issue) => `${issue.path.length === 0 ? "The body" : issue.path.join(".")}: ${issue.message}.`)
    .join(" ");
}
