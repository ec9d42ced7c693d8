import { createRoute, z } from "@hono/zod-openapi";
import { refused, wholeNumber } from "./shapes.ts";

/** How many may listen to one lab at once. */
export const maxListeners = 50;

export const listen = createRoute({
  method: "get",
  path: "/api/events",
  operationId: "listen",
  summary: "What happens from now on, as server-sent events, until whoever asks leaves",
  description:
    "An event `change` for each event of the trail, with what stands there and the lots it touched as `lotIds`; an event `verdict` for each stage of such a lot once it is judged anew, as in its summaries, with `lotId`. After a broken connection what came after Last-Event-ID follows; something may then come twice, nothing is left out. Source: HTML Standard, 9.2, Server-sent events.",
  request: {
    query: z.object({
      after: wholeNumber.optional().openapi({
        type: "integer",
        description: "Begins after this event of the trail, where no Last-Event-ID is sent",
      }),
    }),
  },
  responses: {
    200: { description: "The events", content: { "text/event-stream": { schema: z.string() } } },
    ...refused(422, 503),
  },
});
