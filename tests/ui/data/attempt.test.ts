import { expect, test } from "vitest";
import { attempt, trouble } from "../../../ui/data/client.ts";

test("what went wrong stays said when something begun before it ends well", async () => {
  let end = () => {};
  const slow = attempt(() => new Promise<void>((resolve) => (end = resolve)));
  await attempt(() => Promise.reject(new Error("no such copy")));
  end();
  await slow;
  expect(trouble.value).toBe("no such copy");
});
