import { constants, setPriority } from "node:os";
import { parentPort } from "node:worker_threads";
import { z } from "zod";
import { appWithFaults } from "./faultAnswers.ts";
import type { PoolAnswered } from "./pool/pool.ts";
import { answerRoutes } from "./routes/answers.ts";
import { knownFields } from "./routes/knownFields.ts";
import { severalPowderRoutes } from "./routes/severalPowders.ts";
import { translated } from "./routes/translated.ts";

// On Linux the priority is the thread's own: who asks for something short goes before.
if (process.platform === "linux") setPriority(0, constants.priority.PRIORITY_LOW);

// The same routes as in the server itself, on a thread of their own: one question after the other.
const question = z.object({ path: z.string(), body: z.instanceof(ArrayBuffer) });

let faults: string[] = [];
const app = appWithFaults((fault) =>
  faults.push(fault instanceof Error ? (fault.stack ?? fault.message) : String(fault)),
);
app.use("/api/*", translated, knownFields(app));
answerRoutes(app);
severalPowderRoutes(app);

parentPort?.on("message", (message: unknown) => {
  const { path, body } = question.parse(message);
  faults = [];
  void answer(path, body);
});

async function answer(path: string, body: ArrayBuffer): Promise<void> {
  const response = await app.request(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body,
  });
  const bytes = new Uint8Array(await response.arrayBuffer());
  const type = response.headers.get("content-type") ?? "application/json";
  const answered: PoolAnswered = { status: response.status, type, body: bytes, faults };
  parentPort?.postMessage(answered, [bytes.buffer]);
}
