// A worker that does what it is told, so that the pool can be watched without a model.
import { parentPort } from "node:worker_threads";

parentPort.on("message", ({ path, body }) => {
  if (path === "/for ever") Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0);
  if (path === "/fault") throw new Error("a fault");
  if (path === "/memory") {
    const kept = [];
    for (;;) kept.push(Array.from({ length: 100_000 }, (_, i) => ({ i })));
  }
  const bytes = new Uint8Array(body);
  const until = Date.now() + 20;
  while (Date.now() < until);
  parentPort.postMessage({ status: 200, type: "text/plain", body: bytes, faults: [] });
});
