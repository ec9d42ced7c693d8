import type { OpenAPIHono, z } from "@hono/zod-openapi";
import { type labState, showLab, startLab } from "#api/contract/labRoutes.ts";

/** The two labs as one of them sees them. */
export interface LabDoor {
  readonly state: () => Promise<z.output<typeof labState>>;
  readonly start: () => Promise<void>;
}

/** A store with no other beside it. */
export const onlyLab: LabDoor = {
  state: async () => ({ shown: "own", isOwnStarted: true, hasDemo: false }),
  start: async () => undefined,
};

/** Which lab this is, and the beginning of the own one. */
export function labRoutes(app: OpenAPIHono, lab: LabDoor): void {
  app.openapi(showLab, async (c) => c.json(await lab.state(), 200));
  app.openapi(startLab, async (c) => {
    await lab.start();
    return c.json(await lab.state(), 200);
  });
}
